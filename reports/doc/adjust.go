package doc

import (
	"cmp"
	"slices"
	"strings"

	"footwork/reports"
	"footwork/supports"
)

// cautions go with every plan; common practice, no source.
var cautions = []string{
	"Nobody works under a bed that stands on screws or jacks alone; lifting and blocking it, for a shim too, is for people trained for it, with rated gear.",
	"Isolate the power before anything is turned.",
	"Turn a little at a time, in the order given and never beyond the plan, and read again after each step; a foot that goes light may let the bed tip.",
	"These are estimates: a competent person checks foot, floor and lifting loads under the local rules.",
}

// listedReadings and listedSteps are how many stations and steps are listed of
// what instruments should read; the JSON has all.
const listedReadings, listedSteps = 12, 6

func (j job) adjust(v reports.Adjust) section {
	s := section{Title: "Turn", Answer: j.adjustAnswer(v)}
	level := levelling(v.Levelling)
	plan, ok := recommended(v)
	if !ok {
		s.add(level)
		if v.Levelling != nil {
			s.add(Caution{strings.Join(cautions, " ")})
		}
		return s
	}
	s.add(j.planCurves(v), firstWords(v.First), aimsTable(v), ladderTable(v), j.stepTable(plan), level, planLoads(v))
	s.add(readingTables(plan)...)
	if len(plan.Moves) > 0 {
		s.add(Caution{strings.Join(cautions, " ")})
	}
	return s
}

// recommended returns the plan to carry out, if there is one.
func recommended(v reports.Adjust) (reports.Plan, bool) {
	if v.Recommended < 0 || v.Recommended >= len(v.Plans) {
		return reports.Plan{}, false
	}
	return v.Plans[v.Recommended], true
}

// adjustAnswer says what to turn, or why nothing.
func (j job) adjustAnswer(v reports.Adjust) Text {
	plan, ok := recommended(v)
	if len(v.Plans) == 0 {
		return say("On “{}” nothing was surveyed yet: survey each way, then this says which foot to turn.", v.Standing)
	}
	if !ok {
		return say("No plan was found for “{}”, which is {height} out of straight.", v.Standing, v.Before.Zone)
	}
	if len(plan.Moves) == 0 {
		return j.leaveWords(v, plan)
	}
	moves := each(plan.Moves, func(m reports.Move) Text { return moveWords(asStepped(plan, m)) })
	return say("On “{}” turn {} to go from {height} to {height} {± height} out of straight{}: {}.",
		v.Standing, plural(len(plan.Moves), "foot", "feet"), v.Before.Zone, plan.Zone, 2*plan.ZoneSigma, planeWords(v), joined(moves))
}

// planeWords says what is straight: each way by itself, or both together; and where the
// table stands meanwhile, if it is on the bed.
func planeWords(v reports.Adjust) Text {
	var out []Text
	if v.OnePlane {
		out = append(out, say("both ways about one plane"))
	}
	if v.TableAt != nil {
		out = append(out, say("table at {spot}", *v.TableAt))
	}
	return also(out != nil, " ({})", joined(out))
}

// leaveWords says why nothing is to be turned.
func (j job) leaveWords(v reports.Adjust, plan reports.Plan) Text {
	if j.Goal != nil && j.Goal.Tolerance > 0 && v.Before.Zone <= j.Goal.Tolerance {
		return say("On “{}” {height} out of straight is within your {height}: leave the feet alone.", v.Standing, v.Before.Zone, j.Goal.Tolerance)
	}
	isMetal := func(w reports.Warning) bool { return w == reports.RestIsMetal{} }
	rest := pick(slices.ContainsFunc(v.Warnings, isMetal), "; what is left is metal", "")
	rest = pick(v.First != nil, "; what of the rest is metal they cannot say yet", rest)
	return say("On “{}” leave the feet alone: no move makes the ways straighter than {height} {± height} by more than the surveys can tell{}.",
		v.Standing, plan.Zone, 2*plan.ZoneSigma, rest)
}

// planCurves draws the ways as they are and as the plan leaves them.
func (j job) planCurves(v reports.Adjust) *Curves {
	plan, _ := recommended(v)
	c := j.alongBed(say("The ways {}{}, about the line through the ends", pick(len(plan.Moves) == 0, "as found", "after turning"), parked(v.TableAt)), v.Standing)
	for i, w := range plan.Ways {
		c.shape(w.Name, wayStyles[i%len(wayStyles)], w.X, reports.WayShape{Height: w.Height, Low: w.Low, High: w.High})
	}
	return c
}

