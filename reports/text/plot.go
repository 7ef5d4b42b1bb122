package text

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
	"strings"

	"footwork/internal/unit"
	"footwork/reports/doc"
)

// plot is a picture of curves in characters: dots of braille, or ASCII marks
// where a font has none. The first curve is solid, the next are dashed.
type plot struct {
	*doc.Curves
	x, y  unit.Display
	title string
	Options
}

// plot draws curves with the feet under them.
func (s *sheet) plot(c *doc.Curves) {
	s.part(plot{c, c.X.Kind.In(s.Units), c.Y.Kind.In(s.Units), s.words(c.Title), s.Options}.lines(s.width))
}

// plotRows is the height of a plot in lines; its dots are finer.
const plotRows = 9

// dashes holds, for each curve, how many dots of a dash are on and off.
var dashes = [][2]int{{1, 0}, {6, 4}, {2, 2}}

const marks = "*o+" // of each curve in ASCII; "#" where curves meet

// frame maps values to dots: cells of wide × high dots each.
type frame struct {
	columns, wide, high int
	x0, x1, y0, y1      float64
}

// lines returns the plot in at most so many columns, or nothing without a curve.
func (p plot) lines(most int) []string {
	f, ok := p.frame()
	if !ok {
		return nil
	}
	labels := p.heightLabels(f)
	gutter := 0
	for _, l := range labels {
		gutter = max(gutter, width(l))
	}
	f.columns = most - gutter - 2
	out := p.legend(f, most)
	for row, cells := range p.cells(f) {
		edge := "│"
		if labels[row] != "" {
			edge = "┤"
		}
		out = append(out, strings.Repeat(" ", gutter-width(labels[row]))+labels[row]+" "+p.rule(edge)+cells)
	}
	return append(out, p.foot(f, gutter+1)...)
}

// frame returns the range of the plot: all curves and feet along x, all curves
// in height. Heights that agree to the last digit shown lie on a middle line.
func (p plot) frame() (frame, bool) {
	f := frame{wide: 2, high: 4, x0: math.Inf(1), x1: math.Inf(-1), y0: math.Inf(1), y1: math.Inf(-1)}
	if p.ASCII {
		f.wide, f.high = 1, 1
	}
	for _, c := range p.Series {
		for i, x := range c.X {
			f.x0, f.x1 = min(f.x0, x), max(f.x1, x)
			f.y0, f.y1 = min(f.y0, c.Y[i]), max(f.y1, c.Y[i])
		}
	}
	if math.IsInf(f.x0, 0) {
		return f, false
	}
	if p.Length > 0 {
		f.x0, f.x1 = min(f.x0, 0), max(f.x1, p.Length)
	}
	for _, foot := range p.Feet {
		f.x0, f.x1 = min(f.x0, foot.At), max(f.x1, foot.At)
	}
	if f.x0 == f.x1 {
		f.x0, f.x1 = f.x0-unit.MM, f.x1+unit.MM
	}
	if digit := lastDigit(p.y); f.y1-f.y0 < digit {
		middle := (f.y0 + f.y1) / 2
		f.y0, f.y1 = middle-digit, middle+digit
	}
	return f, true
}

// dot returns the column and the row from below of a value, in dots.
func (f frame) dot(x, y float64) (int, int) {
	return int(math.Round((x - f.x0) / (f.x1 - f.x0) * float64(f.columns*f.wide-1))), f.dotRow(y)
}

func (f frame) dotRow(y float64) int {
	return int(math.Round((y - f.y0) / (f.y1 - f.y0) * float64(plotRows*f.high-1)))
}

// row returns the line from above in which a height lies.
func (f frame) row(y float64) int { return plotRows - 1 - f.dotRow(y)/f.high }

func (p plot) heightLabels(f frame) []string {
	labels := make([]string, plotRows)
	if f.y0 < 0 && f.y1 > 0 {
		labels[f.row(0)] = number(p.y, 0)
	}
	labels[0], labels[plotRows-1] = number(p.y, f.y1), number(p.y, f.y0)
	return labels
}

// cell is one character: the dots of all curves and which curves they are.
type cell struct{ dots, curves int }

