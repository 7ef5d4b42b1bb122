package doc

import (
	"strings"

	"footwork/reports"
)

// turn is section 1: what each further foot buys, the steps, and the trial.
func (j job) turn() section {
	s := section{ID: "turn", Title: "Turn"}
	plan, ok := j.plan()
	if ok {
		s.Answer = ladderAnswer(*j.Adjust)
		s.add(j.ladderRanges())
		if n := len(plan.Steps); n > 0 {
			s.add(say("{} in this order: {}. Each with what the instrument must read is on the sheet below.",
				plural(n, "step", "steps"), strings.Join(each(plan.Steps, func(s reports.Step) string { return s.Foot }), ", ")), Caution{cautions[2]})
		}
	}
	if t := j.trial(plan); t != nil {
		if s.Answer == nil {
			s.Answer = say("A survey of each way says what to turn; until then the feet can be tried here.")
		}
		s.add(t)
	}
	if j.Adjust != nil {
		l := levelling(j.Adjust.Levelling)
		title := l.Title
		if l.Title = ""; len(l.Items) > 0 {
			s.add(Fold{Title: title, Blocks: []Block{l, Caution{cautions[0]}}})
		}
	}
	s.add(Fold{Title: "What the instruments should read after each step", Blocks: readingTables(plan)})
	return s
}

// ladderAnswer says how many feet to turn, and what one more or fewer would reach.
func ladderAnswer(v reports.Adjust) Text {
	if len(v.Plans) < 2 {
		return say("No move of any foot makes the ways straighter than {height}.", v.Before.Zone)
	}
	k := v.Recommended
	out := say("Turn no foot: {height} as found", v.Before.Zone)
	if k > 0 {
		out = say("Turn {}: {height} as found, {height} {± height} then", plural(v.Plans[k].FeetMoved, "foot", "feet"), v.Before.Zone, v.Plans[k].Zone, 2*v.Plans[k].ZoneSigma)
	}
	var beside []Text
	for i := max(1, k-1); i <= min(k+1, len(v.Plans)-1); i++ {
		if p := v.Plans[i]; i != k {
			beside = append(beside, say("{} {height}", plural(p.FeetMoved, "foot reaches", "feet reach"), p.Zone))
		}
	}
	return say("{}{}.", out, also(beside != nil, "; {}", joined(beside)))
}

// ladderRanges draws feet moved against straightness.
func (j job) ladderRanges() *Ranges {
	d := &Ranges{Title: say("Out of straight by how many feet are turned{} (95\u00a0%)", parked(j.Adjust.TableAt))}
	if j.Goal != nil {
		d.Limit = j.Goal.Tolerance
	}
	for i, p := range j.Adjust.Plans {
		name := plural(p.FeetMoved, "foot", "feet")
		for k, m := range p.Moves {
			name += pick(k == 0, ": ", ", ") + m.Foot
		}
		d.Rows = append(d.Rows, Range{Name: Text{name}, Value: p.Zone, Low: p.Low, High: p.High,
			Note: say("{bare height} {± height}", p.Zone, 2*p.ZoneSigma), More: also(len(p.Loads) > 0, ", lightest {}", lightest(p.Loads)), Chosen: i == j.Adjust.Recommended})
	}
	return d
}

// trial is the feet to be tried, with the plan to load.
func (j job) trial(plan reports.Plan) *Trial {
	if j.Try == nil {
		return nil
	}
	t := &Trial{Try: j.Try, Bed: j.alongBed(nil, j.Standing), Plan: []PlanMove{}, State: reports.Given, Force: forceOf(j.Try.B[0])}
	if j.state(reports.Found) != nil {
		t.State = reports.Found
	}
	t.Plan = append(t.Plan, each(plan.Steps, func(step reports.Step) PlanMove {
		return PlanMove{Foot: step.Foot, Touch: step.Touch, Raise: step.Raise}
	})...)
	if len(plan.Moves) == 0 {
		return t
	}
	for k, table := range j.places() {
		t.Figures[k] = j.figure(reports.Planned, table, "The plan, for all beds that this may be")
		t.Now[k] = j.figure(reports.Found, table, "No foot turned")
	}
	if j.Adjust.TableAt != nil { // its figures are of another load
		return t
	}
	t.Figures[0].Words = say("The plan, for all beds that this may be: {height} {± height} out of straight; lightest foot {}.", plan.Zone, 2*plan.ZoneSigma, lightest(plan.Loads))
	t.Now[0].Words = say("No foot turned: {height} out of straight.", j.Adjust.Before.Zone)
	return t
}

// figure is what the program says of a state with the table on the bed or off it.
func (j job) figure(state reports.State, table, what string) (f Figure) {
	v := j.at(state, table)
	if v == nil {
		return f
	}
	f.Words = say("{}. {}", what, j.standAnswer(*v))
	for _, foot := range v.Feet {
		f.Loads, f.Gaps = append(f.Loads, foot.Load), append(f.Gaps, foot.Gap)
	}
	return f
}

// sheet is section 2: one page to take to the bed.
func (j job) sheet() section {
	s := section{ID: "sheet", Title: "Sheet for the bed"}
	plan, ok := j.plan()
	if !ok || len(plan.Steps) == 0 {
		return section{}
	}
	s.Answer = say("{} from {height} to {height} {± height}: print this page, or read it at the bed and save what you read.",
		plural(len(plan.Steps), "step", "steps"), j.Adjust.Before.Zone, plan.Zone, 2*plan.ZoneSigma)
	d := &Sheet{Title: say("{}, {}", j.Title, j.Standing), Plan: j.bedPlan(), Cautions: cautions}
	d.Plan.Small = true
	for _, m := range plan.Moves {
		if st := j.standing(j.Standing); st != nil {
			for _, f := range st.Feet {
				if f.Name == m.Foot {
					d.Plan.Feet = append(d.Plan.Feet, PlanFoot{Name: f.Name, At: f.At, Offset: f.Offset, Up: up(m), Label: shortMove(asStepped(plan, m))})
				}
			}
		}
	}
	d.Steps = each(plan.Steps, j.visit)
	d.After = each(plan.Steps[len(plan.Steps)-1].Readings, func(r reports.Reading) Readings {
		return Readings{Title: say("After the last step “{}” reads, in {}, at {unit along}", r.Survey, r.Unit), X: r.X, Value: r.Value, Unit: r.Unit}
	})
	s.add(d)
	return s
}
