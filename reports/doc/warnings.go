package doc

import (
	"cmp"
	"errors"
	"fmt"
	"reflect"
	"strings"

	"footwork/beam"
	"footwork/beam/ride"
	"footwork/reports"
	"footwork/supports/place"
	"footwork/supports/plan"
	"footwork/survey/agree"
	"footwork/survey/match"
)

// warningWords are the doubts about an answer whose sentence their fields fill.
var warningWords = map[reflect.Type]string{
	reflect.TypeFor[reports.NotMatched]():       "the feet are taken as the job gives them, because {Because}",
	reflect.TypeFor[reports.NothingSurveyed]():  "nothing was surveyed in the standing “{Standing}”: level the bed, then add a [[survey]] of each way",
	reflect.TypeFor[reports.RestIsMetal]():      "no move of the feet makes it better by more than is known of them: the rest is metal",
	reflect.TypeFor[reports.NeverUnderTool]():   "the table never passes under the tool at {Tool spot}: what it cuts is read from the table's line carried on to there",
	reflect.TypeFor[ride.FootIdle]():            "foot {Foot} carries nothing with the table's left end between {From spot} and {To spot} (gap up to {Gap fine height}): raise it by that or hold it down",
	reflect.TypeFor[reports.LoadsShared]():      "feet {Feet} are rigid and stand where any of them could carry the others' load: what they carry together is known, the shares are even ones; give each its stiffness",
	reflect.TypeFor[reports.NoWidth]():          "the width of the {Way} way is not given, so the volume is not known: add width to the way",
	reflect.TypeFor[reports.WayUnseen]():        "the {Way} way was not surveyed in this standing: what the turns do to it nobody sees; survey it before anything is turned",
	reflect.TypeFor[reports.NotCut]():           "the {Way} way was not surveyed in this standing: what is to come off it is not known; add a [[survey]] of it",
	reflect.TypeFor[reports.NoSideways]():       `the {Way} way is a vee, and it was not surveyed sideways: both flanks are cut alike; add a [[survey]] with plane = "sideways"`,
	reflect.TypeFor[reports.NoPass]():           "passes and hours need the depth and the time of a pass: add depth_per_pass and time_per_pass to [cut]",
	reflect.TypeFor[reports.FootLifts]():        "foot {Foot} carries nothing and hangs {Gap fine height} clear: raise it by that much",
	reflect.TypeFor[reports.PairsLeftOut]():     "{Pairs pair is|pairs are} left out: a bed needs two, and no fewer than are kept",
	reflect.TypeFor[reports.GoesLight]():        "of {Feet foot|feet}, that at {At spot} goes light on the way: it carries {Least load} to {Most load}",
	reflect.TypeFor[ride.TravelTip]():           "left out with the table's left end from {From spot} to {To spot}: the {Table table|bed} would tip towards the {Side}",
	reflect.TypeFor[reports.FewBeds]():          "the range is of {Beds bed|beds}, and so a little narrow: with so many points of contact, more would take too long",
	reflect.TypeFor[reports.ScrapedSince]():     "the {Way} way was scraped by {Passes pass|passes} since it was surveyed: what they took is reckoned, not measured; survey it before the map's last passes",
	reflect.TypeFor[reports.PrintUnlike]():      "line {Line} of the log: hardly any bed that the surveys leave possible prints the {Way} way so, {From spot} to {To spot} under the {Master}: stone it, wipe it, print again; if it stays so the survey is old, or its stations stand too far apart to see it",
	reflect.TypeFor[reports.FootPulls]():        "foot {Foot} is pulled up with {Pull load} and stays only because it is held",
	reflect.TypeFor[reports.FootLight]():        "foot {Foot} carries only {Load load}, less than the {Least load} asked for: raise it a little",
	reflect.TypeFor[reports.MovedSince]():       "{Feet} moved since a way was last surveyed{Unmatched , and what that did nobody can say: survey again|: what that did is reckoned, not measured; survey again before more is turned}",
	reflect.TypeFor[reports.NotSettled]():       "what is feet and what is metal did not settle: the ranges stand on what {Draws count} independent draws tell where 400 are wanted, and are rough at their ends; feel which feet hang, that settles most",
	reflect.TypeFor[reports.OldSurveys]():       "{Surveys old survey is|old surveys are} left out of the match: the latest tell how the bed stands; what was moved is all taken in",
	reflect.TypeFor[reports.IndicatorLeftOut](): "{Lines indicator line|indicator lines} of the log left out: an indicator tells height above the floor, which no survey does",
	reflect.TypeFor[reports.NotAsFinished]():    "the metal of the {Way} way is {Low height} to {High height} out of straight, where the job says {FinishedTo height}: unless it was just finished to that, leave finished_to out and match again",
}

