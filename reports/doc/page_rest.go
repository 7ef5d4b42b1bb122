package doc

import (
	"cmp"
	"slices"
	"strings"

	"gonum.org/v1/gonum/floats"

	"footwork/beam/shape"
	"footwork/reports"
	"footwork/survey"
)

// parts is section 3: what is feet and what is metal.
func (j job) parts() section {
	s := section{ID: "parts", Title: "Feet or metal"}
	if j.Match == nil {
		return section{}
	}
	m := *j.Match
	s.Answer = append(j.shareAnswer(m), hangingWords(m)...)
	s.add(notes(m.Warnings))
	s.add(nextWords(m))
	if how := onThree("", m.Advice); how != nil {
		s.add(Fold{Title: howThree, Blocks: append(how, Caution{cautions[0]})})
	}
	picture := []Block{shareRanges(m)}
	for _, w := range m.Ways {
		c, small := j.partsOf(m, w)
		picture = append(picture, c, small)
	}
	s.add(Pair{Picture: said(picture...), Beside: said(heightTable(m), neighbourWords(m), learntTable(m), j.elsewhere())})
	s.add(Fold{Title: "More of what the surveys say and cannot say", Blocks: said(partTable(m), carriedTable(m), setTable(m))})
	return s
}

func shareRanges(v reports.Match) *Ranges {
	rows := each(v.Shares, func(e reports.Share) Range {
		return Range{Name: Text{cmp.Or(partNames[e.Part], e.Part)}, Value: e.Value, Low: e.Low, High: e.High, Note: say("{bare height} {± height}", e.Value, e.Wide)}
	})
	return &Ranges{Title: say("Where the {height} of the {} way come from (95\u00a0%)", v.Zone, v.ZoneWay), Rows: rows}
}

// partsOf draws the parts of one way that say something, and names the rest.
func (j job) partsOf(m reports.Match, w reports.WayParts) (*Curves, Text) {
	c := j.alongBed(say("{} way as found, in its parts, about the line through the ends", capitalise(w.Name)), m.Standing)
	c.curve("measured", Before, w.X, w.Measured)
	c.curve("form in the metal", First, w.X, w.Form).band(w.FormSigma)
	limit := shape.Zone(w.X, w.Measured)
	if j.Goal != nil && j.Goal.Tolerance > 0 {
		limit = j.Goal.Tolerance
	}
	var little []Text
	for k, y := range [][]float64{w.Feet, w.Sag, w.Heat, w.Form, w.Rest} {
		e := w.Zones[k]
		name := pick(e.Part == "rest", "what fits none", e.Part)
		switch {
		case name == "metal":
		case shape.Zone(w.X, y) > 0.1*limit:
			c.curve(name, []Style{Second, Quiet, Third}[min(2, len(c.Series)-2)], w.X, y)
		default:
			little = append(little, say("{} {height} {± height}", name, e.Value, e.Wide))
		}
	}
	return c, also(little != nil, "Not drawn on the {} way, under a tenth of what matters: {}.", w.Name, joined(little))
}

// elsewhere says what moving the bed and heat do to a bed without fault.
func (j job) elsewhere() Text {
	var moved, warmed Text
	if c := j.Change; c != nil {
		moved = say("Moving it from “{}” to “{}” alone, {}: {}. ", c.From, c.To, StateWords(c.State), joined(waysOut("goes", c.X, c.Ways)))
	}
	if h := j.Heat; h != nil && len(h.Ways) > 0 {
		warmed = say("A top warmer than the bottom by {kelvin} bows the ways by {height}.", 1., h.Ways[0].Straightness.MinimumZone)
	}
	return slices.Concat(moved, warmed)
}

