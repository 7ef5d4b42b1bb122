package match

import (
	"math"

	"footwork/internal/contact"
)

// stand is a state's contact in one chain.
type stand struct {
	*state
	problem contact.Problem
	load    contact.Load
	at      contact.Answer // as it stands
	way     contact.Answer // as it stands on a path
	step    contact.Answer // the response to a change
	moves   bool           // it responds to the present change
	change  contact.Load
	out     outset
	trail   []float64 // of each piece of a path where it begins: forces, gaps, and how both change
	trailOn []bool
}

// outset is how a state responds as a path sets out.
type outset struct {
	moves      bool
	force, gap []float64
}

func newStand(s *state) *stand {
	d := &stand{state: s, load: s.resultant}
	if !s.frozen {
		d.problem.Reset(s.points)
		d.load.Built = make([]float64, len(s.points))
		d.change.Built = make([]float64, len(s.points))
	}
	return d
}

// stiffen fills in the compliance for factors · what one over the factor of each foot's stiffness is, by its height.
func (d *stand) stiffen(m *model, z, soft []float64) {
	b, t := 1/m.factor(z, m.bend), 1/m.factor(z, m.bend+1)
	h, n := d.problem.Refill(), len(d.points)
	for i := range n {
		bent, turned := d.linear.Bent[i], d.linear.Twisted[i]
		for j := range i + 1 {
			v := bent[j]*b + turned[j]*t
			h[i*n+j], h[j*n+i] = v, v
		}
		h[i*n+i] += d.give(m, soft, i)
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

// built fills in the gaps of the built-in bed under its load.
func (d *stand) built(m *model, z []float64) {
	b, t := m.factor(z, m.bend), m.factor(z, m.bend+1)
	g := m.value(z, m.heat[d.heat])
	l := &d.linear
	for i := range d.load.Built {
		d.load.Built[i] = l.Loaded[i]/b + l.Turned[i]/t + g*l.Bowed[i]
	}
	for _, v := range d.lift {
		d.load.Built[v.point] -= m.mean[v.index] + v.by*z[v.index]
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
	for _, i := range d.under[foot] {
		load += a.Force[i]
		gap += a.Gap[i]
	}
	return load, gap / float64(len(d.under[foot]))
}
