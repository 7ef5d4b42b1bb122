package doc

import (
	"cmp"
	"errors"
	"fmt"
	"strings"

	"footwork/beam"
	"footwork/reports"
	"footwork/supports/place"
	"footwork/supports/plan"
	"footwork/survey/agree"
	"footwork/survey/match"
)

// Warning puts a doubt about an answer into words.
func Warning(w reports.Warning) Text {
	switch v := w.(type) {
	case reports.Named:
		return say(v.Of, ": ", Warning(v.Warning))
	case reports.NotMatched:
		return say("the feet are taken as the job gives them, because ", v.Because)
	case reports.SurveyDoubt:
		return doubt(v.Of, v.Doubt)
	case agree.Finding:
		return contradiction(v)
	case reports.PairsLeftOut:
		return say(plural(v.Pairs, "pair is", "pairs are"), " left out: a bed needs two, and no fewer than are kept")
	case reports.GoesLight:
		return say("of ", plural(v.Feet, "foot", "feet"), ", that at ", q(Spot, v.At), " goes light on the way: it carries ", small(v.Least), " to ", small(v.Most))
	case reports.NothingSurveyed:
		return say("nothing was surveyed in the standing ", quoted(v.Standing), ": level the bed, then add a [[survey]] of each way")
	case reports.RestIsMetal:
		return say("no move of the feet makes it better by more than is known of them: the rest is metal")
	case reports.PlanDoubt:
		return planDoubt(v)
	case beam.TravelTip:
		what := pick(v.Table, "the table would tip", "the bed would tip")
		return say("left out with the table's left end from ", q(Spot, v.From), " to ", q(Spot, v.To), ": ", what, " towards the ", v.Side)
	case reports.NeverUnderTool:
		return say("the table never passes under the tool at ", q(Spot, v.Tool), ": what it cuts is read from the table's line carried on to there")
	case beam.FootIdle:
		return say("foot ", v.Foot, " carries nothing with the table's left end between ", q(Spot, v.From), " and ", q(Spot, v.To), " (gap up to ", q(Height, v.Gap), "): raise it by that or hold it down")
	case reports.FewBeds:
		return say("the range is of ", plural(v.Beds, "bed", "beds"), ", and so a little narrow: with so many points of contact, more would take too long")
	case reports.LoadsShared:
		return say("feet ", list(v.Feet), " are rigid and stand where any of them could carry the others' load: what they carry together is known, the shares are even ones; give each its stiffness")
	}
	return metalWarned(w)
}

// metalWarned words the doubts about what is cut, and with which master.
func metalWarned(w reports.Warning) Text {
	switch v := w.(type) {
	case reports.NoWidth:
		return say("the width of the ", v.Way, " way is not given, so the volume is not known: add width to the way")
	case reports.WayUnseen:
		return say("the ", v.Way, " way was not surveyed in this standing: what the turns do to it nobody sees; survey it before anything is turned")
	case reports.NotCut:
		return say("the ", v.Way, " way was not surveyed in this standing: what is to come off it is not known; add a [[survey]] of it")
	case reports.NoSideways:
		return say("the ", v.Way, ` way is a vee, and it was not surveyed sideways: both flanks are cut alike; add a [[survey]] with plane = "sideways"`)
	case reports.NoDistance:
		return say("nothing says how far the vees ", v.Ways[0], " and ", v.Ways[1], ` lie from one another along the bed: each is cut to a line of its own, and they may part; add a [[survey]] of the `, v.Ways[1], ` way with against = "`, v.Ways[0], `", or of a gauge pulled to either side`)
	case reports.ScrapedSince:
		return say("the ", v.Way, " way was scraped by ", plural(v.Passes, "pass", "passes"), " since it was surveyed: what they took is reckoned, not measured; survey it before the map's last passes")
	case reports.NoPass:
		return say("passes and hours need the depth and the time of a pass: add depth_per_pass and time_per_pass to [cut]")
	case reports.NoMasterFits:
		if v.Flanks != nil {
			return say("the ", v.Way, " way is a vee of ", q(degrees, v.Flanks[0]), " and ", q(degrees, v.Flanks[1]), ", and no prism of these flanks is given: add a [[master]] with flanks")
		}
		return say("no flat master is given for the ", v.Way, " way: add a [[master]] without flanks")
	}
	return printWarned(w)
}