// measured is section 4.
func (j job) measured() section {
	s := section{ID: "measured", Title: "What was measured"}
	if j.Survey == nil || len(j.Survey.Surveys) == 0 {
		return section{}
	}
	v := *j.Survey
	s.Answer = j.surveyAnswer(latest(v))
	for _, p := range v.Surveys {
		s.add(notes(p.Warnings))
	}
	var runs []Block
	s.add(j.profiles(v)...)
	for _, h := range v.History {
		s.add(historyTable(h), historyWords(h))
	}
	tables := said(surveyTable(v))
	for _, p := range v.Surveys {
		tables = append(tables, stationTable(p))
		if c := j.runCurves(p); c != nil {
			runs = append(runs, c)
		}
	}
	s.add(Fold{Title: "In figures: about each reference line, and every station", Blocks: tables}, Fold{Title: "How the runs differ from their mean", Blocks: runs})
	return s
}

// latest returns the last survey of each subject.
func latest(v reports.Survey) (out reports.Survey) {
	last := map[survey.Subject]int{}
	for i, p := range v.Surveys {
		last[p.Subject] = i
	}
	for i, p := range v.Surveys {
		if last[p.Subject] == i {
			out.Surveys = append(out.Surveys, p)
		}
	}
	return out
}

func (j job) runCurves(p reports.SurveyProfile) *Curves {
	if len(p.Runs) < 2 {
		return nil
	}
	c := j.alongBed(say("“{}”: each run less their mean", p.Name), "")
	c.Small = true
	c.Y = Axis{Name: "reading", Kind: Reading, Unit: p.Runs[0].Unit}
	for i, r := range p.Runs {
		c.Series = append(c.Series, Series{Name: r.Name, Style: []Style{First, Second, Quiet, Third}[i%4], X: r.X, Y: r.Value})
	}
	return c
}

// journey is section 5: what travels.
func (j job) journey() section {
	return section{ID: "journey", Title: "What travels", Blocks: said(j.byState(func(st reports.PageState) []Block {
		if st.Travel == nil {
			return nil
		}
		t := *st.Travel
		return []Block{Lead(j.travelAnswer(t)), notes(t.Warnings), Pair{Picture: said(j.workOnBed(t), j.journeyBars(t)), Beside: said(j.travelLoads(t))}}
	}))}
}

// workOnBed draws the work under the tool over the place of the table's middle,
// so that a hump stands over its foot.
func (j job) workOnBed(t reports.Travel) *Curves {
	c := j.alongBed(say("Height of the work under the tool {}, over the table's middle", StateWords(t.State)), t.Standing)
	c.Small, c.Series = true, j.workCurves(t).Series
	for i := range c.Series {
		if s := &c.Series[i]; j.Table != nil {
			s.X = slices.Clone(s.X)
			floats.AddConst(j.Table.Length/2, s.X)
		}
	}
	return c
}

// journeyBars draws each foot's load from least to most over the journey.
func (j job) journeyBars(t reports.Travel) *Bars {
	st := j.standing(t.Standing)
	if st == nil || len(t.Feet) != len(st.Feet) || len(t.Feet) == 0 {
		return nil
	}
	sum := 0.0
	feet := make([]reports.FootLoad, len(st.Feet))
	for f, foot := range st.Feet {
		least, most := extremes(t, f)
		feet[f] = reports.FootLoad{Name: foot.Name, At: foot.At, Offset: foot.Offset, Low: t.FootLoads[least][f], High: t.FootLoads[most][f]}
		sum += t.FootLoads[0][f]
	}
	least := j.light(sum, len(feet))
	return j.bars(say("Each foot's load from least to most over the journey, {}", StateWords(t.State)), travelForce(t), sum, feet, func(_ int, bar *Bar) {
		bar.Journey = true
		switch {
		case bar.Low <= 0:
			bar.State = "hangs"
		case bar.Low < least:
			bar.State = "light"
		}
	})
}

