package main

import (
	"math"
	"slices"

	"footwork/beam"
	"footwork/internal/job"
	"footwork/reports"
)

// pageTry fills in what the page needs to answer moves of the feet by itself:
// the contact of the working standing in the open. Bearings are left to the
// program: their rows of points would make the page heavy.
func (s *shop) pageTry(_ *terminal, p *reports.Page, st job.Standing) error {
	if len(st.Feet) == 0 || len(st.Bearings) > 0 {
		return nil
	}
	v, err := s.solver(st.Name)
	if err != nil {
		return err
	}
	base := s.stands(st)
	now, err := v.Solve(base)
	if err != nil {
		return err
	}
	goal := s.goal()
	p.Try = tryOf(v.Linear(beam.Case{}), st.Name, base)
	p.Try.LeastLoad = s.leastLoad(now.Feet())
	if !math.IsInf(goal.MostMove, 0) {
		p.Try.MostMove = goal.MostMove
	}
	for i, f := range st.Feet {
		a := st.Adjusters[i]
		p.Try.Feet = append(p.Try.Feet, reports.TryFoot{Name: f.Name, At: f.At, Offset: f.Offset,
			Kind: string(a.Kind), Rise: a.Rise, Wrench: a.Wrench, Shims: goal.Shims})
	}
	p.Try.Ways, err = s.tryWays(v, st, base)
	return err
}

// stands is how a standing stands: as its surveys tell it, or as the job gives
// it, with everything filled in.
func (s *shop) stands(st job.Standing) beam.Case {
	if slices.Contains(s.Surveyed(), st.Name) {
		if c, err := s.found(st.Name); err == nil {
			return c
		}
	}
	c := beam.Case{BedFactor: 1, FootFactor: 1, Gradient: &st.Gradient}
	for _, f := range st.Feet {
		c.Heights = append(c.Heights, f.Height)
	}
	return c
}

// tryOf puts the contact of a standing into the page's form.
func tryOf(l beam.Linear, name string, base beam.Case) *reports.Try {
	t := &reports.Try{Standing: name, Eq: make([][]float64, 3), B: l.Resultant[:]}
	for i, pt := range l.Points {
		row := make([]float64, len(l.Points))
		for j, g := range l.Compliance[i] {
			row[j] = g / base.BedFactor
		}
		row[i] += pt.Give / base.FootFactor
		t.H = append(t.H, row)
		t.C = append(t.C, l.Loaded[i]/base.BedFactor+*base.Gradient*l.Bowed[i]-base.Heights[pt.Foot])
		t.Foot, t.Held = append(t.Foot, pt.Foot), append(t.Held, pt.Held)
		for d, e := range []float64{1, pt.X, pt.Y} {
			t.Eq[d] = append(t.Eq[d], e)
		}
	}
	return t
}

// tryWays gives each way at its measured stations, or at even ones.
func (s *shop) tryWays(v *beam.Solver, st job.Standing, base beam.Case) (ways []reports.TryWay, err error) {
	var m *measured
	if slices.Contains(s.Surveyed(), st.Name) {
		if m, err = s.measured(st.Name); err != nil {
			return nil, err
		}
	}
	for _, w := range s.Bed.Ways {
		one := reports.TryWay{Name: w.Name, Offset: w.Offset, X: beam.Even(0, s.Bed.Length, 81)}
		if m != nil {
			for i, mw := range m.ways {
				if mw.Name == w.Name {
					one.X, one.Measured = m.framed[i].X, m.framed[i].Height
				}
			}
		}
		at := v.LinearAt(v.Probe(one.X, w.Offset), beam.Case{})
		for i := range one.X {
			one.Base = append(one.Base, at.Loaded[i]/base.BedFactor+*base.Gradient*at.Bowed[i])
			unit := make([]float64, len(at.Support[i]))
			for j, g := range at.Support[i] {
				unit[j] = g / base.BedFactor
			}
			one.G = append(one.G, unit)
		}
		ways = append(ways, one)
	}
	return ways, nil
}
