package reports

import "math"

// parted answers section 4: what is feet and what is metal.
func (p *Page) parted() section {
	s := section{id: "parts", title: "What is feet and what is metal"}
	if p.Match == nil {
		s.missing = "Add surveys of the ways, and a cross level if there is one, to part the measured profile into sag, feet, heat and metal."
		return s
	}
	m := p.Match
	s.answer = p.partedAnswer()
	s.warnings = AllSaid(m.Warnings, p.Units)
	for i, w := range m.Ways {
		s.figures = append(s.figures, partsFigure(i, w))
	}
	s.tables = append([]table{estimateTable(m), footHeightTable(m)}, doubtTables(m)...)
	s.how = []prose{
		say("The measured profile is taken apart into sag, what the foot heights do, what warmth does, the form in the metal and what is left over, both ways and the cross level at once, each unknown with a spread to start from."),
		say("“Not told” means that these surveys hardly narrow that unknown: its interval is little better than what was assumed before measuring."),
		say("About the ends or by least squares the parts add up to what was measured; about the minimum zone each curve has its own line."),
	}
	return s
}

// partedAnswer says how much of the measured zone each part explains, or, when
// that is not known, how large each part is.
func (p *Page) partedAnswer() prose {
	m := p.Match
	if len(m.Explained) > 0 {
		var parts []prose
		for _, e := range m.Explained {
			part := say(e.Part, " ", q(Height, e.Value))
			if e.Wide > 1e-10 {
				part = append(part, " (±\u00a0", give(Height, e.Wide/2), ")")
			}
			parts = append(parts, part)
		}
		return append(append(say("Of ", q(Height, m.Zone), " out of straight on the ", m.ZoneWay, " way: "), joined(parts)), ".")
	}
	var ways []prose
	for _, w := range m.Ways {
		ways = append(ways, say("on the ", w.Name, " way ", q(Height, spanOf(w.Measured)), " measured are ", q(Height, spanOf(w.Sag)),
			" sag, ", q(Height, spanOf(w.Feet)), " feet, ", q(Height, spanOf(w.Heat)), " heat and ", q(Height, spanOf(w.Form)), " metal"))
	}
	return append(append(say("Peak to valley, each about the line through its ends: "), joined(ways)), ".")
}

// shareWords says in a sentence what is feet and what is metal; nothing where
// that is not known.
func (p *Page) shareWords() prose {
	if p.Match == nil {
		return nil
	}
	var parts []prose
	for _, e := range p.Match.Explained {
		if e.Part != "feet" && e.Part != "metal" {
			continue
		}
		words := say(e.Part, " ", q(Height, e.Value))
		if math.Abs(e.Value) <= e.Wide {
			words = say(e.Part, " too little to tell")
		}
		parts = append(parts, append(words, " (±\u00a0", give(Height, e.Wide/2), ")"))
	}
	if len(parts) == 0 {
		return nil
	}
	return append(append(say(" Of the ", q(Height, p.Match.Zone), " on the ", p.Match.ZoneWay, " way: "), joined(parts)), ".")
}

// spanOf returns the peak-to-valley of heights about the line through the ends,
// by index: the stations of a survey are evenly spaced.
func spanOf(h []float64) float64 {
	n := len(h)
	if n < 2 {
		return 0
	}
	low, high := 0.0, 0.0
	for i := range h {
		d := h[i] - h[0] - float64(i)/float64(n-1)*(h[n-1]-h[0])
		low, high = min(low, d), max(high, d)
	}
	return high - low
}

// partsFigure stacks the parts of one way, all to the same height scale.
func partsFigure(i int, w WayParts) figure {
	parts := []struct {
		name  string
		y     []float64
		sigma []float64
	}{{"measured", w.Measured, nil}, {"sag", w.Sag, nil}, {"feet", w.Feet, nil}, {"heat", w.Heat, nil}, {"metal", w.Form, w.FormSigma}, {"left over", w.Rest, nil}}
	var c *chart
	for k, part := range parts {
		panel := 0
		if k == 0 {
			c = newChart(alongAxis, axis{Name: part.name, Kind: Height})
		} else {
			panel = c.panel(alongAxis, axis{Name: part.name, Kind: Height})
		}
		n := wayNote(i, w.Name)
		n.Panel, n.Sigma = panel, part.sigma
		c.curve(part.name, w.X, part.y, n)
	}
	c.Height, c.Same = 84, true
	return figure{id: "parts-" + slug(w.Name), chart: c.finish(), way: w.Name,
		caption: say("The ", w.Name, " way in its parts, one above the other, all to the same height scale; the band on the metal is about 95\u00a0%."),
		label:   "The " + w.Name + " way in its parts: measured, sag, feet, heat, metal, left over"}
}

