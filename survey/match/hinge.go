package match

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// hinge is the height of a foot and the points on which it touches or hangs: of every state
// in which it stands on one.
type hinge struct {
	height int
	at     []place
}

type place struct{ state, point int }

func (m *model) findHinges() {
	for _, h := range m.settings {
		t := hinge{height: h}
		for k, s := range m.states {
			if s.frozen {
				continue
			}
			if f := slices.Index(s.setting, h); f >= 0 && len(s.under[f]) == 1 {
				t.at = append(t.at, place{k, s.under[f][0]})
			}
		}
		m.hinges = append(m.hinges, t)
	}
}

// hinged draws along the path on which a foot's force changes, and on which it sinks alone
// once it hangs; or by chance along that on which the foot that then lets go first sinks too.
func (c *chain) hinged(k int) {
	h := c.m.hinges[k]
	list := c.lifts[k]
	if len(list) == 0 {
		clear(c.dz)
		c.dz[h.height] = 1
		c.line(path{dz: c.dz})
		return
	}
	p := list[c.rng.IntN(len(list))]
	if c.rng.IntN(2) == 0 {
		p.hinges = p.hinges[:1]
	}
	c.line(p)
}

// learn notes paths at the present point, of tangent t: of every hinge that touches, of that and the one beside it, and of
// one that hangs as though it, or both, touched.
func (c *chain) learn(t tangent) {
	var hang [][2]int
	l, slopes := t.factor(), make([][][]float64, len(c.stands))
	for k, h := range c.m.hinges {
		for i, p := range h.at {
			if !c.stands[p.state].at.On[p.point] {
				hang = append(hang, [2]int{k, i})
				continue
			}
			if slopes[p.state] == nil {
				slopes[p.state] = c.slopes(c.stands[p.state])
			}
			c.lift(k, i, l, slopes[p.state])
			c.pair(k, i, l, slopes[p.state])
		}
	}
	if len(hang) == 0 {
		return
	}
	one := hang[c.rng.IntN(len(hang))]
	p := c.m.hinges[one[0]].at[one[1]]
	d := c.stands[p.state]
	was := slices.Clone(d.at.On)
	d.at.On[p.point] = true
	if o := c.beside(p); o.stand != nil && c.rng.IntN(2) == 0 {
		d.at.On[o.point] = true
	}
	l, slopes[p.state] = c.tangentAt(c.z).factor(), c.slopes(d)
	c.lift(one[0], one[1], l, slopes[p.state])
	c.pair(one[0], one[1], l, slopes[p.state])
	copy(d.at.On, was)
}

// factor returns the Cholesky factor of the curvature, prior and all; nil where it has none.
func (t tangent) factor() []float64 {
	l, n := slices.Clone(t.curve), len(t.grad)
	for a := range n {
		l[a*n+a]++
	}
	if !cholesky(l, n) {
		return nil
	}
	return l
}

// deep returns the logarithm of how much the curvature, prior and all, narrows a volume; 0 where it has no factor.
func (t tangent) deep() (log float64) {
	n, l := len(t.grad), t.factor()
	for a := range len(l) / n {
		log += math.Log(l[a*n+a])
	}
	return log
}

// slopes returns how the forces of a state follow the linear unknowns, [point][unknown].
func (c *chain) slopes(d *stand) [][]float64 {
	slopes := make([][]float64, len(d.points))
	for j := range slopes {
		slopes[j] = make([]float64, c.m.linear)
	}
	for a := range c.m.linear {
		if d.respondTo(c.m, c.z, c.soft, a, c.trial) && d.glue(&d.at) {
			for j, r := range d.step.Force {
				slopes[j][a] = r
			}
		}
	}
	return slopes
}

// moved is the share of the mean load by which one deviation changes a force that heights
// change at all.
const moved = 1e-6

// lift notes the path on which the force of a hinge changes, with the hinge that lets go first as it grows.
func (c *chain) lift(k, i int, l []float64, slopes [][]float64) {
	h := &c.m.hinges[k]
	p := h.at[i]
	d := c.stands[p.state]
	dz := c.conjugate(d, slopes[p.point], l)
	if dz == nil {
		return
	}
	hinges := []pivot{{h.height, d, p.point}}
	if next := c.first(p, slopes, dz); next.stand != nil {
		hinges = append(hinges, next)
	}
	c.lifts[k] = append(c.lifts[k], path{dz: dz, hinges: hinges})
}

// pair notes the path on which the forces of a hinge and of the one beside it change together, where both may let go.
func (c *chain) pair(k, i int, l []float64, slopes [][]float64) {
	h := &c.m.hinges[k]
	p := h.at[i]
	d, next := c.stands[p.state], c.beside(p)
	if next.stand == nil || !d.at.On[next.point] {
		return
	}
	sum := slices.Clone(slopes[p.point])
	floats.Add(sum, slopes[next.point])
	dz := c.conjugate(d, sum, l)
	if dz == nil {
		return
	}
	for _, q := range [2]int{p.point, next.point} {
		if d.at.Force[q] > windowWidth/2*floats.Dot(slopes[q], dz[:c.m.linear]) {
			return
		}
	}
	c.pairs = append(c.pairs, path{dz, []pivot{{h.height, d, p.point}, next}, true})
}

// beside returns the hinge nearest to a place of another, of the same state; without a state where there is none.
func (c *chain) beside(p place) (next pivot) {
	d, near := c.stands[p.state], math.Inf(1)
	for _, h := range c.m.hinges {
		for _, q := range h.at {
			if q.state != p.state || q.point == p.point {
				continue
			}
			a, b := d.points[p.point], d.points[q.point]
			if far := math.Hypot(a.X-b.X, a.Y-b.Y); far < near {
				next, near = pivot{h.height, d, q.point}, far
			}
		}
	}
	return next
}

// conjugate returns C∇R for a force R of a state that has this slope to the linear unknowns, C the inverse of a curvature
// of factor l, prior and all, over these, so long that R changes by one deviation of it; nil where balance alone tells R.
func (c *chain) conjugate(d *stand, slope, l []float64) []float64 {
	if l == nil {
		return nil
	}
	n := len(c.z)
	dz := make([]float64, n)
	copy(dz, slope)
	lower(l, n, dz)
	clear(dz[c.m.linear:])
	lowerT(l, n, dz)
	v := floats.Dot(slope, dz[:c.m.linear])
	if v <= square(moved*d.mean) {
		return nil
	}
	floats.Scale(1/math.Sqrt(v), dz)
	return dz
}

// first returns the hinge that lets go first in a state as the force of one of its points grows along dz
// · slopes[point][unknown] of the forces; without a state where there is none.
func (c *chain) first(p place, slopes [][]float64, dz []float64) (next pivot) {
	d, soon := c.stands[p.state], math.Inf(1)
	for _, h := range c.m.hinges {
		for _, q := range h.at {
			if q.state != p.state || q.point == p.point || !d.at.On[q.point] {
				continue
			}
			if rate := floats.Dot(slopes[q.point], dz[:c.m.linear]); rate < 0 && d.at.Force[q.point]/-rate < soon {
				next, soon = pivot{h.height, d, q.point}, d.at.Force[q.point]/-rate
			}
		}
	}
	return next
}
