package match

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// exact is what was read of a hidden bed as a linear model about the truth, its contact kept:
// information and what it pulls to, over unknowns that are standard normal beforehand and the
// waves of the metal after them. Of the estimator it has the priors alone: how the bed answers
// is the difference quotient of package beam, and slopes are read as they are.
type exact struct {
	info  *mat.SymDense
	pull  []float64
	left  float64   // squares of what was read about the bed without unknowns
	truth []float64 // of the unknowns
	foot  int       // the first height
}

// linearise returns it · in as surveyed; how far the factor on all feet is free about the bed's,
// standard deviations of its prior.
func (h *hidden) linearise(t testing.TB, in Input, m *model, free float64) *exact {
	g := &exact{}
	var put []func(z float64) // puts an unknown into the bed
	d := &h.draw
	add := func(truth, mean, sd float64, to func(v float64)) {
		g.truth = append(g.truth, (truth-mean)/sd)
		put = append(put, func(z float64) { to(mean + sd*z) })
	}
	add(math.Log(d.Bending), 0, bendingSD, func(v float64) { d.Bending = math.Exp(v) })
	add(math.Log(d.Twist), 0, h.bed.TwistSD(), func(v float64) { d.Twist = math.Exp(v) })
	feet := slices.Clone(d.Feet)
	add(0, 0, free*math.Log(feetSD), func(v float64) {
		for i := range feet {
			d.Feet[i] = feet[i] * math.Exp(v)
		}
	})
	g.foot = len(put)
	for i := range d.Heights {
		add(d.Heights[i], 0, heightSD, func(v float64) { d.Heights[i] = v })
	}
	all := h.factor()
	for i := range feet {
		own := math.Log(feet[i]) - all
		add(own, 0, footSD, func(v float64) { d.Feet[i] = feet[i] * math.Exp(v-own) })
	}
	for i, v := range in.Heats {
		add(h.heat[i], v.Mean, v.SD, func(v float64) { h.epochs[i].heat = v })
	}
	n := len(put) + m.waves()
	g.info, g.pull = mat.NewSymDense(n, nil), make([]float64, n)
	const step = 1e-4
	for e := range h.epochs {
		at := h.slopes(t, e)
		up, down := make([][][]float64, len(put)), make([][][]float64, len(put))
		for k := range put {
			put[k](g.truth[k] + step)
			up[k] = h.slopes(t, e)
			put[k](g.truth[k] - step)
			down[k] = h.slopes(t, e)
			put[k](g.truth[k])
		}
		for r, s := range in.Epochs[e].Surveys {
			rows := h.waves(m, s.Way, len(at[r]), n)
			rest := h.read(s)
			for i := range rest {
				for k := range put {
					rows.Set(i, k, (up[k][r][i]-down[k][r][i])/(2*step))
				}
				rest[i] += floats.Dot(rows.RawRowView(i)[:len(put)], g.truth) - at[r][i]
			}
			g.add(rows, rest, h.noise)
		}
	}
	return g
}

// slopes returns what would be read in an epoch of a bed without form: along both ways, then across.
func (h *hidden) slopes(t testing.TB, e int) (out [][]float64) {
	st := h.state(t, h.epochs[e])
	across := make([]float64, len(h.x))
	for w, way := range h.bed.Ways {
		y := st.Read(h.solver[h.epochs[e].standing].Probe(h.x, way.Offset))
		floats.AddScaled(across, float64(2*w-1)/(h.bed.Ways[1].Offset-h.bed.Ways[0].Offset), y)
		out = append(out, h.rises(y))
	}
	return append(out, across)
}

// rises returns the slopes between stations.
func (h *hidden) rises(y []float64) (out []float64) {
	for k := range h.x[1:] {
		out = append(out, (y[k+1]-y[k])/(h.x[k+1]-h.x[k]))
	}
	return out
}

// read returns the slopes of a survey.
func (h *hidden) read(s Survey) []float64 {
	if s.Way < 0 {
		return slices.Clone(s.Profile.Height)
	}
	return h.rises(s.Profile.Height)
}

// waves returns rows in which the last unknowns, the waves, are filled in.
func (h *hidden) waves(m *model, way, rows, size int) *mat.Dense {
	out := mat.NewDense(rows, size, nil)
	wave := mat.NewDense(len(h.x), len(m.modes.wave), nil)
	for i, x := range h.x {
		wave.SetRow(i, m.modes.row(x))
	}
	first := size - m.waves()
	for p, q := range m.parts {
		for k := range m.modes.wave {
			y := mat.Col(nil, k, wave)
			by := (q.ways[1] - q.ways[0]) / (h.bed.Ways[1].Offset - h.bed.Ways[0].Offset)
			if way >= 0 {
				y, by = h.rises(y), q.ways[way]
			}
			floats.Scale(by, y)
			out.SetCol(first+p*len(m.modes.wave)+k, y)
		}
	}
	return out
}

