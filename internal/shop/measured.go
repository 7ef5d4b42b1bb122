package shop

import (
	"fmt"
	"slices"

	"gonum.org/v1/gonum/floats"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/beam/shape"
	"footwork/internal/job"
	"footwork/reports"
	"footwork/survey"
	"footwork/survey/log"
)

// measured is what was last surveyed in one standing: each way in its own
// reading, and all of them in one frame when a cross level ties them.
type measured struct {
	standing job.Standing
	of       []int // of the bed's ways, those surveyed
	ways     []casting.Way
	readings []survey.Record  // one a way
	cross    *survey.Record   // nil without one
	framed   []survey.Profile // one a way
	tied     bool
	notes    []reports.Warning // what makes it less than measured
}

// measured gathers the latest survey of each way of a standing, brought up to what was
// moved since.
func (s *Shop) measured(standing string) (*measured, error) {
	m, err := s.surveys(standing)
	if err != nil {
		return nil, err
	}
	if err := s.bringUp(m); err != nil {
		return nil, err
	}
	return m, m.frame()
}

// surveys gathers the latest survey of each way of a standing.
func (s *Shop) surveys(standing string) (*measured, error) {
	m := &measured{standing: s.standing(standing)}
	for k, w := range s.Bed.Ways {
		if r := s.latest(standing, func(v survey.Survey) bool { return v.Way == w.Name && v.UpAndDown() }); r != nil {
			m.of, m.ways, m.readings = append(m.of, k), append(m.ways, w), append(m.readings, *r)
		}
	}
	if len(m.ways) == 0 {
		return nil, askf("no way was surveyed in the standing %q: add a [[survey]]", standing)
	}
	m.cross = s.latest(standing, func(v survey.Survey) bool { return v.Instrument == survey.CrossLevel && v.UpAndDown() })
	return m, m.frame()
}

// latest returns the latest survey of a standing that is wanted, of any where none is
// named; nil without one.
func (s *Shop) latest(standing string, want func(survey.Survey) bool) *survey.Record {
	for _, r := range slices.Backward(s.Records()) {
		if (standing == "" || r.Survey.Standing == standing) && want(r.Survey) {
			return &r
		}
	}
	return nil
}

// frame puts each way about the line through its ends and, with a cross level,
// the others into the frame of the first.
func (m *measured) frame() error {
	m.tied = m.cross != nil && len(m.ways) > 1
	m.framed = nil
	first := m.readings[0].AboutEnds()
	for i, w := range m.ways {
		p := m.readings[i].AboutEnds()
		if m.tied && i > 0 {
			var err error
			if p, err = survey.Tie(first, p, m.cross.Profile, w.Offset-m.ways[0].Offset); err != nil {
				return fmt.Errorf("survey %q: %w", m.cross.Name, err)
			}
		}
		m.framed = append(m.framed, p)
	}
	return nil
}

// framedOf returns a way of the bed as measured; empty where it was not, or of none.
func (m *measured) framedOf(way int) (p survey.Profile) {
	if m != nil && slices.Contains(m.of, way) {
		p = m.framed[slices.Index(m.of, way)]
	}
	return p
}

// expect returns what every instrument should read after the ways have changed
// by so much · change by way, at its stations, m.
func (m *measured) expect(change [][]float64) (out []reports.Reading) {
	for i, r := range m.readings {
		after := shape.Shape{X: r.X, Y: plus(r.Height, change[i])}
		x, value := r.Expect(after)
		out = append(out, reports.Reading{Survey: r.Name, X: x, Value: value, Unit: r.Unit})
	}
	if m.tied {
		first, last := 0, len(m.ways)-1
		a, b := shape.Shape{X: m.readings[first].X, Y: change[first]}, shape.Shape{X: m.readings[last].X, Y: change[last]}
		slope := shape.Shape{X: m.cross.X, Y: nil}
		for i, x := range slope.X {
			slope.Y = append(slope.Y, m.cross.Height[i]+(b.At(x)-a.At(x))/(m.ways[last].Offset-m.ways[first].Offset))
		}
		x, value := m.cross.Expect(slope)
		out = append(out, reports.Reading{Survey: m.cross.Name, X: x, Value: value, Unit: m.cross.Unit})
	}
	return out
}

// reads returns what a survey reads now at its place nearest to x.
func (m *measured) reads(name string, x float64) float64 {
	still := each(m.readings, func(r survey.Record) []float64 { return make([]float64, len(r.X)) })
	for _, r := range m.expect(still) {
		if r.Survey == name {
			return r.Value[floats.NearestIdx(r.X, x)]
		}
	}
	panic("shop: no survey " + name)
}

func plus(a, b []float64) []float64 { return floats.AddTo(make([]float64, len(a)), a, b) }

func minus(a, b []float64) []float64 { return floats.SubTo(make([]float64, len(a)), a, b) }

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
		late := slices.ContainsFunc(m.readings, func(r survey.Record) bool { return e.Epoch > r.Epoch && e.Standing == r.Standing })
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
func (s *Shop) movedSince(r survey.Record) []log.Entry {
	return those(s.History().SummedUp(), func(e log.Entry) bool {
		return e.Epoch > r.Epoch && (e.What == log.Turn || e.What == log.Shim || e.What == log.Came) && e.Standing == r.Standing
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
