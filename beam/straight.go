package beam

import (
	"math"
	"sync"
)

// Reference is a reference line, a + b·x.
type Reference struct{ A, B float64 }

// at returns the height of the line at x.
func (l Reference) at(x float64) float64 { return l.A + l.B*x }

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
func (s Shape) About(l Reference) Shape {
	d := Shape{X: s.X, Y: make([]float64, len(s.X))}
	for i, x := range s.X {
		d.Y[i] = s.Y[i] - l.at(x)
	}
	return d
}

// spread returns the peak-to-valley of s about l.
func (s Shape) spread(l Reference) float64 {
	if len(s.X) == 0 {
		return 0
	}
	lo, hi := math.Inf(1), math.Inf(-1)
	for i, x := range s.X {
		d := s.Y[i] - l.at(x)
		lo, hi = min(lo, d), max(hi, d)
	}
	return hi - lo
}

// endsLine returns the line through the first and the last point of s; through
// the only one, level, when there is no second.
func (s Shape) endsLine() Reference {
	n := len(s.X)
	switch n {
	case 0:
		return Reference{}
	case 1:
		return Reference{A: s.Y[0]}
	}
	b := (s.Y[n-1] - s.Y[0]) / (s.X[n-1] - s.X[0])
	return Reference{A: s.Y[0] - b*s.X[0], B: b}
}

// LeastSquaresLine returns the LSLI of ISO 12780-1: least sum of squares of
// the vertical distances.
func (s Shape) LeastSquaresLine() Reference {
	n := float64(len(s.X))
	if n < 2 {
		return s.endsLine()
	}
	var mx, my, sxx, sxy float64
	for i, x := range s.X {
		mx += x / n
		my += s.Y[i] / n
	}
	for i, x := range s.X {
		sxx += (x - mx) * (x - mx)
		sxy += (x - mx) * (s.Y[i] - my)
	}
	b := sxy / sxx
	return Reference{A: my - b*mx, B: b}
}

// minimumZoneLine returns the MZLI of ISO 12780-1, as the line in the middle of
// the two parallel lines that enclose s at the least vertical distance.
func (s Shape) minimumZoneLine() Reference {
	if len(s.X) < 2 {
		return s.endsLine()
	}
	c := ZoneContacts(s.X, s.Y)
	l := Shape{
		X: []float64{s.X[c.Left], s.X[c.Right]},
		Y: []float64{s.Y[c.Left], s.Y[c.Right]},
	}.endsLine()
	l.A += (s.Y[c.At] - l.at(s.X[c.At])) / 2
	return l
}

// Zone returns the width of the minimum zone, measured vertically · x
// increasing, y as long; zero for fewer than two points. O(n), nothing allocated.
func Zone(x, y []float64) float64 {
	if len(x) < 2 {
		return 0
	}
	return ZoneContacts(x, y).width
}

// Contacts are the points of a profile that the two lines of the minimum zone
// touch: one line At, the other Left and Right of it.
type Contacts struct {
	At, Left, Right int
	width           float64
}

// hulls is scratch for ZoneContacts.
type hulls struct{ upper, lower []int32 }

var scratch = sync.Pool{New: func() any { return new(hulls) }}

// ZoneContacts returns where the minimum zone touches · x increasing, y as
// long, two points at least.
//
// The zone of slope b is as wide as max(y−bx) − min(y−bx), and the least of that
// over b is, by duality, the greatest vertical distance between the upper and the
// lower hull. Both are made of straight pieces, so it lies at a corner of one,
// opposite an edge of the other, and that edge gives the slope.
func ZoneContacts(x, y []float64) Contacts {
	h := scratch.Get().(*hulls)
	defer scratch.Put(h)
	h.upper, h.lower = h.upper[:0], h.lower[:0]
	for i := range x {
		h.upper = push(h.upper, x, y, i, 1)
		h.lower = push(h.lower, x, y, i, -1)
	}
	c := widest(x, y, h.upper, h.lower)
	if d := widest(x, y, h.lower, h.upper); d.width > c.width {
		c = d
	}
	return c
}

// push adds point i to the right of a hull that bends down (side 1) or up (−1),
// without the points that then lie within it (Andrew's monotone chain).
func push(hull []int32, x, y []float64, i int, side float64) []int32 {
	for len(hull) > 1 {
		a, b := hull[len(hull)-2], hull[len(hull)-1]
		if side*((x[b]-x[a])*(y[i]-y[a])-(y[b]-y[a])*(x[i]-x[a])) < 0 {
			break
		}
		hull = hull[:len(hull)-1]
	}
	return append(hull, int32(i))
}

// widest returns the corner that lies farthest from the opposite hull's edge.
func widest(x, y []float64, corners, edges []int32) Contacts {
	c, e := Contacts{width: -1}, 1
	for _, k := range corners {
		for x[edges[e]] < x[k] {
			e++
		}
		l, r := edges[e-1], edges[e]
		t := (x[k] - x[l]) / (x[r] - x[l])
		if gap := math.Abs(y[k] - (1-t)*y[l] - t*y[r]); gap > c.width {
			c = Contacts{int(k), int(l), int(r), gap}
		}
	}
	return c
}