// cells returns the lines of the plot's inside, the highest first.
func (p plot) cells(f frame) []string {
	grid := make([][]cell, plotRows)
	for i := range grid {
		grid[i] = make([]cell, f.columns)
	}
	for i, c := range p.Series {
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
func (f frame) draw(grid [][]cell, i int, c doc.Series) {
	if len(c.X) == 0 {
		return
	}
	low, high := slices.Min(c.Y), slices.Max(c.Y)
	for k := range c.X {
		x, y := f.dot(c.X[k], c.Y[k])
		f.set(grid, i, x, y, c.Y[k] == low || c.Y[k] == high)
		if k == 0 {
			continue
		}
		fromX, fromY := f.dot(c.X[k-1], c.Y[k-1])
		steps := max(x-fromX, fromX-x, y-fromY, fromY-y)
		for s := 1; s < steps; s++ {
			f.set(grid, i, fromX+(x-fromX)*s/steps, fromY+(y-fromY)*s/steps, false)
		}
	}
}

// set puts the dot x, y (from below) of curve i unless it falls between dashes.
func (f frame) set(grid [][]cell, i, x, y int, always bool) {
	dash := dashes[i%len(dashes)]
	if !always && f.wide > 1 && x%(dash[0]+dash[1]) >= dash[0] {
		return
	}
	cell := &grid[len(grid)-1-y/f.high][x/f.wide]
	cell.dots |= brailleDot(x%f.wide, f.high-1-y%f.high)
	cell.curves |= 1 << (i % len(dashes))
}

// brailleDot returns the bit of a braille dot (ISO/IEC 10646, block U+2800): its
// column, and its row from above.
func brailleDot(column, row int) int {
	return [2][4]int{{0x01, 0x02, 0x04, 0x40}, {0x08, 0x10, 0x20, 0x80}}[column][row]
}

// line returns cells as characters, with a dotted line at height zero if wanted.
func (p plot) line(cells []cell, zero bool) string {
	var b strings.Builder
	ink := ""
	for column, c := range cells {
		if next := p.ink(c); next != ink {
			ink = next
			b.WriteString(cmp.Or(ink, noInk))
		}
		b.WriteString(p.mark(c, zero && column%2 == 1))
	}
	if ink != "" {
		b.WriteString(noInk)
	}
	return strings.TrimRight(b.String(), " ")
}

const noInk = "\x1b[0m"

// ink returns the colour of a cell: none where curves meet.
func (p plot) ink(c cell) string {
	if !p.Colour {
		return ""
	}
	return map[int]string{1: "\x1b[36m", 2: "\x1b[33m"}[c.curves]
}

// mark returns the character of a cell.
func (p plot) mark(c cell, zero bool) string {
	switch {
	case c.dots == 0 && zero:
		return p.rule("·")
	case c.dots == 0:
		return " "
	case !p.ASCII:
		return string(rune(0x2800 + c.dots))
	case c.curves&(c.curves-1) != 0:
		return "#"
	}
	return marks[bits.TrailingZeros(uint(c.curves)):][:1]
}

// rule returns a line of the frame, in ASCII where it must be.
func (p plot) rule(s string) string {
	if !p.ASCII {
		return s
	}
	return strings.NewReplacer("│", "|", "┤", "+", "└", "+", "─", "-", "┬", "+", "·", ".", "▲", "^", "△", "x").Replace(s)
}

// legend returns the title, then the unit of the heights and a sample of each curve.
func (p plot) legend(f frame, most int) []string {
	out := []string{p.y.Unit}
	for i, c := range p.Series {
		item := "   " + p.sample(f, i) + " " + short(c.Name, 32)
		if last := len(out) - 1; width(out[last]+item) <= most {
			out[last] += item
		} else {
			out = append(out, item)
		}
	}
	if p.title == "" {
		return out
	}
	return append(wrap(p.title, most), out...)
}

// sample returns a short piece of curve i.
func (p plot) sample(f frame, i int) string {
	grid := [][]cell{make([]cell, 7*f.wide-6)}
	for x := range len(grid[0]) * f.wide {
		f.set(grid, i, x, f.high/2, false)
	}
	return p.line(grid[0], false)
}

// foot returns what lies below the curves: the axis with its places, then the
// feet with their names as far as there is room.
func (p plot) foot(f frame, left int) []string {
	step := doc.NiceStep(p.x.Value(f.x1-f.x0)/7) * p.x.One
	var ticks, marks, names []label
	line := []rune(strings.Repeat("─", f.columns))
	for k := math.Ceil(f.x0/step - 1e-9); k*step <= f.x1+1e-9*step; k++ {
		at := f.column(k * step)
		line[at] = '┬'
		ticks = append(ticks, label{column: at, text: number(p.x, k*step)})
	}
	if n := len(ticks); n > 0 {
		ticks[n-1].tail = " " + p.x.Unit
	}
	for _, feet := range p.atColumns(f) {
		marks = append(marks, label{column: feet.column, text: p.rule(feet.mark)})
		names = append(names, label{column: feet.column, text: feet.names})
	}
	pad := strings.Repeat(" ", left+1)
	out := []string{strings.Repeat(" ", left) + p.rule("└"+string(line)), pad + placed(ticks, f.columns, 1)}
	if len(marks) > 0 {
		out = append(out, pad+placed(marks, f.columns, 0), pad+placed(names, f.columns, 1))
	}
	if !p.OnBed {
		out = append(out, pad+placed([]label{{column: f.columns / 2, text: clean(p.X.Name)}}, f.columns, 0))
	}
	return out
}

func (f frame) column(x float64) int {
	dots, _ := f.dot(x, f.y0)
	return dots / f.wide
}

// footColumn is the feet that share a column.
type footColumn struct {
	column      int
	mark, names string
}

// atColumns returns the feet by column from left to right; the mark is open
// where one of them carries nothing.
func (p plot) atColumns(f frame) []footColumn {
	at := make([]footColumn, f.columns)
	for _, foot := range p.Feet {
		c := &at[f.column(foot.At)]
		c.names += "/" + clean(foot.Name)
		if foot.Off {
			c.mark = "△"
		} else if c.mark == "" {
			c.mark = "▲"
		}
	}
	var out []footColumn
	for column, c := range at {
		if c.mark != "" {
			out = append(out, footColumn{column, c.mark, short(c.names[1:], 14)})
		}
	}
	return out
}

// label is words centred on a column, with a tail behind them.
type label struct {
	column     int
	text, tail string
}

// placed returns the labels in one line of at most so many columns; what
// would come nearer than apart to the one before is left out.
func placed(labels []label, most, apart int) string {
	var b strings.Builder
	used := -apart
	for _, l := range labels {
		w := width(l.text + l.tail)
		start := min(max(l.column-width(l.text)/2, 0), most-w)
		if start >= used+apart {
			b.WriteString(strings.Repeat(" ", start-max(used, 0)) + l.text + l.tail)
			used = start + w
		}
	}
	return b.String()
}

// lastDigit returns the SI value of the last digit shown.
func lastDigit(d unit.Display) float64 { return d.One * math.Pow10(-d.Decimals) }

// number returns a number for the axes.
func number(d unit.Display, v float64) string { return doc.Quantity{Value: v}.Digits(d) }
