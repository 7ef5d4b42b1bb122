package reports

import "fmt"

// effect answers section 2: what standing there does to the ways.
func (p *Page) effect() section {
	s := section{id: "effect", title: "What it does there"}
	if p.Sag == nil || len(p.Sag.Standings) == 0 {
		s.missing = "Add a [[standing]] to the job to see how the ways sag there."
		return s
	}
	main := p.mainStanding()
	s.answer = p.effectAnswer(main)
	s.figures = append(s.figures, p.sagFigure(main))
	s.tables = append(s.tables, p.shapeTable(main))
	if p.Change != nil {
		s.figures = append(s.figures, p.changeFigure())
		s.warnings = append(s.warnings, AllSaid(p.Change.Warnings, p.Units)...)
	}
	if p.Travel != nil {
		s.figures = append(s.figures, p.travelFigures()...)
		s.warnings = append(s.warnings, AllSaid(p.Travel.Warnings, p.Units)...)
	}
	s.how = []prose{
		say("Sag is the elastic shape under all weights; the change is the shape in one standing less the shape in the other; the journey moves the table's weight from one end of its stroke to the other."),
		say("What a way shows is drawn about the reference line chosen at the top of the page."),
	}
	if p.Change == nil {
		s.how = append(s.how, say("Give the standing an “after” to see what moving the bed there changed."))
	}
	if p.Travel == nil {
		s.how = append(s.how, say("Add a [table] to the job to see its journey."))
	}
	return s
}

func (p *Page) effectAnswer(main SagStanding) prose {
	a := say("Weight alone puts ", joined(wayWords(main.Ways)), " out of straight")
	if p.Change != nil {
		a = append(a, "; since “", p.Change.From, "” the change is ", joined(wayWords(p.Change.Ways)))
	}
	if p.Travel != nil {
		a = append(a, "; over the table's journey the work under the tool goes ", q(Height, p.Travel.AtToolStraightness), " out of straight")
	}
	if p.Heat != nil && len(p.Heat.Ways) > 0 {
		a = append(a, "; a top warmer by ", q(Kelvin, 1), " bows it ", straight(p.Heat.Ways[0].Straightness))
	}
	return append(a, ".")
}

// wayWords returns "the front way 8.4 µm" for each way.
func wayWords(ways []WayShape) []prose {
	var out []prose
	for _, w := range ways {
		out = append(out, say("the ", w.Name, " way ", straight(w.Straightness)))
	}
	return out
}

var (
	alongAxis  = axis{Name: "along the bed", Kind: Along}
	heightAxis = axis{Name: "height", Kind: Height}
)

func wayNote(i int, name string) note {
	return note{Way: name, Style: []string{"first", "second"}[i%2], Ref: true}
}

func (p *Page) sagFigure(main SagStanding) figure {
	c := newChart(alongAxis, heightAxis)
	for i, w := range main.Ways {
		c.curve(w.Name, main.X, w.Height, wayNote(i, w.Name))
	}
	if p.Heat != nil {
		for _, w := range p.Heat.Ways[:min(1, len(p.Heat.Ways))] {
			c.curve("1 K warmer top", p.Heat.X, w.Height, note{Style: "quiet", Ref: true})
		}
	}
	return figure{id: "sag", chart: c.finish(), caption: say("Sag of each way in “", main.Name, "”; the thin line is what a top warmer by one kelvin adds, to the same scale."),
		label: "Sag of each way. " + p.effectAnswer(main).plain(p.Units)}
}

func (p *Page) changeFigure() figure {
	c := newChart(alongAxis, heightAxis)
	for i, w := range p.Change.Ways {
		c.curve(w.Name, p.Change.X, w.Height, wayNote(i, w.Name))
	}
	caption := say("Change from “", p.Change.From, "” to “", p.Change.To, "”: ", joined(wayWords(p.Change.Ways)),
		". A bed that was straight there shows this here, with no metal at fault.")
	return figure{id: "change", chart: c.finish(), caption: caption, label: caption.plain(p.Units)}
}

func (p *Page) shapeTable(main SagStanding) table {
	t := table{caption: say("Out of straight about each reference line, ", unitOf(Height)),
		head: []prose{say("What"), say("Way"), say("Ends"), say("Least squares"), say("Minimum zone")}}
	add := func(what string, ways []WayShape) {
		for _, w := range ways {
			t.addFor(w.Name, what, w.Name, bare(Height, w.Straightness.Ends), bare(Height, w.Straightness.LeastSquares), bare(Height, w.Straightness.MinimumZone))
		}
	}
	add("sag", main.Ways)
	if p.Change != nil {
		add("change since “"+p.Change.From+"”", p.Change.Ways)
	}
	if p.Heat != nil {
		add("top 1 K warmer", p.Heat.Ways)
	}
	return t
}

// travelFigures shows the journey: path under the tool, shape at one place
// with a slider, foot loads over the journey.
func (p *Page) travelFigures() []figure {
	t := p.Travel
	at, height := t.Work()
	place := axis{Name: "table's left end", Kind: Along}
	path := newChart(place, heightAxis)
	path.curve("at the tool", at, height, note{Style: "first", Ref: true})
	figures := []figure{{id: "journey", chart: path.finish(),
		caption: say("Height of the work under the tool over the table's journey: ", q(Height, t.AtToolStraightness), " out of straight, which is what the machine will cut."),
		label:   "Height of the work under the tool over the journey"}}
	if len(t.Ways) > 0 {
		figures = append(figures, p.placeFigure())
	}
	if len(t.Feet) == 0 || len(t.FootLoads) == 0 { // none, or bearings alone
		return figures
	}
	m := p.lightMap()
	figures = append(figures, p.loadsFigure(place, m == nil))
	if m != nil {
		caption := append(say("Where feet go light (striped: under ", q(Force, p.lightOnTravel()), ") or carry nothing (empty, dashed) by the place of the table's left end: "), m.words()...)
		figures = append(figures, figure{id: "light", drawing: both(m.draw, caption.plain(p.Units)), caption: append(caption, ".")})
	}
	return figures
}

