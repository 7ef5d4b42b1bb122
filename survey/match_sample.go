package survey

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
)

// samples are equally likely points of the posterior.
type samples struct {
	gs     []marginal
	points []*point
	best   *point
	rng    *rand.Rand
}

// walker draws from the posterior: slices (Neal, Slice sampling, Annals of
// Statistics 31, 2003) along lines whose directions do not depend on where it is:
// at random in the metric of the bells found so far, and along each foot's own
// height, which is what matters for a foot that hangs.
type walker struct {
	m     *model
	gs    []marginal
	at    *point
	try   *point
	bells []*bell
	rng   *rand.Rand
	d     []float64
}

var (
	mostBells = 16
	trials    = 12 // draws that weigh a bell
	burnIn    = 20 // updates per unknown before the first scenario
	thin      = 1  // updates per unknown from one to the next
	spare     = 24 // and at least
	mostOut   = 8  // steps by which a slice may be widened
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
		if i%20 == 19 {
			w.learn()
		}
	}
	count := in.Scenarios
	if count == 0 {
		count = 64
	}
	for range count {
		for i := range max(spare, thin*len(m.mean)) {
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
	best, top := w.at.kern, math.Inf(-1)
	trial := m.newPoint()
	for k := range w.gs {
		trial.copyFrom(w.at)
		trial.kern = k
		m.climb(trial, w.gs, 3)
		if b := m.bellAt(trial, w.gs); b != nil && trial.log-b.log/2 > top {
			best, top = k, trial.log-b.log/2
		}
	}
	w.at.kern = best
	m.climb(w.at, w.gs, 30)
	w.learn()
	return nil
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

// learn keeps the bell of a contact not met before.
func (w *walker) learn() {
	sets := w.at.sets()
	known := func(b *bell) bool { return slices.Equal(b.sets, sets) }
	if len(w.bells) >= mostBells || slices.ContainsFunc(w.bells, known) {
		return
	}
	if b := w.m.bellAt(w.at, w.gs); b != nil {
		w.bells = append(w.bells, b)
		w.weigh(b)
	}
}

// weigh gives a bell its share of the proposals: its evidence times how much of
// it lies where the contact is its own; and none less than a fiftieth.
func (w *walker) weigh(b *bell) {
	hits := 1.0
	for range trials {
		w.propose(b)
		if w.m.evaluate(w.try, w.gs); slices.Equal(w.try.sets(), b.sets) {
			hits++
		}
	}
	b.peak += math.Log(hits/float64(trials+1)) - b.log/2
	top := math.Inf(-1)
	for _, b := range w.bells {
		top = max(top, b.peak)
	}
	sum := 0.0
	for _, b := range w.bells {
		b.weight = max(math.Exp(b.peak-top), 0.02)
		sum += b.weight
	}
	for _, b := range w.bells {
		b.weight /= sum
	}
}

// propose draws w.try from a bell.
func (w *walker) propose(b *bell) {
	for i := range w.d {
		w.d[i] = w.rng.NormFloat64()
	}
	blas64.Trsv(blas.Trans, b.l.RawTriangular(), blas64.Vector{N: len(w.d), Inc: 1, Data: w.d})
	for i := range w.poses() {
		w.try.poses[i].on = b.sets[i]
	}
	w.try.kern = w.at.kern
	for i, u := range b.u {
		w.try.u[i] = u + w.d[i]
	}
}

// jump draws from the mixture of all bells and keeps the draw by the rule of
// Metropolis and Hastings: this is how contacts far from each other are weighed.
func (w *walker) jump() {
	r, k := w.rng.Float64(), 0
	for ; k < len(w.bells)-1 && r > w.bells[k].weight; k++ {
		r -= w.bells[k].weight
	}
	w.propose(w.bells[k])
	if math.IsInf(w.m.evaluate(w.try, w.gs), -1) {
		return
	}
	if w.try.log-w.mixture(w.try.u)-w.at.log+w.mixture(w.at.u) > -w.rng.ExpFloat64() {
		w.at, w.try = w.try, w.at
	}
}

// mixture returns the logarithm of the density of the bells together.
func (w *walker) mixture(u []float64) float64 {
	top, sum := math.Inf(-1), 0.0
	for _, b := range w.bells {
		d := math.Log(b.weight) + b.density(u, w.d)
		if d > top {
			sum, top = sum*math.Exp(top-d), d
		}
		sum += math.Exp(d - top)
	}
	return top + math.Log(sum)
}

// update draws one new point.
func (w *walker) update(i int) {
	switch {
	case i%8 == 7:
		w.kernel()
	case i%4 == 1:
		w.axis()
	case i%4 == 3:
		w.jump()
	default:
		w.slant(i%8 != 2)
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
	b := w.bells[w.rng.IntN(len(w.bells))]
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
