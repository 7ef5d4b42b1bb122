package survey

import (
	"math"
	"math/bits"
	"slices"
)

// point is one value of the unknowns and all that follows from it.
type point struct {
	u     []float64 // standardised
	phi   []float64
	poses []pose // of each state
	log   float64
	kern  int
}

// Feel as numbers: a foot turns by hand while it carries less than about a
// hundredth of the mean load, and is felt tight from three hundredths (common
// practice, no source).
const (
	looseShare = 0.01
	tightShare = 0.03
	touchSD    = 1e-6 // m
)

func (m *model) newPoint() *point {
	return &point{u: make([]float64, len(m.mean)), phi: make([]float64, m.feats), poses: make([]pose, len(m.states))}
}

func (m *model) value(p *point, i int) float64 { return m.mean[i] + m.sd[i]*p.u[i] }

func (p *point) copyFrom(o *point) {
	copy(p.u, o.u)
	copy(p.phi, o.phi)
	p.log, p.kern = o.log, o.kern
	for i := range p.poses {
		a, b := &p.poses[i], &o.poses[i]
		if a.force == nil {
			a.force, a.gap = slices.Clone(b.force), slices.Clone(b.gap)
		}
		copy(a.force, b.force)
		copy(a.gap, b.gap)
		a.rigid, a.on = b.rigid, b.on
	}
}

// factors returns the factors on the bed's and the feet's stiffness; not ok when
// they are not positive.
func (m *model) factors(p *point) (b, f float64, ok bool) {
	beta, delta := m.value(p, m.bed), m.value(p, m.bed+1)
	return 1 / beta, 1 / (beta * delta), beta > 0.05 && delta > 0.01
}

// stand solves every state and fills the features; not ok when a state does not
// settle.
func (m *model) stand(p *point) bool {
	return m.fill(p, func(i int, st *stand, b, f float64, heights []float64, gradient float64) bool {
		return st.solve(b, f, heights, gradient, &p.poses[i])
	})
}

// force fills poses and features as they would be with a contact given, wrong
// though it may be.
func (m *model) force(p *point, sets []uint64) bool {
	return m.fill(p, func(i int, st *stand, b, f float64, heights []float64, gradient float64) bool {
		return st.force(b, f, heights, gradient, sets[i], &p.poses[i])
	})
}

// fill poses every state by the given means and fills the features from it.
func (m *model) fill(p *point, pose func(i int, st *stand, b, f float64, heights []float64, gradient float64) bool) bool {
	b, f, ok := m.factors(p)
	if !ok {
		return false
	}
	p.phi[featLoad], p.phi[featOne], p.phi[featLog] = 1/b, 1, math.Log(b)
	for _, g := range m.grads {
		p.phi[g.feat] = m.value(p, g.index)
	}
	for i, st := range m.states {
		if st.stand == nil {
			continue
		}
		m.high = m.heightsOf(p, st, m.high[:0])
		if !pose(i, st.stand, b, f, m.high, m.value(p, m.grads[st.grad].index)) {
			return false
		}
		for j, r := range p.poses[i].force {
			p.phi[st.feat+j] = r / b
		}
	}
	return true
}

// heightsOf returns the heights of a state's feet, m, appended to h.
func (m *model) heightsOf(p *point, st *state, h []float64) []float64 {
	for _, i := range m.heights[st.standing] {
		h = append(h, m.value(p, i))
	}
	feet := m.in.Standings[st.standing].Standing
	for _, v := range st.moves {
		if k := footIndex(feet, m.in.Moves[v].Foot); k >= 0 {
			h[k] += m.value(p, m.moves[v])
		}
	}
	return h
}

// evaluate sets p.log, the logarithm of the posterior density; −Inf where the
// bed cannot stand.
func (m *model) evaluate(p *point, gs []marginal) float64 {
	p.log = math.Inf(-1)
	if !m.stand(p) {
		return p.log
	}
	log := gs[p.kern].log(p.phi)
	for i, u := range p.u {
		if i != m.bed && i != m.bed+1 {
			log -= u * u / 2
		}
	}
	log += m.factorPrior(p)
	for i, st := range m.states {
		for _, f := range st.felt {
			m.rests = m.feltRest(m.rests[:0], st, &p.poses[i], f)
			for _, r := range m.rests {
				log -= r.value * r.value / 2
			}
		}
	}
	p.log = log
	return log
}

