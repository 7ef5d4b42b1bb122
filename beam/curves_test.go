package beam

import "slices"

// Curves returns the height of the bed's axis (m) and its twist (rad) at the
// nodes x, by integrating the moments of the supports once along the bed: a path independent of Read.
func (st *State) Curves() (x, axis, twist []float64) {
	g := st.solver.grid
	force, torque := make([]float64, len(g.x)), make([]float64, len(g.x))
	for i, p := range st.solver.points {
		force[p.node] -= st.rest.Force[i]
		torque[p.node] -= st.rest.Force[i] * p.y
	}
	c := g.bendUnder(force, torque, st.gradient*st.factors.bend)
	c.phi, c.side = slices.Clone(c.phi), slices.Clone(c.side) // to be written to
	st.blunt(c)
	for i := range c.w {
		c.w[i] = st.factors.of(c.w[i]+st.shape.w[i], -c.side[i]-st.shape.side[i]) + st.rest.Rigid[0][0] + st.rest.Rigid[0][1]*g.x[i]
		c.phi[i] = (c.phi[i]+st.shape.phi[i])/st.factors.twist + st.rest.Rigid[0][2]
	}
	return g.x, c.w, c.phi
}

// blunt takes the kinks over the feet out of curves.
func (st *State) blunt(c curves) {
	g := st.solver.grid
	for j, p := range st.solver.points {
		if p.spread == 0 {
			continue
		}
		foot, force := st.solver.pose(p), st.rest.Force[j]
		var kink, side, off float64
		for i := foot.ends[0].cell; i < len(g.x); i++ {
			if i == 0 || g.x[i-1] < foot.ends[1].x { // further on they stay
				kink, side = g.blunt(g.at(i), 0, foot, p.y)
				_, off = g.blunt(g.at(i), 1, foot, p.y)
			}
			c.w[i] -= kink * force
			c.phi[i] -= (off - side) * force
			c.side[i] += side * force
		}
	}
}

// Ways returns the heights along the bed at offsets, and its twist (rad), at the nodes.
func (st *State) Ways(offsets ...float64) (ways []Shape, twist Shape) {
	x, w, phi := st.Curves()
	for _, offset := range offsets {
		s := Shape{X: x, Y: make([]float64, len(x))}
		for i := range x {
			s.Y[i] = w[i] + offset*phi[i] - st.pressed.at(x[i], offset)/st.factors.bend
		}
		ways = append(ways, s)
	}
	return ways, Shape{X: x, Y: phi}
}
