package survey

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/mathext"
)

// samples are equally likely points of the posterior.
type samples struct {
	gs     []marginal
	points []*point
	best   *point
	rng    *rand.Rand
}

// mix is the bells of all places under one kernel.
type mix struct {
	places int
	bells  []*bell
}

// walker draws from the posterior: slices (Neal, Slice sampling, Annals of
// Statistics 31, 2003) along lines whose directions do not depend on where it is:
// at random in the metric of the bells found so far, and along each foot's own
// height, which is what matters for a foot that hangs.
type walker struct {
	m      *model
	gs     []marginal
	at     *point
	try    *point
	places []*point   // one in every contact met
	mixes  []mix      // of each kernel
	share  []float64  // of the kernels, as a proposal: their evidence
	visits []float64  // of the places, likewise
	reach  [3]float64 // Cholesky factor of the spread of β and δ
	forced *point
	rng    *rand.Rand
	d      []float64
}

const (
	mostPlaces = 24
	burnIn     = 30  // updates per unknown before the first scenario
	between    = 48  // updates from one scenario to the next, unless told otherwise
	lowered    = 1.5 // prior standard deviations, of a foot that a scout puts low
	hopeless   = 25  // of log density below the best, where no scout need stay
	mostOut    = 8   // steps by which a slice may be widened
)

// sample finds the most likely point, its kernel by the evidence, and walks from there.
func (m *model) sample(in MatchInput) (*samples, error) {
	w := &walker{m: m, gs: m.marginals(), at: m.newPoint(), try: m.newPoint(),
		rng: rand.New(rand.NewPCG(in.Seed, 0x5eed)), d: make([]float64, len(m.mean))}
	if err := w.begin(); err != nil {
		return nil, err
	}
	s := &samples{gs: w.gs, best: m.newPoint(), rng: w.rng}
	s.best.copyFrom(w.at)
	for i := range burnIn * len(m.mean) {
		w.update(i)
		if i%4 == 3 {
			w.learn(w.at)
		}
	}
	count := in.Scenarios
	if count == 0 {
		count = 96
	}
	thin := in.Between
	if thin == 0 {
		thin = between
	}
	for range count {
		for i := range thin {
			w.update(i)
		}
		p := m.newPoint()
		p.copyFrom(w.at)
		s.points = append(s.points, p)
	}
	return s, nil
}

// begin climbs from the nominal heights, first under a middling kernel, then
// under the kernel of most evidence.
func (w *walker) begin() error {
	m := w.m
	w.at.kern = len(w.gs) / 2
	if math.IsInf(m.evaluate(w.at, w.gs), -1) {
		return m.whyNot()
	}
	m.climb(w.at, w.gs, 30)
	w.share, w.mixes = make([]float64, len(w.gs)), make([]mix, len(w.gs))
	best, top := w.at.kern, math.Inf(-1)
	trial := m.newPoint()
	for k := range w.gs {
		trial.copyFrom(w.at)
		trial.kern = k
		m.climb(trial, w.gs, 3)
		w.share[k] = math.Inf(-1)
		if b := m.bellAt(trial, w.gs); b != nil {
			w.share[k] = trial.log - b.log/2
		}
		if w.share[k] > top {
			best, top = k, w.share[k]
		}
	}
	sum := 0.0
	for k, e := range w.share {
		if w.share[k] = math.Exp(e - top); w.share[k] < 1e-3 {
			w.share[k] = 0
		}
		sum += w.share[k]
	}
	for k := range w.share {
		w.share[k] /= sum
	}
	w.at.kern = best
	m.climb(w.at, w.gs, 30)
	w.learn(w.at)
	w.scout(trial)
	w.setReach()
	return nil
}

// setReach takes the spread of the factors from the bell at the most likely point.
func (w *walker) setReach() {
	m := w.m
	w.forced = m.newPoint()
	w.reach = [3]float64{1, 0, 1}
	h, _ := m.curvature(w.at, &w.gs[w.at.kern])
	var chol mat.Cholesky
	var inv mat.SymDense
	if !chol.Factorize(h) || chol.InverseTo(&inv) != nil {
		return
	}
	a, b, c := inv.At(m.bed, m.bed), inv.At(m.bed, m.bed+1), inv.At(m.bed+1, m.bed+1)
	root := math.Sqrt(a)
	w.reach = [3]float64{root, b / root, math.Sqrt(max(c-b*b/a, 1e-12))}
}

// whyNot returns the error of the bed as given.
func (m *model) whyNot() error {
	for _, st := range m.states {
		c := st.load
		if _, err := m.in.Standings[st.standing].Solver.Solve(c); err != nil {
			return err
		}
	}
	return errUnsettled
}

// scout climbs from other beginnings, each foot low in turn and heights at
// random, so that contacts are known which no small step leads to.
func (w *walker) scout(p *point) {
	m := w.m
	for k := range m.heights {
		for i := range 2 * len(m.heights[k]) {
			p.copyFrom(w.at)
			for j, u := range m.heights[k] {
				if i >= len(m.heights[k]) {
					p.u[u] = w.rng.NormFloat64()
				} else if i == j {
					p.u[u] -= lowered
				}
			}
			if math.IsInf(m.evaluate(p, w.gs), -1) {
				continue
			}
			m.climb(p, w.gs, 8)
			if p.log > w.at.log-hopeless {
				w.learn(p)
			}
		}
	}
}

// learn keeps a place in a contact not met before.
func (w *walker) learn(at *point) {
	if k := w.place(at); k >= 0 {
		w.visits[k]++
		return
	}
	if len(w.places) < mostPlaces {
		p := w.m.newPoint()
		p.copyFrom(at)
		w.places, w.visits = append(w.places, p), append(w.visits, 1)
	}
}