// Warning puts a doubt about an answer into words.
func Warning(w reports.Warning) Text {
	if words := warningWords[reflect.TypeOf(w)]; words != "" {
		return tell(words, w)
	}
	switch v := w.(type) {
	case reports.Named:
		return say("{}: {}", v.Of, Warning(v.Warning))
	case reports.SurveyDoubt:
		return doubt(v.Of, v.Doubt)
	case agree.Finding:
		return contradiction(v)
	case reports.PlanDoubt:
		return planDoubt(v)
	case reports.MatchDoubt:
		return matchDoubt(v)
	case reports.NoDistance:
		return say(`nothing says how far the vees {} and {} lie from one another along the bed: each is cut to a line of its own, and they may part; add a [[survey]] of the {} way with against = "{}", or of a gauge pulled to either side`,
			v.Ways[0], v.Ways[1], v.Ways[1], v.Ways[0])
	case reports.NoMasterFits:
		if v.Flanks != nil {
			return say("the {} way is a vee of {degrees} and {degrees}, and no prism of these flanks is given: add a [[master]] with flanks", v.Way, v.Flanks[0], v.Flanks[1])
		}
		return say("no flat master is given for the {} way: add a [[master]] without flanks", v.Way)
	}
	return printWarned(w)
}

// printWarned words the doubts that prints and hinges of the log raise.
func printWarned(w reports.Warning) Text {
	switch v := w.(type) {
	case reports.PrintDoubted:
		between := say("{}between {spot} and {spot}", also(v.Across == "inner" || v.Across == "outer", "on its {} edge ", v.Across), v.From, v.To)
		told := say("does not print {} where it should: stone it, wipe it, print again; if it stays clear the survey is old", between)
		if v.Air > 0 {
			told = say("prints {} where {fine height} of air are expected: stone it, wipe it, print again; if it prints again the survey is old, or there is a burr", between, v.Air)
		}
		return say("line {%d} of the log: the {} on the {} way {}", v.Line, v.Master, v.Way, told)
	case reports.OtherHands:
		var who []Text
		for i, by := range v.By {
			who = append(who, say("{} (line {%d})", cmp.Or(by, "nobody named"), v.Lines[i]))
		}
		return say("the prints of the log were taken by {}: no two hands print alike, so hold each beside what is foretold and not beside the other", joined(who))
	case reports.HingeUnlike:
		return say("line {%d} of the log: the {} on the {} way swings at {percent} and {percent} from its other end where {percent} and {percent} are expected: a hint of where it bears, and no evidence against a survey",
			v.Line, v.Master, v.Way, v.Seen[0], v.Seen[1], v.Foretold[0], v.Foretold[1])
	}
	panic(fmt.Sprintf("doc: no words for a %T", w))
}

// How what is said of a move, and of a survey, that all the rest contradicts begins.
const ofMove, ofSurvey = "the surveys contradict the move of {Of} by {Raise height}: they fit ", "survey “{Of}” does not fit the rest"

