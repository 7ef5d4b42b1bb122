package match

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat/distuv"

	"footwork/beam/shape"
)

// TestRanks is simulation-based calibration (S. Talts, M. Betancourt, D. Simpson, A.
// Vehtari and A. Gelman, Validating Bayesian inference algorithms with simulation-based
// calibration, arXiv 1804.06788): beds from the priors, ground and in one standing, or worn four
// times as much and in two, by turns, every other of these surveyed on its feet before, which were
// set anew after; the truth ranked among the draws. Ranks are level when sampler and model
// agree; χ² of every quantity at 1 % over all of them together.
func TestRanks(t *testing.T) {
	n, full := trialBeds(6)
	const bins = 5
	counts := map[string]*[bins]int{}
	for seed := range uint64(n) {
		for name, u := range rankOne(t, seed, seed%2 == 1, seed%4 == 3) {
			if counts[name] == nil {
				counts[name] = &[bins]int{}
			}
			counts[name][min(int(u*bins), bins-1)]++
		}
	}
	most := distuv.ChiSquared{K: bins - 1}.Quantile(1 - 0.01/float64(len(counts)))
	for name, c := range counts {
		chi, e := 0.0, float64(n)/bins
		for _, k := range c {
			chi += square(float64(k)-e) / e
		}
		if full {
			t.Logf("%s: %v, χ² %.1f", name, *c, chi)
		}
		if chi > most {
			t.Errorf("%s: ranks %v are not level, χ² %.1f above %.1f", name, *c, chi, most)
		}
	}
}

// rankOne draws a bed from the priors, measures it, and returns where the truth ranks
// among the draws, 0 to 1 · two: in two standings and worn; else ground · anew: on its feet,
// on three and on its feet again.
func rankOne(t testing.TB, seed uint64, two, anew bool) map[string]float64 {
	h, _ := invent(t, seed, hollow)
	h.finished = make([]float64, 2)
	for i := range h.finished {
		h.finished[i] = (4 + 10*h.rng.Float64()) * 1e-6
		if two {
			h.finished[i] *= 4
		}
	}
	for i := range h.draw.Heights {
		h.draw.Heights[i] = heightSD * h.rng.NormFloat64()
	}
	// the metal from its prior, by a model that has no readings yet
	m := &model{in: Input{Bed: h.bed, FinishedTo: h.finished}, modes: newModes(h.x)}
	m.parts = m.patterns()
	amp := usual()
	for i := range amp {
		amp[i] += shortSD * h.rng.NormFloat64()
	}
	v := make([]float64, m.waves())
	m.variances(amp, v)
	for i := range v {
		v[i] = math.Sqrt(v[i]) * h.rng.NormFloat64()
	}
	h.form = nil
	for w := range h.bed.Ways {
		y := make([]float64, len(h.x))
		for i, q := range m.parts {
			for k, wave := range m.modes.wave {
				floats.AddScaled(y, q.ways[w]*v[i*len(m.modes.wave)+k], wave)
			}
		}
		h.form = append(h.form, shape.Shape{X: h.x, Y: y}.At)
	}
	in := h.input()
	in.Seed, in.Sweeps = seed, 100
	g := 0.5 * h.rng.NormFloat64()
	var set []Move
	if anew {
		before := slices.Clone(h.draw.Heights)
		for i := range before {
			before[i] = heightSD * h.rng.NormFloat64()
			set = append(set, Move{Foot: i, Anew: true})
		}
		h.survey(t, &in, hiddenEpoch{0, before, 0.5 * h.rng.NormFloat64()}, nil, Heat{0, 0.5})
	}
	if two {
		h.onThree(t, &in)
	}
	h.survey(t, &in, hiddenEpoch{0, h.draw.Heights, g}, set, Heat{0, 0.5})
	r, err := Match(in)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]float64{}
	rank := func(name string, truth float64, of func(i int) float64) {
		below := 0.0
		for i := range r.Draws {
			if of(i) < truth {
				below++
			}
		}
		out[name] = below / float64(len(r.Draws))
	}
	rank("bend", h.draw.Bending, func(i int) float64 { return r.Draws[i].Bending })
	rank("twist", h.draw.Twist, func(i int) float64 { return r.Draws[i].Twist })
	rank("foot stiffness", math.Log(h.draw.Feet[0]), func(i int) float64 { return math.Log(r.Draws[i].Feet[0]) })
	rank("heat", g, func(i int) float64 { return *r.Draws[i].Gradient })
	off := offPlane(h.stand[0].Feet, r.Reference)
	for f := range 6 {
		row := off.RawRowView(f)
		rank(fmt.Sprint("height ", f), floats.Dot(row, h.draw.Heights), func(i int) float64 { return floats.Dot(row, r.Draws[i].Heights) })
	}
	st := h.state(t, hiddenEpoch{0, h.draw.Heights, g})
	for f := range 6 {
		rank(fmt.Sprint("load ", f), st.Feet()[f].Load+1e-3*h.rng.Float64(), func(i int) float64 { return r.Stood[i].Loads[f] + 1e-3*h.rng.Float64() })
	}
	n := len(h.x)
	at := shape.Touch(h.x, r.Ways[r.ZoneWay].Measured)
	share := func(y func(x float64) float64) float64 {
		u := (h.x[at.At] - h.x[at.Left]) / (h.x[at.Right] - h.x[at.Left])
		return y(h.x[at.At]) - (1-u)*y(h.x[at.Left]) - u*y(h.x[at.Right])
	}
	rank("share", share(h.form[r.ZoneWay]), func(i int) float64 { return share(r.Draws[i].Form[r.ZoneWay].At) })
	for _, i := range []int{n / 4, n / 2, 3 * n / 4} {
		y := func(s shape.Shape) float64 {
			q := append([]float64(nil), s.Y...)
			aboutEnds(s.X, q)
			return q[i]
		}
		truth := make([]float64, n)
		for k, x := range h.x {
			truth[k] = h.form[0](x)
		}
		rank(fmt.Sprint("form ", i), y(shape.Shape{X: h.x, Y: truth}), func(i int) float64 { return y(r.Draws[i].Form[0]) })
	}
	return out
}
