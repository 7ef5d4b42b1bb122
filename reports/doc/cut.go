package doc

import (
	"footwork/internal/unit"
	"footwork/reports"
)

func (j Job) cut(v reports.Cut) Section {
	s := Section{Title: "What to cut", Answer: cutAnswer(v)}
	s.add(j.cutCurves("cut", say("Depth to come off as it stands"), v.Ways))
	if v.AfterMoves != nil {
		s.add(j.cutCurves("cut-after", say("Depth to come off after turning"), v.AfterMoves.Ways))
	}
	s.add(cutTable(v), sinkWords(v), routeTable(v.Routes), say("Metal does not go back: ", cutAdvice(v), "."))
	ways, when := v.Ways, "as it stands"
	if v.AfterMoves != nil {
		ways, when = v.AfterMoves.Ways, "after turning"
	}
	for _, w := range ways {
		s.add(cutMap(w, when, v.DepthPerPass), afterMap(w))
	}
	return s
}

func cutAdvice(v reports.Cut) string {
	if v.AfterMoves == nil {
		return "no move of the feet helps, so read again before the first cut"
	}
	return "move the feet first, read again, then cut"
}

func cutAnswer(v reports.Cut) Text {
	out := append(say("As it stands "), cutWords(v.Ways)...)
	if v.AfterMoves != nil {
		out = append(append(out, "; after turning "), cutWords(v.AfterMoves.Ways)...)
	}
	return append(out, ".")
}

// cutWords returns "3.4 ml of metal is left to cut, about 12.0 h".
func cutWords(ways []reports.CutWay) Text {
	volume, hours := 0.0, 0.0
	for _, w := range ways {
		volume, hours = volume+w.Volume, hours+w.Hours
	}
	return say(q(Volume, volume), " of metal is left to cut, about ", q(Hours, hours*3600))
}

func (j Job) cutCurves(id string, title Text, ways []reports.CutWay) *Curves {
	c := j.alongBed(id, title)
	c.Y.Name = "depth"
	for i, w := range ways {
		c.Series = append(c.Series, Series{Name: w.Name, Style: wayStyles[i%len(wayStyles)], X: w.X, Y: w.Depth})
	}
	return c
}

func cutTable(v reports.Cut) *Table {
	t := newTable(say("What is left to cut (in brackets: as far as is known)"), say("way"), say("when"), say("deepest, ", UnitOf(Height)), say("volume, ", UnitOf(Volume)),
		say("passes"), say("hours"))
	addCuts(t, "now", v.Ways)
	if v.AfterMoves != nil {
		addCuts(t, "after", v.AfterMoves.Ways)
	}
	return t
}

func addCuts(t *Table, when string, ways []reports.CutWay) {
	for _, w := range ways {
		cell := func(k Kind, v float64, lowHigh func(reports.CutRange) [2]float64) any {
			if w.Range == nil {
				return bare(k, v)
			}
			r := lowHigh(*w.Range)
			if d := k.In(unit.Metric); d.Number(r[0]) == d.Number(r[1]) {
				return bare(k, v)
			}
			return say(bare(k, v), " (", bare(k, r[0]), " to ", bare(k, r[1]), ")")
		}
		t.add(say(flankName(w.Name, w.Flank)), when, bare(Height, largest(w.Depth)),
			cell(Volume, w.Volume, func(r reports.CutRange) [2]float64 { return r.Volume }),
			cell(Count, w.Passes, func(r reports.CutRange) [2]float64 { return r.Passes }),
			cell(Hours, w.Hours*3600, func(r reports.CutRange) [2]float64 { return [2]float64{r.Hours[0] * 3600, r.Hours[1] * 3600} }))
	}
}

// flankName returns the name of a way for a table, or of one flank of it.
func flankName(way string, flank int) string {
	return way + map[int]string{1: ", flank −", 2: ", flank +"}[flank]
}

// sinkWords says how far the table comes down by the cut.
func sinkWords(v reports.Cut) Text {
	sink := v.Sink
	if v.AfterMoves != nil {
		sink = v.AfterMoves.Sink
	}
	return say("By this cut the table comes down ", q(Height, sink), " on the mean: rack, nut and keeps must still reach.")
}

// cutMap lists where to scrape, pass by pass.
func cutMap(w reports.CutWay, when string, perPass float64) *Table {
	t := newTable(say("Where to scrape ", faceName(w.Name, w.Flank), " ", when, ", ", q(Height, perPass), " a pass"), say("pass"), say("from, ", UnitOf(Spot)), say("to, ", UnitOf(Spot)), say("marks"))
	last := 0
	for _, r := range w.Map {
		pass, marks := any(""), ""
		if r.Pass != last {
			pass, marks = any(count(r.Pass)), map[bool]string{true: "across the last", false: "one way"}[r.Against]
			last = r.Pass
		}
		t.add(pass, bare(Spot, r.From), bare(Spot, r.To), marks)
	}
	return t
}

// afterMap says when to look again and where the survey supports no cut.
func afterMap(w reports.CutWay) Text {
	if len(w.Map) == 0 && len(w.CannotTell) == 0 {
		return nil
	}
	out := say("Print each pass and lay the level on the marks; ")
	if len(w.SurveyAfter) > 0 {
		var at []Text
		for _, n := range w.SurveyAfter {
			at = append(at, say(count(n)))
		}
		out = append(out, "survey in full after pass ", joined(at), ", and ")
	}
	out = append(out, "survey in full at the end: the map is made anew with every survey.")
	for i, r := range w.CannotTell {
		if i == 0 {
			out = append(out, " Nothing is cut where it cannot be told whether metal stands high: ")
		} else {
			out = append(out, ", ")
		}
		out = append(out, q(Spot, r[0]), " to ", q(Spot, r[1]))
	}
	if len(w.CannotTell) > 0 {
		out = append(out, ".")
	}
	return out
}

// routeTable sets the ways to go on beside one another.
func routeTable(routes []reports.Route) *Table {
	t := newTable(say("Ways to go on"), say("to do"), say("leaves out of straight, ", UnitOf(Height)), say("hours at the scraper"))
	for _, r := range routes {
		t.add(r.Name, bare(Height, r.Zone), bare(Hours, r.Hours*3600))
	}
	return t
}