// matchWords say what all the rest contradicts.
var matchWords = map[match.DoubtKind]string{
	match.WrongSign:       ofMove + "the opposite, {Size height}; look at its sign",
	match.WrongFoot:       ofMove + "it as a move of {Other}; look at which foot was turned",
	match.TenTimes:        ofMove + "{Size height} better; look at its sign, size and date",
	match.TenthPart:       ofMove + "{Size height} better; look at its sign, size and date",
	match.WrongSize:       ofMove + "{Size height} better; look at its sign, size and date",
	match.MoveNotWritten:  "the surveys fit a move of {Of} by {Size height} that nobody wrote down‹, or as well one of {Other}›: was it turned, or did it settle?",
	match.Undated:         "nobody says when {Of} was moved by {Raise height}: write the date of the move",
	match.TurnedSurvey:    ofSurvey + " but with all its signs turned it does: look at which way the instrument faced",
	match.DoubledSurvey:   ofSurvey + " but half of what it reads does: is it the beam's angle, twice the mirror's tilt?",
	match.HalvedSurvey:    ofSurvey + " but twice what it reads does: are its readings half of what they should be?",
	match.ExchangedSurvey: ofSurvey + " but exchanged with “{Other}” it does: look at the names of the files",
	match.UnlikeNoise:     ofSurvey + ": {Size %.1f} times its own noise is left; read it again, or look at what moved meanwhile",
	match.Untried:         "the search for what may be written wrongly ended before all was tried: there may be more to doubt",
	match.FeltWrong:       "the surveys contradict what was felt at {Of}, {Said}: feel it again and put it right; as long as it stands, all else is bent to fit it",
}

func matchDoubt(d reports.MatchDoubt) Text {
	var said Text
	if d.Felt != nil {
		said = feltWords(*d.Felt)
	}
	return tell(matchWords[d.What], struct {
		reports.MatchDoubt
		Said Text
	}{d, said})
}

func feltWords(f match.Felt) Text {
	switch {
	case f.Gap != nil:
		return say("{height} clear", *f.Gap)
	case f.Load != nil:
		return say("loaded with {}", small(*f.Load))
	}
	return Text{map[match.Touch]string{match.Free: "free", match.Nips: "nips", match.Solid: "solid"}[f.Touch]}
}

// small returns a load with the unit that its size asks for.
func small(load float64) Quantity { return q(forceOf(4*load), load) }

// contradiction words surveys that do not agree, and the one change that would
// reconcile them.
func contradiction(f agree.Finding) Text {
	kind := pick(f.Across, slope, Height)
	names := each(f.Surveys, func(s string) Text { return say("“{}”", s) })
	ways := each(f.Remedy, remedy)
	slips := say(". They agree if either {}: what the surveys say cannot tell which", parted(ways, ", or ", ", or "))
	switch len(ways) {
	case 0:
		slips = say("; no single slip of the pen explains it: survey again, and write down what was done between")
	case 1:
		slips = say(". They agree if {}", ways[0])
	}
	return say("{} do not agree: at {along} they are {} apart, where their own noise is {}{}", joined(names), f.At, fine(kind, f.Off), fine(kind, f.Noise), slips)
}

// remedyWords say which change reconciles surveys.
var remedyWords = map[agree.Slip]string{
	agree.TurnedSign: "the signs of {Name} are turned (a shim under the far foot must make the reading rise)",
	agree.Doubled:    "the readings of {Name} are the beam's angle, twice the tilt (write doubled = true)",
	agree.Halved:     "the readings of {Name} are the tilt itself (leave doubled out)",
	agree.Division:   "one division of {Name} is worth {Times %g} times what is written",
	agree.OtherUnit:  "the readings of {Name} are in a unit that is {Times %.3g} times what is written (look at its reading)",
	agree.FarEnd:     "the rows of {Name} begin at the far end, with signs as seen from there (turn the rows round, and the signs)",
	agree.FarRows:    "the rows of {Name} begin at the far end (turn the rows round)",
	agree.Early:      "each row of {Name} was read one station further along (is its first row missing, or start too small by a step?)",
	agree.Late:       "each row of {Name} was read one station nearer (is a row too many at its beginning, or start too large by a step?)",
	agree.Exchanged:  "the files of {Name} and “{With}” are exchanged",
	agree.Warmed:     "the bed bowed by {Bow height} between them, as a change of heat does (measure top and bottom with each survey, and write it down)",
}