// printWarned words the doubts that prints and hinges of the log raise.
func printWarned(w reports.Warning) Text {
	switch v := w.(type) {
	case reports.PrintDoubted:
		out := say(fmt.Sprintf("line %d of the log: the %s on the %s way ", v.Line, v.Master, v.Way))
		between := say(pick(v.Across == "inner" || v.Across == "outer", "on its "+v.Across+" edge ", ""), "between ", q(Spot, v.From), " and ", q(Spot, v.To))
		if v.Air > 0 {
			return append(out, "prints ", between, " where ", q(Height, v.Air), " of air are expected: stone it, wipe it, print again; if it prints again the survey is old, or there is a burr")
		}
		return append(out, "does not print ", between, " where it should: stone it, wipe it, print again; if it stays clear the survey is old")
	case reports.PrintUnlike:
		return say(fmt.Sprintf("line %d of the log: hardly any bed that the surveys leave possible prints the ", v.Line), v.Way, " way so, ", q(Spot, v.From), " to ", q(Spot, v.To),
			" under the ", v.Master, ": stone it, wipe it, print again; if it stays so the survey is old, or its stations stand too far apart to see it")
	case reports.OtherHands:
		var who []Text
		for i, by := range v.By {
			who = append(who, say(cmp.Or(by, "nobody named"), fmt.Sprintf(" (line %d)", v.Lines[i])))
		}
		return say("the prints of the log were taken by ", joined(who), ": no two hands print alike, so hold each beside what is foretold and not beside the other")
	case reports.HingeUnlike:
		return say(fmt.Sprintf("line %d of the log: the %s on the %s way swings at ", v.Line, v.Master, v.Way), q(percent, v.Seen[0]), " and ", q(percent, v.Seen[1]),
			" from its other end where ", q(percent, v.Foretold[0]), " and ", q(percent, v.Foretold[1]), " are expected: a hint of where it bears, and no evidence against a survey")
	}
	return footWarned(w)
}

// footWarned words the doubts about single feet.
func footWarned(w reports.Warning) Text {
	switch v := w.(type) {
	case reports.FootLifts:
		return say("foot ", v.Foot, " carries nothing and hangs ", q(Height, v.Gap), " clear: raise it by that much")
	case reports.FootPulls:
		return say("foot ", v.Foot, " is pulled up with ", small(-v.Load), " and stays only because it is held")
	case reports.FootLight:
		return say("foot ", v.Foot, " carries only ", small(v.Load), ", less than the ", small(v.Least), " asked for: raise it a little")
	case reports.MovedSince:
		who := say(list(v.Feet), " moved since a way was last surveyed")
		if v.Unmatched {
			return append(who, ", and what that did nobody can say: survey again")
		}
		return append(who, ": what that did is reckoned, not measured; survey again before more is turned")
	case reports.MatchDoubt:
		return matchDoubt(v)
	case reports.NotSettled:
		return say("what is feet and what is metal did not settle: the ranges stand on what ", count(int(v.Draws)),
			" independent draws tell where 400 are wanted, and are rough at their ends; feel which feet hang, that settles most")
	case reports.NotAsFinished:
		return say("the metal of the ", v.Way, " way is ", q(Height, v.Low), " to ", q(Height, v.High), " out of straight, where the job says ", q(Height, v.FinishedTo), ": unless it was just finished to that, leave finished_to out and match again")
	case reports.OldSurveys:
		return say(count(v.Surveys), pick(v.Surveys == 1, " old survey is", " old surveys are"),
			" left out of the match: the latest tell how the bed stands; what was moved is all taken in")
	case reports.IndicatorLeftOut:
		return say(count(v.Lines), pick(v.Lines == 1, " indicator line", " indicator lines"),
			" of the log left out: an indicator tells height above the floor, which no survey does")
	}
	panic(fmt.Sprintf("doc: no words for a %T", w))
}

