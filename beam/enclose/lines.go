// Package enclose finds the least distance between two parallel lines, or planes, that have
// all points of a profile between them: the minimum zone of ISO 12780-1 and ISO 12781-1.
package enclose

import (
	"math"
	"sync"
)

// Zone returns the width of the minimum zone, measured vertically · x
// increasing, y as long; zero for fewer than two points. O(n), nothing allocated.
func Zone(x, y []float64) float64 {
	if len(x) < 2 {
		return 0
	}
	return Touch(x, y).width
}

// Contacts are the points of a profile that the two lines of the minimum zone
// touch: one line At, the other Left and Right of it.
type Contacts struct {
	At, Left, Right int
	width           float64
}

// hulls is scratch for Touch.
type hulls struct{ upper, lower []int32 }

var scratch = sync.Pool{New: func() any { return new(hulls) }}

// Touch returns where the minimum zone touches · x increasing, y as
// long, two points at least.
//
// The zone of slope b is as wide as max(y−bx) − min(y−bx), and the least of that
// over b is, by duality, the greatest vertical distance between the upper and the
// lower hull. Both are made of straight pieces, so it lies at a corner of one,
// opposite an edge of the other, and that edge gives the slope.
func Touch(x, y []float64) Contacts {
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
