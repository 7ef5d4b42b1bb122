package match

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"footwork/internal/contact"
)

// stand is a state's contact in one chain.
type stand struct {
	*state
	problem *contact.Problem // one for all states of a standing: its bed and feet give alike
	gives   bool             // the first of these, whose compliance is filled in
	load    contact.Load
	at      contact.Answer // as it stands
	way     contact.Answer // as it stands on a path
	step    contact.Answer // the response to a change
	moves   bool           // it responds to the present change
	change  contact.Load
	out     outset
	trail   []float64 // of each piece of a path where it begins: forces, gaps, and how both change
	trailOn []bool
	laid    laid
}

// outset is how a state responds as a path sets out.
type outset struct {
	moves      bool
	force, gap []float64
}

// newStand returns a state's contact · others of the chain.
func newStand(s *state, others []*stand) *stand {
	d := &stand{state: s, load: s.resultant}
	if k := slices.IndexFunc(others, func(o *stand) bool { return o.standing == s.standing }); k >= 0 {
		d.problem = others[k].problem
	} else {
		d.problem, d.gives = &contact.Problem{}, true
	}
	if !s.frozen {
		if d.gives {
			d.problem.Reset(s.points)
		}
		d.load.Built = make([]float64, len(s.points))
		d.laid.problem.Reset(s.points)
		d.laid.load = contact.Load{Built: make([]float64, len(s.points)), Resultant: s.resultant.Resultant}
		d.change.Built = make([]float64, len(s.points))
	}
	return d
}

// comply fills in the compliance between points of a bed so much softer against bending and twist, on supports that give so.
func (d *stand) comply(b, t float64, h []float64, give func(point int) float64) {
	n := len(d.points)
	for i := range n {
		bent, turned := d.linear.Bent[i], d.linear.Twisted[i]
		for j := range i + 1 {
			v := bent[j]*b + turned[j]*t
			h[i*n+j], h[j*n+i] = v, v
		}
		h[i*n+i] += give(i)
	}
}

// give returns that of a point's support, m/N.
func (d *stand) give(m *model, soft []float64, point int) float64 {
	p := &d.linear.Points[point]
	if p.Foot < 0 {
		return p.Give
	}
	return p.Give * soft[m.home[d.standing][p.Foot]]
}

// soften fills in one over the factor of every foot's stiffness, by its height.
func (m *model) soften(z, soft []float64) {
	f := z[m.bend+2] * m.sd[m.bend+2]
	for i, h := range m.heights {
		e := m.bend + 3 + i
		soft[h] = math.Exp(-f - z[e]*m.sd[e])
	}
}

// factor returns exp of an unknown logarithm.
func (m *model) factor(z []float64, i int) float64 { return math.Exp(z[i] * m.sd[i]) }

// built fills in the gaps of the built-in bed under its load, so much softer against bending and twist.
func (d *stand) built(m *model, z []float64, b, t float64) {
	d.builtIn(b, t, m.value(z, m.heat[d.heat]), d.load.Built)
	for _, v := range d.lift {
		d.load.Built[v.point] -= m.mean[v.index] + v.by*z[v.index]
	}
}

// builtIn fills in the built-in bed's heights under its load, so much softer against bending and twist, and so warm, K.
func (d *stand) builtIn(b, t, heat float64, to []float64) {
	l := &d.linear
	for i := range to {
		to[i] = l.Loaded[i]*b + l.Turned[i]*t + heat*l.Bowed[i]
	}
}

func (m *model) value(z []float64, i int) float64 { return m.mean[i] + m.sd[i]*z[i] }

// respond fills in d.step for a direction of the linear unknowns while the contact stays,
// and tells whether it changes anything.
func (d *stand) respond(m *model, dz []float64) bool {
	g := dz[m.heat[d.heat]] * m.sd[m.heat[d.heat]]
	d.moves = g != 0
	for i := range d.change.Built {
		d.change.Built[i] = g * d.linear.Bowed[i]
	}
	for _, v := range d.lift {
		if dz[v.index] != 0 {
			d.change.Built[v.point] -= v.by * dz[v.index]
			d.moves = true
		}
	}
	return d.moves
}

