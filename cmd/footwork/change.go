package main

import (
	"github.com/spf13/cobra"

	"footwork/beam"
	"footwork/reports"
)

func changeCommand(t *terminal) *cobra.Command {
	var from, to, tableAt string
	c := t.onJob("change", "what moving the bed from one standing to another does to its ways", func(s *shop) (reports.View, []string, error) {
		place, err := optionalLength("--table-at", tableAt)
		if err != nil {
			return nil, nil, err
		}
		a, b, err := s.betweenStandings(from, to)
		if err != nil {
			return nil, nil, err
		}
		v, err := s.change(a, b, place)
		if err != nil {
			return nil, nil, err
		}
		return v, v.Warnings, nil
	})
	c.Flags().StringVar(&from, "from", "", "the standing the bed was made straight in (default: what --to comes after)")
	c.Flags().StringVar(&to, "to", "", "the standing it was moved to (default: the one worked in)")
	c.Flags().StringVar(&tableAt, "table-at", "", `the table parked in the standing moved to, "700 mm"`)
	return c
}

// betweenStandings fills in what was not said of a change.
func (s *shop) betweenStandings(from, to string) (string, string, error) {
	to = s.working(to)
	st, err := s.Standing(to)
	if err != nil {
		return "", "", usageError{err}
	}
	if from == "" {
		from = st.After
	}
	if from == "" {
		return "", "", usagef(`say the standing the bed comes from: --from NAME, or after = "NAME" in the standing %q`, to)
	}
	return from, to, nil
}

// change is the shape in one standing less that in another: the profile of a
// bed that was made straight in the first.
func (s *shop) change(from, to string, tableAt *float64) (*reports.Change, error) {
	a, err := s.stand(from, nil)
	if err != nil {
		return nil, err
	}
	b, err := s.stand(to, tableAt)
	if err != nil {
		return nil, err
	}
	x := s.stations(from, to)
	return &reports.Change{From: from, To: to, X: x, Warnings: s.lightFeet(b),
		Ways: s.wayShapes(x, func(y float64) beam.Shape { return b.Way(y).Minus(a.Way(y)) })}, nil
}

func shape(x, y []float64) beam.Shape { return beam.Shape{X: x, Y: y} }
