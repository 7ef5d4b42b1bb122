package doc

import (
	"cmp"
	"slices"

	"footwork/reports"
)

// Page returns the whole page of a job: its answer first, then the sections in
// their order. The error names a number of it that is none.
func Page(p *reports.Page) (Document, error) {
	for _, v := range []any{p.Others, p.States, p.Heat, p.Change, p.Survey, p.Match, p.Adjust, p.Place, p.Cut} {
		if err := reports.Finite(v); err != nil {
			return Document{}, err
		}
	}
	j := job{p}
	d := Document{}
	for _, s := range []section{j.first(), j.turn(), j.sheet(), j.parts(), j.measured(), j.journey(), j.placed(), j.left(), j.prints(), j.basis()} {
		if len(s.Answer) > 0 || len(s.Blocks) > 0 {
			d.Sections = append(d.Sections, s)
		}
	}
	return d, nil
}

// state returns the working standing in one state, nil where there is none.
func (j job) state(s reports.State) *reports.PageState {
	if i := slices.IndexFunc(j.States, func(one reports.PageState) bool { return one.State == s }); i >= 0 {
		return &j.States[i]
	}
	return nil
}

// at returns how the standing is in a state with the table on the bed or off it.
func (j job) at(s reports.State, table string) *reports.SagStanding {
	switch one := j.state(s); {
	case one == nil:
		return nil
	case table == "on":
		return one.Under
	default:
		return &one.Bare
	}
}

// places are where the table may be.
func (j job) places() []string {
	if slices.ContainsFunc(j.States, func(s reports.PageState) bool { return s.Under != nil }) {
		return []string{"off", "on"}
	}
	return []string{"off"}
}

// byState returns a choice of what f makes of every state; nothing of one it says nothing of.
func (j job) byState(f func(s reports.PageState) []Block) Choice {
	var out Choice
	for _, s := range j.States {
		if blocks := said(f(s)...); blocks != nil {
			out = append(out, part{States: []reports.State{s.State}, Blocks: blocks})
		}
	}
	return out
}

// eachState returns a choice of what f makes of every state and place of the table.
func (j job) eachState(f func(v reports.SagStanding, table string) []Block) Choice {
	var out Choice
	for _, s := range j.States {
		for _, table := range j.places() {
			if v := j.at(s.State, table); v != nil {
				out = append(out, part{States: []reports.State{s.State}, Table: table, Blocks: f(*v, table)})
			}
		}
	}
	return out
}

// tableWords says whether the table is on the bed, where there is one.
func (j job) tableWords(v reports.SagStanding) Text {
	if len(j.places()) == 1 {
		return nil
	}
	return tableAt(v.TableAt)
}

// first is the first screen: what the job asks, answered.
func (j job) first() section {
	s := section{ID: "answer", Title: "What to do"}
	switch _, ok := j.plan(); {
	case ok:
		s.Answer = j.adjustAnswer(*j.Adjust)
	case j.Place != nil && len(j.Place.Placements) > 0 && len(j.States) == 0:
		s.Answer = placeAnswer(*j.Place)
	case len(j.States) == 0:
		s.Answer = say("Nothing could be worked out yet: give the job a [[standing]] with the feet that the bed stands on.")
	}
	if s.Answer == nil {
		s.add(j.eachState(func(v reports.SagStanding, _ string) []Block { return []Block{Lead(j.standAnswer(v))} }))
		s.add(say("Nothing was measured yet. Survey each way along its length, both ways out and back, and lay a level across at the feet; write down which feet are loose. Then this page says which foot to turn."))
	}
	mind := j.Contradictions
	if j.Adjust != nil {
		mind = slices.Concat(mind, j.Adjust.Warnings)
	}
	s.add(notes(mind))
	if j.Adjust != nil {
		s.add(firstWords(j.Adjust.First))
	}
	s.add(j.eachState(j.screen))
	return s
}

// plan returns the recommended plan.
func (j job) plan() (reports.Plan, bool) {
	if j.Adjust == nil {
		return reports.Plan{}, false
	}
	return recommended(*j.Adjust)
}

// screen shows the bed from above, its ways and its loads in one state.
func (j job) screen(v reports.SagStanding, table string) []Block {
	var before *reports.SagStanding
	if v.State == reports.Planned {
		before = j.at(reports.Found, table)
	}
	out := append([]Block{j.fromAbove(v, table)}, j.wayCurves(v, before)...)
	out = append(out, j.loadBars(v, before))
	feet := j.footTable(v)
	feet.Title = say("What each foot carries {}{}", StateWords(v.State), j.tableWords(v))
	return []Block{Pair{Picture: said(out...), Beside: said(feet, bearingTable(v), straightnessTable(say("Out of straight {}{}", StateWords(v.State), j.tableWords(v)), v.Ways))}}
}

// fromAbove draws the bed from above with what is done at each foot.
func (j job) fromAbove(v reports.SagStanding, table string) *Plan {
	d := j.bedPlan()
	plan, ok := j.plan()
	turning := ok && v.State != reports.Given && len(plan.Moves) > 0
	d.Title = say("From above, {}{}{}", StateWords(v.State), j.tableWords(v), also(turning, ": what to turn at each foot"))
	if table == "on" && v.TableAt != nil && j.Table != nil {
		d.Table = &reports.Stroke{From: *v.TableAt, To: *v.TableAt + j.Table.Length}
	}
	for i, state := range j.footState(v) {
		f := PlanFoot{Name: v.Feet[i].Name, At: v.Feet[i].At, Offset: v.Feet[i].Offset, State: state}
		if turning {
			if m := slices.IndexFunc(plan.Moves, func(m reports.Move) bool { return m.Foot == f.Name }); m >= 0 {
				f.Up, f.Label = up(plan.Moves[m]), shortMove(asStepped(plan, plan.Moves[m]))
			}
		}
		d.Feet = append(d.Feet, f)
	}
	return d
}