// glue solves for d.change with the contact of an answer.
func (d *stand) glue(at *contact.Answer) bool {
	d.step.On = append(d.step.On[:0], at.On...)
	return d.problem.Glue(d.change, &d.step) == nil
}

// put writes forces of the state into features to, over the factors in phi.
func (d *stand) put(forces, phi, to []float64) {
	b, t := phi[featBend], phi[featTwist]
	for i := range d.points {
		if s := d.bent[i]; s.lead {
			to[s.feat] = 0
		}
		if s := d.turned[i]; s.lead {
			to[s.feat] = 0
		}
	}
	for i, r := range forces {
		if s := d.bent[i]; s.ratio != 0 {
			to[s.feat] += s.ratio * r * b
		}
		if s := d.turned[i]; s.ratio != 0 {
			to[s.feat] += s.ratio * r * t
		}
	}
}

// foot returns a foot's load and the mean gap over its points.
func (d *stand) foot(foot int, a *contact.Answer) (load, gap float64) {
	under := d.under[foot]
	if len(under) == 1 {
		return a.Force[under[0]], a.Gap[under[0]]
	}
	for _, i := range under {
		load += a.Force[i]
		gap += a.Gap[i]
	}
	return load, gap / float64(len(under))
}

// leave begins a path where the state stands.
func (d *stand) leave() {
	if d.frozen {
		return
	}
	d.way.Force = append(d.way.Force[:0], d.at.Force...)
	d.way.Gap = append(d.way.Gap[:0], d.at.Gap...)
	d.way.On = append(d.way.On[:0], d.at.On...)
}

// What a path may take from a gap, m, and from a force, of the mean load, and no contact changes for it: rounding alone.
const (
	slightGap   = 1e-13
	slightForce = 1e-10
)

// until returns how far it is until a point of the state touches or lets go, and which,
// or until a foot's load passes where what was felt changes, −1; most when farther.
func (d *stand) until(most float64) (long float64, point int) {
	long, point = most, -1
	if !d.moves {
		return long, point
	}
	for i := range d.way.On {
		if d.falls(i, most) {
			have, rate := d.parting(i)
			if l := max(have, 0) / -rate; l < long {
				long, point = l, i
			}
		}
	}
	for i := range d.pulls {
		if p := &d.pulls[i]; p.under {
			have, _ := d.foot(p.foot, &d.way)
			rate, _ := d.foot(p.foot, &d.step)
			if l := (p.at - have) / rate; l > 0 && l < long {
				long, point = l, -1
			}
		}
	}
	return long, point
}

// parting returns what keeps the contact of a point as it is, force or gap, and how it changes.
func (d *stand) parting(i int) (have, rate float64) {
	if d.way.On[i] {
		return d.way.Force[i], d.step.Force[i]
	}
	return d.way.Gap[i], d.step.Gap[i]
}

// falls tells whether that gets less on a path so long.
func (d *stand) falls(i int, long float64) bool {
	slight := slightGap
	if d.way.On[i] {
		if d.points[i].Held {
			return false
		}
		slight = slightForce * d.mean
	}
	_, rate := d.parting(i)
	return rate*long < -slight
}

// advance goes on along a path while the contact stays, and notes from where and how.
func (d *stand) advance(long float64) {
	if d.frozen {
		return
	}
	d.trail = append(append(append(append(d.trail, d.way.Force...), d.way.Gap...), d.step.Force...), d.step.Gap...)
	d.trailOn = append(d.trailOn, d.way.On...)
	if d.moves {
		floats.AddScaled(d.way.Force, long, d.step.Force)
		floats.AddScaled(d.way.Gap, long, d.step.Gap)
	} else {
		clear(d.trail[len(d.trail)-2*len(d.points):])
	}
}

// pullOn adds what was felt to a piece.
func (d *stand) pullOn(p *piece) {
	for i := range d.pulls {
		q := &d.pulls[i]
		v, r := q.of(d.foot(q.foot, &d.way)), 0.0
		if d.moves {
			r = q.of(d.foot(q.foot, &d.step))
		}
		if q.under && v+r*p.long/2 > q.at {
			continue
		}
		v, r = (v-q.at)/q.sd, r/q.sd
		p.log -= v * v / 2
		p.slope += v * r
		p.curve += r * r
	}
}