// add adds independent slopes of which a constant is unknown.
func (g *exact) add(rows *mat.Dense, rest []float64, noise float64) {
	n, size := rows.Dims()
	for c := range size {
		v := mat.Col(nil, c, rows)
		floats.AddConst(-floats.Sum(v)/float64(n), v)
		rows.SetCol(c, v)
	}
	var info mat.SymDense
	info.SymOuterK(1/(noise*noise), rows.T())
	g.info.AddSym(g.info, &info)
	var pull mat.VecDense
	pull.MulVec(rows.T(), mat.NewVecDense(n, rest)) // rows have no mean: that of rest drops out
	floats.AddScaled(g.pull, 1/(noise*noise), pull.RawVector().Data)
	g.left += float64(n) * stat.PopVariance(rest, nil) / (noise * noise)
}

// solve returns the mean, the deviation of a sum of the unknowns, and the log density of what was
// read up to a constant · prior variances of the waves.
func (g *exact) solve(t testing.TB, waves []float64) (mean []float64, sd func(row []float64) float64, evidence float64) {
	n := len(g.pull)
	a := mat.NewSymDense(n, nil)
	a.CopySym(g.info)
	for i := range n {
		prior := 1.0
		if k := i - len(g.truth); k >= 0 {
			prior = 1 / waves[k]
		}
		a.SetSym(i, i, a.At(i, i)+prior)
	}
	var chol mat.Cholesky
	if !chol.Factorize(a) {
		t.Fatal("no exact answer")
	}
	of := func(v []float64) []float64 {
		var x mat.VecDense
		if err := chol.SolveVecTo(&x, mat.NewVecDense(n, v)); err != nil {
			t.Fatal(err)
		}
		return x.RawVector().Data
	}
	mean = of(g.pull)
	return mean, func(row []float64) float64 { return math.Sqrt(floats.Dot(row, of(row))) }, (floats.Dot(mean, g.pull) - chol.LogDet() - g.left) / 2
}

// factor returns the logarithm of that on all feet.
func (h *hidden) factor() (log float64) {
	for _, f := range h.draw.Feet {
		log += math.Log(f) / float64(len(h.draw.Feet))
	}
	return log
}

// softer returns the bed on feet with another factor, raised by as much as they give more: every
// force of the last epoch, and what is read then, are as before.
func (h *hidden) softer(t testing.TB, factor float64) *hidden {
	out := *h
	out.draw.Feet, out.draw.Heights = slices.Clone(h.draw.Feet), slices.Clone(h.draw.Heights)
	out.epochs = slices.Clone(h.epochs)
	by := math.Exp(factor - h.factor())
	for i, f := range h.state(t, h.epochs[len(h.epochs)-1]).Feet() {
		out.draw.Feet[i] *= by
		out.draw.Heights[i] += f.Load / (h.stand[0].Feet[i].Stiffness * h.draw.Feet[i]) * (1/by - 1)
	}
	for i := range out.epochs {
		if out.epochs[i].standing == 0 {
			out.epochs[i].heights = out.draw.Heights
		}
	}
	return &out
}

// mixture is the exact answer where nobody knows the feet's factor. What a foot gives is in
// proportion to its inverse, which over a prior of a factor of two is far from a straight line: an
// answer linear about the true factor knows what no reading tells, and is too narrow for heights
// of feet (after the experiment by a fifth). So it is linear about each of a grid of factors, N(0, 1) being
// Σ wᵢ N(cᵢ, part²) with cᵢ from N(0, 1 − part²), and each weighs what it makes of the readings.
type mixture struct {
	of     []*exact
	mean   [][]float64
	sd     []func(row []float64) float64
	weight []float64
}

func (h *hidden) mix(t testing.TB, in Input, m *model, waves []float64) (x mixture) {
	const step, part = 0.7, 0.6
	for k := -3.0; k <= 3; k++ {
		g := h.softer(t, k*step*math.Log(feetSD)).linearise(t, in, m, part)
		mean, sd, evidence := g.solve(t, waves)
		x.of, x.mean, x.sd = append(x.of, g), append(x.mean, mean), append(x.sd, sd)
		x.weight = append(x.weight, evidence-k*k*step*step/2/(1-part*part))
	}
	most := floats.LogSumExp(x.weight)
	for i, w := range x.weight {
		x.weight[i] = math.Exp(w - most)
	}
	return x
}

