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
	s.add(j.cutCurves(say("Depth to come off {}", StateWords(v.State)), v.Ways))
	if v.AfterMoves != nil {
		s.add(j.cutCurves(say("Depth to come off {}", StateWords(reports.Planned)), v.AfterMoves.Ways))
	}
	s.add(cutTable(v), sinkWords(v), routeTable(v.Routes), firstWords(v.First), say("Metal does not go back: {}.", cutAdvice(v)))
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
	var after Text
	if v.AfterMoves != nil {
		after = say("; after turning {}", cutWords(v.AfterMoves.Ways, v.DepthPerPass))
	}
	return say("{} {}{}.", capitalise(StateWords(v.State)), cutWords(v.Ways, v.DepthPerPass), after)
}

// cutWords returns "3.4 ml of metal is left to cut, about 12.0 h".
func cutWords(ways []reports.CutWay, perPass float64) Text {
	metal, work, passes := 0.0, 0.0, 0.0
	for _, w := range ways {
		metal, work, passes = metal+w.Volume, work+w.Hours, passes+w.Passes
	}
	if work <= 0 && perPass > 0 && passes == 0 && metal > 0 {
		return say("no more stands than may be left ({volume} above the lowest line)", metal)
	}
	return say("{volume} of metal is left to cut{}", metal, also(work > 0, ", about {hours}", work*3600))
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
	t := newTable("What is left to cut (in brackets: as far as is known)", "way", "when", "deepest, {unit height}", "volume, {unit volume}", "passes", "hours")
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
			return say("{} ({} to {})", bare(k, v), bare(k, r[0]), bare(k, r[1]))
		}
		t.add(Text{flankName(w.Name, w.Flank)}, when, bare(Height, largest(w.Depth)),
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
	reach := say(": rack, nut and keeps must still reach.")
	if sink.Left != nil {
		reach = pick(*sink.Left < 0, say(": {height} more than rack, nut and keeps reach.", -*sink.Left), say(": rack, nut and keeps reach {height} further.", *sink.Left))
	}
	return say("{} the table comes down {height} on the mean{}{}{}{}", line, sink.Bed, also(sink.Table != 0, ", with its own ways and liners {height} in all", sink.Bed+sink.Table),
		reach, skimWords(ways), pairWords(v.Pair))
}

// pairWords says how ways that carry one table hang together while they are cut.
func pairWords(p *reports.CutPair) Text {
	if p == nil {
		return nil
	}
	cut := pick(p.Tied, "to one plane", "each by itself, for no survey across ties them: how what rides on them then leans is not known")
	return say(" The {} ways are cut {}{}{}.", joined(plainly(p.Ways)), cut, also(p.Lean > 0, "; a pass over one of them alone leans it by {}", fall(p.Lean, p.Gauge)),
		also(p.Twist > 0, ", of {} asked for", fall(p.Twist, p.Gauge)))
}

// skimWords says what a vee loses when what rides on it comes down: flats and vees are cut
// as a pair.
func skimWords(ways []reports.CutWay) (out Text) {
	for k, w := range ways {
		if w.Skim > 0 && w.Flank == 2 && k > 0 {
			out = append(out, say(" Of what the table comes down the {} way loses {percent} and {percent} square to its flanks, a flat all of it.", w.Name, ways[k-1].Skim, w.Skim)...)
		}
	}
	return out
}

// firstWords is what comes before the first pass while feet or metal is open.
func firstWords(first []reports.Advice) Block {
	items := each(first, func(a reports.Advice) Text { return say("{} ({count} min)", adviceWords(a), math.Round(a.Minutes)) })
	return List{Title: "Before the first pass: the surveys cannot tell feet from metal", Numbered: true, Items: items}
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
		return say("{bare spot}", x)
	}
	n := math.Floor(x/c.Every + 1e-9)
	return say("{count} + {bare spot}", n, max(0, x-n*c.Every))
}

// numbered tells whether marks are numbers; nobody chalks them closer than a millimetre.
func numbered(c reports.Chalk) bool { return c.Every >= 1e-3 }

func chalkHead(c reports.Chalk, what string) Text {
	return say("{}, {}{unit spot}", what, pick(numbered(c), "mark + ", ""))
}