// matchDoubt words what all the rest contradicts.
func matchDoubt(d reports.MatchDoubt) Text {
	move := say("the surveys contradict the move of ", d.Of, " by ", q(Height, d.Raise), ": they fit ")
	survey := say("survey ", quoted(d.Of), " does not fit the rest")
	switch d.What {
	case match.WrongSign:
		return append(move, "the opposite, ", q(Height, d.Size), "; look at its sign")
	case match.WrongFoot:
		return append(move, "it as a move of ", d.Other, "; look at which foot was turned")
	case match.TenTimes, match.TenthPart, match.WrongSize:
		return append(move, q(Height, d.Size), " better; look at its sign, size and date")
	case match.MoveNotWritten:
		return say("the surveys fit a move of ", d.Of, " by ", q(Height, d.Size), " that nobody wrote down", also(d.Other != "", ", or as well one of ", d.Other), ": was it turned, or did it settle?")
	case match.Undated:
		return say("nobody says when ", d.Of, " was moved by ", q(Height, d.Raise), ": write the date of the move")
	case match.TurnedSurvey:
		return append(survey, " but with all its signs turned it does: look at which way the instrument faced")
	case match.DoubledSurvey:
		return append(survey, " but half of what it reads does: is it the beam's angle, twice the mirror's tilt?")
	case match.HalvedSurvey:
		return append(survey, " but twice what it reads does: are its readings half of what they should be?")
	case match.ExchangedSurvey:
		return append(survey, " but exchanged with ", quoted(d.Other), " it does: look at the names of the files")
	case match.UnlikeNoise:
		return append(survey, fmt.Sprintf(": %.1f times its own noise is left; read it again, or look at what moved meanwhile", d.Size))
	case match.Untried:
		return say("the search for what may be written wrongly ended before all was tried: there may be more to doubt")
	case match.FeltWrong:
		return say("the surveys contradict what was felt at ", d.Of, ", ", feltWords(*d.Felt), ": feel it again and put it right; as long as it stands, all else is bent to fit it")
	}
	panic(fmt.Sprintf("doc: no words for the match's %d", d.What))
}

func feltWords(f match.Felt) Text {
	switch {
	case f.Gap != nil:
		return say(q(Height, *f.Gap), " clear")
	case f.Load != nil:
		return say("loaded with ", small(*f.Load))
	}
	return say(map[match.Touch]string{match.Free: "free", match.Nips: "nips", match.Solid: "solid"}[f.Touch])
}

// small returns a load with the unit that its size asks for.
func small(load float64) Quantity { return q(forceOf(4*load), load) }

// contradiction words surveys that do not agree, and the one change that would
// reconcile them.
func contradiction(f agree.Finding) Text {
	kind := pick(f.Across, slope, Height)
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
		return say("in ", q(percent, d.Value), " of what may be, one of ", feet, " carries less in the end than the ", q(forceOf(4*d.Of), d.Of), " asked for: feel them when the plan is done, and raise what is loose a little")
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
		return say("foot ", feet, " hangs (", q(percent, d.Of), " sure), by up to ", q(Height, d.Value), ": a feeler tells more of it than a survey; write the gap down and plan again")
	case plan.CheckHand:
		return say("try first which way of turning raises the bed at ", strings.Join(d.Feet, ", "), ": it hangs on the thread's hand and on how the screw is built in")
	}
	panic(fmt.Sprintf("doc: no words for the planner's %d", d.What))
}

// Refused puts into words why a bed cannot be worked out; nil for any other error.
func Refused(err error) Text {
	var tip *beam.TipError
	var clash *beam.ClashError
	switch {
	case errors.As(err, &tip) && tip.Table:
		return say("the table would tip: its weight acts ", q(Spot, tip.Over), " beyond the ways towards the ", tip.Side, "; shorten the stroke or bring the load nearer to the middle")
	case errors.As(err, &tip):
		return say("standing ", quoted(tip.Standing), ": the bed would tip: its weight acts ", q(Spot, tip.Over), " beyond its supports towards the ", tip.Side,
			"; put a foot there, or hold one down (held = true) elsewhere")
	case errors.As(err, &clash):
		return say("standing ", quoted(clash.Standing), ": ", list(clash.Feet), " are rigid and contradict one another by ", q(Height, clash.By),
			": they cannot all touch the bed as they are held; give them a stiffness, bring them to one height, or let one go (held = false)")
	case errors.Is(err, place.ErrNone):
		return say("no number of feet asked for holds the bed, with the table over its whole stroke, within the zones: widen the zones, lessen apart, or shorten the stroke")
	}
	return nil
}
