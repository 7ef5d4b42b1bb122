// Package shape holds heights along a bed, stretches of it, and how straight they are: about which line, and between
// which nearest two lines, or planes, that have all points between them, the minimum zone of ISO 12780-1 and ISO 12781-1.
package shape

import (
	"slices"

	"gonum.org/v1/gonum/stat"
)

// Shape is any run of heights along x: the common currency of the packages.
type Shape struct {
	X []float64 // m, increasing
	Y []float64 // m, or the unit that the context names
}

// At returns the height at x by straight lines between the given points,
// continued beyond the ends.
func (s Shape) At(x float64) float64 {
	if len(s.X) == 0 {
		panic("shape: At on an empty shape")
	}
	lo, hi := 0, len(s.X)-1
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; s.X[mid] <= x {
			lo = mid
		} else {
			hi = mid
		}
	}
	return s.from(lo, x)
}

// from returns the height at x on the straight line that begins at a station.
func (s Shape) from(lo int, x float64) float64 {
	if len(s.X) == 1 {
		return s.Y[0]
	}
	t := (x - s.X[lo]) / (s.X[lo+1] - s.X[lo])
	return s.Y[lo] + t*(s.Y[lo+1]-s.Y[lo])
}

// Over returns the heights at places x, as At does: in one walk where they increase.
func (s Shape) Over(x []float64) []float64 {
	y, lo := make([]float64, len(x)), 0
	for i, at := range x {
		if i > 0 && at < x[i-1] {
			lo = 0
		}
		for lo+2 < len(s.X) && s.X[lo+1] <= at {
			lo++
		}
		y[i] = s.from(lo, at)
	}
	return y
}

// Minus returns s − o at the stations of s.
func (s Shape) Minus(o Shape) Shape {
	d := Shape{X: s.X, Y: o.Over(s.X)}
	for i, y := range s.Y {
		d.Y[i] = y - d.Y[i]
	}
	return d
}

// Line is a reference line, a + b·x.
type Line struct{ A, B float64 }

// at returns the height of the line at x.
func (l Line) at(x float64) float64 { return l.A + l.B*x }

// Straightness is the peak-to-valley deviation about each of the three
// reference lines in use, in the unit of the shape's heights. MinimumZone is
// the least of all lines; Ends and LeastSquares come in either order.
type Straightness struct {
	Ends         float64 // about the line through the two ends
	LeastSquares float64 // STRt about the LSLI of ISO 12780-1
	MinimumZone  float64 // STRt about the MZLI of ISO 12780-1
}

// Straightness returns the straightness of s about each reference line; zero
// for fewer than two points. The heights are taken as they stand: the filter of
// ISO 12780-1 is no part of it.
func (s Shape) Straightness() Straightness {
	return Straightness{
		Ends:         s.spread(s.endsLine()),
		LeastSquares: s.spread(s.LeastSquaresLine()),
		MinimumZone:  Zone(s.X, s.Y),
	}
}

// AboutEnds returns the heights of s above the line through its ends.
func (s Shape) AboutEnds() Shape { return s.About(s.endsLine()) }

// AboutLeastSquares returns the heights of s above its LSLI.
func (s Shape) AboutLeastSquares() Shape { return s.About(s.LeastSquaresLine()) }

// AboutMinimumZone returns the heights of s above its MZLI: the middle of the
// zone, so that the highest and the lowest height are equal and opposite.
func (s Shape) AboutMinimumZone() Shape { return s.About(s.minimumZoneLine()) }

// About returns the heights of s above l.
func (s Shape) About(l Line) Shape {
	d := Shape{X: s.X, Y: make([]float64, len(s.X))}
	for i, x := range s.X {
		d.Y[i] = s.Y[i] - l.at(x)
	}
	return d
}

// spread returns the peak-to-valley of s about l.
func (s Shape) spread(l Line) float64 {
	if len(s.X) == 0 {
		return 0
	}
	d := s.About(l).Y
	return slices.Max(d) - slices.Min(d)
}

// endsLine returns the line through the first and the last point of s; through
// the only one, level, when there is no second.
func (s Shape) endsLine() Line {
	n := len(s.X)
	switch n {
	case 0:
		return Line{}
	case 1:
		return Line{A: s.Y[0]}
	}
	b := (s.Y[n-1] - s.Y[0]) / (s.X[n-1] - s.X[0])
	return Line{A: s.Y[0] - b*s.X[0], B: b}
}

// LeastSquaresLine returns the LSLI of ISO 12780-1: least sum of squares of
// the vertical distances.
func (s Shape) LeastSquaresLine() Line {
	if len(s.X) < 2 {
		return s.endsLine()
	}
	a, b := stat.LinearRegression(s.X, s.Y, nil, false)
	return Line{A: a, B: b}
}

// minimumZoneLine returns the MZLI of ISO 12780-1, as the line in the middle of
// the two parallel lines that enclose s at the least vertical distance.
func (s Shape) minimumZoneLine() Line {
	if len(s.X) < 2 {
		return s.endsLine()
	}
	c := Touch(s.X, s.Y)
	l := Shape{
		X: []float64{s.X[c.Left], s.X[c.Right]},
		Y: []float64{s.Y[c.Left], s.Y[c.Right]},
	}.endsLine()
	l.A += (s.Y[c.At] - l.at(s.X[c.At])) / 2
	return l
}
