package beam

import (
	"math"
	"slices"
	"sync/atomic"

	"gonum.org/v1/gonum/floats"

	"footwork/beam/free"
	"footwork/beam/shape"
	"footwork/internal/contact"
)

// State is how a bed stands in one case.
type State struct {
	solver   *Solver
	at       contact.Load
	answer   contact.Answer
	load     *free.Load // the built-in bed as given (factor 1), evenly warm
	factors  factors    // of the bed's stiffness
	gradient float64    // K
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

// With returns the same bed under other loads on its supports, and how it then stands when that is known.
func (st *State) With(l contact.Load, a contact.Answer) *State {
	with := *st
	with.at, with.answer = l, a
	return &with
}

// Load returns what the supports see of the bed.
func (st *State) Load() contact.Load { return st.at }

// Soft returns how many times softer than given the bed is in bending and in twist.
func (st *State) Soft() (bend, twist float64) { return st.factors.softness() }

// Settle finds how the bed stands on its supports, which a problem holds, beginning with a contact; nil: all.
func (st *State) Settle(p *contact.Problem, first []bool) error {
	st.answer.On = slices.Clone(first)
	return st.solver.Explain(p.Solve(st.at, &st.answer))
}

// Built returns the height of the built-in bed under load and heat at a place, m.
func (st *State) Built(p free.Spot, y float64) float64 {
	return st.factors.of(st.load.At(p, y)) + st.gradient*st.solver.free.Bowed(p)
}

// Contact tells which contact points touch: a first guess for a neighbouring case.
func (st *State) Contact() []bool { return st.answer.On }

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
		f.Load += st.force(i)
		if st.answer.On[i] {
			f.Lifted, f.Gap = false, 0
		} else {
			f.Gap = min(f.Gap, max(0, st.answer.Gap[i]))
		}
	}
	for _, i := range st.answer.Shared {
		if f := st.solver.points[i].foot; f >= 0 {
			feet[f].Shared = true
		}
	}
	return feet
}

// force is what a point bears, N: what rounding leaves below zero where nothing is held
// is nothing.
func (st *State) force(i int) float64 {
	if f := st.answer.Force[i]; f > 0 || st.solver.points[i].held {
		return f
	}
	return 0
}

// Bearings returns how each bearing carries, in the standing's order.
func (st *State) Bearings() []BearingState {
	rows := make([]BearingState, len(st.solver.standing.Bearings))
	for i, p := range st.solver.points {
		if p.bearing >= 0 {
			r := &rows[p.bearing]
			r.Load += st.force(i)
			r.X = append(r.X, p.x)
			r.Force = append(r.Force, st.force(i))
		}
	}
	return rows
}

// alongBed returns the height of the bed's axis (m) and its twist (rad) at the
// nodes x, by integrating the moments of the supports once along the bed.
func (st *State) alongBed() (x, axis, twist []float64) {
	var at []free.Spot
	var y []float64
	for _, p := range st.solver.points {
		at, y = append(at, p.at), append(y, p.y)
	}
	soft, slack := st.factors.softness()
	x, axis, twist = st.load.Along(at, y, st.answer.Force, soft, slack, st.gradient)
	for i := range x {
		axis[i] += st.answer.Rigid[0][0] + st.answer.Rigid[0][1]*x[i]
		twist[i] += st.answer.Rigid[0][2]
	}
	return x, axis, twist
}

// Ways returns the heights along the bed at offsets, and its twist (rad), at the nodes.
func (st *State) Ways(offsets ...float64) (ways []shape.Shape, twist shape.Shape) {
	x, w, phi := st.alongBed()
	for _, offset := range offsets {
		s := shape.Shape{X: x, Y: make([]float64, len(x))}
		for i := range x {
			s.Y[i] = w[i] + offset*phi[i] - st.load.PressedIn(x[i], offset)/st.factors.bend
		}
		ways = append(ways, s)
	}
	return ways, shape.Shape{X: x, Y: phi}
}

// Probe is a row of places on the bed made ready to be read in many states.
type Probe struct {
	X             []float64   // m
	At            []free.Spot // of them
	Offset        float64     // m
	bent, twisted [][]float64 // [point][place] compliance, m/N
	last          atomic.Pointer[unforced]
}

// unforced is the heights of a probe's places before any support pushes, m, of the bed as given, and m/K.
type unforced struct {
	load                *free.Load
	bent, turned, bowed []float64
}

// under returns that of a state, kept for others under the same load.
func (p *Probe) under(st *State) *unforced {
	if u := p.last.Load(); u != nil && u.load == st.load {
		return u
	}
	u := &unforced{load: st.load}
	for _, at := range p.At {
		bent, turned := st.load.Surface(at, p.Offset)
		u.bent, u.turned, u.bowed = append(u.bent, bent), append(u.turned, turned), append(u.bowed, st.solver.free.Bowed(at))
	}
	p.last.Store(u)
	return u
}

// Probe prepares the places x at an offset across the bed.
func (v *Solver) Probe(x []float64, offset float64) *Probe {
	p := &Probe{X: x, Offset: offset}
	for _, at := range x {
		p.At = append(p.At, v.free.Spot(at))
	}
	for _, pt := range v.points {
		p.Add(v.free, pt.at, pt.y)
	}
	return p
}

// Add makes the places ready for a force at q, offset y, and returns what they do for a unit of it by bending, m/N.
func (p *Probe) Add(b *free.Bed, q free.Spot, y float64) (bent []float64) {
	bent, twisted := make([]float64, len(p.At)), make([]float64, len(p.At))
	for a, at := range p.At {
		bent[a], twisted[a] = b.Between(at, p.Offset, q, y)
	}
	p.bent, p.twisted = append(p.bent, bent), append(p.twisted, twisted)
	return bent
}

// Probe prepares places for states of the same solver.
func (st *State) Probe(x []float64, offset float64) *Probe { return st.solver.Probe(x, offset) }

// Read returns the heights at a probe's places, m: superposition of the
// supports' unit shapes, a path independent of alongBed.
func (st *State) Read(p *Probe) []float64 {
	h, rigid := make([]float64, len(p.At)), st.answer.Rigid[0]
	for a, x := range p.X {
		h[a] = rigid[0] + rigid[1]*x + rigid[2]*p.Offset
	}
	u := p.under(st)
	bend, twist := st.factors.softness()
	floats.AddScaled(h, bend, u.bent)
	floats.AddScaled(h, twist, u.turned)
	floats.AddScaled(h, st.gradient, u.bowed)
	p.Raise(h, st.answer.Force, bend, twist)
	return h
}

// Raise adds what forces at the points do to heights at the places, for a bed so soft.
func (p *Probe) Raise(h, force []float64, bend, twist float64) {
	for j, f := range force {
		if f != 0 {
			floats.AddScaled(h, f*bend, p.bent[j])
			floats.AddScaled(h, f*twist, p.twisted[j])
		}
	}
}
