package doc

import (
	"fmt"
	"reflect"

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
	LeastLoad float64 // N, under which a foot is called light; 0: a tenth of the mean load
}

// Of returns the document of one answer. The error names a number of it that is
// none.
func (j Job) Of(v reports.View) (Document, error) {
	if err := reports.Finite(v); err != nil {
		return Document{}, err
	}
	return Document{Sections: j.sections(v)}, nil
}

func (j Job) sections(v reports.View) []Section {
	switch v := reflect.Indirect(reflect.ValueOf(v)).Interface().(type) {
	case reports.Sag:
		return j.sag(v)
	case reports.Travel:
		return []Section{j.travel(v)}
	case reports.Change:
		return []Section{j.change(v)}
	case reports.Survey:
		return []Section{j.survey(v)}
	case reports.Match:
		return []Section{j.match(v)}
	case reports.Adjust:
		return []Section{j.adjust(v)}
	case reports.Place:
		return []Section{j.place(v)}
	case reports.Blue:
		return []Section{j.blue(v)}
	case reports.Check:
		return []Section{j.check(v)}
	case reports.Cut:
		return []Section{j.cut(v)}
	}
	panic(fmt.Sprintf("doc: no words for a %T", v))
}

// standing returns a standing by name, nil where the job does not hold it.
func (j Job) standing(name string) *beam.Standing {
	for i := range j.Standings {
		if j.Standings[i].Name == name {
			return &j.Standings[i]
		}
	}
	return nil
}

// marks returns the feet of a standing for the axis of its curves.
func (j Job) marks(standing string) []FootMark {
	var out []FootMark
	if s := j.standing(standing); s != nil {
		for _, f := range s.Feet {
			out = append(out, FootMark{Name: f.Name, At: f.At})
		}
	}
	return out
}

// lightShare is the share of the mean load under which a foot is called light
// where the job does not say (common practice, no source).
const lightShare = 0.1

// light returns the load under which one of n feet that carry sum is called light, N.
func (j Job) light(sum float64, n int) float64 {
	share := lightShare
	if j.Goal != nil && j.Goal.LeastLoad > 0 {
		share = j.Goal.LeastLoad
	}
	return share * sum / float64(max(n, 1))
}
