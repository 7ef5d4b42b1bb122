package reports

import "fmt"

// placed answers section 6: where feet would be better.
func (p *Page) placed() section {
	s := section{id: "place", title: "Where feet would be better"}
	if p.Place == nil || len(p.Place.Placements) == 0 {
		s.missing = "Add a [place] table to the job to see where a number of feet would stand best."
		return s
	}
	s.answer = p.placedAnswer()
	s.warnings = AllSaid(p.Place.Warnings, p.Units)
	s.figures = append(s.figures, p.placementFigures()...)
	s.tables = []table{p.placementTable()}
	if t := p.floorTable(); len(t.rows) > 0 {
		s.tables = append(s.tables, t)
	}
	s.how = []prose{say("For each number of pairs every allowed place on a grid is tried with the table at every place of its travel, and the best is refined off the grid. More feet sag less but ask for truer heights.")}
	return s
}

func (p *Page) placedAnswer() prose {
	if k := p.Place.Recommended; k >= 0 && k < len(p.Place.Placements) {
		best := p.Place.Placements[k]
		return say(best.count(), " stand best at ", joined(places(best.At)), ".")
	}
	return say("No number of feet that was tried is worth it.")
}

// floorTable sets beside one another on how many floors, drawn at random, the
// tolerance is met.
func (p *Page) floorTable() table {
	t := table{caption: say("On how many floors the tolerance is met"), head: []prose{say("Feet"), say("As found"), say("Adjusted")}}
	add := func(name string, f *FloorShares) {
		if f != nil {
			t.add(name, q(PlainShare, f.AsFound), q(PlainShare, f.Adjusted))
		}
	}
	add("as they stand now", p.Place.Present)
	for _, c := range p.Place.Placements {
		add(c.count(), c.Floors)
	}
	return t
}

func places(at []float64) []prose {
	var out []prose
	for _, x := range at {
		out = append(out, say(q(Spot, x)))
	}
	return out
}

// placementFigures draws the placements side by side and their sag against
// the number of feet.
func (p *Page) placementFigures() []figure {
	var figures []figure
	var x, zone, cost []float64
	for i, c := range p.Place.Placements {
		words := say(c.count(), " at ", joined(places(c.At)), ": ", q(Height, c.Zone))
		figures = append(figures, figure{id: fmt.Sprintf("placement-%d", i), drawing: both(placementRow(p.Bed.Length, c, p.Units), words.plain(p.Units)),
			caption: say(c.count(), ": ", q(Height, c.Zone)), small: true})
		x, zone, cost = append(x, float64(len(c.Feet))), append(zone, c.Zone), append(cost, c.Sensitivity)
	}
	c := newChart(axis{Name: "number of feet"}, axis{Name: "out of straight", Kind: Height})
	c.curve("all feet right", x, zone, note{Style: "first", Points: true})
	c.curve("cost of a wrong foot", x, cost, note{Style: "second", Points: true})
	return append(figures, figure{id: "feet-count", chart: c.finish(),
		caption: say("Out of straight against the number of feet, with every foot right, and what ", q(Height, 10e-6), " of wrong height at one foot costs."),
		label:   "Out of straight against number of feet"})
}

func (p *Page) placementTable() table {
	t := table{caption: say("Placements"), head: []prose{say("Feet"), say("At, ", unitOf(Spot)), say("Out of straight, ", unitOf(Height)),
		say("Cost of ", q(Height, 10e-6), ", ", unitOf(Height)), say("Lightest, ", unitOf(Force)), say("Choice")}}
	for i, c := range p.Place.Placements {
		var at []prose
		for _, x := range c.At {
			at = append(at, say(bare(Spot, x)))
		}
		choice, least := any(""), prose(nil)
		if i == p.Place.Recommended {
			choice = mark("worth it")
		}
		for _, f := range c.Feet {
			if f.Name == c.Lightest {
				least = say(f.Name, " ", bare(Force, f.Least))
			}
		}
		t.add(c.count(), joined(at), bare(Height, c.Zone), bare(Height, c.Sensitivity), least, choice)
	}
	return t
}