// cutMap lists where to scrape, pass by pass, and what shows then.
func (j job) cutMap(w reports.CutWay, when string, v reports.Cut) *Table {
	title := say("Where to scrape {} {}, {height} a pass{}", faceName(w.Name, w.Flank), when, v.DepthPerPass, also(v.Chalk.FromRight, ", from the right end"))
	t := newTable(title, "pass", chalkHead(v.Chalk, "from"), chalkHead(v.Chalk, "to"), "marks", "out then, {unit height}", "prints then")
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
				row[4], row[5] = bare(Height, w.Shows[k].Zone), j.shownWords(w, w.Shows[k])
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

// shownWords is the share that prints of what of the way bears.
func (j job) shownWords(w reports.CutWay, s reports.CutShow) any {
	all := bearing(0, j.Bed.Length, w.LeftOut)
	if s.Master == "" || all <= 0 {
		return ""
	}
	return q(percent, min(1, total(s.Prints, length)/all))
}

// afterMap says when to look again and where the survey supports no cut.
func afterMap(w reports.CutWay, when string, until float64) Text {
	var out Text
	switch {
	case len(w.Map) == 0 && w.Passes > 0: // drawn without passes, or where nothing can be told
	case len(w.Map) == 0:
		out = say("Nothing is to be scraped on {} {}: no more stands than may be left.", faceName(w.Name, w.Flank), when)
	default:
		at := each(w.SurveyAfter, func(n int) Text { return say("{count}", n) })
		out = say("Print each pass and lay the level on the marks; {}survey in full at the end: the map is made anew with every survey, and with every pass that the log has.{}",
			also(at != nil, "survey in full after pass {}, and ", joined(at)), also(until > 0, " It ends where no more than {height} is left out of straight.", until))
	}
	return slices.Concat(out, stretches(" Stone it, wipe it and print again before anything is cut there: ", unnamed(w.PrintAgain)),
		stretches(" Nothing is cut where the survey cannot say whether metal stands high: ", unnamed(w.CannotTell)), stretches(" Left out: ", w.LeftOut))
}

func unnamed(list []shape.Span) []reports.NamedSpan {
	return each(list, func(s shape.Span) reports.NamedSpan { return reports.NamedSpan{Span: s} })
}

// stretches lists stretches along the bed after a word; nothing of none.
func stretches(word string, list []reports.NamedSpan) Text {
	parts := each(list, func(s reports.NamedSpan) Text {
		return say("{}{spot} to {spot}", also(s.Name != "", "{} ", s.Name), s.From, s.To)
	})
	return also(parts != nil, "{}{}.", word, joined(parts))
}

// fitWords says what prints did to the map.
func fitWords(share float64) Text {
	return also(share > 0, "The map is that of the beds that would have printed as the log says, {percent} of those that the surveys leave possible. A print tells only forms "+
		"shorter than its master: how far out of straight the way is in the long, it does not change.",
		share)
}

// stationWords asks for closer stations.
func stationWords(s *reports.Stations) Text {
	if s == nil {
		return nil
	}
	return say("The survey's stations stand {spot} apart; for stretches as short as the map's set them {spot} apart. Further apart it takes more passes, and what stands between them only the blue shows.",
		s.Apart, s.Wants)
}

// astrideWords says what a pass does to the instrument at its marks.
func astrideWords(a *reports.Astride, ways []reports.CutWay) Text {
	if a == nil || !mapDrawn(ways) {
		return nil
	}
	return say("With one foot on either side of a mark the instrument of “{}” ({spot}) reads {} less at the left end of a pass, and as much more at its right end. If "+
		"it reads otherwise, write how deep the pass went behind it in the log: “2 passes, {height}”.",
		a.Survey, a.Base, reading(a.Change, a.Unit), 6e-6)
}

// mapDrawn tells whether there is anything to scrape.
func mapDrawn(ways []reports.CutWay) bool {
	return slices.ContainsFunc(ways, func(w reports.CutWay) bool { return len(w.Map) > 0 })
}

// routeTable sets the ways to go on beside one another.
func routeTable(routes []reports.Route) *Table {
	t := newTable("Ways to go on", "to do", "leaves out of straight, {unit height}", "hours at the scraper")
	for _, r := range routes {
		t.add(r.Name, bare(Height, r.Zone), bare(hours, r.Hours*3600))
	}
	return t
}