// quantile returns that of a sum of the unknowns.
func (x mixture) quantile(row []float64, q float64) float64 {
	of := make([]distuv.Normal, len(x.weight))
	lo, hi := math.Inf(1), math.Inf(-1)
	for i := range of {
		of[i] = distuv.Normal{Mu: floats.Dot(row, x.mean[i]), Sigma: x.sd[i](row)}
		lo, hi = min(lo, of[i].Mu-6*of[i].Sigma), max(hi, of[i].Mu+6*of[i].Sigma)
	}
	for range 60 {
		mid, below := (lo+hi)/2, 0.0
		for i, w := range x.weight {
			below += w * of[i].CDF(mid)
		}
		if below < q {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo
}

// felt feels every foot of the last epoch.
func (h *hidden) felt(t testing.TB, in *Input) {
	last := len(h.epochs) - 1
	feet := h.state(t, h.epochs[last]).Feet()
	mean := 0.0
	for _, f := range feet {
		mean += f.Load / float64(len(feet))
	}
	for f, v := range feet {
		say := Felt{Foot: f, Touch: Solid, Heat: last}
		switch {
		case v.Load < freeShare*mean:
			say.Touch = Free
		case v.Load < 2*solidShare*mean:
			say = Felt{Foot: f, Load: &v.Load, Sigma: freeShare * mean, Heat: last}
		}
		in.Epochs[last].Felt = append(in.Epochs[last].Felt, say)
	}
}

// told is a match without its advice and its doubts.
func told(t testing.TB, in Input) (m *model, r Result, list [chains][]*point) {
	m, err := newModel(in, nil)
	if err != nil {
		t.Fatal(err)
	}
	list, d, err := m.sample(m.sumUp(m.blocks))
	if err != nil {
		t.Fatal(err)
	}
	r = m.report(list, handedOn(list), d)
	return m, r, list
}

// metalRow returns the metal's share of the measured zone as a sum of the unknowns.
func (h *hidden) metalRow(m *model, g *exact) []float64 {
	way, of := m.functional()
	row := make([]float64, len(g.pull))
	for p, q := range m.parts {
		for j := range m.modes.wave {
			y := make([]float64, len(h.x))
			for i, x := range h.x {
				y[i] = q.ways[way] * m.modes.row(x)[j]
			}
			row[len(g.truth)+p*len(m.modes.wave)+j] = of(y)
		}
	}
	return row
}

// What an experiment leaves open is what the exact Gaussian answer leaves, once it was done.
func TestSpread(t *testing.T) {
	for seed := range uint64(3) {
		h, in, _ := hide(t, seed, step, onThree)
		in.Sweeps = 30
		m, r, list := told(t, in)
		p := list[r.Middle%chains][r.Middle/chains]
		s, ok := m.spreadOf(in, p)
		g, v := h.linearise(t, in, m, 1), make([]float64, m.waves())
		m.variances(p.amp, v)
		_, sd, _ := g.solve(t, v)
		if want := sd(h.metalRow(m, g)); !ok || math.Abs(s.metal/want-1) > 0.1 {
			t.Errorf("bed %d: %g of the metal is left open, not %g", seed, s.metal, want)
		}
	}
}

// beside compares widths with those of the exact Gaussian answer where every foot was felt.
func (c *tally) beside(t testing.TB, seed uint64, kind wear, k known) {
	h, in, _ := hide(t, seed, kind, k)
	h.felt(t, &in)
	m, r, list := told(t, in)
	waves, v := make([]float64, m.waves()), make([]float64, m.waves())
	for _, p := range list[0] {
		m.variances(p.amp, v)
		floats.AddScaled(waves, 1/float64(len(list[0])), v)
	}
	x := h.mix(t, in, m, waves)
	g := x.of[0]
	row := h.metalRow(m, g)
	width := func() float64 { return x.quantile(row, 0.975) - x.quantile(row, 0.025) }
	share := r.Shares[OfMetal]
	c.off = append(c.off, math.Abs(share.Value-x.quantile(row, 0.5))/(width()/(2*1.96)))
	c.felt[0] = append(c.felt[0], (share.High-share.Low)/r.Zone)
	c.felt[1] = append(c.felt[1], width()/r.Zone)
	off := offPlane(h.stand[0].Feet, r.Reference)
	for f, e := range r.Foot {
		if e.Carries < 0.5 {
			continue
		}
		clear(row)
		for j := range r.Foot {
			row[g.foot+j] = off.At(f, j) * heightSD
		}
		c.felt[2] = append(c.felt[2], e.Height.High-e.Height.Low)
		c.felt[3] = append(c.felt[3], width())
	}
}

// wider returns how much wider the median interval is than the exact one.
func (c *tally) wider(i int) float64 {
	return middle(c.felt[i]) / middle(c.felt[i+1])
}
