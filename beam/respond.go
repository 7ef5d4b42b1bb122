package beam

import "math"

// Response is what a unit raise of one foot does while the contact stays as it
// is: N/m and m/m.
type Response struct {
	force []float64  // of each point
	rigid [3]float64 // height, pitch and roll
	Loads []float64  // N/m, of each foot
	Up    float64    // m, how far the foot may rise before the contact changes; may be +Inf
	Down  float64    // m, how far it may be lowered; ≥ 0
}

// Respond returns the response to a raise of each foot, in the standing's order.
func (st *State) Respond() ([]Response, error) {
	p := st.problem
	k, ok := p.factor(p.frame(), st.rest.on)
	if !ok {
		return nil, ErrUnsettled
	}
	out := make([]Response, len(st.solver.standing.Feet))
	for f := range out {
		c := make([]float64, len(p.c))
		for i, pt := range st.solver.points {
			if pt.foot == f {
				c[i] = -1
			}
		}
		d := k.solve(c, [3]float64{})
		r := Response{force: d.force, rigid: d.rigid, Loads: make([]float64, len(out)), Up: math.Inf(1), Down: math.Inf(1)}
		for i, pt := range st.solver.points {
			if pt.foot >= 0 {
				r.Loads[pt.foot] += d.force[i]
			}
			if p.held[i] {
				continue
			}
			have, rate := st.rest.force[i], d.force[i]
			if !st.rest.on[i] {
				unit := contact{h: p.h, c: c, e: p.e}
				have, rate = p.gap(st.rest, i), unit.gap(d, i)
			}
			r.Up = min(r.Up, until(have, rate))
			r.Down = min(r.Down, until(have, -rate))
		}
		out[f] = r
	}
	return out, nil
}

// until returns how far one may go at a rate before what one has is used up.
func until(have, rate float64) float64 {
	if rate >= 0 {
		return math.Inf(1)
	}
	return max(0, have) / -rate
}

// ReadResponse returns the change of height at a probe's places for a unit raise, m/m.
func (st *State) ReadResponse(p *Probe, r Response) []float64 {
	h := make([]float64, len(p.x))
	for a := range h {
		h[a] = r.rigid[0] + r.rigid[1]*p.x[a] + r.rigid[2]*p.offset
		for j, f := range r.force {
			h[a] += st.factors.of(p.bent[a][j], p.twisted[a][j]) * f
		}
	}
	return h
}
