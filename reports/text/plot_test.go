package text

import (
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"footwork/internal/unit"
	"footwork/reports/doc"

	"pgregory.net/rapid"
)

func anyCurve(t *rapid.T) doc.Series {
	n := rapid.IntRange(2, 200).Draw(t, "stations")
	c := doc.Series{Name: "front"}
	x := rapid.Float64Range(-1, 1).Draw(t, "from")
	for range n {
		x += rapid.Float64Range(0.001, 0.5).Draw(t, "step")
		c.X, c.Y = append(c.X, x), append(c.Y, rapid.Float64Range(-1e-4, 1e-4).Draw(t, "y"))
	}
	return c
}

func plotOf(t *rapid.T, curves ...doc.Series) plot {
	return drawn(rapid.Bool().Draw(t, "ascii"), curves...)
}

// drawn is a plot of heights along a bed.
func drawn(ascii bool, curves ...doc.Series) plot {
	return plot{&doc.Curves{OnBed: true, Series: curves}, unit.Metric.Length(), unit.Metric.Height(), "", Options{ASCII: ascii}}
}

// The highest point has its mark on the top row and the lowest on the bottom
// row, each above its own place, solid or dashed.
func TestPlotExtremes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCurve(t)
		p := plotOf(t, doc.Series{Name: "flat", X: []float64{c.X[0]}, Y: []float64{c.Y[0]}}, c)
		f, _ := p.frame()
		f.columns = 70
		rows := p.cells(f)
		high, low := 0, 0
		for i, y := range c.Y {
			if y > c.Y[high] {
				high = i
			}
			if y < c.Y[low] {
				low = i
			}
		}
		if c.Y[high]-c.Y[low] < 0.2*unit.UM {
			t.Skip("flat to the last digit")
		}
		for row, at := range map[int]int{0: high, plotRows - 1: low} {
			share := (c.X[at] - c.X[0]) / (c.X[len(c.X)-1] - c.X[0])
			column := int(math.Round(share * 69))
			line := []rune(rows[row] + strings.Repeat(" ", 71))
			if strings.TrimSpace(string(line[max(0, column-1):column+2])) == "" {
				t.Fatalf("no mark near column %d of %q", column, rows[row])
			}
		}
	})
}

// A rising line never goes down from left to right.
func TestPlotRises(t *testing.T) {
	p := drawn(true, doc.Series{X: []float64{0, 1, 3}, Y: []float64{0, 5e-6, 9e-6}})
	f, _ := p.frame()
	f.columns = 40
	last := -1
	rows := p.cells(f)
	for i := plotRows - 1; i >= 0; i-- {
		first := strings.Index(rows[i], "*")
		if first <= last {
			t.Fatalf("row %d begins at %d, the one below at %d", i, first, last)
		}
		last = first
	}
}

// Heights that differ by less than the last digit shown are no shape.
func TestPlotFlat(t *testing.T) {
	p := drawn(true, doc.Series{X: []float64{0, 1, 2}, Y: []float64{1e-9, -1e-9, 1e-9}})
	f, _ := p.frame()
	f.columns = 30
	for row, line := range p.cells(f) {
		if strings.Contains(line, "*") != (row == plotRows/2) {
			t.Errorf("row %d: %q", row, line)
		}
	}
}

// The dots of U+2801, U+2808, U+2840, U+2880 are named 1, 4, 7 and 8 in the
// Unicode charts (from memory): top left, top right, bottom left, bottom right.
func TestPlotDots(t *testing.T) {
	for _, c := range []struct{ column, row, want int }{{0, 0, 0x01}, {1, 0, 0x08}, {0, 3, 0x40}, {1, 3, 0x80}, {0, 2, 0x04}, {1, 1, 0x10}} {
		if got := brailleDot(c.column, c.row); got != c.want {
			t.Errorf("column %d row %d: %#x, want %#x", c.column, c.row, got, c.want)
		}
	}
}

// In ASCII the plot is ASCII but for the unit, and both ways keep their marks.
func TestPlotASCII(t *testing.T) {
	x := []float64{0, 1, 2}
	p := drawn(true, doc.Series{Name: "front", X: x, Y: []float64{0, 4e-6, 0}}, doc.Series{Name: "back", X: x, Y: []float64{0, -4e-6, 0}})
	p.Feet = []doc.FootMark{{Name: "F1", At: 0.5}, {Name: "F2", At: 1.5, Off: true}}
	text := spaces(strings.Join(p.lines(72), "\n"))
	for _, r := range text {
		if r >= utf8.RuneSelf && r != 'µ' {
			t.Errorf("%q is not ASCII", r)
		}
	}
	for _, want := range []string{"* front", "o back", "#", "2000 mm", "F1", "F2"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
	lines := strings.Split(text, "\n")
	marks := lines[len(lines)-2]
	if strings.Index(marks, "^") != strings.Index(lines[len(lines)-1], "F1")+1 || strings.Index(marks, "x") < strings.Index(marks, "^") {
		t.Errorf("feet are not under their places:\n%s", text)
	}
}

// A foot is marked at its share of the axis, open when it carries nothing.
func TestPlotFeet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawn(false, doc.Series{X: []float64{0, 4}, Y: []float64{0, 1e-6}})
		at := rapid.Float64Range(0, 4).Draw(t, "at")
		p.Feet = []doc.FootMark{{Name: "F1", At: at}, {Name: "B1", At: at, Off: rapid.Bool().Draw(t, "off")}}
		f, _ := p.frame()
		f.columns = 70
		line := []rune(p.foot(f, 0)[2])[1:]
		i := len(line) - 1
		if want := at / 4 * 69; math.Abs(float64(i)-want) > 1 || (line[i] == '△') != p.Feet[1].Off {
			t.Fatalf("%q at column %d, want %.1f", line[i], i, want)
		}
	})
}

func BenchmarkPlot(b *testing.B) {
	x := make([]float64, 2000)
	y := make([]float64, len(x))
	for i := range x {
		x[i], y[i] = float64(i), math.Sin(float64(i)/150)
	}
	p := drawn(false, doc.Series{Name: "front", X: x, Y: y}, doc.Series{Name: "back", X: x, Y: y})
	for b.Loop() {
		p.lines(80)
	}
}
