package shop

import (
	"slices"

	"footwork/beam"
	"footwork/reports"
)

// Draws returns the beds that a standing may be, each as likely as any other, and the
// state that they are: that asked for; "" is found where anything was measured, else
// given. It is an AskError when the job has nothing to tell the state from.
func (s *Shop) Draws(standing string, asked reports.State) ([]beam.Draw, reports.State, error) {
	if _, err := s.standing(standing); err != nil {
		return nil, asked, err
	}
	switch {
	case asked == reports.Given || asked == "" && !s.surveyed(standing):
		return []beam.Draw{{}}, reports.Given, nil
	case asked != "" && asked != reports.Found && asked != reports.Planned:
		return nil, asked, askf(`the state %q is none of "given", "found" and "planned"`, asked)
	case !s.surveyed(standing):
		return nil, asked, askf("nothing was surveyed in the standing %q, so it is known only as given", standing)
	case asked == reports.Planned:
		d, err := s.plannedDraws(standing)
		return d, asked, err
	}
	k, err := s.knownOf(standing)
	return k.draws, reports.Found, err
}

// DefaultState is the state of a standing that is answered for when none is asked for.
func (s *Shop) DefaultState(standing string) reports.State {
	if s.surveyed(standing) {
		return reports.Found
	}
	return reports.Given
}

// plannedDraws returns the beds as the recommended plan leaves them.
func (s *Shop) plannedDraws(standing string) ([]beam.Draw, error) {
	if w := s.Working(""); standing != w {
		return nil, askf("the plan is for the standing %q, not for %q", w, standing)
	}
	k, err := s.knownOf(standing)
	if err != nil {
		return nil, err
	}
	v, err := s.solver(standing)
	if err != nil {
		return nil, err
	}
	st, err := s.standing(standing)
	if err != nil {
		return nil, err
	}
	p, err := s.plan()
	if err != nil {
		return nil, err
	}
	return each(k.draws, func(d beam.Draw) (beam.Draw, error) { return turned(v, st.Standing, d, p) })
}

// turned returns a bed after a plan: a foot that is first brought to touch loses its
// gap, and then all are raised.
func turned(v *beam.Solver, st beam.Standing, d beam.Draw, p plan) (beam.Draw, error) {
	heights := slices.Clone(d.Heights)
	if heights == nil {
		for _, f := range st.Feet {
			heights = append(heights, f.Height)
		}
	}
	d.Heights = heights
	for i, touch := range p.touch {
		if touch {
			now, err := v.Solve(beam.Case{Draw: d})
			if err != nil {
				return d, err
			}
			heights[i] += now.Feet()[i].Gap
		}
	}
	for i, r := range p.raise {
		heights[i] += r
	}
	return d, nil
}
