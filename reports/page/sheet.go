package page

import (
	"fmt"

	"footwork/internal/unit"
	"footwork/reports"
	"footwork/reports/doc"
)

// printedSheet writes the page to take to the bed: a row a step with a box, what to
// do, where the instrument stands, what it must read and a line for what it read.
func (p *printer) printedSheet(s *doc.Sheet) {
	p.add(`<div class="buttons"><button type="button" id="print-sheet">Print this page alone</button></div><div class="sheet" id="bed-sheet"><h3>%s</h3>`, p.words(s.Title))
	p.add(`<div class="blanks"><span>date</span><span>who</span><span>top / bottom temperature</span></div>`)
	p.plan(s.Plan)
	p.add(`<ol class="steps%s">`, pick(len(s.Steps) > manySteps, " many", ""))
	for i, step := range s.Steps {
		p.sheetStep(i, step)
	}
	p.add(`</ol><div class="after">`)
	for _, r := range s.After {
		p.readings(r)
	}
	p.add(`</div><ul class="cautions">`)
	for _, c := range s.Cautions {
		p.add(`<li>%s</li>`, escape(c))
	}
	p.add(`</ul><div class="buttons" id="saving"><button type="button" id="save-read">Save what I read</button><span id="saved" role="status"></span></div></div>`)
}

// manySteps is how many steps have room for all their lines on one printed page.
const manySteps = 9

func (p *printer) sheetStep(i int, s doc.SheetStep) {
	arrow := pick(s.Up < 0, "▼", "▲")
	p.add(`<li class="step"><label class="box"><input type="checkbox" autocomplete="off" data-step="%d"><span class="unseen">step %d done</span></label>`, i, i+1)
	p.add(`<p class="do"><b>%s <span aria-hidden="true">%s</span> %s</b> <span class="hand">%s</span></p>`, escape(s.Foot), arrow, p.words(s.Do), p.words(s.Hand))
	p.add(`<p class="watch">%s <b>%s</b></p><p class="feel">%s</p>`, p.words(s.Stands), p.words(s.Until), p.words(s.Feel))
	if s.Log.Until != nil {
		p.add(`<div class="read">`)
		if s.Log.Act == "read" {
			p.readFields(i, s, "now", "reads now")
		}
		p.readFields(i, s, "read", "I read")
		p.add(`<span class="verdict" id="verdict-%d" role="status"></span></div>`, i)
	}
	p.add(`</li>`)
}

// readFields are where the readings of a step are typed, before its turn or after: one, or
// two where the second is taken off the first.
func (p *printer) readFields(i int, s doc.SheetStep, name, words string) {
	in := pick(s.Log.Unit == "", doc.Text{doc.UnitOf(doc.Height)}, doc.Text{s.Log.Unit})
	places := []string{words}
	if s.Log.Less != nil {
		places = append(places, words+" at the second place")
	}
	for _, words := range places {
		p.add(`<label>%s<span class="unseen">, step %d, %s,</span> <input type="text" inputmode="decimal" autocomplete="off" data-%s="%d"> %s</label>`,
			words, i+1, escape(s.Foot), name, i, p.words(in))
	}
}

// readings writes what an instrument reads at its stations, place over reading.
func (p *printer) readings(r doc.Readings) {
	p.add(`<div class="readings"><p>%s</p>`, p.words(r.Title))
	for i, x := range r.X {
		p.add(`<span><i>%s</i>%s</span>`, p.words(doc.Text{doc.Quantity{Kind: doc.Spot, Value: x, Bare: true}}), p.words(doc.Text{doc.Quantity{Kind: doc.Reading, Value: r.Value[i], Reading: r.Unit, Bare: true}}))
	}
	p.add(`</div>`)
}

func sheetData(s *doc.Sheet) []doc.SheetLog {
	if s == nil {
		return nil
	}
	var out []doc.SheetLog
	for _, step := range s.Steps {
		out = append(out, step.Log)
	}
	return out
}

// tryIt writes the frame of the trial; the script fills it.
func (p *printer) tryIt(t *doc.Trial) {
	p.charts["try"] = chartOf(tryCurves(t))
	p.add(`<div id="try" class="try"><h3 id="try-title">Try it</h3><p>Turn any foot here and see what the ways and the loads do, lift-off included<span id="try-table"></span>. Nothing here moves the machine.</p>
<div class="buttons"><button type="button" id="try-plan">Load the plan</button><button type="button" id="try-none">Nothing turned</button></div>
<div class="seen"><p id="try-answer" class="answer" role="status" data-plan-off="%s" data-plan-on="%s" data-now-off="%s" data-now-on="%s"></p>
<figure class="curves"><figcaption>The ways %s (thin) and as turned here, %s <span class="keys">`, p.quoted(t.Figures[0]), p.quoted(t.Figures[1]), p.quoted(t.Now[0]), p.quoted(t.Now[1]), doc.StateWords(t.State), triedBed(t))
	overlay := ""
	for i, w := range t.Ways {
		p.add(`<span class="key %s">%s</span>`, []doc.Style{doc.First, doc.Second}[i%2], escape(w.Name))
		overlay += fmt.Sprintf(`<path class="turned-%d"/>`, i%2)
	}
	p.add(`</span></figcaption><div class="over"><div class="chart on-bed" id="try-chart" role="img" aria-labelledby="try-answer"></div><svg id="try-turned" viewBox="0 0 1000 1000" preserveAspectRatio="none" aria-hidden="true">%s</svg></div>`, overlay)
	p.feet(t.Bed)
	p.add(`</figure></div><div id="try-feet" role="group" aria-labelledby="try-title"></div></div>`)
}

// quoted returns the words of a figure with their markup for an attribute.
func (p *printer) quoted(f doc.Figure) string { return escape(string(p.words(f.Words))) }

// tryCurves are the ways as they are, which the script fills in.
func tryCurves(t *doc.Trial) *doc.Curves {
	c := *t.Bed
	c.Small = true
	for _, w := range t.Ways {
		c.Series = append(c.Series, doc.Series{Name: w.Name + " " + doc.StateWords(t.State), Style: doc.Before, X: w.X, Y: make([]float64, len(w.X))})
	}
	return &c
}

// tryJSON is the trial as the script reads it.
type tryJSON struct {
	*reports.Try
	Plan  []doc.PlanMove `json:"plan"`
	Bed   string         `json:"bed"`
	Force doc.Kind       `json:"force"`
	Steps [2][]step      `json:"steps"` // that the axis of its chart may have, metric and inch
	Known struct {       // what the program says of the loads, the table off and on
		Plan [2]doc.Figure `json:"plan"`
		Now  [2]doc.Figure `json:"now"`
	} `json:"known"`
}

// triedBed says which bed the trial is of.
func triedBed(t *doc.Trial) string {
	return pick(t.State == reports.Given, "bed as drawn", "most likely bed")
}

func tryData(t *doc.Trial) *tryJSON {
	if t == nil {
		return nil
	}
	j := &tryJSON{Try: t.Try, Plan: t.Plan, Bed: triedBed(t), Force: t.Force}
	j.Known.Plan, j.Known.Now = t.Figures, t.Now
	for k, u := range []unit.System{unit.Metric, unit.Inches} {
		one := doc.Height.In(u).One
		for least := 1e-3; least < 1e6; least = j.Steps[k][len(j.Steps[k])-1].Step / one * 1.5 {
			j.Steps[k] = append(j.Steps[k], stepOf(least*one, one))
		}
	}
	return j
}
