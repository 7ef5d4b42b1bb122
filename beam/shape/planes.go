package shape

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// Tests against every four points hold with oneLine and settled a thousand times as much.
const oneLine = 1e-9 // points no farther from one line, as part of their length, are on it

// Planes finds planes about points that stay where they are in plan while their heights
// change. It never changes and may be used by many goroutines at once.
type Planes struct {
	x, y    []float64 // m, of the points, about their means
	x0, y0  float64   // m, the means
	turned  bool      // x and y are exchanged: all points stand at one x
	order   []int     // of the points, by x
	first   []int     // in order, of the points at each place along, and their number
	along   []float64 // m, x of these places
	slanted *triple   // what the zone hangs on where the slope across is steep; nil: all stand on one line
}

// NewPlanes returns planes about points · x, y m along and across, of one length, one at least.
func NewPlanes(x, y []float64) *Planes {
	n := len(x)
	if n == 0 || n != len(y) {
		panic("shape: planes need points, with one x and one y each")
	}
	p := &Planes{x: slices.Clone(x), y: slices.Clone(y), x0: floats.Sum(x) / float64(n), y0: floats.Sum(y) / float64(n)}
	floats.AddConst(-p.x0, p.x)
	floats.AddConst(-p.y0, p.y)
	long, wide := floats.Norm(p.x, math.Inf(1)), floats.Norm(p.y, math.Inf(1))
	if long <= oneLine*wide {
		p.x, p.y, p.turned = p.y, make([]float64, n), true
	}
	for i := range n {
		p.order = append(p.order, i)
	}
	slices.SortStableFunc(p.order, func(i, j int) int { return cmp.Compare(p.x[i], p.x[j]) })
	for k, i := range p.order {
		if k == 0 || p.x[i]-p.along[len(p.along)-1] > oneLine*max(long, wide) {
			p.first, p.along = append(p.first, k), append(p.along, p.x[i])
		}
		p.x[i] = p.along[len(p.along)-1]
	}
	p.first = append(p.first, n)
	if s, _ := p.profile(p.y).touch(0); math.Abs(s.of(p.y)) > oneLine*max(long, wide) {
		p.slanted = &s
	}
	return p
}

// Zone returns the least vertical distance between two parallel planes that
// enclose all points, and the plane halfway between them, h = a + b·x + c·y · heights h in any
// unit, finite, one of each point · zone ≥ 0 · for
// points on one line in plan, where the planes may roll about it, c or b is 0, and where those of a line along have the
// zone of all the planes lie as high as they can over the mean of the points.
//
// For a slope across, c, it is the zone of lines of the heights h − cy. The least over c is found by cuts, as of lines over their slope: the
// three points that lines of one c touch bound the zone of every other from below by |h − cy| of theirs, straight on
// either side, and where the bound that falls meets the one that rises is the next c. There are as many
// bounds as such points, so it ends, and exactly.
func (p *Planes) Zone(h []float64) (zone, a, b, c float64) {
	if len(h) != len(p.x) || !(floats.Norm(h, 1) < math.Inf(1)) {
		panic("shape: planes need one finite height of each point")
	}
	mean := floats.Sum(h) / float64(len(h))
	s := p.profile(h)
	floats.AddConst(-mean, s.h)
	var k triple
	if p.slanted != nil {
		k, zone, c = s.least()
	} else {
		k, zone = s.touch(0)
	}
	a = s.left(k.at, c) - (k.of(s.h)-c*k.of(s.y))/2 // there
	b = s.slope(k, c, a, zone/2)
	a -= b * p.x[k.at]
	if p.turned {
		b, c = c, b
	}
	return zone, a + mean - b*p.x0 - c*p.y0, b, c
}

// triple is three points that the lines of a zone touch: one at, the others left and right of it by t and 1 − t.
type triple struct {
	at, left, right int
	t               float64
}

// of returns by how much v at the first is above the line between the others.
func (k triple) of(v []float64) float64 { return v[k.at] - (1-k.t)*v[k.left] - k.t*v[k.right] }

// profile is heights of the points, and memory.
type profile struct {
	*Planes
	h         []float64
	at        [2][]int // of the points, the highest and the lowest at each place along
	high, low []float64
	on        Contacts // for the slope looked at last
}

