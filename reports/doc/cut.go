package doc

import (
	"math"
	"slices"

	"footwork/beam/shape"
	"footwork/internal/unit"
	"footwork/reports"
)

func (j job) cut(v reports.Cut) section {
	s := section{Title: "What to cut", Answer: cutAnswer(v)}
	s.add(j.cutCurves(say("Depth to come off ", StateWords(v.State)), v.Ways))
	if v.AfterMoves != nil {
		s.add(j.cutCurves(say("Depth to come off ", StateWords(reports.Planned)), v.AfterMoves.Ways))
	}
	s.add(cutTable(v), sinkWords(v), routeTable(v.Routes), firstWords(v.First), say("Metal does not go back: ", cutAdvice(v), "."))
	ways, when := toScrape(v)
	for _, w := range ways {
		s.add(j.cutMap(w, when, v), afterMap(w, when, v.Until))
	}
	s.add(fitWords(v.PrintsFit), stationWords(v.Stations), astrideWords(v.Astride, ways))
	return s
}

func cutAdvice(v reports.Cut) string {
	switch {
	case v.State == reports.Given:
		return "this is the bed as drawn, so survey it and see to its feet before anything is cut"
	case v.AfterMoves == nil:
		return "no move of the feet helps, so read again before the first cut"
	}
	return "move the feet first, read again, then cut"
}

func cutAnswer(v reports.Cut) Text {
	out := say(capitalise(StateWords(v.State)), " ", cutWords(v.Ways, v.DepthPerPass))
	if v.AfterMoves != nil {
		out = append(out, "; after turning ", cutWords(v.AfterMoves.Ways, v.DepthPerPass))
	}
	return append(out, ".")
}

// cutWords returns "3.4 ml of metal is left to cut, about 12.0 h".
func cutWords(ways []reports.CutWay, perPass float64) Text {
	metal, work, passes := 0.0, 0.0, 0.0
	for _, w := range ways {
		metal, work, passes = metal+w.Volume, work+w.Hours, passes+w.Passes
	}
	out := say(q(volume, metal), " of metal is left to cut")
	switch {
	case work > 0:
		return append(out, ", about ", q(hours, work*3600))
	case perPass > 0 && passes == 0 && metal > 0:
		return say("no more stands than may be left (", q(volume, metal), " above the lowest line)")
	}
	return out
}

func (j job) cutCurves(title Text, ways []reports.CutWay) *Curves {
	c := j.alongBed(title, "")
	c.Y.Name = "depth"
	for i, w := range ways {
		c.Series = append(c.Series, Series{Name: flankName(w.Name, w.Flank), Style: wayStyles[i%len(wayStyles)], X: w.X, Y: w.Depth})
	}
	return c
}

func cutTable(v reports.Cut) *Table {
	t := newTable("What is left to cut (in brackets: as far as is known)", "way", "when", column("deepest", Height), column("volume", volume), "passes", "hours")
	addCuts(t, StateWords(v.State), v.Ways)
	if v.AfterMoves != nil {
		addCuts(t, StateWords(reports.Planned), v.AfterMoves.Ways)
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
			cell(volume, w.Volume, func(r reports.CutRange) [2]float64 { return r.Volume }),
			cell(whole, w.Passes, func(r reports.CutRange) [2]float64 { return r.Passes }),
			cell(hours, w.Hours*3600, func(r reports.CutRange) [2]float64 { return [2]float64{r.Hours[0] * 3600, r.Hours[1] * 3600} }))
	}
}

// flankName returns the name of a way for a table, or of one flank of it.
func flankName(way string, flank int) string {
	return way + map[int]string{1: ", flank −", 2: ", flank +"}[flank]
}

// sinkWords says how far the table comes down, and what of one face asks what of another.
func sinkWords(v reports.Cut) Text {
	sink, ways := v.Sink, v.Ways
	if v.AfterMoves != nil {
		sink, ways = v.AfterMoves.Sink, v.AfterMoves.Ways
	}
	line := pick(v.Datum, "Cut along where metal is unworn", "Cut to the lowest line, for no datum says where metal is unworn,")
	out := say(line, " the table comes down ", q(Height, sink.Bed), " on the mean", also(sink.Table != 0, ", with its own ways and liners ", q(Height, sink.Bed+sink.Table), " in all"))
	switch {
	case sink.Left == nil:
		out = append(out, ": rack, nut and keeps must still reach.")
	case *sink.Left < 0:
		out = append(out, ": ", q(Height, -*sink.Left), " more than rack, nut and keeps reach.")
	default:
		out = append(out, ": rack, nut and keeps reach ", q(Height, *sink.Left), " further.")
	}
	return append(append(out, skimWords(ways)...), pairWords(v.Pair)...)
}