// bells returns the bells of all places under a kernel, weighed.
func (w *walker) bells(kern int) []*bell {
	mx := &w.mixes[kern]
	for ; mx.places < len(w.places); mx.places++ {
		p := w.places[mx.places]
		p.kern = kern
		w.m.evaluate(p, w.gs)
		if b := w.m.bellAt(p, w.gs); b != nil {
			mx.bells = append(mx.bells, b)
		}
	}
	return mx.bells
}

// conditional is the Gaussian of all other unknowns for given factors of
// stiffness, contact and kernel: exact while that contact holds.
type conditional struct {
	at  []int // the other unknowns
	mid []float64
	l   []float64 // Cholesky factor of the curvature
	log float64   // log det of l
}

// conditionAt returns the conditional at the factors of u · place an index of
// w.places. Not ok where that contact cannot be.
func (w *walker) conditionAt(u []float64, place, kern int) (*conditional, bool) {
	m, p := w.m, w.forced
	ref := w.places[place]
	copy(p.u, ref.u)
	p.u[m.bed], p.u[m.bed+1] = u[m.bed], u[m.bed+1]
	p.kern = kern
	if !m.force(p, ref.sets()) {
		return nil, false
	}
	h, grad := m.curvature(p, &w.gs[kern])
	n := len(u) - 2
	c := &conditional{l: make([]float64, n*n), mid: make([]float64, n), at: make([]int, 0, n)}
	for i := range u {
		if i != m.bed && i != m.bed+1 {
			c.at = append(c.at, i)
		}
	}
	for a, i := range c.at {
		c.mid[a] = grad.AtVec(i)
		for b := range a + 1 {
			c.l[a*n+b] = h.At(i, c.at[b])
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

// place returns which place has the contact of p, −1 when none.
func (w *walker) place(p *point) int {
	sets := p.sets()
	return slices.IndexFunc(w.places, func(q *point) bool { return slices.Equal(q.sets(), sets) })
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
		w.at, w.try = w.try, w.at
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

// draw returns an index with probabilities in proportion to share.
func draw(rng *rand.Rand, share []float64) int {
	sum := 0.0
	for _, s := range share {
		sum += s
	}
	r := rng.Float64() * sum
	for k, s := range share {
		if r -= s; r < 0 {
			return k
		}
	}
	return len(share) - 1
}

// update draws one new point.
func (w *walker) update(i int) {
	switch {
	case i%2 == 1:
		w.jump()
	case i%8 == 2:
		w.kernel()
	case i%8 == 4:
		w.axis()
	default:
		w.slant(i%16 < 8)
	}
}

// kernel draws the kernel given the rest.
func (w *walker) kernel() {
	logs, top := make([]float64, len(w.gs)), math.Inf(-1)
	for k := range w.gs {
		logs[k] = w.gs[k].log(w.at.phi)
		top = max(top, logs[k])
	}
	sum := 0.0
	for k := range logs {
		sum += math.Exp(logs[k] - top)
		logs[k] = sum
	}
	r := w.rng.Float64() * sum
	for k := range logs {
		if r <= logs[k] {
			w.at.kern = k
			break
		}
	}
	w.m.evaluate(w.at, w.gs)
}

// axis moves one unknown alone, as far as its prior reaches.
func (w *walker) axis() {
	clear(w.d)
	w.d[w.rng.IntN(len(w.d))] = 1
	w.slice(1)
}

// slant moves along a random direction in the metric of a bell.
func (w *walker) slant(flat bool) {
	bells := w.bells(w.at.kern)
	if len(bells) == 0 {
		return
	}
	b := bells[w.rng.IntN(len(bells))]
	for i := range w.d {
		w.d[i] = w.rng.NormFloat64()
	}
	l := b.l
	if flat {
		l = b.flat
		w.d[w.m.bed], w.d[w.m.bed+1] = 0, 0
	}
	norm := blas64.Nrm2(blas64.Vector{N: len(w.d), Inc: 1, Data: w.d})
	blas64.Trsv(blas.Trans, l.RawTriangular(), blas64.Vector{N: len(w.d), Inc: 1, Data: w.d})
	for i := range w.d {
		w.d[i] /= norm
	}
	w.slice(2.5)
}

// slice draws from the density along the line through w.at in direction w.d.
func (w *walker) slice(width float64) {
	level := w.at.log - w.rng.ExpFloat64()
	lo := -width * w.rng.Float64()
	hi := lo + width
	out := w.rng.IntN(mostOut + 1)
	for k := 0; k < out && w.far(lo) > level; k++ {
		lo -= width
	}
	for k := out; k < mostOut && w.far(hi) > level; k++ {
		hi += width
	}
	for range 60 {
		t := lo + (hi-lo)*w.rng.Float64()
		if w.far(t) > level {
			w.at, w.try = w.try, w.at
			return
		}
		if t < 0 {
			lo = t
		} else {
			hi = t
		}
	}
}

// far sets w.try to the point t along the line and returns its log density.
func (w *walker) far(t float64) float64 {
	w.try.kern = w.at.kern
	for i := range w.poses() {
		w.try.poses[i].on = w.at.poses[i].on
	}
	for i, u := range w.at.u {
		w.try.u[i] = u + t*w.d[i]
	}
	return w.m.evaluate(w.try, w.gs)
}

func (w *walker) poses() []pose {
	for i := range w.try.poses {
		if p := &w.try.poses[i]; p.force == nil && w.at.poses[i].force != nil {
			p.force, p.gap = make([]float64, len(w.at.poses[i].force)), make([]float64, len(w.at.poses[i].gap))
		}
	}
	return w.try.poses
}
