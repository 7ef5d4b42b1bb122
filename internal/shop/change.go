package shop

import (
	"cmp"

	"footwork/beam"
	"footwork/reports"
)

// Between fills in what was not said of a change: to is the standing worked in, from
// what it comes after.
func (s *Shop) Between(from, to string) (string, string, error) {
	to = s.Working(to)
	st, err := s.standing(to)
	if err != nil {
		return "", "", err
	}
	if from = cmp.Or(from, st.After); from == "" {
		return "", "", askf(`say the standing the bed comes from: --from NAME, or after = "NAME" in the standing %q`, to)
	}
	return from, to, nil
}

// Change answers what moving the bed does to its ways: the shape in the standing moved
// to, which has a state, less that of the same bed in the other, which is as drawn.
// The metal is in both and cancels.
func (s *Shop) Change(from, to string, asked reports.State, tableAt *float64) (*reports.Change, error) {
	after, err := s.standIn(to, asked, tableAt)
	if err != nil {
		return nil, err
	}
	draws, stood := some(after.draws, travelling), some(after.stood, travelling)
	before, err := s.standAll(from, elsewhere(draws), nil)
	if err != nil {
		return nil, err
	}
	x := s.stations(fine, from, to)
	return &reports.Change{From: from, To: to, State: after.state, X: x, Warnings: append(s.caveats(to, after.state), s.lightFeet(footLoads(after.stood))...),
		Ways: s.moved(x, stood, before)}, nil
}

// moved sums up at stations x how the ways of beds go from one place to another.
func (s *Shop) moved(x []float64, to, from []stood) []reports.WayShape {
	return s.wayShapes(x, func(way int) (changes [][]float64, straight []beam.Straightness) {
		was := s.over(from, way, x)
		for bed, is := range s.over(to, way, x) {
			changes = append(changes, minus(is, was[bed]))
			straight = append(straight, shape(x, changes[bed]).Straightness())
		}
		return changes, straight
	})
}
