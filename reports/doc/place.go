package doc

import (
	"slices"

	"gonum.org/v1/gonum/floats"

	"footwork/reports"
	"footwork/supports/place"
)

func (j job) place(v reports.Place) section {
	s := section{Title: "Where feet would be better"}
	if v.Recommended < 0 || v.Recommended >= len(v.Placements) {
		s.Answer = say("No place for the feet was found.")
		return s
	}
	s.Answer = placeAnswer(v)
	s.add(placeTable(v), loadCaution)
	return s
}

// placeAnswer says how many feet go where, over which stroke, and why.
func placeAnswer(v reports.Place) Text {
	best := v.Placements[v.Recommended]
	places := each(best.At, func(x float64) Text { return say(q(footAt, x)) })
	return say("Put ", footCountWords(best), " at ", joined(places), over(v), ". ", placeReason(v))
}

// over says between which places the table travels; assumed: as far as it cannot tip.
func over(v reports.Place) Text {
	switch s := v.Stroke; {
	case s == nil:
		return nil
	case s.Assumed:
		return say(" for a table whose left end travels from ", q(Spot, s.From), " to ", q(Spot, s.To), " (as far as it cannot tip: no stroke is given under [table])")
	default:
		return say(" for a table whose left end travels from ", q(Spot, s.From), " to ", q(Spot, s.To))
	}
}

// placeReason says why so many feet.
func placeReason(v reports.Place) Text {
	best := v.Placements[v.Recommended]
	expected := func(p reports.Placement) Quantity { return q(Height, p.Zone+p.Sensitivity) }
	if v.Reason == place.Enough {
		return say(feetOf(best), " are enough: they keep ", q(Height, best.Zone), ", and ", expected(best), " with one foot ", q(Height, place.WrongFoot), " wrong, within the ", q(Height, v.Tolerance), " wanted.")
	}
	t := say(feetOf(best), " are worth it: ", q(Height, best.Zone), " out of straight, ", expected(best), " with one foot ", q(Height, place.WrongFoot), " wrong")
	if more := v.Recommended + 1; more < len(v.Placements) {
		p := v.Placements[len(v.Placements)-1]
		t = append(t, say("; ", feetOf(p), " keep ", q(Height, p.Zone), " but ", expected(p), " with one wrong, so that little is gained")...)
	} else if v.Recommended > 0 {
		p := v.Placements[v.Recommended-1]
		t = append(t, say(", where ", feetOf(p), " leave ", q(Height, p.Zone), " and ", expected(p))...)
	}
	if v.Tolerance > 0 {
		return append(t, say("; no number that was tried keeps ", q(Height, v.Tolerance), " with one foot wrong.")...)
	}
	return append(t, say(".")...)
}

func feetOf(p reports.Placement) string { return plural(len(p.Feet), "foot", "feet") }

// footCountWords returns "8 feet", or "5 feet, one foot at the left end".
func footCountWords(p reports.Placement) string {
	return feetOf(p) + pick(p.Pattern == string(place.Paired), "", " ("+p.Pattern+")")
}

func placeTable(v reports.Place) *Table {
	t := newTable(say("The best places for each number of feet", travelled(v)), "feet", column("at", footAt), column("out of straight", Height),
		say("one foot ", q(Height, place.WrongFoot), " wrong costs, ", UnitOf(Height)), "lightest", "within tolerance as set down, once adjusted", "")
	for i, p := range v.Placements {
		places := parted(each(p.At, func(x float64) Text { return say(bare(footAt, x)) }), ", ", ", ")
		mark := pick(i == v.Recommended, "best", "")
		t.add(footCountWords(p), say("", places), bare(Height, p.Zone), bare(Height, p.Sensitivity), lightestPlaced(p), floors(p.Floors), mark)
	}
	if v.Present != nil {
		t.add("as they stand now", "", "", "", "", floors(v.Present), "")
	} else if !slices.ContainsFunc(v.Placements, func(p reports.Placement) bool { return p.Floors != nil }) {
		t.drop(5)
	}
	return t
}

func travelled(v reports.Place) string {
	return pick(v.Stroke != nil, ", over the table's whole travel", "")
}

// lightestPlaced returns the foot of a placement that is ever the lightest.
func lightestPlaced(p reports.Placement) Text {
	for _, f := range p.Feet {
		if f.Name == p.Lightest {
			return say(q(forceOf(floats.Sum(p.Loads)), f.Least), " at ", q(footAt, f.At))
		}
	}
	return nil
}

// floors returns on how many of a hundred floors the tolerance is met as the feet
// are set down, and once they are adjusted.
func floors(f *reports.FloorShares) any {
	if f == nil {
		return ""
	}
	return say(q(percent, f.AsFound), ", ", q(percent, f.Adjusted))
}
