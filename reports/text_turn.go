package reports

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"footwork/internal/unit"
)

// textCautions go with every plan; common practice, no source.
const textCautions = "Nobody works under a bed that stands on screws or jacks alone; lifting it, for a shim too, is for people trained for it, with rated gear; isolate the power. " +
	"Turn a little at a time, in the order given, and read again after each; a foot that goes light may let the bed tip. " +
	"These are estimates: a competent person checks foot and floor loads under the local rules."

// textReadings is how many stations and steps are listed of what instruments should read.
const textReadings, textSteps = 12, 6

func (v Adjust) textOn(s *textSheet) {
	if len(v.Plans) == 0 {
		v.levelOn(s)
		return
	}
	if v.Recommended < 0 || v.Recommended >= len(v.Plans) {
		s.answer("No plan was found for %s, which is %s out of straight.", textName(v.Standing), s.height(v.Before.Zone))
		return
	}
	plan := v.Plans[v.Recommended]
	v.answerOn(s, plan)
	s.plot(v.picture(plan))
	s.table("What each further foot buys", v.ladder(s))
	s.table("The plan, step by step", plan.steps(s))
	s.list("From nothing to a level bed, when it has just been set down:", v.Levelling)
	s.table("What each foot carries, now and after the plan", v.loads(s, plan))
	for _, r := range plan.readingTables(s) {
		s.table(r.title, r.table)
	}
	if len(plan.Moves) > 0 {
		s.say("Take care. " + textCautions)
	}
}

// levelOn says how a bed of which nothing was surveyed comes onto all its feet.
func (v Adjust) levelOn(s *textSheet) {
	s.answer("On %s nothing was surveyed: which foot to turn is told by a survey of each way.", textName(v.Standing))
	for i, one := range v.Levelling {
		s.part(textWrap(fmt.Sprintf("%d. %s", i+1, textClean(one)), s.width))
	}
	if len(v.Levelling) > 0 {
		s.say("Take care. " + textCautions)
	}
}

func (v Adjust) answerOn(s *textSheet, plan Plan) {
	if len(plan.Moves) == 0 {
		s.answer("On %s turn nothing: no move makes the ways straighter than %s %s; the rest is metal.",
			textName(v.Standing), s.height(plan.Zone), s.give(plan.ZoneSigma))
		return
	}
	var moves []string
	for _, m := range plan.Moves {
		moves = append(moves, plan.moveText(s.Units.Height(), m))
	}
	s.answer("On %s move %s to go from %s to %s %s out of straight: %s.", textName(v.Standing), plural(len(plan.Moves), "foot", "feet"),
		s.height(v.Before.Zone), s.height(plan.Zone), s.give(plan.ZoneSigma), list(moves))
}

// moveText returns "F2 up 20.0 µm", or "B3 up until it just takes load, then up 25.0 µm".
func (p Plan) moveText(h unit.Display, m Move) string {
	if !m.Touch {
		return textClean(m.Foot) + " " + textRaise(h, m.Raise)
	}
	words := textClean(m.Foot) + " " + touchWords
	if rest, _ := p.afterTouch(m.Foot); rest != 0 {
		words += ", then " + textRaise(h, rest)
	}
	return words
}

// textRaise returns "up 20.0 µm" or "down 4.0 µm".
func textRaise(h unit.Display, raise float64) string {
	way := "up"
	if raise < 0 {
		way = "down"
	}
	return way + "\u00a0" + textQuantity(h, math.Abs(raise))
}

// picture draws the ways as the plan leaves them.
func (v Adjust) picture(plan Plan) plot {
	p := plot{about: plotEnds + ", after the plan"}
	if len(plan.Moves) == 0 {
		p.about = plotEnds
	}
	for _, w := range plan.Ways {
		p.curves = append(p.curves, plotAboutEnds(w.Name, w.X, w.Height))
	}
	return p
}

func (v Adjust) ladder(s *textSheet) *textTable {
	h := s.Units.Height()
	t := newTextTable("feet moved", "out of straight, "+h.Unit, "± (95\u00a0%)", "<which", "<")
	for i, p := range v.Plans {
		var feet []string
		for _, m := range p.Moves {
			feet = append(feet, textClean(m.Foot))
		}
		mark := ""
		if i == v.Recommended {
			mark = "recommended"
		}
		t.add(fmt.Sprint(p.FeetMoved), textNumber(h, p.Zone), textSpread(h, p.ZoneSigma), strings.Join(feet, ", "), mark)
	}
	return t
}

