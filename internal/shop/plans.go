package shop

import (
	"math"
	"slices"

	"footwork/beam"
	"footwork/reports"
	"footwork/supports"
	"footwork/survey"
)

// touchSD is how well a person sees a foot begin to take load, m: the screw
// stops turning freely, or the instrument begins to move. Common practice, no
// source.
const touchSD = 4e-6

// surelyCarries is the probability from which nobody need look whether a foot carries.
const surelyCarries = 0.8

// wideGap is an interval of a foot's gap that a feeler would narrow, m.
const wideGap = 20e-6

// outline is one plan in the making: what each foot is raised by in all, which
// feet are first brought to just touch, and what is foretold of it.
type outline struct {
	raise []float64 // m, after touching
	touch []bool
	told  supports.Careful
	cost  float64 // m, beside the others
}

// adjustKnown plans for the bed as the surveys tell it, in doubt as it is: plans
// come from the likeliest state and from all of them, and each is foretold over
// all.
func (s *Shop) adjustKnown(m *measured, k known) (plan, error) {
	known := k.matched
	base := beam.Case{Draw: k.draws[0]}
	task, err := s.task(m, base)
	if err != nil {
		return plan{}, err
	}
	a, err := supports.Search(task)
	if err != nil {
		return plan{}, err
	}
	belief, err := s.belief(m, known)
	if err != nil {
		return plan{}, err
	}
	plans, err := s.outlines(m, a, task.Gap, belief, known)
	if err != nil {
		return plan{}, err
	}
	v := &reports.Adjust{Standing: m.standing.Name, State: reports.Found, Before: reports.Before{Zone: a.Plans[0].Zone}, Warnings: slices.Concat(m.notes, doubts(known), reports.Texts(a.Unsearched)), Recommended: recommended(plans)}
	for k, o := range plans {
		p, warnings, err := s.write(m, o, base, task.Gap)
		if err != nil {
			return plan{}, err
		}
		if k == v.Recommended {
			v.Warnings = append(v.Warnings, reports.Texts(warnings)...)
		}
		v.Plans = append(v.Plans, p)
	}
	v.Plans[0] = m.plan(a.Plans[0]) // what was measured, not what is foretold
	v.Warnings = append(v.Warnings, gapsToMeasure(m, known)...)
	v.Warnings = append(v.Warnings, s.cautions(plans[v.Recommended], v)...)
	best := plans[v.Recommended]
	return plan{v, best.raise, best.touch}, nil
}

// cautions tells what a reader must know of the recommended plan.
func (s *Shop) cautions(o outline, v *reports.Adjust) []reports.Warning {
	p := v.Plans[v.Recommended]
	notes := mayGoLight(o)
	switch {
	case v.Recommended == 0:
		notes = append(notes, reports.RestIsMetal{})
	case p.Zone > v.Before.Zone:
		notes = append(notes, reports.LessStraight{Before: v.Before.Zone, After: p.Zone})
	}
	if v.Recommended > 0 && o.told.Limited {
		first := o.told.Moves[o.told.First].Foot
		k := slices.IndexFunc(p.Moves, func(m reports.Move) bool { return m.Foot == first })
		notes = append(notes, reports.MoveFirst{Foot: first, Move: p.Moves[k].Text, Zone: o.told.Zone, Within: 2 * o.told.ZoneSigma})
	}
	return notes
}

// gapsToMeasure names the feet that hang or may hang and cannot be turned up until
// they touch: a feeler tells what no survey does.
func gapsToMeasure(m *measured, known survey.Matched) (notes []reports.Warning) {
	for i, f := range known.Feet {
		kind := m.standing.Adjusters[i].Kind
		if f.Carries < surelyCarries && (kind == supports.Shim || kind == supports.Fixed) && f.Gap.High-f.Gap.Low > wideGap {
			notes = append(notes, reports.GapUnsure{Foot: f.Name, Carries: f.Carries, Low: max(0, f.Gap.Low), High: f.Gap.High})
		}
	}
	return notes
}

