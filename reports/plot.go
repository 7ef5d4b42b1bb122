package reports

import (
	"cmp"
	"math"
	"math/bits"
	"strings"

	"footwork/beam"
	"footwork/internal/unit"
)

// plot is a picture of curves in characters: dots of braille, or ASCII marks
// where a font has none. The first curve is solid, the next are dashed.
type plot struct {
	x, y   unit.Display
	along  string // what the x axis shows, "" for the place along the bed
	about  string // what the heights are above, "" when the name of the curve says it
	curves []plotCurve
	feet   []plotFoot
	ascii  bool
	colour bool
}

type plotCurve struct {
	name string
	x, y []float64
}

const plotEnds = " about the ends"

// plotAboutEnds returns a curve about the line through its ends.
func plotAboutEnds(name string, x, y []float64) plotCurve {
	return plotCurve{name, x, beam.Shape{X: x, Y: y}.AboutEnds().Y}
}

// plotFoot is marked below the x axis.
type plotFoot struct {
	name string
	at   float64
	off  bool // carries nothing
}

// plotRows is the height of a plot in lines; its dots are finer.
const plotRows = 9

// plotDash holds, for each curve, how many dots of a dash are on and off.
var plotDash = [][2]int{{1, 0}, {6, 4}, {2, 2}}

const plotMarks = "*o+" // of each curve in ASCII; "#" where curves meet

// plotFrame maps values to dots: cells of wide × high dots each.
type plotFrame struct {
	columns, wide, high int
	x0, x1, y0, y1      float64
}

// lines returns the plot in at most width columns, or nothing without a curve.
func (p plot) lines(width int) []string {
	f, ok := p.frame()
	if !ok {
		return nil
	}
	labels := p.heightLabels(f)
	gutter := 0
	for _, l := range labels {
		gutter = max(gutter, textWidth(l))
	}
	f.columns = width - gutter - 2
	out := p.legend(f, width)
	for row, cells := range p.cells(f) {
		edge := "│"
		if labels[row] != "" {
			edge = "┤"
		}
		out = append(out, strings.Repeat(" ", gutter-textWidth(labels[row]))+labels[row]+" "+p.rule(edge)+cells)
	}
	return append(out, p.foot(f, gutter+1)...)
}

// frame returns the range of the plot: all curves and feet along x, all curves
// in height. Heights that agree to the last digit shown lie on a middle line.
func (p plot) frame() (plotFrame, bool) {
	f := plotFrame{wide: 2, high: 4, x0: math.Inf(1), x1: math.Inf(-1), y0: math.Inf(1), y1: math.Inf(-1)}
	if p.ascii {
		f.wide, f.high = 1, 1
	}
	for _, c := range p.curves {
		for i, x := range c.x {
			f.x0, f.x1 = min(f.x0, x), max(f.x1, x)
			f.y0, f.y1 = min(f.y0, c.y[i]), max(f.y1, c.y[i])
		}
	}
	if math.IsInf(f.x0, 0) {
		return f, false
	}
	for _, foot := range p.feet {
		f.x0, f.x1 = min(f.x0, foot.at), max(f.x1, foot.at)
	}
	if f.x0 == f.x1 {
		f.x0, f.x1 = f.x0-unit.MM, f.x1+unit.MM
	}
	if digit := textDigit(p.y); f.y1-f.y0 < digit {
		middle := (f.y0 + f.y1) / 2
		f.y0, f.y1 = middle-digit, middle+digit
	}
	return f, true
}

// dot returns the column and the row from below of a value, in dots.
func (f plotFrame) dot(x, y float64) (int, int) {
	return int(math.Round((x - f.x0) / (f.x1 - f.x0) * float64(f.columns*f.wide-1))), f.dotRow(y)
}

func (f plotFrame) dotRow(y float64) int {
	return int(math.Round((y - f.y0) / (f.y1 - f.y0) * float64(plotRows*f.high-1)))
}

// row returns the line from above in which a height lies.
func (f plotFrame) row(y float64) int { return plotRows - 1 - f.dotRow(y)/f.high }

