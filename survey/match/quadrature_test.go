package match

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/floats"

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
		w := mat.NewSymDense(n, nil)
		w.SymOuterK(1, b.white.T())
		if !e.Factorize(w, true) {
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
		amp := usual()
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
	c.toMode(40)
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
			c.line(path{dz: c.dz})
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

// TestHinge holds how often a foot hangs, and where another stands, along paths that turn
// where it lets go, and where the other does too, against integrals along straight lines.
func TestHinge(t *testing.T) {
	m := example(t, false)
	c := m.newChain(m.sumUp(m.blocks), 1, 0)
	c.toMode(40)
	floats.Scale(1e-4, c.g.p) // coarser readings, so that much is left open
	floats.Scale(1e-4, c.g.q)
	// a foot that sometimes hangs, and another, all others held; how far below the present density contacts still change
	for _, v := range []struct {
		other, turns int
		by           float64
		together     bool
		deep         float64
	}{{3, 1, -0.4, false, math.Inf(1)}, {3, 2, -1, false, math.Inf(1)}, {3, 2, 0.2, true, math.Inf(1)}, {1, 2, 0.5, true, math.Inf(1)},
		{3, 1, -0.4, false, 1}} {
		at := append([]float64(nil), c.z...)
		c.log = c.evaluate(c.z)
		c.least = c.log - v.deep
		c.hingeOn(t, m.hinges[2], m.hinges[v.other], v.by, v.turns, v.together)
		copy(c.z, at)
		c.evaluate(c.z)
	}
}

// hingeOn draws by paths along which two heights move, the second by so much of the first, with
// one hinge or two, or two together.
func (c *chain) hingeOn(t *testing.T, h, other hinge, by float64, turns int, together bool) {
	i, k := h.height, other.height
	d, point, second := c.stands[h.at[0].state], h.at[0].point, other.at[0].point
	dz, ek, ei := make([]float64, len(c.z)), make([]float64, len(c.z)), make([]float64, len(c.z))
	ek[k], ei[i] = 1, 1
	curve := c.tangentAt(c.z).curve
	n := len(c.z)
	sd := 1 / math.Sqrt(1+curve[i*n+i])
	dz[i], dz[k] = 10*sd, by*10*sd
	at := append([]float64(nil), c.z...)
	const draws = 20000
	var hang, both, mean, square float64
	lo, hi := math.Inf(1), math.Inf(-1)
	for r := range draws {
		c.line(path{dz: dz, hinges: []pivot{{i, d, point}, {k, d, second}}[:turns], together: together})
		if turns == 1 {
			c.line(path{dz: ek})
		} else if r%20 == 0 { // both may hang
			c.line(path{dz: ek})
			c.line(path{dz: ei})
		}
		if !d.at.On[point] {
			hang += 1. / draws
		}
		if !d.at.On[second] {
			both += 1. / draws
		}
		mean, square = mean+c.z[k]/draws, square+c.z[k]*c.z[k]/draws
		lo, hi = min(lo, c.z[k]), max(hi, c.z[k])
	}
	if was, is := c.log, c.evaluate(c.z); math.Abs(was-is) > 1e-6 {
		t.Errorf("a log density of %g is kept as %g", is, was)
	}
	clear(dz)
	dz[i], c.least = 1, math.Inf(-1)
	const places = 400
	var logs, hangs, boths, zs []float64
	for p := range places {
		copy(c.z, at)
		c.z[k] = lo + (hi-lo)*(1.2*float64(p)/(places-1)-0.1)
		base := c.evaluate(c.z)
		for _, s := range c.stands {
			base -= s.feel() // pieces have what was felt whole
		}
		line := path{dz: dz}
		c.spread(&line, 9, 9)
		for _, v := range append([]piece(nil), c.pieces...) {
			z := append([]float64(nil), c.z...)
			z[i] += v.from.along + v.rate.along*v.long/2
			logs, zs = append(logs, v.mass+base), append(zs, c.z[k])
			c.evaluate(z)
			hung := map[bool]float64{false: 1}
			hangs, boths = append(hangs, hung[d.at.On[point]]), append(boths, hung[d.at.On[second]])
			c.evaluate(c.z)
		}
	}
	top, sum, want, wantBoth, first := floats.Max(logs), 0.0, 0.0, 0.0, 0.0
	for j, l := range logs {
		w := math.Exp(l - top)
		sum, want, wantBoth, first = sum+w, want+w*hangs[j], wantBoth+w*boths[j], first+w*zs[j]
	}
	want, wantBoth, first = want/sum, wantBoth/sum, first/sum
	t.Logf("%d: hang %.4f %.4f, the other %.4f %.4f at %.3f %.3f", k, hang, want, both, wantBoth, mean, first)
	if math.Abs(hang-want) > 0.015 || want < 0.1 || want > 0.99 {
		t.Errorf("the foot hangs in %.4f of the draws, by integration %.4f", hang, want)
	}
	if math.Abs(both-wantBoth) > 0.015 {
		t.Errorf("the other hangs in %.4f of the draws, by integration %.4f", both, wantBoth)
	}
	if sd := math.Sqrt(square - mean*mean); math.Abs(mean-first) > 0.1*sd {
		t.Errorf("the other stands at %.3f ± %.3f, by integration %.3f", mean, sd, first)
	}
}

// Heights of three feet only tilt the bed: no direction of theirs changes a force.
func TestThreeHaveNoHinge(t *testing.T) {
	h, _ := invent(t, 1016, step)
	in := h.input()
	h.onThree(t, &in)
	h.survey(t, &in, hiddenEpoch{0, h.draw.Heights, 0.1}, nil, Heat{0, 0.5})
	m, err := newModel(in, nil)
	if err != nil {
		t.Fatal(err)
	}
	c := m.newChain(m.sumUp(m.blocks), 1, 0)
	c.toMode(20)
	c.lifts = make([][]path, len(m.hinges))
	c.learn(c.tangentAt(c.z))
	for k, hinge := range m.hinges {
		three := m.states[hinge.at[0].state].standing == 1
		if n := len(c.lifts[k]); three && n > 0 || !three && c.stands[hinge.at[0].state].at.On[hinge.at[0].point] && n == 0 {
			t.Errorf("height %d, on three %v: %d directions", k, three, n)
		}
	}
}

// TestEllipse holds draws on an ellipse of a Gaussian that is not the density's against
// quadrature over one unknown.
func TestEllipse(t *testing.T) {
	m := example(t, false)
	c := m.newChain(m.sumUp(m.blocks), 1, 0)
	c.toMode(40)
	n := len(c.z)
	c.white = make([]float64, n*n)
	for k := range n {
		c.white[k*n+k] = 1.6
	}
	k := n - 1
	c.center[k] = c.z[k] + 1.5
	var sum, mean, square float64
	z := append([]float64(nil), c.z...)
	top := c.evaluate(z)
	for a := range 400 {
		z[k] = c.z[k] + 8*(float64(a)/399-0.5)
		w := math.Exp(c.evaluate(z) - top)
		sum, mean, square = sum+w, mean+w*z[k], square+w*z[k]*z[k]
	}
	mean /= sum
	sd := math.Sqrt(square/sum - mean*mean)
	c.log = c.evaluate(c.z)
	const draws = 12000
	got, far := 0.0, 0.0
	for range draws {
		c.ellipse(k)
		got += c.z[k] / draws
		far += (c.z[k] - mean) * (c.z[k] - mean) / draws
	}
	if math.Abs(got-mean) > 0.1*sd || math.Abs(math.Sqrt(far)-sd) > 0.1*sd {
		t.Errorf("draws have the mean %.4f ± %.4f, by quadrature %.4f ± %.4f", got, math.Sqrt(far), mean, sd)
	}
}

// TestJump holds draws that mostly jump between components, of other places, widths and slants than the density, against
// quadrature over two unknowns.
func TestJump(t *testing.T) {
	m := example(t, false)
	c := m.newChain(m.sumUp(m.blocks), 1, 0)
	c.toMode(40)
	n := len(c.z)
	i, k := n-2, n-1
	like := func(at, slant, width float64) *component {
		one := &component{mean: append([]float64(nil), c.z...), white: make([]float64, n*n), deep: -2 * math.Log(width)}
		one.mean[i], one.mean[k] = one.mean[i]+at, one.mean[k]-at
		for j := range n {
			one.white[j*n+j] = 1
		}
		one.white[i*n+i], one.white[k*n+k], one.white[k*n+i] = 1/width, 1/width, slant
		return one
	}
	c.mixture = []*component{like(-0.8, 0, 1), like(0.5, 0.7, 0.6), like(1.2, -0.4, 1.4)}
	c.white = like(0, 0, 0.7).white
	copy(c.center, c.z)
	var sum float64
	var mean, square, got, far [2]float64
	z := append([]float64(nil), c.z...)
	top := c.evaluate(z)
	for a := range 120 {
		for b := range 120 {
			z[i], z[k] = c.z[i]+10*(float64(a)/119-0.5), c.z[k]+10*(float64(b)/119-0.5)
			w := math.Exp(c.evaluate(z) - top)
			sum += w
			for d, v := range z[i:] {
				mean[d], square[d] = mean[d]+w*v, square[d]+w*v*v
			}
		}
	}
	c.log = c.evaluate(c.z)
	const draws = 10000
	for range draws {
		c.ellipse(i)
		c.jump(8)
		for d, v := range c.z[i:] {
			got[d], far[d] = got[d]+v/draws, far[d]+v*v/draws
		}
	}
	for d := range got {
		mid, sd := mean[d]/sum, math.Sqrt(far[d]-got[d]*got[d])
		want := math.Sqrt(square[d]/sum - mid*mid)
		t.Logf("draws have the mean %.4f ± %.4f, by quadrature %.4f ± %.4f", got[d], sd, mid, want)
		if math.Abs(got[d]-mid) > 0.05*want || math.Abs(sd-want) > 0.05*want {
			t.Errorf("draws have the mean %.4f ± %.4f, by quadrature %.4f ± %.4f", got[d], sd, mid, want)
		}
	}
}
