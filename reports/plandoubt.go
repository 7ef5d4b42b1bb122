package reports

import (
	"fmt"
	"math"
	"strings"

	"footwork/internal/unit"
	"footwork/supports"
	"footwork/supports/plan"
)

// said words what the planner found.
func (d PlanDoubt) said(units unit.System) string {
	feet, h := strings.Join(d.Feet, ", "), units.Height()
	force := func(v float64) string { return units.Force(max(d.Value, d.Of)).Text(v) }
	switch d.What {
	case plan.NotAllTried:
		return fmt.Sprintf("with %.0f feet that can be moved not every choice of feet was tried, only those up to %.0f: another may do better", d.Value, d.Of)
	case plan.OutOfWork:
		return "the search ended before all was tried: another plan may do better"
	case plan.NotAllRounded:
		return "not every way of rounding the moves was tried: another may do a little better"
	case plan.NoLeaves:
		return "which shims there are is not said, so " + feet + " cannot be moved: add shims to [adjust]"
	case plan.LoadNotHeld:
		return fmt.Sprintf("in %.0f %% of what may be, one of %s carries less in the end than the %s asked for: feel them when the plan is done, and raise what is loose a little", 100*d.Value, feet, units.Force(d.Of).Text(d.Of))
	case plan.MayGoLight:
		return fmt.Sprintf("%s ends light, with %s where %s was asked for: feel it when the plan is done, and raise it a little if it is loose", feet, force(d.Value), force(d.Of))
	case plan.Overloaded:
		return fmt.Sprintf("%s may carry %s, more than the %s it is rated for", feet, force(d.Value), force(d.Of))
	case plan.WrongSide:
		return fmt.Sprintf("the middle of a way lies %s on the side that is not allowed", h.Text(d.Value))
	case plan.OutOfTolerance:
		return fmt.Sprintf("no plan comes within the tolerance of %s: %s are left for the scraper", h.Text(d.Of), h.Text(d.Value))
	case plan.LessStraight:
		return fmt.Sprintf("the ways will be less straight than now by %s: that is the price of what else was asked, load on every foot (least_load) or no middle on the wrong side (allow)", h.Text(d.Value))
	case plan.NoSafeOrder:
		return fmt.Sprintf("no order of moves keeps the load of %s on the way, which falls short by %s: turn the feet beside it by half first", feet, force(d.Value))
	case plan.MoreVisits:
		return fmt.Sprintf("%s is moved in %.0f visits, for in fewer a foot would go light", feet, d.Value)
	case plan.GapUnknown:
		return fmt.Sprintf("foot %s hangs (%.0f %% sure), by up to %s: a feeler tells more of it than a survey; write the gap down and plan again", feet, 100*d.Of, h.Text(d.Value))
	case plan.CheckHand:
		return "try first which way of turning raises the bed at " + feet + ": it hangs on the thread's hand and on how the screw is built in"
	}
	panic(fmt.Sprintf("reports: no words for the planner's %d", d.What))
}

// Indicator is the name of the instrument that can stand beside a foot.
const Indicator = "indicator"

// MoveText writes a move as the log has it: "up 9°", "in 0.05 + 0.02 mm", "up 20.0 µm",
// and "to touch, then up 9°".
func MoveText(a supports.Adjuster, touch bool, raise float64, leaves []float64) string {
	text := amountText(a, raise, leaves)
	switch {
	case !touch:
		return text
	case raise == 0:
		return "to touch"
	}
	return "to touch, then " + text
}

func amountText(a supports.Adjuster, raise float64, leaves []float64) string {
	way, in := "up", "in"
	if raise < 0 {
		way, in = "down", "out"
	}
	switch {
	case a.Kind == supports.Screw && a.Rise > 0:
		return fmt.Sprintf("%s %.0f°", way, math.Abs(raise)/a.Rise*360)
	case a.Kind == supports.Shim && len(leaves) > 0:
		var list []string
		for _, l := range leaves {
			list = append(list, fmt.Sprintf("%.2f", l/unit.MM))
		}
		return in + " " + strings.Join(list, " + ") + " mm"
	}
	return way + " " + unit.Metric.Height().Text(math.Abs(raise))
}
