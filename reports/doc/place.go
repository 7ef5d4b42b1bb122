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
	places := each(best.At, func(x float64) Text { return say("{foot_at}", x) })
	return say("Put {} at {}{}. {}", footCountWords(best), joined(places), over(v), placeReason(v))
}

// over says between which places the table travels; assumed: as far as it cannot tip.
func over(v reports.Place) Text {
	s := v.Stroke
	if s == nil {
		return nil
	}
	return say(" for a table whose left end travels from {spot} to {spot}{}", s.From, s.To, also(s.Assumed, " (as far as it cannot tip: no stroke is given under [table])"))
}

// placeReason says why so many feet.
func placeReason(v reports.Place) Text {
	best := v.Placements[v.Recommended]
	expected := func(p reports.Placement) Quantity { return q(Height, p.Zone+p.Sensitivity) }
	if v.Reason == place.Enough {
		return say("{} are enough: they keep {height}, and {} with one foot {height} wrong, within the {height} wanted.", feetOf(best), best.Zone, expected(best), place.WrongFoot, v.Tolerance)
	}
	var other Text
	if more := v.Recommended + 1; more < len(v.Placements) {
		p := v.Placements[len(v.Placements)-1]
		other = say("; {} keep {height} but {} with one wrong, so that little is gained", feetOf(p), p.Zone, expected(p))
	} else if v.Recommended > 0 {
		p := v.Placements[v.Recommended-1]
		other = say(", where {} leave {height} and {}", feetOf(p), p.Zone, expected(p))
	}
	return say("{} are worth it: {height} out of straight, {} with one foot {height} wrong{}{}.", feetOf(best), best.Zone, expected(best), place.WrongFoot, other,
		also(v.Tolerance > 0, "; no number that was tried keeps {height} with one foot wrong", v.Tolerance))
}

func feetOf(p reports.Placement) string { return plural(len(p.Feet), "foot", "feet") }

// footCountWords returns "8 feet", or "5 feet, one foot at the left end".
func footCountWords(p reports.Placement) string {
	return feetOf(p) + pick(p.Pattern == string(place.Paired), "", " ("+p.Pattern+")")
}

func placeTable(v reports.Place) *Table {
	t := newTable(say("The best places for each number of feet{}", also(v.Stroke != nil, ", over the table's whole travel")), "feet", "at, {unit foot_at}", "out of straight, {unit height}",
		say("one foot {height} wrong costs, {unit height}", place.WrongFoot), "lightest", "within tolerance as set down, once adjusted", "")
	for i, p := range v.Placements {
		places := parted(each(p.At, func(x float64) Text { return say("{bare foot_at}", x) }), ", ", ", ")
		mark := pick(i == v.Recommended, "best", "")
		t.add(footCountWords(p), Text{"", places}, bare(Height, p.Zone), bare(Height, p.Sensitivity), lightestPlaced(p), floors(p.Floors), mark)
	}
	if v.Present != nil {
		t.add("as they stand now", "", "", "", "", floors(v.Present), "")
	} else if !slices.ContainsFunc(v.Placements, func(p reports.Placement) bool { return p.Floors != nil }) {
		t.drop(5)
	}
	return t
}

// lightestPlaced returns the foot of a placement that is ever the lightest.
func lightestPlaced(p reports.Placement) Text {
	for _, f := range p.Feet {
		if f.Name == p.Lightest {
			return say("{} at {foot_at}", q(forceOf(floats.Sum(p.Loads)), f.Least), f.At)
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
	return say("{percent}, {percent}", f.AsFound, f.Adjusted)
}
