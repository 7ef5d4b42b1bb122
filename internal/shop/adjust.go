package shop

import (
	"math"
	"slices"

	"footwork/beam"
	"footwork/reports"
	"footwork/supports"
)

// goal returns the job's goal, or what it is without one.
func (s *Shop) goal() supports.Goal {
	if s.Goal != nil {
		return *s.Goal
	}
	return supports.Goal{Allow: supports.Either, LeastLoad: 0.1, MostMove: math.Inf(1)}
}

// plan is the answer with the plans, and what the recommended one does to each foot.
type plan struct {
	answer *reports.Adjust
	raise  []float64 // m, after touching
	touch  []bool    // first raised until it just takes load
}

// Adjust answers with the plans for the working standing: from the bed as the surveys
// tell it, or, when they cannot be matched, as the job gives it. Without a survey
// there is only the way from nothing to a level bed.
func (s *Shop) Adjust() (*reports.Adjust, error) {
	p, err := s.plan()
	return p.answer, err
}

func (s *Shop) plan() (plan, error) {
	return s.plans.get("", func() (plan, error) {
		standing := s.Working("")
		st, err := s.standing(standing)
		if err != nil {
			return plan{}, err
		}
		if !s.surveyed(standing) {
			return plan{answer: &reports.Adjust{Standing: standing, State: reports.Given, Recommended: -1, Levelling: s.levelling(st),
				Warnings: []reports.Warning{reports.NothingSurveyed{Standing: standing}}}}, nil
		}
		p, err := s.planFor(standing)
		if err == nil {
			p.answer.Levelling = s.levelling(st)
		}
		return p, err
	})
}

func (s *Shop) planFor(standing string) (plan, error) {
	m, err := s.measured(standing)
	if err != nil {
		return plan{}, err
	}
	k, err := s.knownOf(standing)
	if err != nil {
		return plan{}, err
	}
	if k.unmatched == nil {
		return s.adjustKnown(m, k)
	}
	p, err := s.adjustAsGiven(m)
	if err == nil {
		p.answer.Warnings = append(p.answer.Warnings, reports.NotMatched{Because: k.unmatched.Error()})
	}
	return p, err
}

// adjustAsGiven plans with the feet and stiffness of the job.
func (s *Shop) adjustAsGiven(m *measured) (plan, error) {
	task, err := s.task(m, beam.Case{})
	if err != nil {
		return plan{}, err
	}
	a, err := supports.Adjust(task)
	if err != nil {
		return plan{}, err
	}
	v := &reports.Adjust{Standing: m.standing.Name, State: reports.Found, Before: reports.Before{Zone: a.Plans[0].Zone}, Recommended: a.Recommended, Warnings: append(m.notes, reports.Texts(a.Warnings)...)}
	for _, p := range a.Plans {
		v.Plans = append(v.Plans, m.plan(p))
	}
	return plan{answer: v, raise: a.Plans[a.Recommended].Raise}, nil
}

// amount prints a height or a handle's swing.
func (s *Shop) amount(v float64) string {
	if math.Abs(v) < 1e-3 {
		return s.Units.Height().Text(v)
	}
	return s.Units.Length().Text(v)
}

// task puts what was measured and what the feet can do before supports.Adjust ·
// base is how the bed stands now.
func (s *Shop) task(m *measured, base beam.Case) (supports.Task, error) {
	v, err := s.solver(m.standing.Name)
	if err != nil {
		return supports.Task{}, err
	}
	now, err := v.Solve(base)
	if err != nil {
		return supports.Task{}, err
	}
	standing := m.standing.Standing
	if base.Heights != nil {
		standing.Feet = slices.Clone(standing.Feet)
		for i := range standing.Feet {
			standing.Feet[i].Height = base.Heights[i]
		}
	}
	touching, gap := supports.Touching(standing, now.Feet())
	held, err := beam.NewSolver(s.Bed, touching, beam.Options{})
	if err != nil {
		return supports.Task{}, err
	}
	level := base.Draw
	level.Heights = nil
	down, err := held.Solve(beam.Case{Draw: level})
	if err != nil {
		return supports.Task{}, err
	}
	in, err := supports.InfluenceOf(held, down, m.influences())
	if err != nil {
		return supports.Task{}, err
	}
	base.Heights, base.Contact = nil, now.Contact()
	return supports.Task{Ways: m.framed, Tied: m.tied, Influence: in, Gap: gap, Goal: s.goal(),
		Adjusters: m.standing.Adjusters, Settle: settle(v, m, now, standing, base), Amount: s.amount}, nil
}

// settle tells how the bed stands after moves, with the contact that results.
func settle(v *beam.Solver, m *measured, now *beam.State, standing beam.Standing, base beam.Case) supports.Settle {
	var probes []*beam.Probe
	var before [][]float64
	for i, w := range m.ways {
		probes = append(probes, v.Probe(m.readings[i].X, w.Offset))
		before = append(before, now.Read(probes[i]))
	}
	heights := make([]float64, len(standing.Feet))
	for i, f := range standing.Feet {
		heights[i] = f.Height
	}
	return func(raise []float64) (supports.Settled, error) {
		c := base
		c.Heights = plus(heights, raise)
		st, err := v.Solve(c)
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

// plan turns a plan into what is printed, with the readings to expect.
func (m *measured) plan(p supports.Plan) reports.Plan {
	v := reports.Plan{FeetMoved: p.FeetMoved, Zone: p.Zone, ZoneSigma: p.ZoneSigma, Loads: m.loads(p.Loads)}
	for _, mv := range p.Moves {
		v.Moves = append(v.Moves, reports.Move{Foot: mv.Foot, Raise: mv.Raise, Text: mv.Text})
	}
	for _, w := range p.Ways {
		v.Ways = append(v.Ways, reports.PlanWay(w))
	}
	for _, st := range p.Steps {
		v.Steps = append(v.Steps, m.step(st))
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
