package survey

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// tangent is what the density does about a point: its gradient and its negative
// curvature. It is scratch of a model: the next call overwrites it.
type tangent struct {
	j, pj   [][]float64 // of each unknown: derivative of the features; P times it
	spans   [][]span    // of each unknown: the features that it reaches
	felt    [][]float64 // of each felt residual: its derivative to the unknowns
	rests   []float64   // the felt residuals
	h       []float64   // n×n, its lower half
	grad    []float64
	forward []float64 // q − Pφ
}

// span is a range of features.
type span struct{ from, to int }

func (m *model) newTangent() *tangent {
	n := len(m.mean)
	t := &tangent{spans: make([][]span, n), h: make([]float64, n*n), grad: make([]float64, n), forward: make([]float64, m.feats)}
	for range n {
		t.j, t.pj = append(t.j, make([]float64, m.feats)), append(t.pj, make([]float64, m.feats))
	}
	reach := func(u, from, to int) { t.spans[u] = append(t.spans[u], span{from, to}) }
	reach(m.bed, 0, featFirst)
	for _, g := range m.grads {
		reach(g.index, g.feat, g.feat+1)
	}
	for _, st := range m.states {
		if st.stand == nil {
			continue
		}
		of := append(slices.Clone(m.heights[st.standing]), m.bed, m.bed+1, m.grads[st.grad].index)
		for _, k := range st.moves {
			of = append(of, m.moves[k])
		}
		for _, u := range of {
			reach(u, st.feat, st.feat+st.stand.n)
		}
	}
	return t
}

// slopes fills in the derivatives of features and felt residuals to the
// standardised unknowns.
func (m *model) slopes(p *point) *tangent {
	if m.tangent == nil {
		m.tangent = m.newTangent()
	}
	t := m.tangent
	for _, row := range t.j {
		clear(row)
	}
	t.felt, t.rests = t.felt[:0], t.rests[:0]
	b, f, _ := m.factors(p)
	t.j[m.bed][featLoad], t.j[m.bed][featLog] = m.sd[m.bed], -m.sd[m.bed]*b
	for _, g := range m.grads {
		t.j[g.index][g.feat] = m.sd[g.index]
	}
	for i, st := range m.states {
		if st.stand == nil {
			continue
		}
		ps := &p.poses[i]
		rests := m.rests[:0]
		for _, row := range st.felt {
			rests = m.feltRest(rests, st, ps, row)
		}
		felt := len(t.felt)
		for _, r := range rests {
			t.addFelt(r.value, len(m.mean))
		}
		m.columns(st, ps, b, f, func(u int, v []float64) {
			dr, dg := st.stand.change(b, f, ps, v)
			floats.AddScaled(t.j[u][st.feat:st.feat+len(dr)], m.sd[u]/b, dr)
			for a, r := range rests {
				t.felt[felt+a][u] += m.sd[u] * r.slope(dr, dg, ps)
			}
		})
		floats.AddScaled(t.j[m.bed][st.feat:st.feat+len(ps.force)], m.sd[m.bed], ps.force)
	}
	return t
}

// slope returns a felt residual's change for changes of forces and gaps.
func (r rest) slope(dr, dg []float64, p *pose) (s float64) {
	least := r.first
	for i := r.first; i < r.first+r.count; i++ {
		s += r.load * dr[i]
		if p.gap[i] < p.gap[least] {
			least = i
		}
	}
	return s + r.gap*dg[least]
}

// columns calls f with every unknown u that the state depends on and v, the
// change of −(K·R + c) at its points for a unit of it.
func (m *model) columns(st *state, p *pose, b, f float64, do func(u int, v []float64)) {
	s := st.stand
	v := make([]float64, s.n)
	raise := func(foot, u int) {
		for i := range v {
			v[i] = 0
			if s.foot[i] == foot {
				v[i] = 1
			}
		}
		do(u, v)
	}
	for foot, u := range m.heights[st.standing] {
		raise(foot, u)
	}
	feet := m.in.Standings[st.standing].Standing
	for _, k := range st.moves {
		raise(footIndex(feet, m.in.Moves[k].Foot), m.moves[k])
	}
	for i := range v {
		v[i] = -s.Bowed[i]
	}
	do(m.grads[st.grad].index, v)
	for i := range v {
		v[i] = -s.Loaded[i] - b/f*s.Points[i].Give*p.force[i]
		for j, r := range p.force {
			v[i] -= s.compliance[i][j] * r
		}
	}
	do(m.bed, v)
	for i := range v {
		v[i] = -s.Points[i].Give / b * p.force[i]
	}
	do(m.bed+1, v)
}

// change returns, until its next call, what forces and gaps do while the contact stays, for the change
// v of −(K·R + c).
func (s *stand) change(b, f float64, p *pose, v []float64) (dr, dg []float64) {
	n, full := s.n, s.n+3
	if s.dr == nil {
		s.dr, s.dg = make([]float64, n), make([]float64, n)
	}
	dr, dg = s.dr, s.dg
	clear(dg)
	inv := s.inverseOf(b, f, p.on).m
	var dq [3]float64
	for i := range full {
		sum := 0.0
		for j := range n {
			sum += inv[i*full+j] * v[j]
		}
		if i < n {
			dr[i] = sum
		} else {
			dq[i-n] = sum
		}
	}
	for i := range n {
		if p.on>>i&1 == 1 {
			continue
		}
		dg[i] = dq[0] + dq[1]*s.row[i][1] + dq[2]*s.row[i][2] - v[i]
		for j, r := range dr {
			dg[i] += s.compliance[i][j] / b * r
		}
	}
	return dr, dg
}

