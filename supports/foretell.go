package supports

// Foretell returns what a plan is expected to do over all scenarios of a belief,
// with the slips of the hand that its moves add, the zone about Belief.Crown · raise of every foot, m; of feet
// that Belief.Touch names, after they just take load.
func Foretell(b Belief, raise []float64, feet []Adjuster) (Careful, error) {
	o, err := newOutlook(b)
	if err != nil {
		return Careful{}, err
	}
	return o.careful(raise, feet)
}

// Assess returns the plan that raises make of a task: moves, contact and steps in
// a safe order, and the warnings that this plan calls for.
func Assess(in Task, raise []float64) (p Plan, warnings []string, err error) {
	t := newTask(in)
	still := make([]float64, len(raise))
	if t.start, err = t.Settle(still); err != nil {
		return Plan{}, nil, err
	}
	now, err := t.plan(still)
	if err != nil {
		return Plan{}, nil, err
	}
	if p, err = t.plan(raise); err != nil {
		return Plan{}, nil, err
	}
	p.Unrounded = p.Zone
	if p.Steps, err = t.steps(p, true); err != nil {
		return Plan{}, nil, err
	}
	t.commentPlan(now, p)
	return p, t.warnings, nil
}

// Least returns the load that each foot should keep, N.
func (c Careful) Least(goal Goal) float64 {
	var sum float64
	for _, f := range c.Feet {
		sum += f.Load
	}
	return goal.LeastLoad * sum / float64(len(c.Feet))
}

// Cost weighs what is foretold as Adjust weighs a plan: the expected zone, dearer
// by what feet lack of the least load with 95 % certainty and by what lies on the
// side that is not allowed, m.
func (c Careful) Cost(goal Goal) float64 {
	lacking := 0.0
	if least := c.Least(goal); least > 0 {
		for _, f := range c.Feet {
			lacking += goal.LeastLoad * max(0, 1-f.Low/least)
		}
	}
	wrong := 0.0
	for _, w := range c.Ways {
		wrong = max(wrong, wrongSide(w.X, lessCrown(w.X, w.Height, goal.Crown), goal.Allow))
	}
	return c.Zone + lackPrice*micro*lacking + wrongCosts*wrong
}