// up returns the way of a move, +1 or −1: a foot that is brought to touch goes up.
func up(m reports.Move) int { return pick(m.Raise < 0 && !m.Touch, -1, 1) }

// shortMove returns "up 25.0 µm" or "touch + 12.5 µm".
func shortMove(m reports.Move) Text {
	if m.Touch && m.Raise > 0 {
		return say("touch + {height}", m.Raise)
	}
	return farWords(m.Touch, m.Raise)
}

// bedPlan returns the bed from above without feet.
func (j job) bedPlan() *Plan {
	d := &Plan{Length: j.Bed.Length}
	for _, w := range j.Bed.Ways {
		d.Ways = append(d.Ways, mark{Name: w.Name, Offset: w.Offset, Width: w.Width})
	}
	weights := slices.Clone(j.Bed.Weights)
	if s := j.standing(j.Standing); s != nil {
		weights = append(weights, s.Weights...)
	}
	for _, w := range weights {
		d.Weights = append(d.Weights, mark{Name: w.Name, At: w.At, Offset: w.Offset})
	}
	return d
}

// wayCurves draws each way by itself, and both as one where they are alike; with
// what it was before, where there is a before.
func (j job) wayCurves(v reports.SagStanding, before *reports.SagStanding) (out []Block) {
	if before == nil && len(v.Ways) == 2 && alikeWays(v.X, v.Ways) {
		both := v.Ways[0]
		both.Name += " = " + v.Ways[1].Name
		v.Ways = []reports.WayShape{both}
	}
	for i, w := range v.Ways {
		c := j.alongBed(say("{} way {}{}: {}", capitalise(w.Name), StateWords(v.State), j.tableWords(v), zoneWords(w.Straightness)), j.Standing)
		c.Small = true
		if before != nil && i < len(before.Ways) {
			b := before.Ways[i]
			c.Title = say("{} (thin: as found, {})", c.Title, zoneWords(b.Straightness))
			c.Keyed = true
			c.shape("as found", Before, before.X, b)
		}
		c.shape(StateWords(v.State), wayStyles[i%len(wayStyles)], v.X, w)
		out = append(out, c)
	}
	return out
}

func alikeWays(x []float64, ways []reports.WayShape) bool {
	return Series{X: x, Y: ways[0].Height}.near(Series{X: x, Y: ways[1].Height}, alikeHeights)
}

// zoneWords returns "6.0 µm (4.1 to 9.2) out of straight".
func zoneWords(s reports.Straightness) Text {
	return say("{height}{} out of straight", s.MinimumZone, also(s.Low < s.High, " ({bare height} to {bare height})", s.Low, s.High))
}

// shape adds a way with its band, all about the line through the ends of its middle.
func (c *Curves) shape(name string, style Style, x []float64, w reports.WayShape) {
	s := c.curve(name, style, x, w.Height)
	if len(w.Low) != len(x) || len(w.High) != len(x) || slices.Equal(w.Low, w.High) {
		return
	}
	for i, h := range w.Height {
		s.Low, s.High = append(s.Low, s.Y[i]+w.Low[i]-h), append(s.High, s.Y[i]+w.High[i]-h)
	}
}

// loadBars draws what each foot carries over its place, one row a side.
func (j job) loadBars(v reports.SagStanding, before *reports.SagStanding) *Bars {
	states := j.footState(v)
	d := j.bars(nil, forceOf(v.Weight), sumLoads(v.Feet), v.Feet, func(i int, bar *Bar) {
		bar.Load, bar.State = v.Feet[i].Load, states[i]
		if before != nil && i < len(before.Feet) {
			bar.Before = &before.Feet[i].Load
		}
	})
	d.Title = say("What each foot carries {}{}{}{}", StateWords(v.State), j.tableWords(v), also(before != nil, "; line across: as found"),
		also(d.Least > 0, "; dashed: the lightest any foot may go"))
	return d
}

// bars draws feet that carry a sum, from low to high, a row a side · more adds to the bar of
// one of them.
func (j job) bars(title Text, kind Kind, sum float64, feet []reports.FootLoad, more func(i int, bar *Bar)) *Bars {
	d := &Bars{Title: title, Length: j.Bed.Length, Kind: kind, Least: j.light(sum, len(feet))}
	for side := -1; side <= 1; side++ { // of the offset, as in the bed from above
		var row barRow
		for i, f := range feet {
			if cmp.Compare(f.Offset, 0) == side {
				bar := Bar{Name: f.Name, At: f.At, Low: f.Low, High: f.High}
				more(i, &bar)
				row.Bars = append(row.Bars, bar)
			}
		}
		if row.Bars != nil {
			d.Rows = append(d.Rows, row)
		}
	}
	return d
}

// notes lists remarks that go with an answer.
func notes(warnings []reports.Warning) List {
	return List{Title: "Mind", Items: each(warnings, Warning)}
}