// mayGoLight names the feet that may end with less than the least load.
func mayGoLight(o outline) []reports.Warning {
	light := reports.MayGoLight{Least: o.told.Keep}
	for _, f := range o.told.Feet {
		if f.Least < o.told.Keep {
			light.Feet, light.Loads = append(light.Feet, f.Name), append(light.Loads, max(0, f.Least))
		}
	}
	if light.Feet == nil {
		return nil
	}
	return []reports.Warning{light}
}

// belief puts the match before supports as plain values.
func (s *Shop) belief(m *measured, known survey.Matched) (supports.Belief, error) {
	v, err := s.solver(m.standing.Name)
	if err != nil {
		return supports.Belief{}, err
	}
	b := supports.Belief{Bed: s.Bed, Standing: m.standing.Standing, Solver: v, Tied: m.tied, TouchSD: touchSD}
	for i, w := range known.Ways {
		b.Ways = append(b.Ways, supports.BelievedWay{Name: w.Name, Offset: m.ways[i].Offset, X: w.X})
	}
	for _, sc := range known.Scenarios {
		b.Scenarios = append(b.Scenarios, supports.Likely{Heights: sc.Heights, BedFactor: sc.BedFactor, FootFactor: sc.FootFactor, Gradient: sc.Gradient, Form: sc.Form})
	}
	for _, a := range m.standing.Adjusters {
		b.MoveSD = append(b.MoveSD, moveSD(a))
	}
	return b, nil
}

// hanging tells which feet a person should first bring to just touch: those felt
// loose, and those that most likely hang, where they can be turned up little by little.
func (m *measured) hanging(known survey.Matched, felt []survey.Felt) []bool {
	out := make([]bool, len(m.standing.Feet))
	for i, f := range known.Feet {
		out[i] = f.Carries < surelyCarries
		for _, row := range felt {
			if row.Standing == m.standing.Name && row.Foot == f.Name && row.State != "" && f.Carries < 0.99 {
				out[i] = row.State == "loose"
			}
		}
		kind := m.standing.Adjusters[i].Kind
		out[i] = out[i] && (kind == supports.Screw || kind == supports.Free)
	}
	return out
}

// outlines gathers the plans of the likeliest state and the one of all states, and
// keeps, by number of feet, what is foretold to do best; the first moves nothing.
func (s *Shop) outlines(m *measured, a supports.Adjustment, gap []float64, b supports.Belief, known survey.Matched) (list []outline, err error) {
	hanging := m.hanging(known, s.Felt)
	var all []outline
	for _, p := range a.Plans {
		o := outline{raise: slices.Clone(p.Raise), touch: make([]bool, len(p.Raise))}
		for i, h := range hanging {
			if h && p.Raise[i] > 0 {
				o.touch[i], o.raise[i] = true, wholeDegrees(m.standing.Adjusters[i], p.Raise[i]-gap[i])
			}
		}
		b.Touch = o.touch
		if o.told, err = supports.Foretell(b, o.raise, m.standing.Adjusters, s.goal()); err != nil {
			return nil, err
		}
		all = append(all, o)
	}
	b.Touch = hanging
	told, err := supports.PlanCarefully(b, m.standing.Adjusters, s.goal())
	if err != nil {
		return nil, err
	}
	all = append(all, outline{raise: told.Raise, touch: told.Touch, told: told})
	slices.SortStableFunc(all, func(p, q outline) int { return p.feet() - q.feet() })
	return bettering(all), nil
}

// wholeDegrees rounds a raise to what a person can turn.
func wholeDegrees(a supports.Adjuster, raise float64) float64 {
	if a.Kind != supports.Screw {
		return raise
	}
	degree := a.Rise / 360
	return math.Round(raise/degree) * degree
}

