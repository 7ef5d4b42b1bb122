package supports

// Foretell returns what a plan is expected to do over all scenarios of a belief,
// with the slips of the hand that its moves add · raise of every foot, m; of feet
// that Belief.Touch names, after they just take load.
func Foretell(b Belief, raise []float64, feet []Adjuster) (Careful, error) {
	o, err := newOutlook(b)
	if err != nil {
		return Careful{}, err
	}
	return o.careful(raise, feet)
}

// Assess returns the plan that raises make of a task: moves, contact and steps in
// a safe order. Warnings say what speaks against it.
func Assess(in Task, raise []float64) (p Plan, warnings []string, err error) {
	t := newTask(in)
	if t.start, err = t.Settle(make([]float64, len(raise))); err != nil {
		return Plan{}, nil, err
	}
	if p, err = t.plan(raise); err != nil {
		return Plan{}, nil, err
	}
	p.Steps, err = t.steps(p, true)
	return p, t.warnings, err
}
