package reports

import (
	"fmt"
	"strings"

	"footwork/internal/unit"
	"footwork/survey/agree"
)

// contradiction words surveys that do not agree, and the one change that would
// reconcile them.
func contradiction(f agree.Finding, sys unit.System) string {
	show := sys.Height()
	if f.Across {
		show = sys.Angle()
	}
	last := len(f.Surveys) - 1
	text := fmt.Sprintf("%s and %s do not agree: at %s they are %s apart, where their own noise is %s",
		quotedList(f.Surveys[:last]), quote(f.Surveys[last]), sys.Length().Text(f.At), show.Text(f.Off), show.Text(f.Noise))
	switch len(f.Remedy) {
	case 0:
		return text + "; no single slip of the pen explains it: survey again, and write down what was done between"
	case 1:
		return text + ". They agree if " + remedy(f.Remedy[0], sys)
	}
	var ways []string
	for _, r := range f.Remedy {
		ways = append(ways, remedy(r, sys))
	}
	return text + ". They agree if either " + strings.Join(ways, ", or ") + ": what the surveys say cannot tell which"
}

// remedy words a change that reconciles surveys.
func remedy(r agree.Remedy, sys unit.System) string {
	name := quote(r.Survey)
	switch r.Slip {
	case agree.TurnedSign:
		return "the signs of " + name + " are turned (a shim under the far foot must make the reading rise)"
	case agree.Doubled:
		return "the readings of " + name + " are the beam's angle, twice the tilt (write doubled = true)"
	case agree.Halved:
		return "the readings of " + name + " are the tilt itself (leave doubled out)"
	case agree.FarEnd:
		return "the rows of " + name + " begin at the far end, with signs as seen from there (turn the rows round, and the signs)"
	case agree.FarRows:
		return "the rows of " + name + " begin at the far end (turn the rows round)"
	case agree.Early:
		return "each row of " + name + " was read one station further along (is its first row missing, or start too small by a step?)"
	case agree.Late:
		return "each row of " + name + " was read one station nearer (is a row too many at its beginning, or start too large by a step?)"
	case agree.Exchanged:
		return "the files of " + name + " and " + quote(r.With) + " are exchanged"
	case agree.Warmed:
		return "the bed bowed by " + sys.Height().Text(r.Bow) + " between them, as a change of heat does (measure top and bottom with each survey, and write it down)"
	}
	panic("reports: no words for " + string(r.Slip))
}

func quote(name string) string { return `"` + name + `"` }

func quotedList(names []string) string {
	quoted := make([]string, len(names))
	for i, n := range names {
		quoted[i] = quote(n)
	}
	return strings.Join(quoted, ", ")
}