// pairWords says how ways that carry one table hang together while they are cut.
func pairWords(p *reports.CutPair) Text {
	if p == nil {
		return nil
	}
	names := each(p.Ways, func(w string) Text { return say(w) })
	out := say(" The ", joined(names), " ways are cut each by itself, for no survey across ties them: how what rides on them then leans is not known")
	if p.Tied {
		out = say(" The ", joined(names), " ways are cut to one plane")
	}
	out = append(out, also(p.Lean > 0, "; a pass over one of them alone leans it by ", fall(p.Lean, p.Gauge)))
	out = append(out, also(p.Twist > 0, ", of ", fall(p.Twist, p.Gauge), " asked for"))
	return append(out, ".")
}

// skimWords says what a vee loses when what rides on it comes down: flats and vees are cut
// as a pair.
func skimWords(ways []reports.CutWay) (out Text) {
	for k, w := range ways {
		if w.Skim > 0 && w.Flank == 2 && k > 0 {
			out = append(out, say(" Of what the table comes down the ", w.Name, " way loses ", q(percent, ways[k-1].Skim), " and ", q(percent, w.Skim), " square to its flanks, a flat all of it.")...)
		}
	}
	return out
}

// firstWords is what comes before the first pass while feet or metal is open.
func firstWords(first []reports.Advice) Block {
	l := List{Title: "Before the first pass: the surveys cannot tell feet from metal", Numbered: true}
	l.Items = each(first, func(a reports.Advice) Text {
		return say(adviceWords(a), " (", count(int(math.Round(a.Minutes))), " min)")
	})
	return l
}

// toScrape returns what the map is of: after the moves where there are any.
func toScrape(v reports.Cut) (ways []reports.CutWay, when string) {
	if v.AfterMoves != nil {
		return v.AfterMoves.Ways, StateWords(reports.Planned)
	}
	return v.Ways, StateWords(v.State)
}

// chalked returns how a place is marked on the casting: a length from the end that is
// counted from, or the number of a mark and what is beyond it.
func (j job) chalked(c reports.Chalk, x float64) Text {
	if c.FromRight {
		x = j.Bed.Length - x
	}
	if !numbered(c) {
		return say(bare(Spot, x))
	}
	n := math.Floor(x/c.Every + 1e-9)
	return say(count(int(n)), " + ", bare(Spot, max(0, x-n*c.Every)))
}

// numbered tells whether marks are numbers; nobody chalks them closer than a millimetre.
func numbered(c reports.Chalk) bool { return c.Every >= 1e-3 }

func chalkHead(c reports.Chalk, what string) Text {
	if numbered(c) {
		return say(what, ", mark + ", UnitOf(Spot))
	}
	return say(what, ", ", UnitOf(Spot))
}

// cutMap lists where to scrape, pass by pass, and what shows then.
func (j job) cutMap(w reports.CutWay, when string, v reports.Cut) *Table {
	title := say("Where to scrape ", faceName(w.Name, w.Flank), " ", when, ", ", q(Height, v.DepthPerPass), " a pass", also(v.Chalk.FromRight, ", from the right end"))
	t := newTable(title, "pass", chalkHead(v.Chalk, "from"), chalkHead(v.Chalk, "to"), "marks", column("out then", Height), "prints then")
	last := 0
	for _, r := range w.Map {
		from, to := r.From, r.To
		if v.Chalk.FromRight {
			from, to = to, from
		}
		row := []any{"", j.chalked(v.Chalk, from), j.chalked(v.Chalk, to), "", "", ""}
		if r.Pass != last {
			row[0], row[3] = count(r.Pass), pick(r.Against, "across the last", "one way")
			if k := r.Pass - 1; k >= 0 && k < len(w.Shows) {
				row[4], row[5] = bare(Height, w.Shows[k].Zone), j.shownWords(w.Shows[k])
			}
			last = r.Pass
		}
		t.add(row...)
	}
	switch {
	case len(w.Shows) == 0:
		return t.drop(5).drop(4)
	case w.Shows[0].Master == "":
		return t.drop(5)
	}
	return t
}

