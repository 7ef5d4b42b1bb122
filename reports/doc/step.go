package doc

import (
	"fmt"
	"math"

	"footwork/internal/shop/turn"
	"footwork/internal/unit"
	"footwork/reports"
	"footwork/supports"
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
func (j job) visit(step reports.Step) SheetStep {
	out := SheetStep{Foot: step.Foot, Up: up(reports.Move{Touch: step.Touch, Raise: step.Raise}), Do: farWords(step.Touch, step.Raise), Hand: j.doWords(step),
		Log: SheetLog{Foot: step.Foot, Turned: step.Text}}
	feel := say("then lightest {}", lightest(step.Loads))
	if len(step.Feel) > 0 {
		feel = say("feel {}: must stay solid", list(step.Feel))
	}
	out.Feel = say("{}{}", feel, also(math.Abs(step.Raise) > turn.AtOnce, "; no more than {height} at once, then let it settle", turn.AtOnce))
	w := step.Watch
	switch {
	case w == nil:
		out.Stands = say("by the hand: no instrument of the job sees it well enough")
	case w.Indicator:
		out.Stands = say("indicator beside {}", step.Foot)
		out.Until = say("stop at {} {± height}", amount(w.Change), w.Within)
		out.Log.Act, out.Log.Where, out.Log.Until, out.Log.Within = "indicator", [2]string{step.Foot, step.Foot}, &w.Change, w.Within
	default:
		watchReading(&out, w)
	}
	return out
}

// watchReading says where the reflector or level stands and what it must read.
func watchReading(out *SheetStep, w *reports.Watch) {
	less := pick(w.Change < 0, "less", "more")
	within := reading(w.Within, w.Unit)
	within.Bare, within.Fine = true, true
	out.Until = say("stop at {} ± {} ({} {})", reading(w.Until, w.Unit), within, bareReading(math.Abs(w.Change), w.Unit), less)
	where := func(x float64) [2]string {
		return [2]string{fmt.Sprintf("%s at %g mm", w.Survey, math.Round(x*1e4)/10), fmt.Sprintf("%s at %g in", w.Survey, math.Round(x/unit.Inch*1e3)/1e3)}
	}
	out.Log.Act, out.Log.Where, out.Log.Unit, out.Log.Before, out.Log.Until, out.Log.Within = "read", where(w.At), w.Unit, w.Before, &w.Until, w.Within
	var second Text
	if w.Less != nil {
		at := where(*w.Less)
		out.Log.Less, second = &at, say(", less that at {along}", *w.Less)
	}
	out.Stands = say("{} at {along}{} reads {}", w.Survey, w.At, second, reading(w.Before, w.Unit))
}

// upOrDown returns the way of a move in a word.
func upOrDown(raise float64) string { return pick(raise < 0, "down", "up") }

// amount returns "up 20.0 µm" or "down 4.0 µm".
func amount(raise float64) Text { return say("{}\u00a0{height}", upOrDown(raise), math.Abs(raise)) }

// moveWords returns "F2 up 20.0 µm", or "B3 to touch and 37.5 µm more" for a
// foot that is first brought to touch.
func moveWords(m reports.Move) Text { return say("{} {}", m.Foot, farWords(m.Touch, m.Raise)) }

// farWords returns how far a foot is moved: "to touch less 0.6 thou" of one that is let
// down again from there.
func farWords(touch bool, raise float64) Text {
	switch {
	case !touch:
		return amount(raise)
	case raise > 0:
		return say("to touch and {height} more", raise)
	case raise < 0:
		return say("to touch less {height}", -raise)
	}
	return say("to touch")
}

// howFar returns the size of a move as its adjuster shows it: "9°, spanner end
// about 39 mm", leaves, or nothing where the height is all that is known.
func (j job) howFar(s reports.Step) Text {
	a, size := j.Adjusters[s.Foot], math.Abs(s.Raise)
	if a.Kind == supports.Screw && a.Rise > 0 {
		return screwWords(size/a.Rise*2*math.Pi, a.Wrench)
	}
	leaves := each(s.Leaves, func(l float64) Text { return say("{leaf}", l) })
	return also(leaves != nil, "{} {}", pick(s.Raise < 0, "out", "in"), parted(leaves, " + ", " + "))
}

// screwWords returns an angle as turns and degrees, with the path of the
// spanner's end while it is less than a turn.
func screwWords(angle, spanner float64) Text {
	turns := math.Floor(angle/(2*math.Pi) + 1e-9)
	rest := max(0, angle-turns*2*math.Pi)
	if turns > 0 {
		return say("{} and {degrees}", plural(int(turns), "turn", "turns"), rest)
	}
	return say("{degrees}{}", rest, also(spanner > 0, ", spanner end about {spot}", angle*spanner))
}

// foil is the thickness of the foil that tells whether a foot takes load, m
// (common practice, no source).
const foil = 30e-6

// doWords says what the hand does at a step.
func (j job) doWords(s reports.Step) Text {
	far := j.howFar(s)
	if !s.Touch {
		return far
	}
	return say("until it nips a foil of {leaf}, or the reading just stirs{}", foil, also(s.Raise != 0 && far != nil, ", then {}", far))
}
