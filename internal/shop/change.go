package shop

import (
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
	if from == "" {
		from = st.After
	}
	if from == "" {
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
		Ways: s.wayShapes(x, make([]beam.Draw, len(before)), func(bed, way int) beam.Shape { return stood[bed].ways[way].Minus(before[bed].ways[way]) })}, nil
}
