package supports

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
