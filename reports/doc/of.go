package doc

import (
	"fmt"
	"reflect"
	"slices"

	"footwork/beam"
	"footwork/reports"
)

// job is what sentences need to know of a job besides an answer. A blank page does for every
// answer: then moves are lengths, and curves have no feet.
type job struct{ *reports.Page }

// Of returns the document of one answer about the job that a page is of, whose own answers do not
// count. The error names a number of it that is none.
func Of(p *reports.Page, v any) (Document, error) {
	if err := reports.Finite(v); err != nil {
		return Document{}, err
	}
	return Document{Sections: job{p}.sections(v)}, nil
}

func (j job) sections(v any) []section {
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
func (j job) standing(name string) *beam.Standing {
	if i := slices.IndexFunc(j.Standings, func(s beam.Standing) bool { return s.Name == name }); i >= 0 {
		return &j.Standings[i]
	}
	return nil
}

// marks returns the feet of a standing for the axis of its curves.
func (j job) marks(standing string) []FootMark {
	s := j.standing(standing)
	if s == nil {
		return nil
	}
	return each(s.Feet, func(f beam.Foot) FootMark { return FootMark{Name: f.Name, At: f.At} })
}

// light returns the load under which one of n feet that carry sum is called light, N.
func (j job) light(sum float64, n int) float64 { return reports.Light(j.Goal, sum, n) }