// shownWords is the share of the way that prints.
func (j job) shownWords(s reports.CutShow) any {
	long := total(s.Prints, func(p shape.Span) float64 { return p.To - p.From })
	if s.Master == "" || j.Bed.Length == 0 {
		return ""
	}
	return q(percent, min(1, long/j.Bed.Length))
}

// afterMap says when to look again and where the survey supports no cut.
func afterMap(w reports.CutWay, when string, until float64) Text {
	var out Text
	switch {
	case len(w.Map) == 0 && w.Passes > 0: // drawn without passes, or where nothing can be told
	case len(w.Map) == 0:
		out = say("Nothing is to be scraped on ", faceName(w.Name, w.Flank), " ", when, ": no more stands than may be left.")
	default:
		out = say("Print each pass and lay the level on the marks; ")
		if len(w.SurveyAfter) > 0 {
			at := each(w.SurveyAfter, func(n int) Text { return say(count(n)) })
			out = append(out, "survey in full after pass ", joined(at), ", and ")
		}
		out = append(out, "survey in full at the end: the map is made anew with every survey, and with every pass that the log has.")
		out = append(out, also(until > 0, " It ends where no more than ", q(Height, until), " is left out of straight.")...)
	}
	out = append(out, stretches(" Stone it, wipe it and print again before anything is cut there: ", unnamed(w.PrintAgain))...)
	return append(append(out, stretches(" Nothing is cut where the survey cannot say whether metal stands high: ", unnamed(w.CannotTell))...), stretches(" Left out: ", w.LeftOut)...)
}

func unnamed(list []shape.Span) []reports.NamedSpan {
	return each(list, func(s shape.Span) reports.NamedSpan { return reports.NamedSpan{Span: s} })
}

// stretches lists stretches along the bed after a word; nothing of none.
func stretches(word string, list []reports.NamedSpan) Text {
	var parts []Text
	for _, s := range list {
		one := say(q(Spot, s.From), " to ", q(Spot, s.To))
		if s.Name != "" {
			one = say(s.Name, " ", one)
		}
		parts = append(parts, one)
	}
	if parts == nil {
		return nil
	}
	return say(word, joined(parts), ".")
}

// fitWords says what prints did to the map.
func fitWords(share float64) Text {
	if share == 0 {
		return nil
	}
	return say("The map is that of the beds that would have printed as the log says, ", q(percent, share), " of those that the surveys leave possible. A print tells only forms shorter than its master: how far out of straight the way is in the long, it does not change.")
}

// stationWords asks for closer stations.
func stationWords(s *reports.Stations) Text {
	if s == nil {
		return nil
	}
	return say("The survey's stations stand ", q(Spot, s.Apart), " apart; for stretches as short as the map's set them ", q(Spot, s.Wants), " apart. Further apart it takes more passes, and what stands between them only the blue shows.")
}

// astrideWords says what a pass does to the instrument at its marks.
func astrideWords(a *reports.Astride, ways []reports.CutWay) Text {
	if a == nil || !mapDrawn(ways) {
		return nil
	}
	return say("With one foot on either side of a mark the instrument of ", quoted(a.Survey), " (", q(Spot, a.Base), ") reads ", reading(a.Change, a.Unit),
		" less at the left end of a pass, and as much more at its right end. If it reads otherwise, write how deep the pass went behind it in the log: “2 passes, ", q(Height, 6e-6), "”.")
}

// mapDrawn tells whether there is anything to scrape.
func mapDrawn(ways []reports.CutWay) bool {
	return slices.ContainsFunc(ways, func(w reports.CutWay) bool { return len(w.Map) > 0 })
}

// routeTable sets the ways to go on beside one another.
func routeTable(routes []reports.Route) *Table {
	t := newTable("Ways to go on", "to do", column("leaves out of straight", Height), "hours at the scraper")
	for _, r := range routes {
		t.add(r.Name, bare(Height, r.Zone), bare(hours, r.Hours*3600))
	}
	return t
}