func (p Plan) steps(s *textSheet) *textTable {
	t := newTextTable("step", "<foot", "<move", "<do this", "<then lightest")
	for i, step := range p.Steps {
		move := textRaise(s.Units.Height(), step.Raise)
		if step.Touch {
			move = "to touch"
		}
		t.add(fmt.Sprint(i+1), textClean(step.Foot), move, textClean(step.Text), s.lightest(step.Loads))
	}
	return t
}

// lightest returns the foot that carries least, with its load.
func (s *textSheet) lightest(loads []NamedLoad) string {
	if len(loads) == 0 {
		return ""
	}
	least := loads[0]
	for _, l := range loads {
		if l.Load < least.Load {
			least = l
		}
	}
	return textClean(least.Foot) + " " + textQuantity(s.Units.Force(textMost(loads)), least.Load)
}

// textMost returns the largest of the loads, N.
func textMost(loads []NamedLoad) float64 {
	most := 0.0
	for _, l := range loads {
		most = max(most, l.Load)
	}
	return most
}

// loads sets what the feet carry now beside what they carry after the plan.
func (v Adjust) loads(s *textSheet, plan Plan) *textTable {
	load := s.Units.Force(textMost(plan.Loads))
	t := newTextTable("<foot", "now, "+load.Unit, "after, "+load.Unit, "95\u00a0%, "+load.Unit, "of the mean")
	sum := 0.0
	for _, l := range plan.Loads {
		sum += l.Load
	}
	for _, l := range plan.Loads {
		now, share := "", ""
		if i := slices.IndexFunc(v.Plans[0].Loads, func(n NamedLoad) bool { return n.Foot == l.Foot }); i >= 0 {
			now = textNumber(load, v.Plans[0].Loads[i].Load)
		}
		if sum > 0 {
			share = textShare(l.Load * float64(len(plan.Loads)) / sum)
		}
		between := ""
		if l.Low < l.High {
			between = textNumber(load, l.Low) + " to " + textNumber(load, l.High)
		}
		t.add(textClean(l.Foot), now, textNumber(load, l.Load), between, share)
	}
	if !slices.ContainsFunc(plan.Loads, func(l NamedLoad) bool { return l.Low < l.High }) {
		t.drop(3)
	}
	return t
}

type textTitled struct {
	title string
	table *textTable
}

// readingTables lists, for each survey, what the instrument should read after
// the steps: a few stations and steps over the whole, the JSON has all.
func (p Plan) readingTables(s *textSheet) []textTitled {
	if len(p.Steps) == 0 {
		return nil
	}
	steps := spread(len(p.Steps), textSteps)
	var out []textTitled
	for k, r := range p.Steps[0].Readings {
		at := textEven(s.Units.Length(), r.X)
		head := []string{"at, " + at.Unit}
		for _, i := range steps {
			head = append(head, fmt.Sprintf("step\u00a0%d", i+1))
		}
		t := newTextTable(head...)
		for _, station := range spread(len(r.X), textReadings) {
			cells := []string{textNumber(at, r.X[station])}
			for _, i := range steps {
				cells = append(cells, textReading(p.Steps[i].Readings[k], station))
			}
			t.add(cells...)
		}
		out = append(out, textTitled{fmt.Sprintf("%s should read after each step, in %s", textName(r.Survey), textClean(r.Unit)), t})
	}
	return out
}

// textReading returns one reading in the survey's own unit, to the digits that
// an instrument shows (common practice, no source).
func textReading(r Reading, station int) string {
	decimals, ok := map[string]int{"arcsec": 1, "µm": 1, "µrad": 1, "µm/m": 1, "div": 2, "thou": 2, "tenths": 1}[r.Unit]
	if !ok {
		decimals = 4
	}
	return textNumber(unit.Display{One: 1, Decimals: decimals}, r.Value[station])
}

func (v Place) textOn(s *textSheet) {
	if v.Recommended < 0 || v.Recommended >= len(v.Placements) {
		s.answer("No place for the feet was found.")
		return
	}
	best := v.Placements[v.Recommended]
	s.answer("%s stand best at %s. %s", best.count(), list(best.places(s)), textClean(v.Why))
	at, h := s.Units.Length(), s.Units.Height()
	t := newTextTable("<feet", "<at, "+at.Unit, "out of straight, "+h.Unit, "cost of "+s.height(10e-6)+", "+h.Unit, "<lightest", "<")
	for i, p := range v.Placements {
		var places []string
		for _, x := range p.At {
			places = append(places, textNumber(at, x))
		}
		mark := ""
		if i == v.Recommended {
			mark = "best"
		}
		t.add(p.count(), strings.Join(places, ", "), textNumber(h, p.Zone), textNumber(h, p.Sensitivity), p.lightest(s), mark)
	}
	title := "The best places for each number of feet"
	if v.Table {
		title += ", over the table's whole travel"
	}
	s.table(title, t)
	s.table("On how many floors the tolerance is met", v.floors())
	s.say(textLoads)
}

