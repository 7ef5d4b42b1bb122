package doc

import (
	"fmt"

	"footwork/survey/agree"
)

// contradiction words surveys that do not agree, and the one change that would
// reconcile them.
func contradiction(f agree.Finding) Text {
	kind := pick(f.Across, Slope, Height)
	names := each(f.Surveys, func(s string) Text { return say(quoted(s)) })
	ways := each(f.Remedy, remedy)
	out := say(joined(names), " do not agree: at ", q(Along, f.At), " they are ", q(kind, f.Off), " apart, where their own noise is ", q(kind, f.Noise))
	switch len(ways) {
	case 0:
		return append(out, "; no single slip of the pen explains it: survey again, and write down what was done between")
	case 1:
		return append(out, ". They agree if ", ways[0])
	}
	return append(out, ". They agree if either ", parted(ways, ", or ", ", or "), ": what the surveys say cannot tell which")
}

// remedy words a change that reconciles surveys.
func remedy(r agree.Remedy) Text {
	name := quoted(r.Survey)
	if r.With != "" && r.Slip != agree.Exchanged {
		name += " and of " + quoted(r.With)
	}
	switch r.Slip {
	case agree.TurnedSign:
		return say("the signs of ", name, " are turned (a shim under the far foot must make the reading rise)")
	case agree.Doubled:
		return say("the readings of ", name, " are the beam's angle, twice the tilt (write doubled = true)")
	case agree.Halved:
		return say("the readings of ", name, " are the tilt itself (leave doubled out)")
	case agree.Division:
		return say("one division of ", name, fmt.Sprintf(" is worth %g times what is written", r.Times))
	case agree.OtherUnit:
		return say("the readings of ", name, fmt.Sprintf(" are in a unit that is %.3g times what is written (look at its reading)", r.Times))
	case agree.FarEnd:
		return say("the rows of ", name, " begin at the far end, with signs as seen from there (turn the rows round, and the signs)")
	case agree.FarRows:
		return say("the rows of ", name, " begin at the far end (turn the rows round)")
	case agree.Early:
		return say("each row of ", name, " was read one station further along (is its first row missing, or start too small by a step?)")
	case agree.Late:
		return say("each row of ", name, " was read one station nearer (is a row too many at its beginning, or start too large by a step?)")
	case agree.Exchanged:
		return say("the files of ", name, " and ", quoted(r.With), " are exchanged")
	case agree.Warmed:
		return say("the bed bowed by ", q(Height, r.Bow), " between them, as a change of heat does (measure top and bottom with each survey, and write it down)")
	}
	panic("doc: no words for " + string(r.Slip))
}
