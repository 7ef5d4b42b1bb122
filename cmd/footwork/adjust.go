package main

import (
	"context"
	"math"

	"github.com/spf13/cobra"

	"footwork/beam"
	"footwork/reports"
	"footwork/supports"
)

func adjustCommand(t *terminal) *cobra.Command {
	return t.forms(&cobra.Command{
		Use:   "adjust JOB",
		Short: "which foot, which way, how far, in what order, and what to read after each step",
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			s, err := t.open(args[0])
			if err != nil {
				return err
			}
			v, err := s.adjust(c.Context())
			if err != nil {
				return err
			}
			return t.show(v, v.Warnings, s.units)
		},
	})
}

// goal returns the job's goal, or what it is without one.
func (s *shop) goal() supports.Goal {
	if s.Goal != nil {
		return *s.Goal
	}
	return supports.Goal{Allow: supports.Either, LeastLoad: 0.1, MostMove: math.Inf(1)}
}

// adjust finds the plans for the working standing.
func (s *shop) adjust(context.Context) (*reports.Adjust, error) {
	m, err := s.measured(s.working(""))
	if err != nil {
		return nil, err
	}
	task, err := s.task(m)
	if err != nil {
		return nil, err
	}
	a, err := supports.Adjust(task)
	if err != nil {
		return nil, err
	}
	return adjustView(m, a), nil
}

// amount prints a height or a handle's swing.
func (s *shop) amount(v float64) string {
	if math.Abs(v) < 1e-3 {
		return s.units.Height().Text(v)
	}
	return s.units.Length().Text(v)
}

// task puts what was measured and what the feet can do before supports.Adjust.
func (s *shop) task(m *measured) (supports.Task, error) {
	v, err := s.solver(m.standing.Name)
	if err != nil {
		return supports.Task{}, err
	}
	now, err := v.Solve(beam.Case{})
	if err != nil {
		return supports.Task{}, err
	}
	touching, gap := supports.Touching(m.standing.Standing, now.Feet())
	held, err := beam.NewSolver(s.Bed, touching, beam.Options{})
	if err != nil {
		return supports.Task{}, err
	}
	down, err := held.Solve(beam.Case{})
	if err != nil {
		return supports.Task{}, err
	}
	in, err := supports.InfluenceOf(held, down, m.influences())
	if err != nil {
		return supports.Task{}, err
	}
	return supports.Task{Ways: m.framed, Tied: m.tied, Influence: in, Gap: gap, Goal: s.goal(),
		Adjusters: m.standing.Adjusters, Settle: settle(v, m, now), Amount: s.amount}, nil
}

// settle tells how the bed stands after moves, with the contact that results.
func settle(v *beam.Solver, m *measured, now *beam.State) supports.Settle {
	var probes []*beam.Probe
	var before [][]float64
	for i, w := range m.ways {
		probes = append(probes, v.Probe(m.readings[i].X, w.Offset))
		before = append(before, now.Read(probes[i]))
	}
	heights := make([]float64, len(m.standing.Feet))
	for i, f := range m.standing.Feet {
		heights[i] = f.Height
	}
	return func(raise []float64) (supports.Settled, error) {
		st, err := v.Solve(beam.Case{Heights: plus(heights, raise), Contact: now.Contact()})
		if err != nil {
			return supports.Settled{}, err
		}
		var out supports.Settled
		for i, p := range probes {
			out.Ways = append(out.Ways, minus(st.Read(p), before[i]))
		}
		for _, f := range st.Feet() {
			out.Loads, out.Lifted, out.Gap = append(out.Loads, f.Load), append(out.Lifted, f.Lifted), append(out.Gap, f.Gap)
		}
		return out, nil
	}
}

// adjustView turns an adjustment into what is printed, with the readings to expect.
func adjustView(m *measured, a supports.Adjustment) *reports.Adjust {
	v := &reports.Adjust{Standing: m.standing.Name, Before: reports.Before{Zone: a.Plans[0].Zone}, Recommended: a.Recommended, Warnings: a.Warnings}
	for _, p := range a.Plans {
		plan := reports.Plan{FeetMoved: p.FeetMoved, Zone: p.Zone, ZoneSigma: p.ZoneSigma, Loads: m.loads(p.Loads)}
		for _, mv := range p.Moves {
			plan.Moves = append(plan.Moves, reports.Move{Foot: mv.Foot, Raise: mv.Raise, Text: mv.Text})
		}
		for _, w := range p.Ways {
			plan.Ways = append(plan.Ways, reports.PlanWay(w))
		}
		for _, st := range p.Steps {
			plan.Steps = append(plan.Steps, m.step(st))
		}
		v.Plans = append(v.Plans, plan)
	}
	return v
}

func (m *measured) step(st supports.Step) reports.Step {
	change := make([][]float64, len(m.ways))
	for w := range m.ways {
		change[w] = minus(st.Ways[w], m.framed[w].Height)
	}
	out := reports.Step{Foot: st.Foot, Raise: st.Raise, Text: st.Text, Loads: m.loads(st.Loads)}
	for _, e := range m.expect(change) {
		out.Readings = append(out.Readings, reports.Reading{Survey: e.survey, X: e.x, Value: e.value, Unit: e.unit})
	}
	return out
}

func (m *measured) loads(n []float64) (out []reports.NamedLoad) {
	for i, f := range m.standing.Feet {
		out = append(out, reports.NamedLoad{Foot: f.Name, Load: n[i]})
	}
	return out
}