func remedy(r agree.Remedy) Text {
	return tell(remedyWords[r.Slip], struct {
		agree.Remedy
		Name Text
	}{r, say("“{}”{}", r.Survey, also(r.With != "" && r.Slip != agree.Exchanged, " and of “{}”", r.With))})
}

// planWords says what the planner found.
var planWords = map[plan.Kind]string{
	plan.NotAllTried:    "with {Value %.0f} feet that can be moved not every choice of feet was tried, only those up to {Of %.0f}: another may do better",
	plan.OutOfWork:      "the search ended before all was tried: another plan may do better",
	plan.NoLeaves:       "which shims there are is not said, so {Feet} cannot be moved: add shims to [adjust]",
	plan.LoadNotHeld:    "in {Value percent} of what may be, one of {Feet} carries less in the end than the {Asked} asked for: feel them when the plan is done, and raise what is loose a little",
	plan.MayGoLight:     "{Feet} ends light, with {Load} where {Least} was asked for: feel it when the plan is done, and raise it a little if it is loose",
	plan.Overloaded:     "{Feet} may carry {Load}, more than the {Least} it is rated for",
	plan.WrongSide:      "the middle of a way lies {Value height} on the side that is not allowed",
	plan.OutOfTolerance: "no plan comes within the tolerance of {Of height}: {Value height} are left",
	plan.LessStraight:   "the ways will be less straight than now by {Value height}: that is the price of what else was asked, load on every foot (least_load) or no middle on the wrong side (allow)",
	plan.NoSafeOrder:    "no order of moves keeps the load of {Feet} on the way, which falls short by {Load}: turn the feet beside it by half first",
	plan.MoreVisits:     "move {Feet} in {Value %.0f} visits, for in fewer a foot would go light",
	plan.GapUnknown:     "foot {Feet} hangs ({Of percent} sure), by up to {Value height}: a feeler tells more of it than a survey; write the gap down and plan again",
	plan.CheckHand:      "try first which way of turning raises the bed at {Each}: it hangs on the thread's hand and on how the screw is built in",
}

func planDoubt(d reports.PlanDoubt) Text {
	of := forceOf(4 * max(d.Value, d.Of))
	return tell(planWords[d.What], struct {
		Feet, Each         string
		Value, Of          float64
		Load, Least, Asked Quantity
	}{list(d.Feet), strings.Join(d.Feet, ", "), d.Value, d.Of, q(of, d.Value), q(of, d.Of), small(d.Of)})
}

// Refused puts into words why a bed cannot be worked out; nil for any other error.
func Refused(err error) Text {
	var tip *beam.TipError
	var clash *beam.ClashError
	switch {
	case errors.As(err, &tip) && tip.Table:
		return say("the table would tip: its weight acts {spot} beyond the ways towards the {}; shorten the stroke or bring the load nearer to the middle", tip.Over, tip.Side)
	case errors.As(err, &tip):
		return say("standing “{}”: the bed would tip: its weight acts {spot} beyond its supports towards the {}; put a foot there, or hold one down (held = true) elsewhere",
			tip.Standing, tip.Over, tip.Side)
	case errors.As(err, &clash):
		return say("standing “{}”: {} are rigid and contradict one another by {height}: they cannot all touch the bed as they are held; give them a stiffness, bring them to one height, or let one go (held = false)",
			clash.Standing, list(clash.Feet), clash.By)
	case errors.Is(err, place.ErrNone):
		return say("no number of feet asked for holds the bed, with the table over its whole stroke, within the zones: widen the zones, lessen apart, or shorten the stroke")
	}
	return nil
}
