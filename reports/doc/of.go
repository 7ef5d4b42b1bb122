package doc

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"

	"footwork/beam"
	"footwork/reports"
	"footwork/supports"
)

// Job is what sentences need to know of a job besides an answer. The zero Job
// does for every answer: then moves are lengths, and curves have no feet.
type Job struct {
	Length    float64                      // m, of the bed
	Standings []beam.Standing              // feet by standing, for the marks under curves
	Adjusters map[string]supports.Adjuster // by foot, of the standing that is adjusted
	Goal      *supports.Goal
}

// JobOf is the job that a page is of.
func JobOf(p *reports.Page) Job {
	return Job{Length: p.Bed.Length, Standings: p.Standings, Adjusters: p.Adjusters, Goal: p.Goal}
}

// Of returns the document of one answer. The error names a number of it that is
// none.
func (j Job) Of(v any) (Document, error) {
	if err := reports.Finite(v); err != nil {
		return Document{}, err
	}
	return Document{Sections: j.sections(v)}, nil
}

func (j Job) sections(v any) []section {
	switch v := reflect.Indirect(reflect.ValueOf(v)).Interface().(type) {
	case reports.Sag:
		return j.sag(v)
	case reports.Travel:
		return []section{j.travel(v)}
	case reports.Change:
		return []section{j.change(v)}
	case reports.Survey:
		return []section{j.survey(v)}
	case reports.Match:
		return []section{j.match(v)}
	case reports.Adjust:
		return []section{j.adjust(v)}
	case reports.Place:
		return []section{j.place(v)}
	case reports.Blue:
		return []section{j.blue(v)}
	case reports.Check:
		return []section{j.check(v)}
	case reports.Cut:
		return []section{j.cut(v)}
	}
	panic(fmt.Sprintf("doc: no words for a %T", v))
}

// standing returns a standing by name, nil where the job does not hold it.
func (j Job) standing(name string) *beam.Standing {
	if i := slices.IndexFunc(j.Standings, func(s beam.Standing) bool { return s.Name == name }); i >= 0 {
		return &j.Standings[i]
	}
	return nil
}

// marks returns the feet of a standing for the axis of its curves.
func (j Job) marks(standing string) []FootMark {
	s := j.standing(standing)
	if s == nil {
		return nil
	}
	return each(s.Feet, func(f beam.Foot) FootMark { return FootMark{Name: f.Name, At: f.At} })
}

// lightShare is the share of the mean load under which a foot is called light
// where the job does not say (common practice, no source).
const lightShare = 0.1

// light returns the load under which one of n feet that carry sum is called light, N.
func (j Job) light(sum float64, n int) float64 {
	share := lightShare
	if j.Goal != nil {
		share = cmp.Or(j.Goal.LeastLoad, share)
	}
	return share * sum / float64(max(n, 1))
}
