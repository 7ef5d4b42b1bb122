package shop

import (
	"slices"

	"footwork/reports"
	"footwork/supports"
	"footwork/supports/plan"
	"footwork/survey/match"
)

// planned is what was planned for the working standing.
type planned struct {
	*task
	plan.Answer
	view *reports.Adjust
}

// Adjust answers with the plans for the working standing, for all beds that it may be, and where they may be of metal
// with what the other aim asks for. Without a survey there is only the way from nothing to a level bed.
func (s *Shop) Adjust(progress func(done, whole int)) (*reports.Adjust, error) {
	p, err := s.planned(progress)
	if err != nil || p.task == nil || len(p.Feet) == 0 || !s.metalInDoubt(p.view.Standing) {
		return p.view, err
	}
	v := *p.view
	v.Aims = p.aims(p.Answer)
	return &v, nil
}

func (s *Shop) planned(progress func(done, whole int)) (planned, error) {
	return s.plans.get("", func() (planned, error) {
		standing := s.Working("")
		st := s.standing(standing)
		if !s.surveyed(standing) {
			return planned{view: &reports.Adjust{Standing: standing, State: reports.Given, Recommended: -1, Levelling: s.levelling(st),
				Warnings: []reports.Warning{reports.NothingSurveyed{Standing: standing}}}}, nil
		}
		t, err := s.taskOf(standing)
		if err != nil {
			return planned{}, err
		}
		t.Progress = progress
		a, err := plan.Make(t.Task)
		if err != nil {
			return planned{}, err
		}
		v := t.view(a)
		if v.First = s.first(standing); a.Recommended == 0 && v.Before.Zone > t.Goal.Tolerance && s.metalTold(standing) {
			v.Warnings = append(v.Warnings, reports.RestIsMetal{})
		}
		v.Levelling = s.levelling(st)
		v.Warnings = slices.Concat(s.caveats(standing, reports.Found), s.unseenWays(a, t.read), t.read.notes, s.contradicted(standing), v.Warnings)
		return planned{t, a, v}, nil
	})
}

// unseenWays names the ways that a plan moves without anybody seeing it.
func (s *Shop) unseenWays(a plan.Answer, m *measured) (out []reports.Warning) {
	for k, w := range s.Bed.Ways {
		if a.Recommended > 0 && !slices.Contains(m.of, k) {
			out = append(out, reports.WayUnseen{Way: w.Name})
		}
	}
	return out
}

// metalInDoubt: a third or more of what is measured may be metal. Good practice does not
// force such a bed straight by its screws (common practice, no source).
func (s *Shop) metalInDoubt(standing string) bool {
	k, err := s.knownOf(standing)
	return err == nil && k.matched.Zone > 0 && k.matched.Shares[match.OfMetal].High >= k.matched.Zone/3
}

// metalTold: the surveys say that it is metal, or the feet are taken as the job gives them.
func (s *Shop) metalTold(standing string) bool {
	k, err := s.knownOf(standing)
	return err == nil && (k.unmatched != nil || k.matched.Cause == match.OfMetal)
}

// aims sets a plan beside what the other aim asks for: straight by the feet, and at rest.
// Where the other cannot be had there is none.
func (t *task) aims(a plan.Answer) []reports.AimPlan {
	of := func(aim supports.Aim, a plan.Answer) reports.AimPlan {
		p := a.Plans[a.Recommended]
		return reports.AimPlan{Aim: aim, Moves: t.movesView(p), Zone: p.Zone.Value, Low: p.Zone.Low, High: p.Zone.High, Departure: p.Departure.Value}
	}
	own, other := supports.Straight, supports.AtRest
	if t.Goal.Aim == other {
		own, other = other, own
	}
	k := t.Task
	k.Goal.Aim, k.Progress = other, nil
	b, err := plan.Make(k)
	if err != nil {
		return nil
	}
	return []reports.AimPlan{of(own, a), of(other, b)}
}

