package survey

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/mathext"
)

// conditional is the Gaussian of all other unknowns for given factors of
// stiffness, contact and kernel: exact while that contact holds.
type conditional struct {
	at  []int // the other unknowns
	mid []float64
	l   []float64 // Cholesky factor of the curvature
	log float64   // log det of l
	of  given
}

// given is what a conditional is the conditional of.
type given struct {
	bed, foot   float64 // standardised
	place, kern int
}

// conditionAt returns the conditional at the factors of u · place an index of
// w.places. Not ok where that contact cannot be.
func (w *walker) conditionAt(u []float64, place, kern int) (*conditional, bool) {
	m, p := w.m, w.forced
	of := given{u[m.bed], u[m.bed+1], place, kern}
	if w.here != nil && w.here.of == of {
		return w.here, true
	}
	ref := w.places[place]
	copy(p.u, ref.u)
	p.u[m.bed], p.u[m.bed+1] = u[m.bed], u[m.bed+1]
	p.kern = kern
	if !m.force(p, ref.sets()) {
		return nil, false
	}
	t := m.curvature(p, &w.gs[kern])
	n := len(u) - 2
	c := &conditional{of: of, l: make([]float64, n*n), mid: make([]float64, n), at: make([]int, 0, n)}
	for i := range u {
		if i != m.bed && i != m.bed+1 {
			c.at = append(c.at, i)
		}
	}
	for a, i := range c.at {
		c.mid[a] = t.grad[i]
		for b := range a + 1 {
			c.l[a*n+b] = t.h[i*len(u)+c.at[b]]
		}
	}
	if !factorize(c.l, n) {
		return nil, false
	}
	solveLower(c.l, c.mid)
	solveUpper(c.l, c.mid)
	for a, i := range c.at {
		c.mid[a] += p.u[i]
		c.log += math.Log(c.l[a*n+a])
	}
	return c, true
}

// density returns the logarithm of a conditional's density at u, less a constant.
func (c *conditional) density(u []float64) float64 {
	n, sum := len(c.at), 0.0
	for b := range n { // Lᵀ·(u − mid), column by column of L
		v := 0.0
		for a := b; a < n; a++ {
			v += c.l[a*n+b] * (u[c.at[a]] - c.mid[a])
		}
		sum += v * v
	}
	return c.log - sum/2
}

// draw puts a draw from a conditional into u.
func (c *conditional) draw(u []float64, rng *rand.Rand) {
	d := make([]float64, len(c.at))
	for a := range d {
		d[a] = rng.NormFloat64()
	}
	solveUpper(c.l, d)
	for a, i := range c.at {
		u[i] = c.mid[a] + d[a]
	}
}

// jump proposes other factors, now and then another contact and kernel, draws all
// the rest from the conditional there, and keeps the draw by the rule of Metropolis
// and Hastings. A draw must land in the contact that it was made for, so that each
// point can be proposed in one way only.
func (w *walker) jump() {
	m, from := w.m, w.place(w.at)
	if from < 0 || w.share[w.at.kern] == 0 {
		return
	}
	to, kern, gain := from, w.at.kern, 0.0
	if w.rng.IntN(2) == 0 {
		to = draw(w.rng, w.visits)
		gain += math.Log(w.visits[from]) - math.Log(w.visits[to])
	}
	if w.rng.IntN(2) == 0 {
		kern = draw(w.rng, w.share)
		gain += math.Log(w.share[w.at.kern]) - math.Log(w.share[kern])
	}
	far := reaches[w.rng.IntN(len(reaches))]
	for i := range w.try.u {
		w.try.u[i] = w.at.u[i]
	}
	x, y := far*w.rng.NormFloat64(), far*w.rng.NormFloat64()
	w.try.u[m.bed] += w.reach[0] * x
	w.try.u[m.bed+1] += w.reach[1]*x + w.reach[2]*y
	if m.value(w.try, m.bed) <= 0.05 || m.value(w.try, m.bed+1) <= 0.01 {
		return
	}
	back, ok := w.conditionAt(w.at.u, from, w.at.kern)
	if !ok {
		return
	}
	w.here = back
	there, ok := w.conditionAt(w.try.u, to, kern)
	if !ok {
		return
	}
	there.draw(w.try.u, w.rng)
	w.poses()
	if !m.force(w.try, w.places[to].sets()) {
		return
	}
	w.try.kern = kern
	for _, d := range m.dangling(w.at) {
		gain -= logPhi(d.top)
	}
	for _, d := range m.dangling(w.try) {
		gain += logPhi(d.top)
		w.try.u[d.index] = below(d.top, w.rng)
	}
	if math.IsInf(m.evaluate(w.try, w.gs), -1) || w.place(w.try) != to {
		return
	}
	gain += w.try.log - there.density(w.try.u) - w.at.log + back.density(w.at.u)
	if gain > -w.rng.ExpFloat64() {
		w.at, w.try, w.here = w.try, w.at, there
	}
}

// dangle is a foot that carries in no state: nothing is known of its height but
// the prior and that it stays below the bed, top (standardised).
type dangle struct {
	index int
	top   float64
}

// dangling returns the feet that carry in no state and were not gauged.
func (m *model) dangling(p *point) (list []dangle) {
	for k, heights := range m.heights {
		for foot, u := range heights {
			top, hangs := math.Inf(1), true
			for i, st := range m.states {
				if st.standing != k || st.stand == nil {
					continue
				}
				for q, f := range st.stand.foot {
					if f == foot {
						hangs = hangs && p.poses[i].on>>q&1 == 0
						top = min(top, p.u[u]+p.poses[i].gap[q]/m.sd[u])
					}
				}
				for _, f := range st.felt {
					hangs = hangs && (f.Gap == nil || f.Foot != m.in.Standings[k].Standing.Feet[foot].Name)
				}
			}
			if hangs && !math.IsInf(top, 1) {
				list = append(list, dangle{u, top})
			}
		}
	}
	return list
}

// logPhi returns the logarithm of the normal distribution function.
func logPhi(x float64) float64 {
	if x < -25 {
		return -x*x/2 - math.Log(-x*math.Sqrt(2*math.Pi))
	}
	return math.Log(math.Erfc(-x/math.Sqrt2) / 2)
}

// below draws from the unit normal distribution below top.
func below(top float64, rng *rand.Rand) float64 {
	if top < -5 {
		return top - rng.ExpFloat64()/-top
	}
	return mathext.NormalQuantile(rng.Float64() * math.Erfc(-top/math.Sqrt2) / 2)
}

// reaches are how far the factors go in a jump, in standard deviations.
var reaches = []float64{0.3, 1, 2.5}