func ladderTable(v reports.Adjust) *Table {
	t := newTable(say("What each further foot buys{}", parked(v.TableAt)), "feet moved", "out of straight, {unit height}", "± (95\u00a0%)", "which", "lightest", "")
	for i, p := range v.Plans {
		feet := each(p.Moves, func(m reports.Move) string { return m.Foot })
		mark := pick(i == v.Recommended, "recommended", "")
		t.add(count(p.FeetMoved), bare(Height, p.Zone), spread(Height, 2*p.ZoneSigma), strings.Join(feet, ", "), lightest(p.Loads), mark)
	}
	return t
}

// aimWords say what an aim does to a bed.
var aimWords = map[supports.Aim]string{supports.Straight: "bent straight by its feet", supports.AtRest: "at rest, the rest for the scraper"}

// aimsTable sets what the feet can hide beside what the bed is at rest.
func aimsTable(v reports.Adjust) *Table {
	if len(v.Aims) == 0 {
		return nil
	}
	t := newTable("A third of this or more may be metal: what the feet can hide, and what the bed is at rest", "aim", "out of straight, {unit height}", "from, to (95 %)",
		"loads off level feet's", "turn")
	plan, _ := recommended(v)
	for k, a := range v.Aims {
		var moves []Text
		for _, m := range a.Moves {
			if k == 0 {
				m = asStepped(plan, m)
			}
			moves = append(moves, moveWords(m))
		}
		turn := pick(len(moves) == 0, say("nothing"), joined(moves))
		t.add(aimWords[a.Aim], bare(Height, a.Zone), say("{bare height}, {bare height}", a.Low, a.High), q(percent, a.Departure), turn)
	}
	return t
}

func (j job) stepTable(p reports.Plan) *Table {
	t := newTable("The plan, step by step", "step", "turn", "until")
	for i, step := range p.Steps {
		s := j.visit(step)
		t.add(count(i+1), say("{} {}{}", s.Foot, s.Do, also(len(s.Hand) > 0, " ({})", s.Hand)), say("{}{}; {}", s.Stands, also(len(s.Until) > 0, ": {}", s.Until), s.Feel))
	}
	return t
}

// lightest returns the foot that carries least, with its load.
func lightest(loads []reports.NamedLoad) Text {
	if len(loads) == 0 {
		return nil
	}
	least := slices.MinFunc(loads, func(a, b reports.NamedLoad) int { return cmp.Compare(a.Load, b.Load) })
	return say("{} {}", least.Foot, q(forceOf(sumNamed(loads)), least.Load))
}

func sumNamed(loads []reports.NamedLoad) float64 {
	return total(loads, func(l reports.NamedLoad) float64 { return l.Load })
}

// planLoads sets what the feet carry now beside what they carry after the plan.
func planLoads(v reports.Adjust) *Table {
	plan, _ := recommended(v)
	sum := sumNamed(plan.Loads)
	force := forceOf(sum)
	t := newTable(say("What each foot carries, as found and after turning{}, {}", parked(v.TableAt), UnitOf(force)), "foot", "now", "after", "95\u00a0%", "of the mean")
	known := false
	for i, l := range plan.Loads {
		between, share := any(""), any("")
		if l.Low < l.High {
			known, between = true, say("{} to {}", bare(force, l.Low), bare(force, l.High))
		}
		if sum > 0 {
			share = q(percent, l.Load*float64(len(plan.Loads))/sum)
		}
		t.add(l.Foot, bare(force, v.Plans[0].Loads[i].Load), bare(force, l.Load), between, share)
	}
	if !known {
		t.drop(3)
	}
	return t
}

// readingTables lists, for each survey, what the instrument should read after
// the steps: a few stations and steps over the whole.
func readingTables(p reports.Plan) (out []Block) {
	if len(p.Steps) == 0 {
		return nil
	}
	steps := spaced(len(p.Steps), listedSteps)
	for k, r := range p.Steps[0].Readings {
		t := newTable(say("“{}” should read after each step, in {}", r.Survey, r.Unit), "at, {unit along}")
		t.Head = append(t.Head, each(steps, func(i int) Text { return say("step\u00a0{%d}", i+1) })...)
		for _, station := range spaced(len(r.X), listedReadings) {
			cells := each(steps, func(i int) any { return bareReading(p.Steps[i].Readings[k].Value[station], r.Unit) })
			t.add(append([]any{bare(Along, r.X[station])}, cells...)...)
		}
		out = append(out, t)
	}
	return out
}
