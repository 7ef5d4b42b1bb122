package reports

import (
	"fmt"
	"math"
	"strings"

	"footwork/supports"
)

// turned answers section 5: what to turn.
func (p *Page) turned() section {
	s := section{id: "turn", title: "What to turn"}
	if p.Adjust == nil && p.Try == nil {
		s.missing = "Add a survey of the standing and an [adjust] table to the job to see which foot to move, which way and how far."
		return s
	}
	if p.Adjust == nil {
		s.answer = say("No plan was worked out: add an [adjust] table and a survey. The feet can be tried below.")
		return s
	}
	plan := p.plan()
	s.answer = p.turnAnswer(plan)
	s.warnings, s.caution = AllSaid(p.Adjust.Warnings, p.Units), cautionTurning
	s.figures = []figure{p.ladderFigure(), p.afterFigure(plan)}
	s.tables = []table{p.ladderTable(), p.stepTable(plan), p.planLoadTable(plan)}
	if l := p.Adjust.Levelling.said(p.Units); len(l) > 0 {
		s.folded = append(s.folded, folded{title: "From nothing to a level bed: when the bed has just been set down", list: l})
	}
	if t := readingTables(plan); len(t) > 0 {
		s.folded = append(s.folded, folded{title: "Every reading expected after every step", tables: t})
	}
	s.how = []prose{
		say("Measured profile plus what each foot does when it is moved. For every number of feet the best choice of that many is found; the recommended plan is the smallest within the measurement's uncertainty of the best. Moves are rounded to what the adjusters can do and solved again with lift-off."),
		say("Steps are ordered so that no step on the way unloads a foot or overshoots."),
	}
	return s
}

const cautionTurning = "Turn in small steps, in the order given and never beyond the plan; watch the feet that go light, the bed may tip from them. Nobody works under a bed that stands on screws or jacks alone."

// plan returns the recommended plan.
func (p *Page) plan() Plan {
	a := p.Adjust
	if a.Recommended < 0 || a.Recommended >= len(a.Plans) {
		return Plan{}
	}
	return a.Plans[a.Recommended]
}

func (p *Page) turnAnswer(plan Plan) prose {
	if len(plan.Moves) == 0 {
		return say("Turn nothing: no move makes the ways straighter than ", q(Height, p.Adjust.Before.Zone), ". The rest is metal.")
	}
	var moves []prose
	for _, m := range plan.Moves {
		moves = append(moves, p.moveWords(plan, m))
	}
	return append(say("Move ", plural(len(plan.Moves), "foot", "feet"), " to go from ", q(Height, p.Adjust.Before.Zone), " to ", q(Height, plan.Zone),
		" (±\u00a0", give(Height, plan.ZoneSigma), "): "), joined(moves), ".")
}

// moveWords returns "F2 up 12.5° (handle swing 65 mm)", or "B3 until it just
// takes load, then up 9°" for a foot that is first brought to touch.
func (p *Page) moveWords(plan Plan, m Move) prose {
	if !m.Touch {
		return append(say(m.Foot, " ", way(m.Raise), " "), p.howFar(m.Foot, m.Raise, m.Text)...)
	}
	out := say(m.Foot, " ", touchWords)
	if m.Raise != 0 {
		out = append(out, ", then ", way(m.Raise), " ", p.howFar(m.Foot, m.Raise, m.Text))
	}
	return out
}

const touchWords = "up until it just takes load"

// stepWords returns how far a step goes: the step's own words where the foot is
// brought to touch.
func (p *Page) stepWords(s Step) prose {
	switch {
	case !s.Touch:
		return p.howFar(s.Foot, s.Raise, s.Text)
	case s.Raise != 0:
		return say("until it just takes load, then ", way(s.Raise), " ", p.howFar(s.Foot, s.Raise, s.Text))
	}
	return say("until it just takes load")
}

func way(raise float64) string {
	if raise < 0 {
		return "down"
	}
	return "up"
}

// howFar returns the size of a move in the adjuster's own units.
func (p *Page) howFar(foot string, raise float64, text string) prose {
	a := p.Adjusters[foot]
	size := math.Abs(raise)
	switch {
	case a.Kind == supports.Screw && a.Rise > 0:
		angle := size / a.Rise * 2 * math.Pi
		turns := math.Floor(angle/(2*math.Pi) + 1e-9)
		out := say(q(Degrees, max(0, angle-turns*2*math.Pi)))
		if turns > 0 {
			out = say(plural(int(turns), "turn", "turns"), " and ", out)
		}
		if a.Wrench > 0 && turns == 0 {
			out = append(out, " (handle swing ", q(Swing, angle*a.Wrench), ")")
		}
		return out
	case a.Kind == supports.Shim && text != "":
		if _, leaves, ok := strings.Cut(text, ": "); ok { // "raise: put in …": the way is said already
			text = leaves
		}
		return say(q(Height, size), " (", text, ")")
	}
	return say(q(Height, size))
}

