package reports

import "fmt"

// placed answers section 6: where feet would be better.
func (p *Page) placed() section {
	s := section{id: "place", title: "Where feet would be better"}
	if p.Place == nil || len(p.Place.Placements) == 0 {
		s.missing = "Add a [place] table to the job to see where a number of feet would stand best."
		return s
	}
	best := p.Place.Placements[0]
	for _, c := range p.Place.Placements {
		if c.Zone < best.Zone {
			best = c
		}
	}
	s.answer = say(plural(best.Pairs, "pair", "pairs"), " of feet, at ", joined(places(best.At)), ", would leave ", q(Height, best.Zone),
		" over the table's journey, if every foot has its right height; ", q(Height, 10e-6), " of wrong height would cost up to ", q(Height, best.Sensitivity), ".")
	s.warnings = p.Place.Warnings
	s.figures = append(s.figures, p.placementFigures()...)
	s.tables = []table{p.placementTable()}
	s.how = []prose{say("For each number of pairs every allowed place on a grid is tried with the table at every place of its travel, and the best is refined off the grid. More feet sag less but ask for truer heights.")}
	return s
}

func places(at []float64) []prose {
	var out []prose
	for _, x := range at {
		out = append(out, say(q(Along, x)))
	}
	return out
}

// placementFigures draws the placements side by side and their sag against
// the number of feet.
func (p *Page) placementFigures() []figure {
	var figures []figure
	var x, zone, cost []float64
	for i, c := range p.Place.Placements {
		words := say(plural(c.Pairs, "pair", "pairs"), " at ", joined(places(c.At)), ": ", q(Height, c.Zone))
		figures = append(figures, figure{id: fmt.Sprintf("placement-%d", i), drawing: both(placementRow(p.Bed.Length, c, p.Units), words.plain(p.Units)),
			caption: say(plural(c.Pairs, "pair", "pairs"), ": ", q(Height, c.Zone)), small: true})
		x, zone, cost = append(x, float64(2*c.Pairs)), append(zone, c.Zone), append(cost, c.Sensitivity)
	}
	c := newChart(axis{Name: "number of feet"}, axis{Name: "out of straight", Kind: Height})
	c.curve("all feet right", x, zone, note{Style: "first", Points: true})
	c.curve("cost of a wrong foot", x, cost, note{Style: "second", Points: true})
	return append(figures, figure{id: "feet-count", chart: c.finish(),
		caption: say("Out of straight against the number of feet, with every foot right, and what ", q(Height, 10e-6), " of wrong height at one foot costs."),
		label:   "Out of straight against number of feet"})
}

func (p *Page) placementTable() table {
	t := table{caption: say("Placements"), head: []prose{say("Pairs"), say("At, ", unitOf(Along)), say("Out of straight, ", unitOf(Height)),
		say("Cost of ", q(Height, 10e-6), ", ", unitOf(Height)), say("Loads, ", unitOf(Force))}}
	for _, c := range p.Place.Placements {
		var at, loads []prose
		for _, x := range c.At {
			at = append(at, say(bare(Along, x)))
		}
		for _, l := range c.Loads {
			loads = append(loads, say(bare(Force, l)))
		}
		t.add(q(Count, float64(c.Pairs)), joined(at), bare(Height, c.Zone), bare(Height, c.Sensitivity), joined(loads))
	}
	return t
}