// feet counts the feet that a plan touches or moves.
func (o outline) feet() (n int) {
	for i, r := range o.raise {
		if r != 0 || o.touch[i] {
			n++
		}
	}
	return n
}

// bettering keeps of plans by number of feet the best of each number, and those
// only that do better than every plan of fewer feet, each with its cost.
func bettering(plans []outline) (out []outline) {
	told := make([]supports.Careful, len(plans))
	for i, p := range plans {
		told[i] = p.told
	}
	for i, c := range supports.Costs(told) {
		p, n := plans[i], len(out)
		p.cost = c
		switch {
		case n == 0:
			out = append(out, p)
		case c >= out[n-1].cost:
		case out[n-1].feet() == p.feet() && p.feet() > 0:
			out[n-1] = p
		case p.feet() > 0:
			out = append(out, p)
		}
	}
	return out
}

// write turns an outline into a plan with its steps: first the feet that are
// brought to touch, then the moves in a safe order.
func (s *Shop) write(m *measured, o outline, base beam.Case, gap []float64) (reports.Plan, []string, error) {
	touched := base
	touched.Heights = slices.Clone(base.Heights)
	for i, t := range o.touch {
		if t {
			touched.Heights[i] += gap[i]
		}
	}
	task, err := s.task(m, touched)
	if err != nil {
		return reports.Plan{}, nil, err
	}
	p, warnings, err := supports.Assess(task, o.raise)
	if err != nil {
		return reports.Plan{}, nil, err
	}
	v := m.plan(p)
	v.FeetMoved, v.Zone, v.ZoneSigma = o.feet(), o.told.Zone, o.told.ZoneSigma
	for i := range v.Ways {
		v.Ways[i].Sigma = o.told.Ways[i].Sigma
	}
	for i, f := range o.told.Feet {
		v.Loads[i].Load, v.Loads[i].Low, v.Loads[i].High = f.Load, f.Low, f.High
	}
	s.touchFirst(m, &v, o, task, gap)
	return v, warnings, nil
}

// touchFirst puts the feet that are brought to touch before the other steps and
// into the moves.
func (s *Shop) touchFirst(m *measured, v *reports.Plan, o outline, task supports.Task, gap []float64) {
	still := make([][]float64, len(m.ways))
	for i := range still {
		still[i] = make([]float64, len(m.readings[i].X))
	}
	var first []reports.Step
	for i, t := range o.touch {
		if !t {
			continue
		}
		name := m.standing.Feet[i].Name
		text := "raise until it just takes load: it stops turning freely, or the instrument begins to move"
		if gap[i] == 0 { // most likely it carries
			text = "if it turns freely, raise it until it just takes load; if not, leave it"
		}
		step := reports.Step{Foot: name, Raise: gap[i], Touch: true, Text: text, Loads: m.loads(task.Influence.Loads)}
		for _, e := range m.expect(still) {
			step.Readings = append(step.Readings, reports.Reading{Survey: e.survey, X: e.x, Value: e.value, Unit: e.unit})
		}
		first = append(first, step)
		k := slices.IndexFunc(v.Moves, func(mv reports.Move) bool { return mv.Foot == name })
		if k < 0 {
			v.Moves = append(v.Moves, reports.Move{Foot: name, Raise: gap[i], Touch: true, Text: "raise until it just takes load"})
			continue
		}
		v.Moves[k].Text = "raise until it just takes load, then " + v.Moves[k].Text
		v.Moves[k].Raise += gap[i]
		v.Moves[k].Touch = true
	}
	v.Steps = append(first, v.Steps...)
}

// recommended is the plan of the fewest feet that is as good as the best as far
// as anything tells: within one standard deviation of what is foretold of it.
func recommended(plans []outline) int {
	best := plans[len(plans)-1]
	return slices.IndexFunc(plans, func(p outline) bool { return p.cost <= best.cost+best.told.ZoneSigma })
}
