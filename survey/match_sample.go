package survey

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/floats"
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
	here   *conditional // of the present factors, contact and kernel, most likely
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
			w.share[k] = trial.log - b.log
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
	n := len(w.d)
	h := m.curvature(w.at, &w.gs[w.at.kern]).h
	if !factorize(h, n) {
		return
	}
	var spread [2][]float64 // columns of the inverse
	for k := range spread {
		spread[k] = make([]float64, n)
		spread[k][m.bed+k] = 1
		solveLower(h, spread[k])
		solveUpper(h, spread[k])
	}
	root := math.Sqrt(spread[0][m.bed])
	across := spread[0][m.bed+1] / root
	w.reach = [3]float64{root, across, math.Sqrt(max(spread[1][m.bed+1]-across*across, 1e-12))}
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

// place returns which place has the contact of p, −1 when none.
func (w *walker) place(p *point) int {
	sets := p.sets()
	return slices.IndexFunc(w.places, func(q *point) bool { return slices.Equal(q.sets(), sets) })
}

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
	norm := floats.Norm(w.d, 2)
	solveUpper(l, w.d)
	floats.Scale(1/norm, w.d)
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