// placed is section 6: where feet would be better.
func (j job) placed() section {
	v := j.Place
	if v == nil || len(v.Placements) == 0 {
		return section{}
	}
	s := j.place(*v)
	s.ID, s.Blocks = "place", nil
	s.add(notes(v.Warnings))
	var plans []Block
	for i, p := range v.Placements {
		d := j.bedPlan()
		d.Small, d.Weights = true, nil
		d.Title = say("{}: {height}{}", footCountWords(p), p.Zone, also(i == v.Recommended, ", recommended"))
		for _, f := range p.Feet {
			foot := PlanFoot{At: f.At, Offset: f.Offset}
			if f.Offset >= 0 {
				foot.Label = say("{bare spot}", f.At)
			}
			d.Feet = append(d.Feet, foot)
		}
		plans = append(plans, d)
	}
	s.add(say("Each number of feet where it stands best, and how far out of straight the ways then go over the table's whole travel:"), Tiles(plans), placeTable(*v), loadCaution)
	return s
}

// left is section 7: what to cut.
func (j job) left() section {
	v := j.Cut
	if v == nil {
		return section{}
	}
	s := section{ID: "cut", Title: "What to cut", Answer: cutAnswer(*v)}
	s.add(notes(v.Warnings))
	passes := func(when string, ways []reports.CutWay, states ...reports.State) part {
		return part{States: states, Blocks: []Block{j.passes(say("Where to scrape, pass by pass, {}", when), *v, ways)}}
	}
	choice := Choice{passes("as found", v.Ways, reports.Found), {States: []reports.State{reports.Given}, Blocks: []Block{say("As drawn nothing is left to cut: a survey says what comes off.")}}}
	if v.AfterMoves == nil {
		choice[0].States = append(choice[0].States, reports.Planned)
	} else {
		choice = append(choice, passes("after turning", v.AfterMoves.Ways, reports.Planned))
	}
	s.add(firstWords(v.First), Pair{Picture: said(choice, cutTable(*v)), Beside: said(routeTable(v.Routes))}, say("Metal does not go back: {}. {}", cutAdvice(*v), sinkWords(*v)))
	ways, when := toScrape(*v)
	var maps []Block
	for _, w := range ways {
		maps = append(maps, said(j.cutMap(w, when, *v), afterMap(w, when, v.Until))...)
	}
	s.add(fitWords(v.PrintsFit), stationWords(v.Stations), astrideWords(v.Astride, ways), Fold{Title: "The map in figures, pass by pass", Blocks: maps, Paper: mapDrawn(ways)})
	return s
}

// basis is section 9: what all of it rests on.
func (j job) basis() section {
	s := section{ID: "basis", Title: "What this rests on", Answer: say("These are estimates from a beam model with the inputs below; they decide nothing about safety.")}
	s.add(Pair{Picture: said(j.inputs()), Beside: said(j.source(), List{Title: "Limits", Items: plainly(limits)})})
	for _, v := range j.Others {
		s.add(Fold{Title: "The standing “" + v.Name + "” as drawn", Blocks: []Block{j.standAnswer(v), j.footTable(v), bearingTable(v)}})
	}
	s.add(List{Title: "More would be said", Items: j.more()}, Fold{Title: "How it was found", Blocks: []Block{List{Items: plainly(model)}}})
	s.add(Caution{strings.Join(cautions, " ")})
	return s
}

// more says what the job could give for the sections that are not there.
func (j job) more() []Text {
	var out []Text
	add := func(missing bool, words string) {
		if missing {
			out = append(out, Text{words})
		}
	}
	add(j.Survey == nil, "Add a [[survey]] of each way, and of a level across, to see which foot to turn and what is metal.")
	add(j.Cut == nil, "Add a [cut] with depth and time per pass to see what is left for the scraper.")
	add(j.Table == nil, "Add a [table] to see its journey.")
	add(!slices.ContainsFunc(j.States, func(s reports.PageState) bool { return s.Blue != nil }), "Add a [[master]] to see what it prints on each way.")
	add(j.Place == nil, "Add a [place] to see where feet would be better.")
	return out
}
