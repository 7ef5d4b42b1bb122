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
	for _, h := range m.heights {
		t := hinge{height: h}
		for k, s := range m.states {
			if s.frozen {
				continue
			}
			if f := slices.Index(m.home[s.standing], h); f >= 0 && len(s.under[f]) == 1 {
				t.at = append(t.at, place{k, s.under[f][0]})
			}
		}
		m.hinges = append(m.hinges, t)
	}
}

// raising is a direction that changes the force of a hinge while what was read and felt
// changes least.
type raising struct {
	place
	dz []float64
}

// hinged draws along the path on which a foot's force changes, and on which it sinks alone
// once it hangs.
func (c *chain) hinged(k int) {
	h := c.m.hinges[k]
	if list := c.lifts[k]; len(list) > 0 {
		t := list[c.rng.IntN(len(list))]
		c.line(path{dz: t.dz, height: h.height, stand: c.stands[t.state], point: t.point})
		return
	}
	clear(c.dz)
	c.dz[h.height] = 1
	c.line(path{dz: c.dz, height: -1})
}

// learn notes directions at the present point, of tangent t: of every hinge that touches,
// and of one that hangs, as though it touched.
func (c *chain) learn(t tangent) {
	var hang [][2]int
	for k, h := range c.m.hinges {
		for i, p := range h.at {
			if c.stands[p.state].at.On[p.point] {
				c.lift(k, i, t.curve)
			} else {
				hang = append(hang, [2]int{k, i})
			}
		}
	}
	if len(hang) == 0 {
		return
	}
	one := hang[c.rng.IntN(len(hang))]
	p := c.m.hinges[one[0]].at[one[1]]
	on := &c.stands[p.state].at.On[p.point]
	*on = true
	c.lift(one[0], one[1], c.tangentAt(c.z).curve)
	*on = false
}

// moved is the share of the mean load by which one deviation changes a force that heights
// change at all.
const moved = 1e-6

// lift notes C∇R for the force R of a hinge, C the inverse of a curvature, prior and all, over
// the linear unknowns, so long that R changes by one deviation of it.
func (c *chain) lift(k, i int, curve []float64) {
	n, p := len(c.z), c.m.hinges[k].at[i]
	l := slices.Clone(curve)
	for a := range n {
		l[a*n+a]++
	}
	d := c.stands[p.state]
	slope := make([]float64, n)
	for a := range c.m.linear {
		if d.respondTo(c.m, c.z, a, c.trial) && d.glue(&d.at) {
			slope[a] = d.step.Force[p.point]
		}
	}
	if !cholesky(l, n) {
		return
	}
	dz := slices.Clone(slope)
	lower(l, n, dz)
	clear(dz[c.m.linear:])
	lowerT(l, n, dz)
	if v := floats.Dot(slope, dz); v > square(moved*d.mean) { // else balance alone tells its force
		floats.Scale(1/math.Sqrt(v), dz)
		c.lifts[k] = append(c.lifts[k], raising{p, dz})
	}
}
