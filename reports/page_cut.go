package reports

import "fmt"

// left answers section 7: what is left to cut.
func (p *Page) left() section {
	s := section{id: "cut", title: "What is left to cut"}
	if p.Cut == nil {
		s.missing = "Add a [cut] table with depth and time per pass to the job, and surveys of the ways, to see what is left for the scraper."
		return s
	}
	s.answer = p.cutAnswer()
	s.warnings = AllSaid(p.Cut.Warnings, p.Units)
	s.figures = p.cutFigures()
	s.tables = []table{p.cutTable()}
	if len(p.Cut.Routes) > 0 {
		s.tables = append(s.tables, routeTable(p.Cut.Routes))
	}
	s.how = []prose{say("Depth is the height above the lowest line that can be reached by taking metal off only, in the standing in which the bed must be straight. Volume follows from the ways' widths; passes and hours from the job's own depth and time a pass.")}
	return s
}

// cutTotal returns volume and hours of all ways.
func cutTotal(ways []CutWay) (volume, hours float64) {
	for _, w := range ways {
		volume, hours = volume+w.Volume, hours+w.Hours
	}
	return volume, hours
}

func (p *Page) cutAnswer() prose {
	v, h := cutTotal(p.Cut.Ways)
	a := say("As it stands ", q(Volume, v), " of metal would have to come off, about ", hoursOf(h))
	if p.Cut.AfterMoves != nil {
		v2, h2 := cutTotal(p.Cut.AfterMoves.Ways)
		a = append(a, "; after the recommended moves ", q(Volume, v2), ", about ", hoursOf(h2))
	}
	return append(a, ".")
}

// hoursOf prints hours, which the views hold as hours.
func hoursOf(h float64) quantity { return q(Hours, h*3600) }

func (p *Page) cutFigures() []figure {
	var figures []figure
	depth := axis{Name: "to come off", Kind: Height}
	for i, w := range p.Cut.Ways {
		c := newChart(alongAxis, depth)
		c.Height = 200
		c.curve("now", w.X, w.Depth, note{Way: w.Name, Style: []string{"first faint", "second faint"}[i%2], Fill: true})
		if a := p.Cut.AfterMoves; a != nil && i < len(a.Ways) {
			c.curve("after", a.Ways[i].X, a.Ways[i].Depth, note{Way: w.Name, Style: []string{"first", "second"}[i%2], Fill: true})
		}
		figures = append(figures, figure{id: fmt.Sprintf("cut-%d", i), way: w.Name, chart: c.finish(),
			caption: say("Depth to come off the ", w.Name, " way, now (thin) and after the moves."), label: "Depth to come off the " + w.Name + " way"})
	}
	return figures
}

func (p *Page) cutTable() table {
	t := table{caption: say("Volume, passes and hours, now and after the moves"), head: []prose{say("Way"), say("When"), say("Volume, ", unitOf(Volume)), say("Passes"), say("Hours")}}
	add := func(when string, ways []CutWay) {
		for _, w := range ways {
			if r := w.Range; r != nil {
				t.addFor(w.Name, w.Name, when, say(bare(Volume, w.Volume), " (", bare(Volume, r.Volume[0]), " to ", bare(Volume, r.Volume[1]), ")"),
					say(fmt.Sprintf("%.0f (%.0f to %.0f)", w.Passes, r.Passes[0], r.Passes[1])), say(fmt.Sprintf("%.1f (%.1f to %.1f)", w.Hours, r.Hours[0], r.Hours[1])))
				continue
			}
			t.addFor(w.Name, w.Name, when, bare(Volume, w.Volume), q(Count, w.Passes), fmt.Sprintf("%.1f", w.Hours))
		}
	}
	add("now", p.Cut.Ways)
	if p.Cut.AfterMoves != nil {
		add("after the moves", p.Cut.AfterMoves.Ways)
	}
	return t
}

// routeTable sets the ways to go on beside one another.
func routeTable(routes []Route) table {
	t := table{caption: say("Ways to go on; metal does not go back, so move the feet first, read again, then cut"),
		head: []prose{say("To do"), say("Leaves out of straight, ", unitOf(Height)), say("Hours at the scraper")}}
	for _, r := range routes {
		t.add(r.Name, bare(Height, r.Zone), hoursOf(r.Hours))
	}
	return t
}
