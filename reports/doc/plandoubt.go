package doc

import (
	"fmt"
	"strings"

	"footwork/reports"
	"footwork/supports/plan"
)

// planDoubt words what the planner found.
func planDoubt(d reports.PlanDoubt) Text {
	feet, of := list(d.Feet), forceOf(4*max(d.Value, d.Of))
	force := func(v float64) Quantity { return q(of, v) }
	switch d.What {
	case plan.NotAllTried:
		return say(fmt.Sprintf("with %.0f feet that can be moved not every choice of feet was tried, only those up to %.0f: another may do better", d.Value, d.Of))
	case plan.OutOfWork:
		return say("the search ended before all was tried: another plan may do better")
	case plan.NoLeaves:
		return say("which shims there are is not said, so ", feet, " cannot be moved: add shims to [adjust]")
	case plan.LoadNotHeld:
		return say("in ", q(Percent, d.Value), " of what may be, one of ", feet, " carries less in the end than the ", q(forceOf(4*d.Of), d.Of), " asked for: feel them when the plan is done, and raise what is loose a little")
	case plan.MayGoLight:
		return say(feet, " ends light, with ", force(d.Value), " where ", force(d.Of), " was asked for: feel it when the plan is done, and raise it a little if it is loose")
	case plan.Overloaded:
		return say(feet, " may carry ", force(d.Value), ", more than the ", force(d.Of), " it is rated for")
	case plan.WrongSide:
		return say("the middle of a way lies ", q(Height, d.Value), " on the side that is not allowed")
	case plan.OutOfTolerance:
		return say("no plan comes within the tolerance of ", q(Height, d.Of), ": ", q(Height, d.Value), " are left")
	case plan.LessStraight:
		return say("the ways will be less straight than now by ", q(Height, d.Value), ": that is the price of what else was asked, load on every foot (least_load) or no middle on the wrong side (allow)")
	case plan.NoSafeOrder:
		return say("no order of moves keeps the load of ", feet, " on the way, which falls short by ", force(d.Value), ": turn the feet beside it by half first")
	case plan.MoreVisits:
		return say("move ", feet, fmt.Sprintf(" in %.0f visits, for in fewer a foot would go light", d.Value))
	case plan.GapUnknown:
		return say("foot ", feet, " hangs (", q(Percent, d.Of), " sure), by up to ", q(Height, d.Value), ": a feeler tells more of it than a survey; write the gap down and plan again")
	case plan.CheckHand:
		return say("try first which way of turning raises the bed at ", strings.Join(d.Feet, ", "), ": it hangs on the thread's hand and on how the screw is built in")
	}
	panic(fmt.Sprintf("doc: no words for the planner's %d", d.What))
}
