package main

import (
	"fmt"
	"slices"
	"strings"

	"footwork/beam"
	"footwork/survey"
)

// bringUp adds to what was measured what the moves since then have done, as far as
// the match can tell, and notes it: a plan is for the bed as it stands now.
func (s *shop) bringUp(m *measured) error {
	var moved []string
	readings := m.readings
	if m.cross != nil {
		readings = append(slices.Clone(readings), *m.cross)
	}
	pending := make([][]survey.Move, len(readings))
	for i, r := range readings {
		for _, v := range s.Moves {
			if v.Standing != m.standing.Name {
				continue
			}
			before, err := v.Before(r.Survey)
			if err != nil {
				return fmt.Errorf("survey %q: %w", r.Name, err)
			}
			if !before {
				pending[i] = append(pending[i], v)
				if !slices.Contains(moved, v.Foot) {
					moved = append(moved, v.Foot)
				}
			}
		}
	}
	if len(moved) == 0 {
		return nil
	}
	note := fmt.Sprintf("%s moved since a way was last surveyed: what that did is reckoned, not measured; survey again before more is turned", strings.Join(moved, " and "))
	now, err := s.found(m.standing.Name)
	if err != nil {
		note = fmt.Sprintf("%s moved since a way was last surveyed, and what that did cannot be told (%v): survey again", strings.Join(moved, " and "), err)
		m.notes = append(m.notes, note)
		return nil
	}
	m.notes = append(m.notes, note)
	for i := range m.readings {
		r := &m.readings[i]
		d, err := s.changeSince(m, now, pending[i], r.X, m.ways[i].Offset)
		if err != nil {
			return err
		}
		r.Height = plus(r.Height, d)
	}
	if m.cross != nil && len(m.ways) > 1 {
		lo, hi := m.ways[0].Offset, m.ways[len(m.ways)-1].Offset
		left, err := s.changeSince(m, now, pending[len(m.readings)], m.cross.X, lo)
		if err != nil {
			return err
		}
		right, err := s.changeSince(m, now, pending[len(m.readings)], m.cross.X, hi)
		if err != nil {
			return err
		}
		m.cross.Height = slices.Clone(m.cross.Height)
		for i := range left {
			m.cross.Height[i] += (right[i] - left[i]) / (hi - lo)
		}
	}
	return nil
}

// changeSince returns what moves that led to how the bed stands now changed at x
// of a line across, m.
func (s *shop) changeSince(m *measured, now beam.Case, moves []survey.Move, x []float64, offset float64) ([]float64, error) {
	v, err := s.solver(m.standing.Name)
	if err != nil {
		return nil, err
	}
	then := now
	then.Heights = slices.Clone(now.Heights)
	for _, mv := range moves {
		if k := slices.IndexFunc(m.standing.Feet, func(f beam.Foot) bool { return f.Name == mv.Foot }); k >= 0 {
			then.Heights[k] -= mv.Raise
		}
	}
	probe := v.Probe(x, offset)
	is, err := v.Solve(now)
	if err != nil {
		return nil, err
	}
	was, err := v.Solve(then)
	if err != nil {
		return nil, err
	}
	return minus(is.Read(probe), was.Read(probe)), nil
}
