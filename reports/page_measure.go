package reports

import (
	"cmp"
	"slices"
)

// measured answers section 3: what the surveys show.
func (p *Page) measured() section {
	s := section{id: "measured", title: "What was measured"}
	if p.Survey == nil || len(p.Survey.Surveys) == 0 {
		s.missing = "Add a [[survey]] with its readings to the job to see the profiles."
		return s
	}
	latest := p.latest()
	s.answer = measuredAnswer(latest)
	for _, v := range p.Survey.Surveys {
		s.warnings = append(s.warnings, AllSaid(v.Warnings, p.Units)...)
	}
	s.figures = p.surveyFigures(latest)
	s.tables = []table{p.surveyTable()}
	if t := p.historyTable(); len(t.rows) > 0 {
		s.tables = append(s.tables, t)
	}
	if runs := p.runFigures(); len(runs) > 0 {
		s.folded = append(s.folded, folded{title: "How the runs differ from one another", figures: runs})
	}
	s.how = []prose{
		say("Slopes become heights by adding base times tangent from station to station; runs are averaged after drift, steps and closure have been looked at. The shaded band is twice the standard uncertainty each way, about 95\u00a0%."),
	}
	return s
}

// latest returns the last survey of every way, and of the cross level.
func (p *Page) latest() []SurveyProfile {
	var out []SurveyProfile
	for _, v := range p.Survey.Surveys {
		i := slices.IndexFunc(out, func(o SurveyProfile) bool { return o.Way == v.Way && o.Standing == v.Standing })
		switch {
		case i < 0:
			out = append(out, v)
		case later(v, out[i]) >= 0:
			out[i] = v
		}
	}
	return out
}

func later(a, b SurveyProfile) int {
	return cmp.Or(cmp.Compare(a.Pass, b.Pass), cmp.Compare(a.Date, b.Date))
}

func measuredAnswer(latest []SurveyProfile) prose {
	var ways []prose
	for _, v := range latest {
		if v.Way == "" {
			continue
		}
		w := say("the ", v.Way, " way is ", straight(v.Straightness))
		if v.Straightness.Sigma != nil {
			w = append(w, " (±\u00a0", give(Height, *v.Straightness.Sigma), ")")
		}
		ways = append(ways, w)
	}
	if len(ways) == 0 {
		return say("Only slopes across the bed were measured; no profile of a way.")
	}
	return append(say("As last measured, "), append(joined(ways), " out of straight.")...)
}

func (p *Page) surveyFigures(latest []SurveyProfile) []figure {
	ways := newChart(alongAxis, heightAxis)
	cross := newChart(alongAxis, axis{Name: "slope across", Kind: Slope})
	for _, v := range latest {
		if v.Way == "" {
			cross.curve(v.Name, v.X, v.Height, note{Style: "first", Sigma: v.Sigma, Points: true})
			continue
		}
		n := wayNote(p.wayIndex(v.Way), v.Way)
		n.Sigma, n.Points = v.Sigma, true
		ways.curve(v.Way, v.X, v.Height, n)
	}
	var figures []figure
	if len(ways.Notes) > 0 {
		caption := say("The ways as last measured; points are stations, the band is about 95\u00a0%.")
		figures = append(figures, figure{id: "profiles", chart: ways.finish(), caption: caption, label: caption.plain(p.Units) + " " + measuredAnswer(latest).plain(p.Units)})
	}
	if len(cross.Notes) > 0 {
		figures = append(figures, figure{id: "cross", chart: cross.finish(), caption: say("Slope across the bed; positive: the positive-offset side is higher. A level line is a bed without twist."), label: "Slope across the bed at each station"})
	}
	if h := p.historyFigure(); h != nil {
		figures = append(figures, *h)
	}
	return figures
}

// wayIndex returns which way of the bed has the name, 0 when none has.
func (p *Page) wayIndex(name string) int {
	for i, w := range p.Bed.Ways {
		if w.Name == name {
			return i
		}
	}
	return 0
}

func (p *Page) surveyTable() table {
	t := table{caption: say("Surveys; out of straight in ", unitOf(Height)), head: []prose{say("Survey"), say("Way"), say("Standing"), say("Date"),
		say("Pass"), say("Ends"), say("Least squares"), say("Minimum zone"), say("±\u00a0(95\u00a0%)")}}
	for _, v := range p.Survey.Surveys {
		way, sigma := v.Way, any("")
		if v.Straightness.Sigma != nil {
			sigma = bareGive(Height, *v.Straightness.Sigma)
		}
		if way == "" {
			t.add(v.Name, "across", v.Standing, v.Date, q(Count, float64(v.Pass)), "", "", "", "")
			continue
		}
		t.addFor(way, v.Name, way, v.Standing, v.Date, q(Count, float64(v.Pass)), bare(Height, v.Straightness.Ends),
			bare(Height, v.Straightness.LeastSquares), bare(Height, v.Straightness.MinimumZone), sigma)
	}
	return t
}

// runFigures shows what each run of a survey reads beside the mean of all.
func (p *Page) runFigures() []figure {
	var figures []figure
	for i, v := range p.Survey.Surveys {
		if len(v.Runs) < 2 {
			continue
		}
		c := newChart(alongAxis, axis{Name: "run less mean", Unit: v.Runs[0].Unit})
		c.Height = 170
		for k, r := range v.Runs {
			c.curve(r.Name, r.X, r.Value, note{Way: v.Way, Style: []string{"first", "second"}[k%2], Points: true})
		}
		figures = append(figures, figure{id: "runs-" + slug(v.Name) + string(rune('a'+i%26)), chart: c.finish(),
			caption: say("“", v.Name, "”: a step that stays from some station on means a knock; a slope means drift."),
			label:   "Runs of " + v.Name + " less their mean"})
	}
	return figures
}
