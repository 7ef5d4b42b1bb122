package shape

import "math"

// Zone returns the width of the minimum zone, measured vertically · x
// increasing, y as long; zero for fewer than two points. Nothing is allocated.
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

// Touch returns where the minimum zone touches · x increasing, y as
// long, two points at least.
func Touch(x, y []float64) Contacts { return Contacts{}.Again(x, y) }

// Again is Touch of other heights: the sooner there, the nearer their contacts are to c.
func (c Contacts) Again(x, y []float64) Contacts { return touch(x, y, y, c) }

const (
	settled  = 1e-14 // of the heights and of what the slope is of them: rounding
	mostCuts = 200   // looks at a zone; ten are many, and only rounding could ask for more
)

// pair is the highest and the lowest point about lines of one slope.
type pair struct{ top, bottom int }

// touch is Again of points of which the highest and the lowest at each x are given.
//
// Lines of slope b are max(y−bx) − min(y−bx) apart. The least over b is found by cuts: the highest and the lowest point
// of one b bound the zone of every other from below by their own distance, straight in b, and where the bound that falls meets the one
// that rises is the next b. There are as many bounds as pairs of points, so it ends, and exactly (J. E. Kelley, J. SIAM 8 (1960)
// 703–712, in one unknown).
func touch(x, high, low []float64, near Contacts) Contacts {
	falls, rises := near.pairs(len(x) - 1)
	for range mostCuts {
		f, r := high[falls.top]-low[falls.bottom], high[rises.top]-low[rises.bottom]
		long, back := x[falls.top]-x[falls.bottom], x[rises.top]-x[rises.bottom]
		b := (f - r) / (long - back)
		p, zone := extremes(x, high, low, b)
		rounding := settled * (math.Abs(high[p.top]) + math.Abs(low[p.bottom]) + math.Abs(b)*(math.Abs(x[p.top])+math.Abs(x[p.bottom])))
		switch {
		case zone-(f-b*long) <= rounding:
			return met(x, high, low, falls, rises)
		case p.top > p.bottom:
			falls = p
		case p.top < p.bottom:
			rises = p
		default: // the highest and the lowest at one place are farther apart than any lines need be
			return Contacts{p.top, max(p.top-1, 0), max(p.top, 1), zone}
		}
	}
	return met(x, high, low, falls, rises)
}

// pairs returns those whose bounds meet at contacts; the ends where they are none.
func (c Contacts) pairs(last int) (falls, rises pair) {
	switch {
	case c.Left == c.Right || c.At == c.Left || c.At == c.Right:
		return pair{last, 0}, pair{0, last}
	case c.gap > 0:
		return pair{c.At, c.Left}, pair{c.At, c.Right}
	}
	return pair{c.Right, c.At}, pair{c.Left, c.At}
}

// extremes returns the points that lines of slope b touch, and how far apart these are.
func extremes(x, high, low []float64, b float64) (p pair, zone float64) {
	at, far := [2]int{}, [2]float64{math.Inf(-1), math.Inf(1)} // arrays: they seldom change
	high, low = high[:len(x)], low[:len(x)]
	for i, x := range x {
		on := b * x
		if v := high[i] - on; v > far[0] {
			at[0], far[0] = i, v
		}
		if v := low[i] - on; v < far[1] {
			at[1], far[1] = i, v
		}
	}
	return pair{at[0], at[1]}, far[0] - far[1]
}

// met returns the three points on which the zone hangs where the bounds of two pairs meet: the one between two of the
// other line.
func met(x, high, low []float64, falls, rises pair) Contacts {
	c, y, z := Contacts{At: falls.top, Left: falls.bottom, Right: rises.bottom}, high, low
	if falls.top > rises.bottom {
		c, y, z = Contacts{At: rises.bottom, Left: rises.top, Right: falls.top}, low, high
	}
	t := (x[c.At] - x[c.Left]) / (x[c.Right] - x[c.Left])
	c.gap = y[c.At] - (1-t)*z[c.Left] - t*z[c.Right]
	return c
}