func estimateTable(m *Match) table {
	t := table{caption: say("What the surveys tell of “", m.Standing, "”"), head: []prose{say("Unknown"), say("Best"), say("95\u00a0% from"), say("to"), say("Told?")}}
	add := func(name string, k Kind, e Estimate) {
		t.add(name, q(k, e.Factor), q(k, e.Low), q(k, e.High), told(e.Told))
	}
	add("stiffness of the bed, times what was assumed", PlainRatio, m.Stiffness)
	add("stiffness of the feet, times what was assumed", PlainRatio, m.FootStiffness)
	add("top warmer than bottom by", Kelvin, m.Gradient)
	return t
}

func told(yes bool) mark {
	if yes {
		return "told"
	}
	return "not told"
}

func footHeightTable(m *Match) table {
	t := table{caption: say("Feet as the surveys tell them"), head: []prose{say("Foot"), say("Height, ", unitOf(Height)), say("95\u00a0% from"), say("to"), say("Told?"), say("Carries"), say("Load, ", unitOf(Force))}}
	for _, f := range m.Feet {
		load := say(bare(Force, f.Load[0]), " (", bare(Force, f.Load[1]), " to ", bare(Force, f.Load[2]), ")")
		t.add(f.Name, raised(f.Height), raised(f.Low), raised(f.High), told(f.Told), q(PlainShare, f.Carries), load)
	}
	return t
}

// raised is a height with its sign, under a heading that names its unit.
func raised(v float64) quantity { return quantity{kind: Height, value: v, bare: true, signed: true} }

// doubtTables says what the surveys leave open: which feet hang, which unknowns
// go together, what known moves did, and what to measure next.
func doubtTables(m *Match) []table {
	var out []table
	keep := func(t table) {
		if len(t.rows) > 0 {
			out = append(out, t)
		}
	}
	sets := table{caption: say("Which feet may hang free"), head: []prose{say("Hanging"), say("How likely")}}
	for _, c := range m.Sets[:min(len(m.Sets), 6)] {
		hanging := list(c.Hanging)
		if hanging == "" {
			hanging = "none"
		}
		sets.add(hanging, q(PlainShare, c.Probability))
	}
	keep(sets)
	tied := table{caption: say("What these surveys cannot tell apart"), head: []prose{say("This"), say("and this"), say("Correlation")}}
	for _, c := range m.Tied[:min(len(m.Tied), 6)] {
		tied.add(c.A, c.B, q(PlainRatio, c.Correlation))
	}
	keep(tied)
	moved := table{caption: say("What known moves did at their feet, ", unitOf(Height)), head: []prose{say("Foot"), say("Survey"), say("Raised"), say("Expected"), say("±\u00a0(95\u00a0%)"), say("Seen")}}
	for _, r := range m.Responses {
		moved.add(r.Foot, r.Survey, raised(r.Raise), raised(r.Predicted), bareGive(Height, r.Sigma), raised(r.Observed))
	}
	keep(moved)
	next := table{caption: say("What to measure next"), head: []prose{say("Do"), say("Tells, bits")}}
	for _, a := range m.Advice {
		next.add(a.prose(), q(PlainRatio, a.Bits))
	}
	keep(next)
	return out
}

// prose says what the advice asks for.
func (a Advice) prose() prose {
	switch {
	case a.Feel:
		return say("Feel whether foot ", a.Foot, " is loose or tight and add a [[felt]].")
	case a.Other != "":
		return say("Survey the standing “", a.Other, "”.")
	case a.Raise < 0:
		return say("Lower foot ", a.Foot, " by ", q(Height, -a.Raise), ", survey again and add a [[move]].")
	}
	return say("Raise foot ", a.Foot, " by ", q(Height, a.Raise), ", survey again and add a [[move]].")
}