// count returns "8 feet", or "5 feet, one foot at the left end".
func (p Placement) count() string {
	n := plural(len(p.Feet), "foot", "feet")
	if p.Pattern == "pairs" {
		return n
	}
	return n + ", " + textClean(p.Pattern)
}

func (p Placement) lightest(s *textSheet) string {
	for _, f := range p.Feet {
		if f.Name == p.Lightest {
			return textClean(f.Name) + " " + s.force(f.Least)
		}
	}
	return ""
}

func (v Place) floors() *textTable {
	t := newTextTable("<feet", "as found", "adjusted")
	add := func(name string, f *FloorShares) {
		if f != nil {
			t.add(name, textShare(f.AsFound), textShare(f.Adjusted))
		}
	}
	add("as they stand now", v.Present)
	for _, p := range v.Placements {
		add(p.count(), p.Floors)
	}
	return t
}

func (p Placement) places(s *textSheet) []string {
	var out []string
	for _, x := range p.At {
		out = append(out, s.length(x))
	}
	return out
}

func (v Cut) textOn(s *textSheet) {
	s.answer("As it stands %s%s.", s.cutWords(v.Ways), v.after(s))
	s.plot(plot{about: " to come off", curves: plotCuts(v.Ways)})
	if v.AfterMoves != nil {
		s.plot(plot{about: " to come off after the moves", curves: plotCuts(v.AfterMoves.Ways)})
	}
	vol := s.Units.Volume()
	t := newTextTable("<way", "<when", "deepest, "+s.Units.Height().Unit, "<volume, "+vol.Unit, "<passes", "<hours")
	s.addCuts(t, "now", v.Ways)
	if v.AfterMoves != nil {
		s.addCuts(t, "after", v.AfterMoves.Ways)
	}
	title, advice := "What is left to cut, now and after the moves (in brackets: as far as is known)", "move the feet first, read again, then cut"
	if v.AfterMoves == nil {
		title, advice = "What is left to cut (in brackets: as far as is known)", "no move of the feet helps, so read again before the first cut"
	}
	s.table(title, t)
	s.routes(v.Routes)
	s.say("Metal does not go back: %s.", advice)
}

// routes sets the ways to go on beside one another.
func (s *textSheet) routes(routes []Route) {
	if len(routes) == 0 {
		return
	}
	h := s.Units.Height()
	t := newTextTable("<to do", "leaves out of straight, "+h.Unit, "hours at the scraper")
	for _, r := range routes {
		t.add(textClean(r.Name), textNumber(h, r.Zone), textNumber(textHours, r.Hours))
	}
	s.table("Ways to go on", t)
}

func (v Cut) after(s *textSheet) string {
	if v.AfterMoves == nil {
		return ""
	}
	return "; after the moves " + s.cutWords(v.AfterMoves.Ways)
}

// cutWords returns "3.4 ml of metal is left to cut, about 12 h".
func (s *textSheet) cutWords(ways []CutWay) string {
	volume, hours := cutTotal(ways)
	return fmt.Sprintf("%s of metal is left to cut, about %s", textQuantity(s.Units.Volume(), volume), textQuantity(textHours, hours))
}

var textHours = unit.Display{Unit: "h", One: 1, Decimals: 1}

func plotCuts(ways []CutWay) []plotCurve {
	var out []plotCurve
	for _, w := range ways {
		out = append(out, plotCurve{w.Name, w.X, w.Depth})
	}
	return out
}

func (s *textSheet) addCuts(t *textTable, when string, ways []CutWay) {
	passes := unit.Display{One: 1}
	for _, w := range ways {
		var r CutRange
		if w.Range != nil {
			r = *w.Range
		}
		cell := func(d unit.Display, v float64, lowHigh [2]float64) string {
			if w.Range == nil {
				return textNumber(d, v)
			}
			return fmt.Sprintf("%s (%s to %s)", textNumber(d, v), textNumber(d, lowHigh[0]), textNumber(d, lowHigh[1]))
		}
		t.add(textClean(w.Name), when, textNumber(s.Units.Height(), textLargest(w.Depth)), cell(s.Units.Volume(), w.Volume, r.Volume),
			cell(passes, w.Passes, r.Passes), cell(textHours, w.Hours, r.Hours))
	}
}
