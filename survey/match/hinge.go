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

// raising is a direction that changes the force of a hinge while what was read and felt
// changes least, and the hinge that lets go first on it.
type raising struct {
	place
	dz   []float64
	next pivot // without a state where there is none
}

// hinged draws along the path on which a foot's force changes, and on which it sinks alone
// once it hangs; and by chance along that on which the foot that then lets go first sinks too.
func (c *chain) hinged(k int) {
	h := c.m.hinges[k]
	list := c.lifts[k]
	if len(list) == 0 {
		clear(c.dz)
		c.dz[h.height] = 1
		c.line(path{dz: c.dz})
		return
	}
	t := list[c.rng.IntN(len(list))]
	d := c.stands[t.state]
	p := path{dz: t.dz, hinges: []pivot{{h.height, d, t.point}, t.next}}
	if t.next.stand != nil && c.rng.IntN(2) == 0 {
		c.line(p)
	}
	p.hinges = p.hinges[:1]
	c.line(p)
}

// learn notes directions at the present point, of tangent t: of every hinge that touches,
// and of one that hangs, as though it touched.
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
		}
	}
	if len(hang) == 0 {
		return
	}
	one := hang[c.rng.IntN(len(hang))]
	p := c.m.hinges[one[0]].at[one[1]]
	on := &c.stands[p.state].at.On[p.point]
	*on = true
	c.lift(one[0], one[1], c.tangentAt(c.z).factor(), c.slopes(c.stands[p.state]))
	*on = false
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

// lift notes C∇R for the force R of a hinge, C the inverse of a curvature of factor l, prior and all,
// over the linear unknowns, so long that R changes by one deviation of it.
func (c *chain) lift(k, i int, l []float64, slopes [][]float64) {
	n, p := len(c.z), c.m.hinges[k].at[i]
	if l == nil {
		return
	}
	slope := make([]float64, n)
	copy(slope, slopes[p.point])
	dz := slices.Clone(slope)
	lower(l, n, dz)
	clear(dz[c.m.linear:])
	lowerT(l, n, dz)
	if v := floats.Dot(slope, dz); v > square(moved*c.stands[p.state].mean) { // else balance alone tells its force
		floats.Scale(1/math.Sqrt(v), dz)
		c.lifts[k] = append(c.lifts[k], raising{p, dz, c.first(p, slopes, dz)})
	}
}

// first returns the hinge that lets go first in a state as the force of one of its points grows along dz
// · slopes[point][unknown] of the forces.
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
