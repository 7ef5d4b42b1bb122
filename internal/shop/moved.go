package shop

import (
	"slices"

	"footwork/beam"
	"footwork/reports"
	"footwork/survey/log"
)

// bringUp adds to what was measured what the moves since then have done, as far as
// the match can tell, and notes it: a plan is for the bed as it stands now.
func (s *Shop) bringUp(m *measured) error {
	pending, moved := s.pending(m)
	down := s.setAnew(m)
	if len(moved)+len(down) == 0 {
		return nil
	}
	if len(down) > 0 {
		m.notes = append(m.notes, reports.MovedSince{Feet: down, Unmatched: true})
		return nil
	}
	k, err := s.knownOf(m.standing.Name)
	if err != nil {
		return err
	}
	m.notes = append(m.notes, reports.MovedSince{Feet: moved, Unmatched: k.unmatched != nil})
	if k.unmatched != nil {
		return nil
	}
	v, err := s.solver(m.standing.Name)
	if err != nil {
		return err
	}
	return m.add(v, beam.Case{Draw: k.draws[0]}, pending)
}

// setAnew returns the feet that were let down, and perhaps raised again, since a survey: what
// that did nobody can tell.
func (s *Shop) setAnew(m *measured) []string {
	h := s.History()
	feet := h.LetDown(m.standing.Name)
	for _, e := range h.Entries {
		late := slices.ContainsFunc(m.readings, func(r reading) bool { return e.Epoch > r.epoch && e.Standing == r.Standing })
		if e.What == log.StoodAgain && late && !slices.Contains(feet, e.Foot) {
			feet = append(feet, e.Foot)
		}
	}
	return feet
}

// pending returns the moves after each of the surveys, that of the cross level last, and
// the feet that they moved.
func (s *Shop) pending(m *measured) (moves [][]log.Entry, feet []string) {
	readings := slices.Clone(m.readings)
	if m.cross != nil {
		readings = append(readings, *m.cross)
	}
	for _, r := range readings {
		since := s.movedSince(r)
		for _, v := range since {
			if !slices.Contains(feet, v.Foot) {
				feet = append(feet, v.Foot)
			}
		}
		moves = append(moves, since)
	}
	return moves, feet
}

// add adds to the heights what the moves since each survey have done.
func (m *measured) add(v *beam.Solver, now beam.Case, pending [][]log.Entry) error {
	for i := range m.readings {
		r := &m.readings[i]
		change, err := m.changeBy(v, now, pending[i], r.X, m.ways[i].Offset)
		if err != nil {
			return err
		}
		r.Height = plus(r.Height, change[0])
	}
	if m.cross == nil || len(m.ways) < 2 {
		return nil
	}
	lo, hi := m.ways[0].Offset, m.ways[len(m.ways)-1].Offset
	change, err := m.changeBy(v, now, pending[len(m.readings)], m.cross.X, lo, hi)
	if err != nil {
		return err
	}
	m.cross.Height = slices.Clone(m.cross.Height)
	for i, d := range minus(change[1], change[0]) {
		m.cross.Height[i] += d / (hi - lo)
	}
	return nil
}

// movedSince returns how the feet of a survey's standing were moved after it.
func (s *Shop) movedSince(r reading) []log.Entry {
	return those(s.History().Entries, func(e log.Entry) bool {
		return e.Epoch > r.epoch && (e.What == log.Turn || e.What == log.Shim) && e.Standing == r.Standing
	})
}

// changeBy returns what moves that led to how the bed stands now changed at x of
// lines across, m.
func (m *measured) changeBy(v *beam.Solver, now beam.Case, moves []log.Entry, x []float64, offsets ...float64) (change [][]float64, err error) {
	is, err := v.Solve(now)
	if err != nil {
		return nil, err
	}
	now.Heights = slices.Clone(now.Heights)
	for _, mv := range moves {
		if k := slices.IndexFunc(m.standing.Feet, func(f beam.Foot) bool { return f.Name == mv.Foot }); k >= 0 {
			now.Heights[k] -= mv.Value
		}
	}
	was, err := v.Solve(now)
	if err != nil {
		return nil, err
	}
	for _, y := range offsets {
		probe := v.Probe(x, y)
		change = append(change, minus(is.Read(probe), was.Read(probe)))
	}
	return change, nil
}
