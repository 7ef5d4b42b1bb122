package reports

import (
	"math"
	"slices"

	"github.com/go-echarts/go-echarts/v2/charts"
	"github.com/go-echarts/go-echarts/v2/opts"
)

// chart is an ECharts option in SI with notes beside it: the script scales each
// axis to the chosen units, takes the chosen reference line off the curves that
// follow it, and colours them.
type chart struct {
	X      []axis         `json:"x"`
	Y      []axis         `json:"y"`
	Notes  []note         `json:"notes"` // one a series
	Level  string         `json:"level,omitempty"`
	Height int            `json:"height"` // px of one panel
	Same   bool           `json:"same,omitempty"`
	Option map[string]any `json:"option"`

	line *charts.Line
}

// axis names what an axis shows; Unit stands for readings, which keep their own.
type axis struct {
	Name string `json:"name"`
	Kind Kind   `json:"kind,omitempty"`
	Unit string `json:"unit,omitempty"`
}

// note is what a series is besides its points.
type note struct {
	Way    string    `json:"way,omitempty"` // hidden when another way is chosen
	Style  string    `json:"style"`         // "first", "second", "quiet", "dots", "now" or "after"
	Ref    bool      `json:"ref,omitempty"`
	Sigma  []float64 `json:"sigma,omitempty"` // standard uncertainty of each point
	Panel  int       `json:"panel,omitempty"`
	Points bool      `json:"points,omitempty"`
	ByLine *byLine   `json:"by_line,omitempty"` // y for each reference line
	// Unnamed curves carry no label at their end.
	Unnamed bool `json:"unnamed,omitempty"`
	Fill    bool `json:"fill,omitempty"`
}

// byLine holds what a series shows under each reference line.
type byLine struct {
	Ends  []float64 `json:"ends"`
	Least []float64 `json:"least"`
	Zone  []float64 `json:"zone"`
}

func (b *byLine) add(s Straightness) {
	b.Ends = append(b.Ends, short(s.Ends))
	b.Least = append(b.Least, short(s.LeastSquares))
	b.Zone = append(b.Zone, short(s.MinimumZone))
}

// newChart returns an empty chart of one panel; animation is off because a page
// that prints while it moves loses curves.
func newChart(x, y axis) *chart {
	line := charts.NewLine()
	line.SetGlobalOptions(
		charts.WithAnimation(false),
		charts.WithXAxisOpts(opts.XAxis{Type: "value"}),
		charts.WithYAxisOpts(opts.YAxis{Type: "value"}),
		charts.WithLegendOpts(opts.Legend{Show: opts.Bool(false)}),
		charts.WithTooltipOpts(opts.Tooltip{Show: opts.Bool(true), Trigger: "axis"}),
	)
	return &chart{X: []axis{x}, Y: []axis{y}, Height: 260, line: line}
}

// panel adds a panel under the last one and returns its index.
func (c *chart) panel(x, y axis) int {
	n := len(c.X)
	c.line.ExtendXAxis(opts.XAxis{Type: "value", GridIndex: n})
	c.line.ExtendYAxis(opts.YAxis{Type: "value", GridIndex: n})
	c.X, c.Y = append(c.X, x), append(c.Y, y)
	return n
}

// curve adds a series, thinned.
func (c *chart) curve(name string, x, y []float64, n note) {
	keep := thin(y, 160)
	data := make([]opts.LineData, len(keep))
	for i, k := range keep {
		data[i] = opts.LineData{Value: []any{short(x[k]), short(y[k])}}
	}
	if n.Sigma != nil {
		n.Sigma = pick(n.Sigma, keep)
	}
	c.line.AddSeries(name, data,
		charts.WithLineChartOpts(opts.LineChart{XAxisIndex: n.Panel, YAxisIndex: n.Panel, ShowSymbol: opts.Bool(n.Points)}))
	c.Notes = append(c.Notes, n)
}

// finish fills Option; call it when all series are in.
func (c *chart) finish() *chart {
	for range c.X {
		if len(c.X) > 1 {
			c.line.GridList = append(c.line.GridList, opts.Grid{})
		}
	}
	c.line.Validate()
	c.Option = c.line.JSON()
	return c
}

// thin returns at most most indices of y, increasing, that keep both ends and
// the extremes of every stretch.
func thin(y []float64, most int) []int {
	n := len(y)
	var keep []int
	if n <= most {
		for i := range y {
			keep = append(keep, i)
		}
		return keep
	}
	stretches := most/2 - 1
	keep = append(keep, 0)
	for s := range stretches {
		from, to := 1+s*(n-2)/stretches, 1+(s+1)*(n-2)/stretches
		low, high := from, from
		for i := from; i < to; i++ {
			if y[i] < y[low] {
				low = i
			}
			if y[i] > y[high] {
				high = i
			}
		}
		keep = append(keep, min(low, high), max(low, high))
	}
	return slices.Compact(append(keep, n-1))
}

func pick(v []float64, keep []int) []float64 {
	out := make([]float64, len(keep))
	for i, k := range keep {
		out[i] = short(v[k])
	}
	return out
}

// short rounds to seven figures: a tenth of a nanometre in a millimetre.
func short(v float64) float64 { return figures(v, 7) }

func figures(v float64, n int) float64 {
	if v == 0 || math.IsInf(v, 0) || math.IsNaN(v) {
		return v
	}
	scale := math.Pow(10, float64(n-1)-math.Floor(math.Log10(math.Abs(v))))
	if math.IsInf(scale, 0) {
		return v
	}
	return math.Round(v*scale) / scale
}