func (p *Planes) profile(h []float64) *profile {
	n := len(p.along)
	return &profile{Planes: p, h: slices.Clone(h), at: [2][]int{make([]int, n), make([]int, n)}, high: make([]float64, n), low: make([]float64, n)}
}

// left returns what of a point's height a slope across leaves.
func (s *profile) left(i int, c float64) float64 { return s.h[i] - c*s.y[i] }

// touch returns the zone for a slope across and the points on which it hangs.
func (s *profile) touch(c float64) (k triple, zone float64) {
	for p := range s.along {
		here := s.order[s.first[p]:s.first[p+1]]
		high, low := here[0], here[0]
		for _, i := range here[1:] {
			if s.left(i, c) > s.left(high, c) {
				high = i
			}
			if s.left(i, c) < s.left(low, c) {
				low = i
			}
		}
		s.at[0][p], s.at[1][p], s.high[p], s.low[p] = high, low, s.left(high, c), s.left(low, c)
	}
	if len(s.along) == 1 {
		k = triple{at: s.at[0][0], left: s.at[1][0], right: s.at[1][0]}
		return k, s.high[0] - s.low[0]
	}
	s.on = touch(s.along, s.high, s.low, s.on)
	on, side := s.on, 0 // At lies above the edge
	if on.gap < 0 {
		side = 1
	}
	k = triple{at: s.at[side][on.At], left: s.at[1-side][on.Left], right: s.at[1-side][on.Right]}
	k.t = (s.along[on.At] - s.along[on.Left]) / (s.along[on.Right] - s.along[on.Left])
	return k, math.Abs(on.gap)
}

// slope returns that of the lines so far above and below a at the first of three points that have all between them:
// as the other two say, or where one of them stands at the same place, the middle one of all.
func (s *profile) slope(k triple, c, a, half float64) float64 {
	x, least, most := s.x[k.at], math.Inf(-1), math.Inf(1)
	if len(s.along) == 1 {
		return 0
	}
	if k.t > 0 && k.t < 1 {
		return (s.left(k.right, c) - s.left(k.left, c)) / (s.x[k.right] - s.x[k.left])
	}
	for p, at := range s.along {
		up, down := (s.high[p]-a-half)/(at-x), (s.low[p]-a+half)/(at-x)
		if at < x {
			up, down = down, up
		}
		if at != x {
			least, most = max(least, up), min(most, down)
		}
	}
	return (least + most) / 2
}

// bound is what the zone is never below, by the slope across: v + grows·c.
type bound struct{ v, grows float64 }

// bound returns that of three points, of which the first lies above (1) or below (−1) the others.
func (s *profile) bound(k triple, side float64) bound {
	return bound{side * k.of(s.h), -side * k.of(s.y)}
}

// least returns the least zone, the points on which it hangs and the slope across. Where points of one line
// along have the zone of all, planes may roll about it: they then lie as high as they can over the points' mean.
func (s *profile) least() (k triple, zone, c float64) {
	side := math.Copysign(1, s.slanted.of(s.y))
	falls, rises := s.bound(*s.slanted, side), s.bound(*s.slanted, -side)
	size, wide, level := floats.Norm(s.h, math.Inf(1)), floats.Norm(s.y, math.Inf(1)), oneLine*rises.grows
	for range mostCuts {
		c = (falls.v - rises.v) / (rises.grows - falls.grows)
		k, zone = s.touch(c)
		if zone-falls.v-falls.grows*c <= settled*(size+math.Abs(c)*wide) {
			return k, zone, c
		}
		b := s.bound(k, math.Copysign(1, k.of(s.h)-c*k.of(s.y)))
		if b.grows < -level || b.grows <= level && s.lifts(k) {
			falls = b
		} else {
			rises = b
		}
	}
	return k, zone, c
}

// lifts tells whether planes about three points of one line rise over the mean of all with the slope across.
func (s *profile) lifts(k triple) bool {
	turns := (s.y[k.right] - s.y[k.left]) / (s.x[k.right] - s.x[k.left])
	return turns*s.x[k.at] > s.y[k.at]
}
