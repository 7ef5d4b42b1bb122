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
	s.add(cutTable(v), routeTable(v.Routes), say("Metal does not go back: ", cutAdvice(v), "."))
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
		t.add(w.Name, when, bare(Height, largest(w.Depth)),
			cell(Volume, w.Volume, func(r reports.CutRange) [2]float64 { return r.Volume }),
			cell(Count, w.Passes, func(r reports.CutRange) [2]float64 { return r.Passes }),
			cell(Hours, w.Hours*3600, func(r reports.CutRange) [2]float64 { return [2]float64{r.Hours[0] * 3600, r.Hours[1] * 3600} }))
	}
}

// routeTable sets the ways to go on beside one another.
func routeTable(routes []reports.Route) *Table {
	t := newTable(say("Ways to go on"), say("to do"), say("leaves out of straight, ", UnitOf(Height)), say("hours at the scraper"))
	for _, r := range routes {
		t.add(r.Name, bare(Height, r.Zone), bare(Hours, r.Hours*3600))
	}
	return t
}
