package doc

import (
	"math"

	"footwork/reports"
	"footwork/supports"
)

// upOrDown returns the way of a move in a word.
func upOrDown(raise float64) string { return pick(raise < 0, "down", "up") }

// amount returns "up 20.0 µm" or "down 4.0 µm".
func amount(raise float64) Text { return say(upOrDown(raise), "\u00a0", q(Height, math.Abs(raise))) }

// moveWords returns "F2 up 20.0 µm", or "B3 to touch and 37.5 µm more" for a
// foot that is first brought to touch.
func moveWords(m reports.Move) Text { return say(m.Foot, " ", farWords(m.Touch, m.Raise)) }

// farWords returns how far a foot is moved: "to touch less 0.6 thou" of one that is let
// down again from there.
func farWords(touch bool, raise float64) Text {
	switch {
	case !touch:
		return amount(raise)
	case raise > 0:
		return say("to touch and ", q(Height, raise), " more")
	case raise < 0:
		return say("to touch less ", q(Height, -raise))
	}
	return say("to touch")
}

// howFar returns the size of a move as its adjuster shows it: "9°, spanner end
// about 39 mm", leaves, or nothing where the height is all that is known.
func (j Job) howFar(s reports.Step) Text {
	a, size := j.Adjusters[s.Foot], math.Abs(s.Raise)
	if a.Kind == supports.Screw && a.Rise > 0 {
		return screwWords(size/a.Rise*2*math.Pi, a.Wrench)
	}
	out := say(pick(s.Raise < 0, "out ", "in "))
	if len(s.Leaves) == 0 {
		return nil
	}
	return append(out, parted(each(s.Leaves, func(l float64) Text { return say(q(Leaf, l)) }), " + ", " + "))
}

// screwWords returns an angle as turns and degrees, with the path of the
// spanner's end while it is less than a turn.
func screwWords(angle, spanner float64) Text {
	turns := math.Floor(angle/(2*math.Pi) + 1e-9)
	out := say(q(Degrees, max(0, angle-turns*2*math.Pi)))
	if turns > 0 {
		return say(plural(int(turns), "turn", "turns"), " and ", out)
	}
	out = append(out, also(spanner > 0, ", spanner end about ", q(Spot, angle*spanner)))
	return out
}

// foil is the thickness of the foil that tells whether a foot takes load, m
// (common practice, no source).
const foil = 30e-6

// doWords says what the hand does at a step.
func (j Job) doWords(s reports.Step) Text {
	far := j.howFar(s)
	if !s.Touch {
		return far
	}
	touching := say("until it nips a foil of ", q(Leaf, foil), ", or the reading just stirs")
	if s.Raise != 0 && far != nil {
		touching = append(touching, ", then ", far)
	}
	return touching
}
