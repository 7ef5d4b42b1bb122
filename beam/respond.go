package beam

import (
	"math"
	"slices"

	"footwork/internal/contact"
)

// Response is what a unit raise of one foot does while the contact stays as it
// is: N/m and m/m.
type Response struct {
	force []float64  // of each point
	rigid [3]float64 // height, pitch and roll
	Loads []float64  // N/m, of each foot
	Up    float64    // m, how far the foot may rise before the contact changes; may be +Inf
	Down  float64    // m, how far it may be lowered; ≥ 0
}

// Respond returns the response to a raise of each foot, in the standing's order. A foot
// that rigid ones beside it contradict as soon as it moves has no way to go; its
// response is that of the least squares of their heights.
func (st *State) Respond() ([]Response, error) {
	points := st.solver.points
	out := make([]Response, len(st.solver.standing.Feet))
	var d contact.Answer
	for f := range out {
		l := contact.Load{Built: make([]float64, len(points))}
		for i, pt := range points {
			if pt.foot == f {
				l.Built[i] = -1
			}
		}
		d.On = append(d.On[:0], st.rest.On...)
		if err := st.problem.Glue(l, &d); err != nil {
			return nil, err
		}
		r := Response{force: slices.Clone(d.Force), rigid: d.Rigid[0], Loads: make([]float64, len(out)), Up: math.Inf(1), Down: math.Inf(1)}
		for i, pt := range points {
			if pt.foot >= 0 {
				r.Loads[pt.foot] += d.Force[i]
			}
			if pt.held {
				continue
			}
			have, rate := st.rest.Force[i], d.Force[i]
			if !st.rest.On[i] {
				have, rate = st.rest.Gap[i], d.Gap[i]
			}
			r.Up = min(r.Up, until(have, rate))
			r.Down = min(r.Down, until(have, -rate))
		}
		for _, i := range d.Shared {
			if points[i].foot == f {
				r.Up, r.Down = 0, 0
			}
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
