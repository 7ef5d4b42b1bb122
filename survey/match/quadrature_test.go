package match

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// TestMarginal holds the likelihood with the metal integrated out against the normal
// density of what was read, its covariance added up: a determinant or a ratio left out
// shows when features or amplitudes differ.
func TestMarginal(t *testing.T) {
	m := example(t, true)
	s := m.sumUp(m.blocks[:1])
	c := m.newChain(s, 1, 0)
	b := m.blocks[0]
	n := len(b.y)
	direct := func(amp, phi []float64) float64 {
		// In the space that the line leaves: W = QΛQᵀ, z = Λ^½Qᵀ(y − Bφ) ~ N(0, 1 + GDDGᵀ).
		var e mat.EigenSym
		if !e.Factorize(b.w, true) {
			t.Fatal("no eigenvectors")
		}
		var q mat.Dense
		e.VectorsTo(&q)
		dev := make([]float64, m.waves())
		m.variances(amp, dev)
		rest := mat.NewVecDense(n, minus(b.y, m.elastic(b, phi)))
		var kept []int
		top := e.Values(nil)[n-1]
		for i, v := range e.Values(nil) {
			if v > 1e-9*top*1e-6 {
				kept = append(kept, i)
			}
		}
		k := len(kept)
		g, z := mat.NewDense(k, m.waves(), nil), mat.NewVecDense(k, nil)
		for r, i := range kept {
			root := math.Sqrt(e.Values(nil)[i])
			z.SetVec(r, root*mat.Dot(q.ColView(i), rest))
			for w := range m.waves() {
				g.Set(r, w, root*mat.Dot(q.ColView(i), b.f.ColView(w))*math.Sqrt(dev[w]))
			}
		}
		cov := mat.NewSymDense(k, nil)
		cov.SymOuterK(1, g)
		for i := range k {
			cov.SetSym(i, i, cov.At(i, i)+1)
		}
		var chol mat.Cholesky
		if !chol.Factorize(cov) {
			t.Fatal("a covariance that is not positive")
		}
		var x mat.VecDense
		if err := chol.SolveVecTo(&x, z); err != nil {
			t.Fatal(err)
		}
		return -(mat.Dot(z, &x) + chol.LogDet()) / 2
	}
	c.evaluate(c.z)
	var first float64
	for i, shift := range []float64{0, 0.7, -1.3} {
		amp := append([]float64(nil), m.amps.mean...)
		for k := range amp {
			amp[k] += shift * math.Cos(float64(k))
		}
		z := append([]float64(nil), c.z...)
		z[0] += shift
		z[m.bend] += shift / 2
		m.eliminate(s, amp, &c.g)
		c.evaluate(z)
		d := c.g.log(c.phi) - direct(amp, c.phi)
		if i == 0 {
			first = d
		} else if math.Abs(d-first) > 1e-4*(1+math.Abs(c.g.log(c.phi))) {
			t.Errorf("marginal and direct density differ by %g, at the first point by %g", d, first)
		}
		for j := range c.sums.forms {
			c.sums.forms[j].left(c.phi, c.resid[j])
		}
		copy(c.amp, amp)
		was := c.metalLog()
		other := append([]float64(nil), amp...)
		other[1] += 0.5
		copy(c.amp, other)
		is := c.metalLog()
		if want := direct(other, c.phi) - direct(amp, c.phi); math.Abs(is-was-want) > 1e-4*(1+math.Abs(want)) {
			t.Errorf("an amplitude changes the density by %g, directly by %g", is-was, want)
		}
	}
}

// TestQuadrature holds means and deviations of a chain's draws against quadrature over
// two unknowns, all others held: one on which the forces depend in pieces, and a
// logarithm of stiffness.
func TestQuadrature(t *testing.T) {
	m := example(t, false)
	c := m.newChain(m.sumUp(m.blocks), 1, 0)
	c.climb(40)
	c.setWhite([]tangent{c.tangentAt(c.z)})
	at := append([]float64(nil), c.z...)
	for _, pair := range [][2]int{{1, m.bend}, {3, m.bend + 2}} {
		copy(c.z, at)
		i, k := pair[0], pair[1]
		c.evaluate(c.z)
		curve := c.tangentAt(c.z).curve
		u := len(at)
		hii, hik, hkk := 1+curve[i*u+i], curve[i*u+k], 1+curve[k*u+k]
		sk := 1 / math.Sqrt(hkk-hik*hik/hii)
		tilt := -hik / hii // of i for one of k, so that the density changes least
		c.log = c.evaluate(c.z)
		const draws, n = 4000, 140
		var di, dk, qi, qk float64
		lo, hi := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
		for range draws {
			clear(c.dz)
			c.dz[i] = 1
			c.line(c.dz, 0)
			c.log = c.evaluate(c.z)
			clear(c.dz)
			c.dz[i], c.dz[k] = tilt*sk, sk
			c.slice(3)
			di, dk = di+c.z[i]/draws, dk+c.z[k]/draws
			qi, qk = qi+c.z[i]*c.z[i]/draws, qk+c.z[k]*c.z[k]/draws
			for d, v := range [2]float64{c.z[i] - tilt*c.z[k], c.z[k]} {
				lo[d], hi[d] = min(lo[d], v), max(hi[d], v)
			}
		}
		var sum, mi, mk, vi, vk float64
		top := c.evaluate(at)
		z := append([]float64(nil), at...)
		place := func(d, a int) float64 { return lo[d] + (hi[d]-lo[d])*(1.4*float64(a)/(n-1)-0.2) }
		for a := range n {
			for b := range n {
				z[k] = place(1, b)
				z[i] = place(0, a) + tilt*z[k]
				w := math.Exp(c.evaluate(z) - top)
				sum, mi, mk = sum+w, mi+w*z[i], mk+w*z[k]
				vi, vk = vi+w*z[i]*z[i], vk+w*z[k]*z[k]
			}
		}
		mi, mk = mi/sum, mk/sum
		vi, vk = vi/sum-mi*mi, vk/sum-mk*mk
		for _, v := range [][3]float64{{di, mi, math.Sqrt(vi)}, {dk, mk, math.Sqrt(vk)}} {
			if math.Abs(v[0]-v[1]) > 0.2*v[2] {
				t.Errorf("unknowns %v: a mean of %g, by quadrature %g ± %g", pair, v[0], v[1], v[2])
			}
		}
		for _, v := range [][2]float64{{qi - di*di, vi}, {qk - dk*dk, vk}} {
			if r := v[0] / v[1]; r < 0.75 || r > 1.33 {
				t.Errorf("unknowns %v: variance %g times that by quadrature", pair, r)
			}
		}
	}
}
