package page

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"footwork/internal/unit"
	"footwork/reports/doc"

	"gonum.org/v1/gonum/floats"

	"github.com/go-echarts/go-echarts/v2/charts"
	"github.com/go-echarts/go-echarts/v2/opts"
)

// chart is an ECharts option in SI. Its axes come in both systems of units, with
// round marks in each; colours are those of the style sheet, so that light and
// dark need no script.
type chart struct {
	Option map[string]any `json:"option"`
	X      [2]scale       `json:"x"` // metric, inch
	Y      [2]scale       `json:"y"`
	Kinds  [2]string      `json:"kinds"` // of x and y, for the words beside the pointer
	Unit   string         `json:"unit,omitempty"`
}

// scale is an axis in one system of units: SI values, a round step apart.
type scale struct {
	Min float64 `json:"min"`
	Max float64 `json:"max"`
	step
}

// step is a round step of an axis and the decimals that its marks need.
type step struct {
	Step   float64 `json:"interval"`
	Digits int     `json:"digits"`
}

// stepOf returns the least round step that is not under least, in a unit of so much.
func stepOf(least, one float64) step {
	round := doc.NiceStep(least / one)
	return step{round * one, min(6, max(0, int(math.Ceil(-math.Log10(round)-1e-9))))}
}

// The margins of every picture over the bed, as shares of its width: places stand
// under one another. Narrow pictures are those of a phone.
const (
	left, right             = 0.075, 0.03
	narrowLeft, narrowRight = 0.15, 0.05
)

// margins tells style sheet and script of them.
func margins() string {
	set := func(l, r float64) string { return fmt.Sprintf(":root { --l: %g%%; --r: %g%%; }", 100*l, 100*r) }
	return set(left, right) + " @media screen and (max-width: 640px) { " + set(narrowLeft, narrowRight) + " }\n"
}

// stroke is how each style of curve looks: never colour alone.
var strokes = map[doc.Style]struct {
	colour, dash string
	width        float32
}{
	doc.First:  {"first", "solid", 2.4},
	doc.Second: {"second", "dashed", 2.4},
	doc.Before: {"soft", "solid", 1.3},
	doc.Quiet:  {"quiet", "dotted", 1.8},
	doc.Third:  {"third", "dashed", 1.6},
}

// curves writes a chart with its key and its numbers.
func (p *printer) curves(c *doc.Curves) {
	id := fmt.Sprintf("c%d", len(p.charts))
	p.charts[id] = chartOf(c)
	class := "chart" + pick(c.Small, " small", "") + pick(c.OnBed, " on-bed", "")
	p.add(`<figure class="curves"><figcaption>%s <span class="keys">`, p.words(c.Title))
	if len(c.Series) > 1 && !c.Keyed {
		for _, s := range c.Series {
			p.add(`<span class="key %s">%s</span>`, s.Style, escape(s.Name))
		}
	}
	if slices.ContainsFunc(c.Series, func(s doc.Series) bool { return s.Low != nil }) {
		p.add(`<span class="key band">95&nbsp;%%</span>`)
	}
	own := pick(c.Y.Unit != "", ` data-k="reading"`, "") // in the instrument's unit, whatever the reader's
	p.add(`</span></figcaption><div class="%s" id="%s"%s role="img" aria-label="%s"></div>`, class, id, own, escape(p.label(c)))
	p.feet(c)
	p.add(`<details class="numbers" open><summary>numbers</summary>`)
	p.table(numbers(c))
	p.add("</details></figure>\n")
}

// feet marks the feet under a chart, those of a place together.
func (p *printer) feet(c *doc.Curves) {
	if !c.OnBed || len(c.Feet) == 0 || c.Length <= 0 {
		return
	}
	names := map[float64]string{}
	for _, f := range c.Feet {
		if names[f.At] != "" {
			names[f.At] += "\u200a"
		}
		names[f.At] += f.Name
	}
	p.add(`<div class="feet%s" aria-hidden="true">`, pick(len(names) > 5, " many", ""))
	for _, at := range slices.Sorted(maps.Keys(names)) {
		p.add(`<span style="--x:%.4f">%s</span>`, at/c.Length, escape(names[at]))
	}
	p.add(`</div>`)
}