func (p plot) heightLabels(f plotFrame) []string {
	labels := make([]string, plotRows)
	if f.y0 < 0 && f.y1 > 0 {
		labels[f.row(0)] = textNumber(p.y, 0)
	}
	labels[0], labels[plotRows-1] = textNumber(p.y, f.y1), textNumber(p.y, f.y0)
	return labels
}

// plotCell is one character: the dots of all curves and which curves they are.
type plotCell struct{ dots, curves int }

// cells returns the lines of the plot's inside, the highest first.
func (p plot) cells(f plotFrame) []string {
	grid := make([][]plotCell, plotRows)
	for i := range grid {
		grid[i] = make([]plotCell, f.columns)
	}
	for i, c := range p.curves {
		f.draw(grid, i, c)
	}
	out := make([]string, plotRows)
	for row, cells := range grid {
		zero := f.y0 < 0 && f.y1 > 0 && row == f.row(0) && row > 0 && row < plotRows-1
		out[row] = p.line(cells, zero)
	}
	return out
}

// draw joins the points of curve i. Dashes leave dots out, but never the
// curve's highest and lowest point.
func (f plotFrame) draw(grid [][]plotCell, i int, c plotCurve) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, y := range c.y {
		low, high = min(low, y), max(high, y)
	}
	for k := range c.x {
		x, y := f.dot(c.x[k], c.y[k])
		f.set(grid, i, x, y, c.y[k] == low || c.y[k] == high)
		if k == 0 {
			continue
		}
		fromX, fromY := f.dot(c.x[k-1], c.y[k-1])
		steps := max(x-fromX, fromX-x, y-fromY, fromY-y)
		for s := 1; s < steps; s++ {
			f.set(grid, i, fromX+(x-fromX)*s/steps, fromY+(y-fromY)*s/steps, false)
		}
	}
}

// set puts the dot x, y (from below) of curve i unless it falls between dashes.
func (f plotFrame) set(grid [][]plotCell, i, x, y int, always bool) {
	dash := plotDash[i%len(plotDash)]
	if !always && f.wide > 1 && x%(dash[0]+dash[1]) >= dash[0] {
		return
	}
	cell := &grid[len(grid)-1-y/f.high][x/f.wide]
	cell.dots |= plotDot(x%f.wide, f.high-1-y%f.high)
	cell.curves |= 1 << (i % len(plotDash))
}

// plotDot returns the bit of a braille dot (ISO/IEC 10646, block U+2800): its
// column, and its row from above.
func plotDot(column, row int) int {
	return [2][4]int{{0x01, 0x02, 0x04, 0x40}, {0x08, 0x10, 0x20, 0x80}}[column][row]
}

// line returns cells as characters, with a dotted line at height zero if wanted.
func (p plot) line(cells []plotCell, zero bool) string {
	var b strings.Builder
	ink := ""
	for column, c := range cells {
		if next := p.ink(c); next != ink {
			ink = next
			b.WriteString(cmp.Or(ink, plotNoInk))
		}
		b.WriteString(p.mark(c, zero && column%2 == 1))
	}
	if ink != "" {
		b.WriteString(plotNoInk)
	}
	return strings.TrimRight(b.String(), " ")
}

const plotNoInk = "\x1b[0m"

// ink returns the colour of a cell: none where curves meet.
func (p plot) ink(c plotCell) string {
	if !p.colour {
		return ""
	}
	return map[int]string{1: "\x1b[36m", 2: "\x1b[33m"}[c.curves]
}

// mark returns the character of a cell.
func (p plot) mark(c plotCell, zero bool) string {
	switch {
	case c.dots == 0 && zero:
		return p.rule("·")
	case c.dots == 0:
		return " "
	case !p.ascii:
		return string(rune(0x2800 + c.dots))
	case c.curves&(c.curves-1) != 0:
		return "#"
	}
	return plotMarks[bits.TrailingZeros(uint(c.curves)):][:1]
}

