package reports

import (
	"cmp"
	"html/template"
	"math"
	"slices"
)

// sheet is section 8: one printed page to take to the machine.
func (p *Page) sheet() section {
	s := section{id: "sheet", title: "Job sheet"}
	if p.Adjust == nil {
		s.missing = "Add a survey and an [adjust] table to the job to get a sheet with the steps to take to the machine."
		return s
	}
	plan := p.plan()
	if len(plan.Steps) == 0 {
		s.answer = say("There is nothing to turn, so there is no sheet.")
		return s
	}
	s.answer = say(plural(len(plan.Steps), "step", "steps"), " from ", q(Height, p.Adjust.Before.Zone), " to ", q(Height, plan.Zone), ". Print this one page and take it to the machine.")
	s.sheet = p.sheetSteps(plan)
	return s
}

// sheetStep is one line of the job sheet.
type sheetStep struct {
	Number   int
	Foot     string
	Way      string // "up" or "down"
	Far      template.HTML
	Lightest template.HTML
	Readings []sheetReading
}

type sheetReading struct {
	Where template.HTML
	Value string
}

func (p *Page) sheetSteps(plan Plan) []sheetStep {
	var out []sheetStep
	for i, s := range plan.Steps {
		var before []Reading
		if i > 0 {
			before = plan.Steps[i-1].Readings
		}
		far := p.stepWords(s)
		if a := p.Adjusters[s.Foot]; a.Kind == "screw" {
			far = append(far, " = ", q(Height, math.Abs(s.Raise)))
		}
		out = append(out, sheetStep{Number: i + 1, Foot: s.Foot, Way: way(s.Raise), Far: far.html(p.Units),
			Lightest: lightest(s.Loads).html(p.Units), Readings: p.telling(s, before, len(plan.Steps))})
	}
	return out
}

// telling returns the stations whose reading the step changes most: where a
// person should look. A short plan has room for two a survey, a long one for
// fewer, so that the sheet stays one page.
func (p *Page) telling(s Step, before []Reading, steps int) []sheetReading {
	most, each := 4, 2
	switch {
	case steps > 12:
		most, each = 1, 1
	case steps > 6:
		most, each = 2, 1
	}
	var out []sheetReading
	for k, r := range s.Readings {
		for _, j := range mostChanged(r, before, k, each) {
			where := say(r.Survey, " at ", q(Along, r.X[j])).html(p.Units)
			out = append(out, sheetReading{Where: where, Value: readingText(r.Value[j], r.Unit) + "\u00a0" + r.Unit})
		}
	}
	return out[:min(len(out), most)]
}

// mostChanged returns the indices of the readings that a step changes most, in
// the order of their stations.
func mostChanged(r Reading, before []Reading, k, most int) []int {
	index := make([]int, len(r.Value))
	change := make([]float64, len(r.Value))
	for j := range r.Value {
		index[j], change[j] = j, math.Abs(r.Value[j])
		if k < len(before) && j < len(before[k].Value) {
			change[j] = math.Abs(r.Value[j] - before[k].Value[j])
		}
	}
	slices.SortStableFunc(index, func(a, b int) int { return cmp.Compare(change[b], change[a]) })
	index = index[:min(most, len(index))]
	slices.Sort(index)
	return index
}

// steps for the script: the raise of every foot, in order.
type planData struct {
	Foot  string  `json:"foot"`
	Raise float64 `json:"raise"`
	Touch bool    `json:"touch,omitempty"`
}

func (p *Page) planData() []planData {
	out := []planData{}
	if p.Adjust != nil {
		for _, s := range p.plan().Steps {
			out = append(out, planData{s.Foot, s.Raise, s.Touch})
		}
	}
	return out
}