// lightOnTravel returns the load under which a foot is called light with the
// table on the bed, N.
func (p *Page) lightOnTravel() float64 {
	loads := p.Travel.FootLoads[0]
	sum := 0.0
	for _, l := range loads {
		sum += l
	}
	return p.leastShare() * sum / float64(len(loads))
}

// foot returns the load of a foot at every place of the table.
func (v Travel) foot(f int) []float64 {
	loads := make([]float64, len(v.FootLoads))
	for i := range loads {
		loads[i] = v.FootLoads[i][f]
	}
	return loads
}

func lowest(v []float64) int {
	least := 0
	for i := range v {
		if v[i] < v[least] {
			least = i
		}
	}
	return least
}

// keptWords says which foot comes nearest to losing its load.
func (v Travel) keptWords() prose {
	foot, least := 0, v.FootLoads[0][0]
	for _, loads := range v.FootLoads {
		if f := lowest(loads); loads[f] < least {
			foot, least = f, loads[f]
		}
	}
	return say(" Every foot keeps its load over the whole stroke; ", v.FootName(foot), " comes down to ", q(Force, least), ".")
}

// pressWords says where the table presses most, which is where a way wears first.
func (v Travel) pressWords() prose {
	var at, x, most, sum, n float64
	for k, row := range v.Pressure {
		for i, f := range row {
			if f > most {
				at, x, most = v.TableAt[k], v.PressureX[i], f
			}
			if f > 0 {
				sum, n = sum+f, n+1
			}
		}
	}
	switch {
	case most == 0:
		return nil
	case most < 1.1*sum/n:
		return say(" It presses evenly, ", q(Pressure, most), " on both ways together.")
	}
	return say(" It presses most at ", q(Spot, at+x), " along the bed, ", q(Pressure, most), " on both ways together, with its left end at ", q(Spot, at),
		": ", fmt.Sprintf("%.1f", most*n/sum), " times the mean. The ways are likely to wear there first.")
}

func (p *Page) placeFigure() figure {
	t := p.Travel
	c := newChart(alongAxis, heightAxis)
	for i, w := range t.Ways {
		c.curve(w.Name, t.X, w.Height[0], wayNote(i, w.Name))
	}
	if len(t.Pressure) > 0 {
		n := c.panel(alongAxis, axis{Name: "pressure", Kind: Pressure})
		c.curve("under the table", shifted(t.PressureX, t.TableAt[0]), t.Pressure[0], note{Style: "quiet", Panel: n})
	}
	c.finish()
	return figure{id: "place-at", chart: c, before: `<div class="slide"><label for="table-at">Table's left end at</label>
<input type="range" id="table-at" min="0" step="1" value="0"><output for="table-at" id="table-at-out"></output></div>`,
		caption: append(say("The ways with the table (shaded) at the place of the slider, and how it presses on them."), t.pressWords()...),
		label:   "Shape of the ways with the table at the chosen place"}
}

func shifted(x []float64, by float64) []float64 {
	out := make([]float64, len(x))
	for i := range x {
		out[i] = x[i] + by
	}
	return out
}

func (p *Page) loadsFigure(place axis, kept bool) figure {
	t := p.Travel
	c := newChart(place, axis{Name: "foot load", Kind: Force})
	for f := range t.FootLoads[0] {
		c.curve(t.FootName(f), t.TableAt, t.foot(f), note{Style: []string{"first", "second"}[f%2]})
	}
	caption := say("Load of every foot over the table's journey; the upright line is the place of the slider.")
	if kept {
		caption = append(caption, t.keptWords()...)
	}
	return figure{id: "journey-loads", chart: c.finish(), caption: caption,
		label: "Load of every foot over the table's journey"}
}

// travelData is what the slider of the table's place needs.
type travelData struct {
	TableAt   []float64   `json:"table_at"`
	Length    float64     `json:"length"`
	X         []float64   `json:"x"`
	Ways      []TravelWay `json:"ways"`
	PressureX []float64   `json:"pressure_x"`
	Pressure  [][]float64 `json:"pressure"`
}

// travelData returns the journey thinned: at most 60 places and 100 stations.
func (p *Page) travelData() *travelData {
	t := p.Travel
	if t == nil || len(t.Ways) == 0 {
		return nil
	}
	places, stations := spread(len(t.TableAt), 60), spread(len(t.X), 100)
	d := &travelData{TableAt: pick(t.TableAt, places), X: pick(t.X, stations), PressureX: t.PressureX}
	if p.Table != nil {
		d.Length = p.Table.Length
	}
	for _, w := range t.Ways {
		thinned := TravelWay{Name: w.Name}
		for _, k := range places {
			thinned.Height = append(thinned.Height, pick(w.Height[k], stations))
		}
		d.Ways = append(d.Ways, thinned)
	}
	for _, k := range places {
		if k < len(t.Pressure) {
			d.Pressure = append(d.Pressure, t.Pressure[k])
		}
	}
	return d
}

// spread returns at most most indices evenly over n, with both ends.
func spread(n, most int) []int {
	k := min(n, most)
	out := make([]int, k)
	for i := range out {
		out[i] = i
		if n > most {
			out[i] = i * (n - 1) / (most - 1)
		}
	}
	return out
}