// addFelt makes room for the derivatives of one more felt residual.
func (t *tangent) addFelt(value float64, n int) {
	k := len(t.felt)
	if k < cap(t.felt) {
		t.felt = t.felt[:k+1]
	} else {
		t.felt = append(t.felt, nil)
	}
	if t.felt[k] == nil {
		t.felt[k] = make([]float64, n)
	}
	clear(t.felt[k])
	t.rests = append(t.rests, value)
}

// curvature fills in the gradient and the negative curvature of the log density at p.
func (m *model) curvature(p *point, g *marginal) *tangent {
	t, n, d := m.slopes(p), len(m.mean), m.feats
	for i, q := range g.q {
		t.forward[i] = q - floats.Dot(g.p[i*d:(i+1)*d], p.phi)
	}
	for a := range n {
		clear(t.pj[a])
		t.grad[a] = 0
		for _, s := range t.spans[a] {
			for k := s.from; k < s.to; k++ {
				if v := t.j[a][k]; v != 0 {
					floats.AddScaled(t.pj[a], v, g.p[k*d:(k+1)*d])
					t.grad[a] += v * t.forward[k]
				}
			}
		}
		for b := range a + 1 {
			v := 0.0
			for _, s := range t.spans[b] {
				v += floats.Dot(t.pj[a][s.from:s.to], t.j[b][s.from:s.to])
			}
			t.h[a*n+b] = v
		}
	}
	for k, row := range t.felt {
		floats.AddScaled(t.grad, -t.rests[k], row)
		for a, v := range row {
			if v != 0 {
				floats.AddScaled(t.h[a*n:a*n+a+1], v, row[:a+1])
			}
		}
	}
	m.addPriors(p, t)
	return t
}

// addPriors adds those of the unknowns: unit normal but for the factors.
func (m *model) addPriors(p *point, t *tangent) {
	n := len(m.mean)
	for a := range n {
		if a != m.bed && a != m.bed+1 {
			t.grad[a] -= p.u[a]
			t.h[a*n+a]++
		}
	}
	slope, curve := m.factorCurve(p)
	for k := range 2 {
		t.grad[m.bed+k] += slope[k]
		for l := range k + 1 {
			t.h[(m.bed+k)*n+m.bed+l] += curve[k][l]
		}
	}
}

// climb moves p towards the most likely point by Gauss–Newton steps.
func (m *model) climb(p *point, gs []marginal, steps int) {
	try := m.newPoint()
	m.evaluate(p, gs)
	for range steps {
		t := m.curvature(p, &gs[p.kern])
		if !factorize(t.h, len(p.u)) {
			return
		}
		step := t.grad
		solveLower(t.h, step)
		solveUpper(t.h, step)
		gain, before := 0.0, p.log
		for size := 1.0; size > 1e-3; size /= 2 {
			try.copyFrom(p)
			floats.AddScaled(try.u, size, step)
			if m.evaluate(try, gs) > p.log {
				gain = try.log - before
				p.copyFrom(try)
				break
			}
		}
		if gain < 1e-3 {
			return
		}
	}
}

// bell is the metric of the Gaussian that fits the posterior while the contact
// stays: the Cholesky factor L of its curvature, and the same for fixed factors of
// stiffness, lower halves of n×n.
type bell struct {
	l, flat []float64
	log     float64 // log det L
}

// bellAt returns the Gaussian around p; nil when there is none.
func (m *model) bellAt(p *point, gs []marginal) *bell {
	n := len(p.u)
	h := m.curvature(p, &gs[p.kern]).h
	b := &bell{l: slices.Clone(h), flat: slices.Clone(h)}
	for _, i := range []int{m.bed, m.bed + 1} {
		for k := range i {
			b.flat[i*n+k] = 0
		}
		for k := i; k < n; k++ {
			b.flat[k*n+i] = 0
		}
		b.flat[i*n+i] = 1e12
	}
	if !factorize(b.l, n) || !factorize(b.flat, n) {
		return nil
	}
	for i := range n {
		b.log += math.Log(b.l[i*n+i])
	}
	return b
}

// factorize replaces the lower half of a, n×n, by its Cholesky factor L. The
// matrices are so small that the library's condition number costs more than all else.
func factorize(a []float64, n int) bool {
	for i := range n {
		for j := range i + 1 {
			s := a[i*n+j]
			for k := range j {
				s -= a[i*n+k] * a[j*n+k]
			}
			if i > j {
				a[i*n+j] = s / a[j*n+j]
			} else if s > 0 {
				a[i*n+i] = math.Sqrt(s)
			} else {
				return false
			}
		}
	}
	return true
}

// solveLower replaces v by L⁻¹v.
func solveLower(l, v []float64) {
	n := len(v)
	for i := range n {
		for j := range i {
			v[i] -= l[i*n+j] * v[j]
		}
		v[i] /= l[i*n+i]
	}
}

// solveUpper replaces v by L⁻ᵀv.
func solveUpper(l, v []float64) {
	n := len(v)
	for i := n - 1; i >= 0; i-- {
		v[i] /= l[i*n+i]
		for j := range i {
			v[j] -= l[i*n+j] * v[i]
		}
	}
}