// factorPrior returns the log density of β and δ for log-normal b and f.
func (m *model) factorPrior(p *point) float64 {
	x, y := math.Log(m.value(p, m.bed)), math.Log(m.value(p, m.bed+1))
	return -x*x/(2*bedSD*bedSD) - (x+y)*(x+y)/(2*m.footSD*m.footSD) - x - y
}

// factorCurve returns the gradient of factorPrior and the leading part of its
// negative curvature, to the standardised β and δ.
func (m *model) factorCurve(p *point) (grad [2]float64, curve [2][2]float64) {
	beta, delta := m.value(p, m.bed), m.value(p, m.bed+1)
	x, y := math.Log(beta), math.Log(delta)
	k, l := 1/(bedSD*bedSD), 1/(m.footSD*m.footSD)
	u, v := m.sd[m.bed]/beta, m.sd[m.bed+1]/delta
	grad = [2]float64{-(x*k + (x+y)*l + 1) * u, -((x+y)*l + 1) * v}
	return grad, [2][2]float64{{(k + l) * u * u, l * u * v}, {l * u * v, l * v * v}}
}

func (g *marginal) log(phi []float64) float64 {
	d := len(phi)
	sum := g.c
	for i, a := range phi {
		if a == 0 {
			continue
		}
		row, s := g.p[i*d:(i+1)*d], -2*g.q[i]
		for j, b := range phi {
			s += row[j] * b
		}
		sum += a * s
	}
	return -sum / 2
}

// rest is a standardised residual of what a hand felt, and what it depends on.
type rest struct {
	value        float64
	load, gap    float64 // its derivative to the foot's load and gap
	first, count int     // points of the foot
}

func (st *state) pointsOf(foot int) (first, count int) {
	for i, f := range st.stand.foot {
		if f == foot {
			if count == 0 {
				first = i
			}
			count++
		}
	}
	return first, count
}

// feltRest appends what contradicts a felt row to list, each in standard deviations.
func (m *model) feltRest(list []rest, st *state, p *pose, f Felt) []rest {
	s := m.in.Standings[st.standing].Standing
	first, count := st.pointsOf(footIndex(s, f.Foot))
	load, gap := 0.0, math.Inf(1)
	for i := first; i < first+count; i++ {
		load += p.force[i]
		gap = min(gap, p.gap[i])
	}
	mean := st.stand.want[0] / float64(len(s.Feet))
	add := func(value, dLoad, dGap float64) {
		list = append(list, rest{value, dLoad, dGap, first, count})
	}
	loose := looseShare * mean
	switch {
	case f.Gap != nil:
		sd := f.Uncertainty
		if sd == 0 {
			sd = feelerSD
		}
		add((gap-*f.Gap)/sd, 0, 1/sd)
		add(load/loose, 1/loose, 0)
	case f.Load != nil:
		sd := f.Uncertainty
		if sd == 0 {
			sd = max(0.05**f.Load, loose)
		}
		add((load-*f.Load)/sd, 1/sd, 0)
		add(gap/touchSD, 0, 1/touchSD)
	case f.State == "loose":
		add(load/loose, 1/loose, 0)
	case f.State == "tight":
		if load < tightShare*mean {
			add((load-tightShare*mean)/loose, 1/loose, 0)
		}
		add(gap/touchSD, 0, 1/touchSD)
	}
	return list
}

func (p *point) sets() (on []uint64) {
	for _, s := range p.poses {
		on = append(on, s.on)
	}
	return on
}

// hanging returns how many points carry nothing.
func (p *point) hanging(m *model) (n int) {
	for i, st := range m.states {
		if st.stand != nil {
			n += st.stand.n - bits.OnesCount64(p.poses[i].on)
		}
	}
	return n
}