// rule returns a line of the frame, in ASCII where it must be.
func (p plot) rule(s string) string {
	if !p.ascii {
		return s
	}
	return strings.NewReplacer("│", "|", "┤", "+", "└", "+", "─", "-", "┬", "+", "·", ".", "▲", "^", "△", "x").Replace(s)
}

// legend returns the unit of the heights and a sample of each curve.
func (p plot) legend(f plotFrame, width int) []string {
	out := []string{p.y.Unit + p.about}
	for i, c := range p.curves {
		item := "   " + p.sample(f, i) + " " + textShort(c.name, 32)
		if last := len(out) - 1; textWidth(out[last]+item) <= width {
			out[last] += item
		} else {
			out = append(out, item)
		}
	}
	return out
}

// sample returns a short piece of curve i.
func (p plot) sample(f plotFrame, i int) string {
	grid := [][]plotCell{make([]plotCell, 7*f.wide-6)}
	for x := range len(grid[0]) * f.wide {
		f.set(grid, i, x, f.high/2, false)
	}
	return p.line(grid[0], false)
}

// foot returns what lies below the curves: the axis with its places, then the
// feet with their names as far as there is room.
func (p plot) foot(f plotFrame, left int) []string {
	step := niceStep(p.x.Value(f.x1-f.x0)/7) * p.x.One
	var ticks, marks, names []plotLabel
	line := []rune(strings.Repeat("─", f.columns))
	for k := math.Ceil(f.x0/step - 1e-9); k*step <= f.x1+1e-9*step; k++ {
		at := f.column(k * step)
		line[at] = '┬'
		ticks = append(ticks, plotLabel{column: at, text: textNumber(p.x, k*step)})
	}
	if n := len(ticks); n > 0 {
		ticks[n-1].tail = " " + p.x.Unit
	}
	for _, feet := range p.atColumns(f) {
		marks = append(marks, plotLabel{column: feet.column, text: p.rule(feet.mark)})
		names = append(names, plotLabel{column: feet.column, text: feet.names})
	}
	pad := strings.Repeat(" ", left+1)
	out := []string{strings.Repeat(" ", left) + p.rule("└"+string(line)), pad + plotPlaced(ticks, f.columns, 1)}
	if len(marks) > 0 {
		out = append(out, pad+plotPlaced(marks, f.columns, 0), pad+plotPlaced(names, f.columns, 1))
	}
	if p.along != "" {
		out = append(out, pad+plotPlaced([]plotLabel{{column: f.columns / 2, text: p.along}}, f.columns, 0))
	}
	return out
}

func (f plotFrame) column(x float64) int {
	dots, _ := f.dot(x, f.y0)
	return dots / f.wide
}

// plotFeet is the feet that share a column.
type plotFeet struct {
	column      int
	mark, names string
}

// atColumns returns the feet by column from left to right; the mark is open
// where one of them carries nothing.
func (p plot) atColumns(f plotFrame) []plotFeet {
	at := make([]plotFeet, f.columns)
	for _, foot := range p.feet {
		c := &at[f.column(foot.at)]
		c.names += "/" + foot.name
		if foot.off {
			c.mark = "△"
		} else if c.mark == "" {
			c.mark = "▲"
		}
	}
	var out []plotFeet
	for column, c := range at {
		if c.mark != "" {
			out = append(out, plotFeet{column, c.mark, textShort(c.names[1:], 14)})
		}
	}
	return out
}

// plotLabel is words centred on a column, with a tail behind them.
type plotLabel struct {
	column     int
	text, tail string
}

// plotPlaced returns the labels in one line of at most width columns; what
// would come nearer than apart to the one before is left out.
func plotPlaced(labels []plotLabel, width, apart int) string {
	var b strings.Builder
	used := -apart
	for _, l := range labels {
		w := textWidth(l.text + l.tail)
		start := min(max(l.column-textWidth(l.text)/2, 0), width-w)
		if start >= used+apart {
			b.WriteString(strings.Repeat(" ", start-max(used, 0)) + l.text + l.tail)
			used = start + w
		}
	}
	return b.String()
}
