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
// change: the sooner, the nearer these are to those before. Not for several goroutines at once.
type Planes struct {
	x, y   []float64 // m, of the points, about their means
	x0, y0 float64   // m, the means
	turned bool      // x and y are exchanged: all points stand at one x
	order  []int     // of the points, by x
	first  []int     // in order, of the points at each place along, and their number
	along  []float64 // m, x of these places
	wide   float64   // m, the farthest of them across
	level  float64   // m, below which what a bound grows by is none; 0: all points stand on one line
	looked
}

// looked is what was seen of the heights looked at last.
type looked struct {
	h            []float64 // of the points, about their mean
	at           [2][]int  // of the points, the highest and the lowest at each place along
	high, low    []float64
	on           Contacts // for the slope across looked at last
	falls, rises hung     // what the zone hung on; at first where the slope across is steep
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
	p.first, p.wide = append(p.first, n), floats.Norm(p.y, math.Inf(1))
	p = p.Copy()
	copy(p.h, p.y)
	steep, _ := p.touch(0)
	if by := steep.of(p.y); math.Abs(by) > oneLine*max(long, wide) {
		side := math.Copysign(1, by)
		p.level, p.falls, p.rises = oneLine*math.Abs(by), hung{steep, side}, hung{steep, -side}
	}
	return p
}

// Copy returns planes about the same points for another goroutine.
func (p *Planes) Copy() *Planes {
	c, n := *p, len(p.along)
	c.h, c.at, c.high, c.low = make([]float64, len(p.x)), [2][]int{make([]int, n), make([]int, n)}, make([]float64, n), make([]float64, n)
	return &c
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
	copy(p.h, h)
	floats.AddConst(-mean, p.h)
	var k triple
	if p.level > 0 {
		k, zone, c = p.least()
	} else {
		k, zone = p.touch(0)
	}
	a = p.left(k.at, c) - (k.of(p.h)-c*k.of(p.y))/2 // there
	b = p.slope(k, c, a, zone/2)
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

// left returns what of a point's height a slope across leaves.
func (p *Planes) left(i int, c float64) float64 { return p.h[i] - c*p.y[i] }

// touch returns the zone for a slope across and the points on which it hangs.
func (p *Planes) touch(c float64) (k triple, zone float64) {
	for i := range p.along {
		most, least := math.Inf(-1), math.Inf(1)
		for _, j := range p.order[p.first[i]:p.first[i+1]] {
			v := p.left(j, c)
			if v > most {
				most, p.at[0][i] = v, j
			}
			if v < least {
				least, p.at[1][i] = v, j
			}
		}
		p.high[i], p.low[i] = most, least
	}
	if len(p.along) == 1 {
		k = triple{at: p.at[0][0], left: p.at[1][0], right: p.at[1][0]}
		return k, p.high[0] - p.low[0]
	}
	p.on = touch(p.along, p.high, p.low, p.on)
	on, side := p.on, 0 // At lies above the edge
	if on.gap < 0 {
		side = 1
	}
	k = triple{at: p.at[side][on.At], left: p.at[1-side][on.Left], right: p.at[1-side][on.Right]}
	k.t = (p.along[on.At] - p.along[on.Left]) / (p.along[on.Right] - p.along[on.Left])
	return k, math.Abs(on.gap)
}

// slope returns that of the lines so far above and below a at the first of three points that have all between them:
// as the other two say, or where one of them stands at the same place, the middle one of all.
func (p *Planes) slope(k triple, c, a, half float64) float64 {
	x, least, most := p.x[k.at], math.Inf(-1), math.Inf(1)
	if len(p.along) == 1 {
		return 0
	}
	if k.t > 0 && k.t < 1 {
		return (p.left(k.right, c) - p.left(k.left, c)) / (p.x[k.right] - p.x[k.left])
	}
	for i, at := range p.along {
		up, down := (p.high[i]-a-half)/(at-x), (p.low[i]-a+half)/(at-x)
		if at < x {
			up, down = down, up
		}
		if at != x {
			least, most = max(least, up), min(most, down)
		}
	}
	return (least + most) / 2
}

// hung is three points, of which the first lies above (1) or below (−1) the others.
type hung struct {
	triple
	side float64
}

// bound returns what the zone is never below by three points, by the slope across: v + grows·c.
func (p *Planes) bound(k hung) (v, grows float64) {
	return k.side * k.of(p.h), -k.side * k.of(p.y)
}

// least returns the least zone, the points on which it hangs and the slope across. Where points of one line
// along have the zone of all, planes may roll about it: they then lie as high as they can over the points' mean.
func (p *Planes) least() (k triple, zone, c float64) {
	size := max(slices.Max(p.h), -slices.Min(p.h))
	falls, rises := p.falls, p.rises
	for range mostCuts {
		v, sinks := p.bound(falls)
		other, grows := p.bound(rises)
		c = (v - other) / (grows - sinks)
		k, zone = p.touch(c)
		if zone-v-sinks*c <= settled*(size+math.Abs(c)*p.wide) {
			if min(-sinks, grows) > p.level { // else the next ones might not meet
				p.falls, p.rises = falls, rises
			}
			break
		}
		one := hung{k, math.Copysign(1, k.of(p.h)-c*k.of(p.y))}
		if _, by := p.bound(one); by < -p.level || by <= p.level && p.lifts(k) {
			falls = one
		} else {
			rises = one
		}
	}
	return k, zone, c
}

// lifts tells whether planes about three points of one line rise over the mean of all with the slope across.
func (p *Planes) lifts(k triple) bool {
	turns := (p.y[k.right] - p.y[k.left]) / (p.x[k.right] - p.x[k.left])
	return turns*p.x[k.at] > p.y[k.at]
}
