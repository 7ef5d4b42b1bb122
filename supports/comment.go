package supports

import (
	"fmt"
	"math"
	"strings"

	"footwork/beam"
)

// comment adds the warnings that a plan as a whole calls for.
func (t *task) comment(a Adjustment) {
	now, plan, best := a.Plans[0], a.Plans[a.Recommended], a.Plans[len(a.Plans)-1]
	if a.Recommended == 0 {
		t.warn("no move of the feet makes it better by more than the measurement can tell: the rest is metal (%s now, %s at best, known to ± %s)",
			t.Amount(now.Zone), t.Amount(best.Zone), t.Amount(2*best.ZoneSigma))
	}
	if n := len(t.limits.movable); a.Recommended > 0 && best.FeetMoved < n {
		t.warn("to move more than %d of the %d feet that can be moved gains nothing that could be measured", best.FeetMoved, n)
	}
	t.commentPlan(now, plan)
}

// commentPlan adds the warnings that one plan calls for by itself.
func (t *task) commentPlan(now, plan Plan) {
	t.commentTolerance(plan)
	if plan.Wrong > telling {
		t.warn("the moves cannot keep a way on the allowed side (%s): its middle lies %s on the other", t.Goal.Allow, t.Amount(plan.Wrong))
	}
	t.commentLoads(now, plan)
	t.commentContact(plan)
	t.commentBands(plan)
}

// commentTolerance names the ways that the plan leaves out of tolerance.
func (t *task) commentTolerance(plan Plan) {
	for _, w := range plan.Ways {
		zone := beam.Zone(w.X, lessCrown(w.X, w.Height, t.Goal.Crown))
		if tol := t.Goal.Tolerance; tol > 0 && zone > tol {
			t.warn("the plan leaves the %s way %s out of straight, the tolerance is %s: the rest is metal, or feet elsewhere", w.Name, t.Amount(zone), t.Amount(tol))
		}
	}
}

// commentLoads names the feet that carry too little.
func (t *task) commentLoads(now, plan Plan) {
	for f, load := range plan.Loads {
		name := t.Influence.Feet[f]
		switch {
		case !t.limits.counts[f]:
		case plan.Lifted[f] && !now.Lifted[f]:
			t.warn("foot %s would lift%s: raise it by that much, or leave the plan out", name, t.clearance(plan.Raise, f))
		case plan.Lifted[f] && t.limits.gap[f] > 0:
			t.warn("foot %s is clear of the bed by %s and stays so: raise it until it just touches", name, t.Amount(t.limits.gap[f]))
		case plan.Lifted[f]:
			t.warn("foot %s carries nothing%s: raise it until it just touches, read again and work out the plan anew", name, t.clearance(plan.Raise, f))
		case load < t.limits.least*(1-1e-6):
			t.warn("foot %s would carry %.0f N, less than the least load of %.0f N; %.0f N now", name, load, t.limits.least, now.Loads[f])
		}
	}
}

// clearance returns how far a foot would be clear of the bed, in words.
func (t *task) clearance(raise []float64, f int) string {
	s, err := t.Settle(raise)
	if err != nil || s.Gap == nil || math.IsInf(s.Gap[f], 0) {
		return ""
	}
	return " " + t.Amount(s.Gap[f])
}

// commentContact says when the plan does other than the straight reckoning promised.
func (t *task) commentContact(plan Plan) {
	if off := plan.Zone - plan.Unrounded; plan.FeetMoved > 0 && off > max(0.5*plan.Unrounded, 1e-6) {
		t.warn("with whole notches and the contact that results the plan reaches %s; the same feet moved exactly would reach %s",
			t.Amount(plan.Zone), t.Amount(plan.Unrounded))
	}
}

func (t *task) commentBands(plan Plan) {
	if t.PlanSigma == 0 && t.draws == nil {
		t.warn("the surveys' uncertainty is not known: the plan is the best without regard to it")
	}
	var screws []string
	for _, m := range plan.Moves {
		for f, name := range t.Influence.Feet {
			if name == m.Foot && t.Adjusters[f].Kind == Screw {
				screws = append(screws, name)
			}
		}
	}
	if len(screws) > 0 {
		t.warn("check which way of turning lifts the bed at %s before the first step: it hangs on the thread's hand and on how the screw is built in", strings.Join(screws, ", "))
	}
}

// warn keeps a warning.
func (t *task) warn(format string, args ...any) {
	t.warnings = append(t.warnings, fmt.Sprintf(format, args...))
}

// leave keeps what the search had to leave out.
func (t *task) leave(format string, args ...any) {
	t.unsearched = append(t.unsearched, fmt.Sprintf(format, args...))
}