// label says the picture in words, with the ends of every curve.
func (p *printer) label(c *doc.Curves) string {
	out := c.Title.In(p.units)
	for _, s := range c.Series {
		if len(s.Y) == 0 {
			continue
		}
		low, high := floats.MinIdx(s.Y), floats.MaxIdx(s.Y)
		least, most := p.value(c.Y, s.Y[low]), p.value(c.Y, s.Y[high])
		if least == most {
			out += fmt.Sprintf(". %s: %s throughout", s.Name, most)
			continue
		}
		out += fmt.Sprintf(". %s: lowest %s at %s, highest %s at %s", s.Name, least, p.value(c.X, s.X[low]), most, p.value(c.X, s.X[high]))
	}
	return out
}

func quantity(a doc.Axis, v float64, bare bool) doc.Quantity {
	return doc.Quantity{Kind: a.Kind, Value: v, Reading: a.Unit, Bare: bare}
}

func (p *printer) value(a doc.Axis, v float64) string { return quantity(a, v, false).In(p.units) }

// listed is how many places the numbers of a picture are given at.
const listed = 21

// numbers lists a picture's curves at some places over the whole.
func numbers(c *doc.Curves) *doc.Table {
	t := &doc.Table{Title: c.Title, Head: []doc.Text{{c.X.Name, ", ", doc.UnitOf(c.X.Kind)}}}
	longest := c.Series[0]
	for _, s := range c.Series {
		head := pick(c.Y.Unit != "", doc.Text{s.Name, ", ", c.Y.Unit}, doc.Text{s.Name, ", ", doc.UnitOf(c.Y.Kind)})
		t.Head = append(t.Head, head)
		if len(s.X) > len(longest.X) {
			longest = s
		}
	}
	n := min(listed, len(longest.X))
	for k := range n {
		x := longest.X[k*(len(longest.X)-1)/max(1, n-1)]
		row := []any{quantity(c.X, x, true)}
		for _, s := range c.Series {
			row = append(row, quantity(c.Y, s.At(x), true))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// chartOf returns the option of a picture.
func chartOf(c *doc.Curves) *chart {
	line := charts.NewLine()
	line.SetGlobalOptions(charts.WithAnimation(false), charts.WithLegendOpts(opts.Legend{Show: opts.Bool(false)}),
		charts.WithXAxisOpts(opts.XAxis{Type: "value"}), charts.WithYAxisOpts(opts.YAxis{Type: "value"}),
		charts.WithTooltipOpts(opts.Tooltip{Show: opts.Bool(true), Trigger: "axis"}))
	for _, s := range c.Series {
		if s.Low != nil {
			addBand(line, s)
		}
		addCurve(line, s)
	}
	line.Validate()
	out := &chart{Option: line.JSON(), Kinds: [2]string{string(c.X.Kind), string(c.Y.Kind)}, Unit: c.Y.Unit}
	stackAll(out.Option)
	for i, u := range []unit.System{unit.Metric, unit.Inches} {
		out.X[i], out.Y[i] = acrossScale(c, c.X.Kind.In(u).One), upScale(c, oneOf(c.Y, u))
	}
	return out
}

func oneOf(a doc.Axis, u unit.System) float64 {
	if a.Unit != "" {
		return 1
	}
	return a.Kind.In(u).One
}

func points(x, y []float64, keep []int) []opts.LineData {
	data := make([]opts.LineData, len(keep))
	for i, k := range keep {
		data[i] = opts.LineData{Value: []any{figures(x[k]), figures(y[k])}}
	}
	return data
}

// figures rounds to five figures: ten nanometres in a millimetre, and finer than a
// picture has dots.
func figures(v float64) float64 {
	if v == 0 {
		return 0
	}
	scale := math.Pow(10, 4-math.Floor(math.Log10(math.Abs(v))))
	return math.Round(v*scale) / scale
}

// mostPoints is how many points of a curve are drawn: one in some seven dots.
const mostPoints = 120

// thin returns at most mostPoints indices of y, increasing, that keep both ends
// and the extremes of every stretch.
func thin(y []float64) []int {
	n, keep := len(y), []int{0}
	if n <= mostPoints {
		for i := range n {
			keep = append(keep, i)
		}
		return slices.Compact(keep)
	}
	const stretches = mostPoints/2 - 1
	for s := range stretches {
		from, to := 1+s*(n-2)/stretches, 1+(s+1)*(n-2)/stretches
		low, high := from+floats.MinIdx(y[from:to]), from+floats.MaxIdx(y[from:to])
		keep = append(keep, min(low, high), max(low, high))
	}
	return slices.Compact(append(keep, n-1))
}

func addCurve(line *charts.Line, s doc.Series) {
	look := strokes[s.Style]
	line.AddSeries(s.Name, points(s.X, s.Y, thin(s.Y)),
		charts.WithLineChartOpts(opts.LineChart{ShowSymbol: opts.Bool(false), Symbol: "none"}),
		charts.WithLineStyleOpts(opts.LineStyle{Color: "var(--" + look.colour + ")", Type: look.dash, Width: look.width}))
}

// addBand lays a band by two stacked lines: its lower edge, and its width on it.
func addBand(line *charts.Line, s doc.Series) {
	wide := make([]float64, len(s.X))
	for i := range wide {
		wide[i] = s.High[i] - s.Low[i]
	}
	none := charts.WithLineStyleOpts(opts.LineStyle{Opacity: opts.Float(0)})
	for i, y := range [][]float64{s.Low, wide} {
		look := charts.WithLineChartOpts(opts.LineChart{ShowSymbol: opts.Bool(false), Symbol: "none", Stack: "band of " + s.Name})
		area := charts.WithAreaStyleOpts(opts.AreaStyle{Color: "var(--" + strokes[s.Style].colour + ")", Opacity: opts.Float(0.2 * float32(i))})
		line.AddSeries("", points(s.X, y, thin(s.Y)), look, none, area)
	}
}

// stackAll lets bands be stacked whatever their sign, which the options of Go do
// not know of.
func stackAll(option map[string]any) {
	all, _ := option["series"].(charts.MultiSeries)
	series := make([]any, len(all))
	for i, s := range all {
		series[i] = s
		if s.Stack != "" {
			series[i] = struct {
				charts.SingleSeries
				Strategy string `json:"stackStrategy"`
			}{s, "all"}
		}
	}
	option["series"] = series
}

// acrossScale returns the x axis: the whole bed, or what the curves reach.
func acrossScale(c *doc.Curves, one float64) scale {
	from, to := math.Inf(1), math.Inf(-1)
	for _, s := range c.Series {
		if len(s.X) > 0 {
			from, to = min(from, slices.Min(s.X)), max(to, slices.Max(s.X))
		}
	}
	if c.OnBed && c.Length > 0 {
		from, to = 0, c.Length
	}
	return scale{from, to, stepOf((to-from)/8, one)}
}

// upScale returns the y axis with round ends.
func upScale(c *doc.Curves, one float64) scale {
	low, high := 0.0, 0.0
	for _, s := range c.Series {
		for _, row := range [][]float64{s.Y, s.Low, s.High} {
			for _, v := range row {
				low, high = min(low, v), max(high, v)
			}
		}
	}
	marks := pick(c.Small, 4.5, 6)
	s := stepOf(max(high-low, 1e-9*one)/marks, one)
	return scale{math.Floor(low/s.Step+1e-9) * s.Step, math.Ceil(high/s.Step-1e-9) * s.Step, s}
}
