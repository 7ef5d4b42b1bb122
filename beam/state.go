package beam

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"footwork/internal/contact"
)

// State is how a bed stands in one case.
type State struct {
	solver   *Solver
	problem  *contact.Problem
	at       contact.Load
	rest     contact.Answer
	load     loads
	shape    curves  // of the built-in bed under load, as given (factor 1)
	factors  factors // of the bed's stiffness
	gradient float64 // K
	pressed  compressions
}

// FootState is how one foot stands.
type FootState struct {
	Foot
	Load   float64 // N, on the foot, downwards positive
	Lifted bool    // the bed does not touch it
	Gap    float64 // m, clear of the bed; 0 in contact
	Shared bool    // rigid supports beside it could carry its load as well: they share it evenly
}

// BearingState is how one bearing carries.
type BearingState struct {
	Load  float64   // N
	X     []float64 // m
	Force []float64 // N at each x
}

func (st *State) settle(first []bool) error {
	st.rest.On = slices.Clone(first)
	return st.solver.explain(st.problem.Solve(st.at, &st.rest))
}

// built returns the height of the built-in bed under load and heat at a node, m.
func (st *State) built(node int, y float64) float64 {
	return st.factors.of(st.shape.w[node], st.shape.turned(node, y)) + st.gradient*st.solver.bowed.w[node]
}

// Contact tells which contact points touch: a first guess for a neighbouring case.
func (st *State) Contact() []bool { return st.rest.On }

// Weight returns all that the supports carry, N.
func (st *State) Weight() float64 { return st.at.Resultant[0][0] }

// Feet returns how each foot stands, in the standing's order.
func (st *State) Feet() []FootState {
	feet := make([]FootState, len(st.solver.standing.Feet))
	for i, f := range st.solver.standing.Feet {
		feet[i] = FootState{Foot: f, Lifted: true, Gap: math.Inf(1)}
	}
	for i, p := range st.solver.points {
		if p.foot < 0 {
			continue
		}
		f := &feet[p.foot]
		f.Load += st.rest.Force[i]
		if st.rest.On[i] {
			f.Lifted, f.Gap = false, 0
		} else {
			f.Gap = min(f.Gap, max(0, st.rest.Gap[i]))
		}
	}
	for _, i := range st.rest.Shared {
		if f := st.solver.points[i].foot; f >= 0 {
			feet[f].Shared = true
		}
	}
	return feet
}

// Bearings returns how each bearing carries, in the standing's order.
func (st *State) Bearings() []BearingState {
	rows := make([]BearingState, len(st.solver.standing.Bearings))
	for i, p := range st.solver.points {
		if p.bearing >= 0 {
			r := &rows[p.bearing]
			r.Load += st.rest.Force[i]
			r.X = append(r.X, p.x)
			r.Force = append(r.Force, st.rest.Force[i])
		}
	}
	return rows
}

// Curves returns the height of the bed's axis (m) and its twist (rad) at the
// nodes x, by integrating the moments of loads and supports once along the bed.
func (st *State) Curves() (x, axis, twist []float64) {
	g := st.solver.grid
	force, torque := make([]float64, len(g.x)), make([]float64, len(g.x))
	for i := range force {
		force[i], torque[i] = st.load.force[i], st.load.torque[i]
	}
	for i, p := range st.solver.points {
		force[p.node] -= st.rest.Force[i]
		torque[p.node] -= st.rest.Force[i] * p.y
	}
	c := g.bendUnder(force, torque, st.gradient*st.factors.bend)
	st.blunt(c)
	for i := range c.w {
		c.w[i] = st.factors.of(c.w[i], -c.side[i]) + st.rest.Rigid[0][0] + st.rest.Rigid[0][1]*g.x[i]
		c.phi[i] = c.phi[i]/st.factors.twist + st.rest.Rigid[0][2]
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
		for i := foot.ends[0].cell; i < len(g.x); i++ {
			kink, side := g.blunt(g.at(i), 0, foot, p.y)
			_, off := g.blunt(g.at(i), 1, foot, p.y)
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

// Probe is a row of places on the bed made ready to be read in many states.
type Probe struct {
	x             []float64
	offset        float64
	at            []int       // node left of each place
	t             []float64   // how far towards the next
	bent, twisted [][]float64 // [place][point] compliance, m/N
}

// Probe prepares the places x at an offset across the bed.
func (v *Solver) Probe(x []float64, offset float64) *Probe {
	n, m := len(x), len(v.points)
	p := &Probe{x: x, offset: offset, at: make([]int, n), t: make([]float64, n), bent: make([][]float64, n), twisted: make([][]float64, n)}
	feet, room := make([]pose, m), make([]float64, 2*n*m)
	for j, pt := range v.points {
		feet[j] = v.pose(pt)
	}
	for a, at := range x {
		here := pose{place: v.grid.place(at)}
		i, t := here.cell, here.t
		p.at[a], p.t[a], p.bent[a], p.twisted[a] = i, t, room[2*a*m:(2*a+1)*m], room[(2*a+1)*m:(2*a+2)*m]
		for j, pt := range v.points {
			kink, twistKink := v.grid.blunt(here, offset, feet[j], pt.y)
			p.bent[a][j] = (1-t)*v.grid.bending(i, pt.node) + t*v.grid.bending(i+1, pt.node) - kink
			p.twisted[a][j] = v.grid.twister.between(here, offset, feet[j], pt.y) - twistKink // straight within a cell
		}
	}
	return p
}

// Read returns the heights at a probe's places, m: superposition of the
// supports' unit shapes, a path independent of Curves.
func (st *State) Read(p *Probe) []float64 {
	h := make([]float64, len(p.x))
	bend, twist := slices.Clone(st.rest.Force), slices.Clone(st.rest.Force)
	floats.Scale(1/st.factors.bend, bend)
	floats.Scale(1/st.factors.twist, twist)
	for a := range h {
		i, t := p.at[a], p.t[a]
		h[a] = (1-t)*st.built(i, p.offset) + t*st.built(i+1, p.offset) +
			st.rest.Rigid[0][0] + st.rest.Rigid[0][1]*p.x[a] + st.rest.Rigid[0][2]*p.offset - st.pressed.at(p.x[a], p.offset)/st.factors.bend
		for j, c := range p.bent[a] {
			h[a] += c*bend[j] + p.twisted[a][j]*twist[j]
		}
	}
	return h
}
