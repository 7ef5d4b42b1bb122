package reports

import (
	"fmt"
	"strings"

	"footwork/internal/unit"
	"footwork/supports/plan"
	"footwork/survey"
	"footwork/survey/agree"
)

// Warning is a doubt about an answer: a fact with the numbers that would cure it.
// Said puts it into words; in JSON it is an object of its kind and its numbers.
type Warning any

// FootLifts is a foot that most likely carries nothing.
type FootLifts struct {
	Foot string
	Gap  float64 // m
}

// FootPulls is a foot that stays only because it is held.
type FootPulls struct {
	Foot string
	Load float64 // N, upwards on the bed negative
}

// FootLight is a foot that carries less than it should.
type FootLight struct {
	Foot        string
	Load, Least float64 // N
}

// NotMatched is why an answer takes the feet as the job gives them.
type NotMatched struct{ Because string }

// SurveyDoubt is what makes a survey doubtful.
type SurveyDoubt struct {
	Of    survey.Survey `json:"-"`
	Doubt survey.Warning
}

// SurveysContradict is surveys that do not agree.
type SurveysContradict struct{ agree.Finding }

// NothingSurveyed is why there is no plan for a standing.
type NothingSurveyed struct{ Standing string }

// MovesLeftOut is why moves of unknown day are left out.
type MovesLeftOut struct{ Survey, Because string }

// MovedSince is the feet that were moved since a way was last surveyed.
type MovedSince struct {
	Feet      []string
	Unmatched bool // what that did cannot be told
}

// RestIsMetal is that no move of the feet makes it better by more than is known of them.
type RestIsMetal struct{}

// PlanDoubt is what a reader must know of a plan, by the planner's own kinds.
type PlanDoubt struct {
	What      plan.Kind
	Feet      []string
	Value, Of float64
}

// MoveContradicted is a move that the surveys fit better as another.
type MoveContradicted struct {
	Foot        string
	Raise, Fits float64 // m
}

// FeltContradicted is what a hand felt and the surveys contradict.
type FeltContradicted struct {
	Foot, State string
	Gap, Load   *float64 // m, N
}

// PairsLeftOut is a number of pairs that is fewer than two or than those kept.
type PairsLeftOut struct{ Pairs int }

// GoesLight is a placement of so many feet of which one goes light on the way.
type GoesLight struct {
	Feet        int
	At          float64 // m
	Least, Most float64 // N
}

// Said puts a warning into words.
func Said(w Warning, units unit.System) string {
	h := units.Height()
	force := func(v float64) string { return units.Force(v).Text(v) }
	switch v := w.(type) {
	case FootLifts:
		return fmt.Sprintf("foot %s carries nothing and stands %s clear: raise it %s, or hold it down", v.Foot, h.Text(v.Gap), h.Text(v.Gap))
	case FootPulls:
		return fmt.Sprintf("foot %s is pulled up with %s and stays only because it is held", v.Foot, force(-v.Load))
	case FootLight:
		return fmt.Sprintf("foot %s carries only %s, less than the %s asked for: raise it a little", v.Foot, force(v.Load), force(v.Least))
	case PairsLeftOut:
		return fmt.Sprintf("%d pairs are left out: a bed needs two, and no fewer than are kept", v.Pairs)
	case GoesLight:
		return fmt.Sprintf("of %d feet, that at %s goes light on the way: it carries %s to %s", v.Feet, units.Length().Text(v.At), force(v.Least), force(v.Most))
	case NotMatched:
		return "the feet are taken as the job gives them, because " + v.Because
	case SurveyDoubt:
		return surveyDoubt(v.Of, v.Doubt, units)
	case SurveysContradict:
		return contradiction(v.Finding, units)
	case NothingSurveyed:
		return fmt.Sprintf("nothing was surveyed in the standing %q: level the bed, then add a [[survey]] of each way", v.Standing)
	case MovesLeftOut:
		return fmt.Sprintf("survey %q: %s; moves are left out", v.Survey, v.Because)
	case MovedSince:
		if v.Unmatched {
			return strings.Join(v.Feet, " and ") + " moved since a way was last surveyed, and what that did cannot be told: survey again"
		}
		return strings.Join(v.Feet, " and ") + " moved since a way was last surveyed: what that did is reckoned, not measured; survey again before more is turned"
	case RestIsMetal:
		return "no move of the feet makes it better by more than is known of them: the rest is metal"
	case NoMasterFits:
		if v.Vee {
			return fmt.Sprintf("the %s way is a vee, and no prism is given for it: add a [[master]] with flanks", v.Way)
		}
		return fmt.Sprintf("no flat master is given for the %s way: add a [[master]] without flanks", v.Way)
	case PrintDoubted:
		at := fmt.Sprintf("line %d of the log: the %s on the %s way", v.Line, v.Master, v.Way)
		between := fmt.Sprintf("between %s and %s", units.Length().Text(v.From), units.Length().Text(v.To))
		if v.Air > 0 {
			return fmt.Sprintf("%s prints %s where %s of air are expected: stone it, wipe it, print again; if it prints again the survey is old, or there is a burr", at, between, h.Text(v.Air))
		}
		return fmt.Sprintf("%s does not print %s where it should: stone it, wipe it, print again; if it stays clear the survey is old", at, between)
	case PlanDoubt:
		return v.said(units)
	case MoveContradicted:
		return fmt.Sprintf("the surveys contradict the [[move]] of %s by %s: they fit %s better; look at its sign, size and date", v.Foot, h.Text(v.Raise), h.Text(v.Fits))
	case FeltContradicted:
		felt := v.State
		switch {
		case v.Gap != nil:
			felt = h.Text(*v.Gap) + " clear"
		case v.Load != nil:
			felt = "loaded with " + force(*v.Load)
		}
		return fmt.Sprintf("the surveys contradict the [[felt]] row of %s, %s: feel it again and mend the row; as long as it stands, all else is bent to fit it", v.Foot, felt)
	case Named:
		return v.Of + ": " + Said(v.Warning, units)
	}
	return fmt.Sprint(w)
}

// Named is a warning about one of several standings or surveys.
type Named struct {
	Of      string
	Warning Warning
}

// About puts a name to warnings.
func About(name string, list []Warning) (out []Warning) {
	for _, w := range list {
		out = append(out, Named{name, w})
	}
	return out
}

// AllSaid puts warnings into words.
func AllSaid(list []Warning, units unit.System) (out []string) {
	for _, w := range list {
		out = append(out, Said(w, units))
	}
	return out
}

// Texts takes sentences made elsewhere as warnings.
func Texts(sentences []string) (out []Warning) {
	for _, s := range sentences {
		out = append(out, s)
	}
	return out
}
