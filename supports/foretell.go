package supports

import "slices"

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

// Costs weighs foretold plans against each other: the expected zone, dearer by the
// load that feet are expected to lack, and much dearer where one may lack it with 5 %
// probability though another of these plans keeps it, m.
func Costs(plans []Careful) []float64 {
	promised := slices.ContainsFunc(plans, func(c Careful) bool { return c.worth().keeps() })
	out := make([]float64, len(plans))
	for i, c := range plans {
		out[i] = c.worth().cost(promised)
	}
	return out
}

func (c Careful) worth() worth { return worth{c.Zone, c.Wrong, c.Short, c.Lacking} }