// ladderFigure shows what each further foot buys.
func (p *Page) ladderFigure() figure {
	c := newChart(axis{Name: "feet moved"}, axis{Name: "out of straight", Kind: Height})
	c.Height = 220
	var x, y, sigma []float64
	for _, plan := range p.Adjust.Plans {
		x, y, sigma = append(x, float64(plan.FeetMoved)), append(y, plan.Zone), append(sigma, plan.ZoneSigma)
	}
	c.curve("reached", x, y, note{Style: "first", Sigma: sigma, Points: true, Unnamed: true})
	plan := p.plan()
	c.curve("★ recommended", []float64{float64(plan.FeetMoved)}, []float64{plan.Zone}, note{Style: "star", Points: true})
	caption := say("What each further foot buys: from ", q(Height, p.Adjust.Before.Zone), " with none to ", q(Height, plan.Zone), " with ", plan.FeetMoved,
		", the recommended number; the band is about 95\u00a0%.")
	return figure{id: "ladder", chart: c.finish(), caption: caption, label: caption.plain(p.Units)}
}

// afterFigure shows the ways as measured and as the plan leaves them.
func (p *Page) afterFigure(plan Plan) figure {
	c := newChart(alongAxis, heightAxis)
	for i, w := range p.Adjust.Plans[0].Ways {
		c.curve(w.Name+" now", w.X, w.Height, note{Way: w.Name, Style: []string{"first faint", "second faint"}[i%2], Ref: true, Unnamed: true})
	}
	for i, w := range plan.Ways {
		n := wayNote(i, w.Name)
		n.Sigma = w.Sigma
		c.curve(w.Name, w.X, w.Height, n)
	}
	return figure{id: "after", chart: c.finish(), caption: say("The ways now (thin) and as the recommended plan leaves them, with their band (about 95\u00a0%)."),
		label: "The ways now and after the recommended plan"}
}

func (p *Page) ladderTable() table {
	t := table{caption: say("The best that each number of feet can do"), head: []prose{say("Feet"), say("Out of straight, ", unitOf(Height)), say("±\u00a0(95\u00a0%)"), say("Moves"), say("Choice")}}
	for i, plan := range p.Adjust.Plans {
		var moves []prose
		for _, m := range plan.Moves {
			moves = append(moves, p.moveWords(plan, m))
		}
		star := any("")
		if i == p.Adjust.Recommended {
			star = mark("recommended")
		}
		t.add(q(Count, float64(plan.FeetMoved)), bare(Height, plan.Zone), bareGive(Height, plan.ZoneSigma), joined(moves), star)
	}
	return t
}

func (p *Page) stepTable(plan Plan) table {
	t := table{caption: say("The recommended plan, step by step"), head: []prose{say("Step"), say("Foot"), say("Which way"), say("How far"), say("Raise, ", unitOf(Height)), say("Then lightest")}}
	for i, s := range plan.Steps {
		t.add(q(Count, float64(i+1)), s.Foot, way(s.Raise), p.stepWords(s),
			quantity{kind: Height, value: s.Raise, bare: true, signed: true}, lightest(s.Loads))
	}
	return t
}

// planLoadTable sets what each foot carries now beside what it carries after
// the plan, with its interval where one is known.
func (p *Page) planLoadTable(plan Plan) table {
	t := table{caption: say("What each foot carries, now and after the plan, ", unitOf(Force)), head: []prose{say("Foot"), say("Now"), say("After"), say("95\u00a0% from"), say("to")}}
	sure := true
	for _, l := range plan.Loads {
		sure = sure && l.Low >= l.High
	}
	if sure {
		t.head = t.head[:3]
	}
	for i, l := range plan.Loads {
		now := any("")
		if before := p.Adjust.Plans[0].Loads; i < len(before) && before[i].Foot == l.Foot {
			now = bare(Force, before[i].Load)
		}
		cells := []any{l.Foot, now, bare(Force, l.Load)}
		if !sure {
			cells = append(cells, bare(Force, l.Low), bare(Force, l.High))
		}
		t.add(cells...)
	}
	return t
}

// lightest returns the foot that carries least, with its load.
func lightest(loads []NamedLoad) prose {
	if len(loads) == 0 {
		return nil
	}
	least := loads[0]
	for _, l := range loads {
		if l.Load < least.Load {
			least = l
		}
	}
	return say(least.Foot, " ", q(Force, least.Load))
}

// readingTables lists, for each survey, what every station should read after
// each step.
func readingTables(plan Plan) []table {
	if len(plan.Steps) == 0 {
		return nil
	}
	var tables []table
	for k, r := range plan.Steps[0].Readings {
		t := table{caption: say("“", r.Survey, "”, ", r.Unit), head: []prose{say("Station, ", unitOf(Along))}}
		for i, s := range plan.Steps {
			t.head = append(t.head, say("after step ", i+1, " (", s.Foot, ")"))
		}
		for j, x := range r.X {
			cells := []any{bare(Along, x)}
			for _, s := range plan.Steps {
				if k < len(s.Readings) && j < len(s.Readings[k].Value) {
					cells = append(cells, readingText(s.Readings[k].Value[j], r.Unit))
				}
			}
			t.add(cells...)
		}
		tables = append(tables, t)
	}
	return tables
}

// readingText prints a reading with the digits that its instrument has.
func readingText(v float64, unit string) string {
	digits := 1
	if unit == "div" {
		digits = 2
	}
	s := fmt.Sprintf("%+.*f", digits, v)
	if s[0] == '-' {
		return "−" + s[1:]
	}
	return s
}
