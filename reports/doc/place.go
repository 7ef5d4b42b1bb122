package doc

import (
	"footwork/reports"
)

func (j Job) place(v reports.Place) Section {
	s := Section{Title: "Where feet would be better"}
	if v.Recommended < 0 || v.Recommended >= len(v.Placements) {
		s.Answer = say("No place for the feet was found.")
		return s
	}
	s.Answer = placeAnswer(v)
	s.add(placeTable(v), floorTable(v), loadCaution)
	return s
}

// placeAnswer says how many feet go where, and why.
func placeAnswer(v reports.Place) Text {
	best := v.Placements[v.Recommended]
	var places []Text
	for _, x := range best.At {
		places = append(places, say(q(Along, x)))
	}
	return say("Put ", footCountWords(best), " at ", joined(places), ". ", ready(v.Why))
}

// footCountWords returns "8 feet", or "5 feet, one foot at the left end".
func footCountWords(p reports.Placement) string {
	n := plural(len(p.Feet), "foot", "feet")
	if p.Pattern == "pairs" {
		return n
	}
	return n + ", " + p.Pattern
}

// wrongFoot is the error of a foot's height whose cost is told, m.
const wrongFoot = 10e-6

func placeTable(v reports.Place) *Table {
	t := newTable(say("The best places for each number of feet", travelled(v)), say("feet"), say("at, ", UnitOf(Along)), say("out of straight, ", UnitOf(Height)),
		say("cost of ", q(Height, wrongFoot), ", ", UnitOf(Height)), say("lightest"), say(""))
	for i, p := range v.Placements {
		var places Text
		for k, x := range p.At {
			if k > 0 {
				places = append(places, ", ")
			}
			places = append(places, bare(Along, x))
		}
		mark := ""
		if i == v.Recommended {
			mark = "best"
		}
		t.add(footCountWords(p), say("", places), bare(Height, p.Zone), bare(Height, p.Sensitivity), lightestPlaced(p), mark)
	}
	return t
}

func travelled(v reports.Place) string {
	if v.Table {
		return ", over the table's whole travel"
	}
	return ""
}

// lightestPlaced returns the foot of a placement that is ever the lightest.
func lightestPlaced(p reports.Placement) Text {
	sum := 0.0
	for _, f := range p.Loads {
		sum += f
	}
	for _, f := range p.Feet {
		if f.Name == p.Lightest {
			return say(f.Name, " ", q(forceOf(sum), f.Least))
		}
	}
	return nil
}

func floorTable(v reports.Place) *Table {
	t := newTable(say("On how many floors of a hundred the tolerance is met"), say("feet"), say("as found"), say("adjusted"))
	add := func(name string, f *reports.FloorShares) {
		if f != nil {
			t.add(name, q(Percent, f.AsFound), q(Percent, f.Adjusted))
		}
	}
	add("as they stand now", v.Present)
	for _, p := range v.Placements {
		add(footCountWords(p), p.Floors)
	}
	return t
}