// view turns an answer of the planner into what is printed.
func (t *task) view(a plan.Answer) *reports.Adjust {
	before := a.Plans[0].Zone
	v := &reports.Adjust{Standing: t.Standing.Name, State: reports.Found, TableAt: t.read.readings[0].TableAt, OnePlane: t.Tied, Before: reports.Before{Zone: before.Value, Low: before.Low, High: before.High}, Recommended: a.Recommended}
	v.Plans = each(a.Plans, t.planView)
	for _, w := range a.Warnings {
		v.Warnings = append(v.Warnings, reports.PlanDoubt{What: w.Kind, Feet: t.names(w.Feet), Value: w.Value, Of: w.Of})
	}
	return v
}

func (t *task) planView(p plan.Plan) reports.Plan {
	v := reports.Plan{FeetMoved: len(p.Moves), Moves: t.movesView(p), Zone: p.Zone.Value, Low: p.Zone.Low, High: p.Zone.High, ZoneSigma: (p.Zone.High - p.Zone.Low) / 4}
	for i, c := range p.Ways {
		v.Ways = append(v.Ways, reports.PlanWay{Name: t.read.ways[i].Name, Curve: c})
	}
	for i, l := range p.Loads {
		v.Loads = append(v.Loads, reports.NamedLoad{Foot: t.Standing.Feet[i].Name, Load: l.Value, Low: l.Low, High: l.High})
	}
	v.Steps = each(p.Steps, func(st plan.Step) reports.Step { return t.stepView(st, p.Moves) })
	return v
}

func (t *task) movesView(p plan.Plan) (out []reports.Move) {
	for _, m := range p.Moves {
		out = append(out, reports.Move{Foot: t.Standing.Feet[m.Foot].Name, Raise: m.Raise, Touch: m.Touch, Leaves: m.Leaves, SD: m.SD,
			Text: reports.MoveText(t.Feet[m.Foot], m.Touch, m.Raise, m.Leaves)})
	}
	return out
}

func (t *task) stepView(st plan.Step, moves []plan.Move) reports.Step {
	var leaves []float64
	if i := slices.IndexFunc(moves, func(m plan.Move) bool { return m.Foot == st.Foot && m.Raise == st.Raise }); i >= 0 {
		leaves = moves[i].Leaves
	}
	v := reports.Step{Foot: t.Standing.Feet[st.Foot].Name, Raise: st.Raise, Touch: st.Touch, Leaves: leaves, Feel: t.names(st.Feel),
		Text: reports.MoveText(t.Feet[st.Foot], st.Touch, st.Raise, leaves)}
	for i, n := range st.Loads {
		v.Loads = append(v.Loads, reports.NamedLoad{Foot: t.Standing.Feet[i].Name, Load: n})
	}
	v.Readings = t.read.expect(st.Ways)
	if st.Watch != nil {
		v.Watch = t.watchView(*st.Watch)
	}
	return v
}

// watchView says what the instrument reads before and after a step, in its own unit: as
// it was last surveyed and the steps before have changed it.
func (t *task) watchView(w plan.Watch) *reports.Watch {
	s := t.setups[w.Instrument]
	if s.Name == "" {
		return &reports.Watch{Indicator: true, At: w.At, Change: w.Change, Within: 2 * w.Within}
	}
	one := s.One()
	v := &reports.Watch{Survey: setUpOf(s), At: w.At, Less: w.Less, Change: w.Change / one, Within: 2 * w.Within / one, Unit: s.Unit}
	v.Before = t.read.reads(s.Name, w.At) + w.Since/one
	if w.Less != nil {
		v.Before -= t.read.reads(s.Name, *w.Less)
	}
	v.Until = v.Before + v.Change
	return v
}

func (t *task) names(feet []int) (out []string) {
	return each(feet, func(i int) string { return t.Standing.Feet[i].Name })
}
