package shop

import (
	"math"

	"gonum.org/v1/gonum/floats"

	"footwork/beam"
	"footwork/internal/job"
	"footwork/reports"
)

// try is what the page needs to answer moves of the feet by itself: the contact of a
// standing in the open; nil of one that lies on bearings, whose rows of points would make
// the page heavy.
func (s *Shop) try(st job.Standing) (*reports.Try, error) {
	if len(st.Feet) == 0 || len(st.Bearings) > 0 {
		return nil, nil
	}
	v, err := s.solver(st.Name)
	if err != nil {
		return nil, err
	}
	draws, _, err := s.Draws(st.Name, "")
	if err != nil {
		return nil, err
	}
	base := beam.Case{Draw: draws[0]}
	goal := s.goal()
	t := tryOf(v.Linear(beam.Case{}), st.Name, base)
	now, err := v.Solve(base)
	if err != nil {
		return nil, err
	}
	t.LeastLoad = reports.Light(s.Goal, floats.Sum(loadsOf(now.Feet())), len(st.Feet))
	if !math.IsInf(goal.MostMove, 0) {
		t.MostMove = goal.MostMove
	}
	for i, f := range st.Feet {
		a := st.Adjusters[i]
		t.Feet = append(t.Feet, reports.TryFoot{Name: f.Name, At: f.At, Offset: f.Offset,
			Kind: string(a.Kind), Rise: a.Rise, Wrench: a.Wrench, Shims: goal.Shims})
	}
	t.Ways, err = s.tryWays(v, st, base)
	t.Under = s.tryUnder(v, t.Ways, base)
	return t, err
}

// tryUnder is the same with the table in the middle of its stroke; nil where there is none,
// or it tips.
func (s *Shop) tryUnder(v *beam.Solver, ways []reports.TryWay, base beam.Case) *reports.TryLoad {
	if s.Table == nil || len(ways) == 0 {
		return nil
	}
	middle := s.midStroke()
	under, err := s.parked(&middle)
	if err != nil {
		return nil
	}
	linear := v.Linear(under)
	t := &reports.TryLoad{B: linear.Resultant[:]}
	_, t.C = linear.Of(base.Draw)
	for _, w := range ways {
		_, loaded := v.LinearAt(v.Probe(w.X, w.Offset), under).Of(base.Draw)
		t.Base = append(t.Base, loaded)
	}
	return t
}

// midStroke is where the left end of the table is in the middle of its stroke, m.
func (s *Shop) midStroke() float64 {
	reach := s.Table.Reach(s.Bed)
	return (reach.From + reach.To) / 2
}

// tryOf puts the contact of a standing into the page's form.
func tryOf(l beam.Linear, name string, base beam.Case) *reports.Try {
	t := &reports.Try{Standing: name, Eq: make([][]float64, 3), B: l.Resultant[:]}
	t.H, t.C = l.Of(base.Draw)
	for _, pt := range l.Points {
		t.Foot, t.Held = append(t.Foot, pt.Foot), append(t.Held, pt.Held)
		for d, e := range []float64{1, pt.X, pt.Y} {
			t.Eq[d] = append(t.Eq[d], e)
		}
	}
	return t
}

// tryWays gives each way at its measured stations, or at even ones and the feet, over which
// it is highest.
func (s *Shop) tryWays(v *beam.Solver, st job.Standing, base beam.Case) (ways []reports.TryWay, err error) {
	var m *measured
	if s.surveyed(st.Name) {
		if m, err = s.measured(st.Name); err != nil {
			return nil, err
		}
	}
	for k, w := range s.Bed.Ways {
		one := reports.TryWay{Name: w.Name, Offset: w.Offset, X: s.stations(tried, st.Name)}
		if p := m.framedOf(k); p.X != nil {
			one.X, one.Measured = p.X, p.Height
		}
		one.G, one.Base = v.LinearAt(v.Probe(one.X, w.Offset), beam.Case{}).Of(base.Draw)
		ways = append(ways, one)
	}
	return ways, nil
}
