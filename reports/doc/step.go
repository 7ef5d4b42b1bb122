package doc

import (
	"fmt"
	"math"

	"footwork/internal/shop/turn"
	"footwork/internal/unit"
	"footwork/reports"
)

// asStepped returns a move as the steps of its plan make it: a foot that is brought
// to touch meets the bed where the steps before have left it.
func asStepped(p reports.Plan, m reports.Move) reports.Move {
	if !m.Touch {
		return m
	}
	sum, visits := 0.0, 0
	for _, s := range p.Steps {
		if s.Foot == m.Foot {
			sum, visits = sum+s.Raise, visits+1
		}
	}
	if visits > 0 {
		m.Raise = sum
	}
	return m
}

// visit puts a step into words: what the hand does, where the instrument stands and
// what it must read.
func (j Job) visit(step reports.Step) SheetStep {
	out := SheetStep{Foot: step.Foot, Up: up(reports.Move{Touch: step.Touch, Raise: step.Raise}), Do: farWords(step.Touch, step.Raise), Hand: j.doWords(step),
		Log: SheetLog{Foot: step.Foot, Turned: step.Text}}
	if len(step.Feel) > 0 {
		out.Feel = say("feel ", list(step.Feel), ": must stay solid")
	} else {
		out.Feel = say("then lightest ", lightest(step.Loads))
	}
	if math.Abs(step.Raise) > turn.AtOnce {
		out.Feel = append(out.Feel, "; no more than ", q(Height, turn.AtOnce), " at once, then let it settle")
	}
	w := step.Watch
	switch {
	case w == nil:
		out.Stands = say("by the hand: no instrument of the job sees it well enough")
	case w.Indicator:
		out.Stands = say("indicator beside ", step.Foot)
		out.Until = say("stop at ", amount(w.Change), " ", give(Height, w.Within))
		out.Log.Act, out.Log.Where, out.Log.Until, out.Log.Within = "indicator", [2]string{step.Foot, step.Foot}, &w.Change, w.Within
	default:
		watchReading(&out, w)
	}
	return out
}

// watchReading says where the reflector or level stands and what it must read.
func watchReading(out *SheetStep, w *reports.Watch) {
	out.Stands = say(w.Survey, " at ", q(Along, w.At))
	if w.Less != nil {
		out.Stands = append(out.Stands, ", less that at ", q(Along, *w.Less))
	}
	out.Stands = append(out.Stands, " reads ", reading(w.Before, w.Unit))
	less := pick(w.Change < 0, "less", "more")
	within := reading(w.Within, w.Unit)
	within.Bare, within.Fine = true, true
	out.Until = say("stop at ", reading(w.Until, w.Unit), " ± ", within, " (", Quantity{Kind: Reading, Value: math.Abs(w.Change), Reading: w.Unit, Bare: true}, " ", less, ")")
	where := func(x float64) [2]string {
		return [2]string{fmt.Sprintf("%s at %g mm", w.Survey, math.Round(x*1e4)/10), fmt.Sprintf("%s at %g in", w.Survey, math.Round(x/unit.Inch*1e3)/1e3)}
	}
	out.Log.Act, out.Log.Where, out.Log.Unit, out.Log.Until, out.Log.Within = "read", where(w.At), w.Unit, &w.Until, w.Within
	if w.Less != nil {
		less := where(*w.Less)
		out.Log.Less = &less
	}
}
