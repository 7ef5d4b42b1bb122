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
	return math.Abs(Touch(x, y).gap)
}

// Contacts are the points of a profile that the two lines of the minimum zone
// touch: one line At, the other Left and Right of it.
type Contacts struct {
	At, Left, Right int
	gap             float64 // how far At lies over the line from Left to Right
}

// hulls is scratch for Touch.
type hulls struct{ upper, lower []int32 }

var scratch = sync.Pool{New: func() any { return new(hulls) }}

// Touch returns where the minimum zone touches · x increasing, y as
// long, two points at least.
func Touch(x, y []float64) Contacts { return touch(x, y, y) }

// touch is Touch of points of which the highest and the lowest at each x are given.
//
// The zone of slope b is as wide as max(y−bx) − min(y−bx), and the least of that
// over b is, by duality, the greatest vertical distance between the upper and the
// lower hull. Both are made of straight pieces, so it lies at a corner of one,
// opposite an edge of the other, and that edge gives the slope.
func touch(x, high, low []float64) Contacts {
	h := scratch.Get().(*hulls)
	defer scratch.Put(h)
	h.upper, h.lower = h.upper[:0], h.lower[:0]
	for i := range x {
		h.upper = push(h.upper, x, high, i, 1)
		h.lower = push(h.lower, x, low, i, -1)
	}
	c := widest(x, high, low, h.upper, h.lower)
	if d := widest(x, low, high, h.lower, h.upper); math.Abs(d.gap) > math.Abs(c.gap) {
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

// widest returns the corner that lies farthest from the opposite hull's edge · y of the corners, z of the edges.
func widest(x, y, z []float64, corners, edges []int32) (c Contacts) {
	widest, e := -1.0, 1
	for _, k := range corners {
		for x[edges[e]] < x[k] {
			e++
		}
		l, r := edges[e-1], edges[e]
		t := (x[k] - x[l]) / (x[r] - x[l])
		if gap := y[k] - (1-t)*z[l] - t*z[r]; math.Abs(gap) > widest {
			c, widest = Contacts{int(k), int(l), int(r), gap}, math.Abs(gap)
		}
	}
	return c
}
