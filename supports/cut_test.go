package supports

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

var scraper = CutWish{DepthPerPass: 3e-6, TimePerPass: 3000}

func parabola(x []float64, c float64) []float64 {
	return lessCrown(x, make([]float64, len(x)), -c)
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > within {
		t.Errorf("%s: %g, want %g", what, got, want)
	}
}

// A parabola that is c high over L leaves 2/3·c·L·width above the line through its ends;
// one that is c low 1/3·c·L·width above the line that touches its middle.
func TestCutParabola(t *testing.T) {
	const n, long, c, width = 201, 3.9, 20e-6, 0.11
	x := stations(n, long)
	volume := c * long * width
	curved := volume / (n - 1) / (n - 1) // what chords cut off: f″·h²/12 over L
	for _, tc := range []struct {
		name string
		c    float64
		want float64
	}{{"high", c, volume * 2 / 3}, {"low", -c, volume / 3}} {
		r := Cut(CutTask{Ways: []Measured{{Name: "front", X: x, Height: parabola(x, tc.c)}}, Width: []float64{width}, Wish: scraper})
		w := r.Ways[0]
		near(t, tc.name+" volume", w.Volume, tc.want, 1.001*2.0/3*curved)
		near(t, tc.name+" deepest", w.Deepest, c, 1e-12)
		near(t, tc.name+" passes", w.Passes, 7, 0) // 20 µm by 3 µm
		near(t, tc.name+" hours", w.Hours, 7*50.0/60, 1e-12)
		if w.Range.Volume != [2]float64{w.Volume, w.Volume} {
			t.Errorf("%s: a range %v without uncertainty", tc.name, w.Range.Volume)
		}
	}
}

// The wanted crown and the change of standing are allowed for: what is measured is
// right when it is the crown less the change.
func TestCutCrownAndChange(t *testing.T) {
	x := stations(50, 3.9)
	change := wavy(rand.New(rand.NewPCG(1, 2)), x)
	h := parabola(x, 8e-6)
	addScaled(h, -1, change)
	for i := range h {
		h[i] += 1e-3 + 2e-4*x[i] // where the survey's line lies is no metal
	}
	r := Cut(CutTask{Ways: []Measured{{X: x, Height: h}}, Width: []float64{0.1}, Crown: 8e-6, Change: [][]float64{change}, Wish: scraper})
	near(t, "deepest", r.Ways[0].Deepest, 0, 1e-15)
	near(t, "passes", r.Ways[0].Passes, 0, 0)
}

// No line below all points, of all slopes on a fine grid, leaves less to cut.
func TestCutBruteForce(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	x := stations(25, 3.9)
	for range 20 {
		h := wavy(r, x)
		got := Cut(CutTask{Ways: []Measured{{X: x, Height: h}}, Width: []float64{0.1}, Wish: scraper}).Ways[0].Deepest
		best := math.Inf(1)
		const step = 1e-9
		for s := -20e-6; s < 20e-6; s += step {
			low, high := math.Inf(1), math.Inf(-1)
			for i := range x {
				d := h[i] - s*x[i]
				low, high = min(low, d), max(high, d)
			}
			best = min(best, high-low)
		}
		if got > best+1e-15 || got < best-3.9*step {
			t.Errorf("deepest %g, best slope gives %g", got, best)
		}
	}
}

// Tied ways are cut to one plane: a twist of t between their ends costs t/2 at most,
// untied it costs nothing. Two straight lines, one level and one that rises by t: the
// plane halfway leaves 0 and t/2 at the ends of each, so t/4·L·width of each.
func TestCutTwist(t *testing.T) {
	const twist, long, width = 40e-6, 3.9, 0.11
	x := stations(40, long)
	rising := make([]float64, len(x))
	for i := range x {
		rising[i] = twist * x[i] / long
	}
	in := CutTask{Ways: []Measured{{Name: "front", Offset: -0.25, X: x, Height: make([]float64, len(x))}, {Name: "back", Offset: 0.25, X: x, Height: rising}},
		Width: []float64{width, width}, Tied: true, Wish: scraper}
	for _, w := range Cut(in).Ways {
		near(t, w.Name+" deepest", w.Deepest, twist/2, 1e-13)
		near(t, w.Name+" volume", w.Volume, twist/4*long*width, 1e-15)
	}
	in.Tied = false
	for _, w := range Cut(in).Ways {
		near(t, w.Name+" untied", w.Deepest, 0, 1e-15)
	}
}

// Laws: depths are not negative, a way touches its line at least twice, tilting the
// survey changes nothing, and a way already cut needs no more.
func TestCutLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		x := stations(rapid.IntRange(2, 40).Draw(t, "stations"), 3.9)
		in := CutTask{Ways: []Measured{{Offset: -0.25, X: x, Height: wavy(r, x)}, {Offset: 0.25, X: x, Height: wavy(r, x)}},
			Width: []float64{0.1, 0.1}, Tied: rapid.Bool().Draw(t, "tied"), Wish: scraper}
		first := Cut(in)
		a, b, c := rapid.Float64Range(-1e-3, 1e-3).Draw(t, "a"), rapid.Float64Range(-1e-4, 1e-4).Draw(t, "b"), rapid.Float64Range(-1e-4, 1e-4).Draw(t, "c")
		tilted, done := in, in
		tilted.Ways, done.Ways = slices.Clone(in.Ways), slices.Clone(in.Ways)
		for w, m := range in.Ways {
			tilted.Ways[w].Height, done.Ways[w].Height = make([]float64, len(x)), make([]float64, len(x))
			for i := range x {
				tilted.Ways[w].Height[i] = m.Height[i] + a + b*x[i] + c*m.Offset
				done.Ways[w].Height[i] = m.Height[i] - first.Ways[w].Depth[i]
			}
		}
		second, third := Cut(tilted), Cut(done)
		deepest := 0.0
		for w := range in.Ways {
			deepest = max(deepest, first.Ways[w].Deepest)
			if slices.Min(first.Ways[w].Depth) < 0 {
				t.Fatalf("metal put on")
			}
			if d := math.Abs(second.Ways[w].Deepest - first.Ways[w].Deepest); d > 1e-12 {
				t.Fatalf("a tilt changes the depth by %g", d)
			}
			if third.Ways[w].Deepest > 1e-15 {
				t.Fatalf("%g is left after the cut", third.Ways[w].Deepest)
			}
		}
		if math.Abs(deepest-first.Zone) > 1e-15 {
			t.Fatalf("deepest %g, zone %g", deepest, first.Zone)
		}
	})
}

// The range of the depth of one station between two fixed ones: depth = |h₁ − chord|,
// so its standard uncertainty is that of h₁.
func TestCutRange(t *testing.T) {
	cov := mat.NewSymDense(3, nil)
	cov.SetSym(1, 1, 4e-12) // 2 µm
	in := CutTask{Ways: []Measured{{X: []float64{0, 1, 2}, Height: []float64{0, 30e-6, 0}, Cov: cov}}, Width: []float64{0.1}, Wish: CutWish{DepthPerPass: 1e-7, TimePerPass: 3600}}
	r := Cut(in)
	near(t, "sigma", r.Sigma, 2e-6, 3*2e-6/math.Sqrt(2*nDraws)) // three of its own standard deviations
	near(t, "low passes", r.Ways[0].Range.Passes[0], 260, 12)
	near(t, "high passes", r.Ways[0].Range.Passes[1], 340, 12)
	near(t, "low volume", r.Ways[0].Range.Volume[0], 26e-6*0.1, 1.2e-6*0.1)
}

// Order of magnitude, common practice, no source: a pair of ways of 12 ft by 4½ in, out by
// 1.25 thou, is some tens of passes of most of an hour and of the order of 100 ml of loose
// chips (solid metal times five to eight).
func TestCutOrderOfMagnitude(t *testing.T) {
	const inch = 0.0254
	x := stations(49, 144*inch)
	h := parabola(x, 1.25e-3*inch)
	ways := []Measured{{Name: "front", X: x, Height: h}, {Name: "back", X: x, Height: h}}
	r := Cut(CutTask{Ways: ways, Width: []float64{4.5 * inch, 4.5 * inch}, Wish: CutWish{DepthPerPass: 2e-6, TimePerPass: 3000}})
	solid, passes := 0.0, 0.0
	for _, w := range r.Ways {
		solid, passes = solid+w.Volume, passes+w.Passes
	}
	if loose := 6.5 * solid * 1e6; loose < 50 || loose > 200 || passes < 20 || passes > 60 {
		t.Errorf("%.0f ml of loose chips, %.0f passes", loose, passes)
	}
}

func TestRoutes(t *testing.T) {
	x := stations(50, 3.9)
	now := Cut(CutTask{Ways: []Measured{{X: x, Height: parabola(x, 30e-6)}}, Width: []float64{0.1}, Wish: scraper})
	after := Cut(CutTask{Ways: []Measured{{X: x, Height: parabola(x, 6e-6)}}, Width: []float64{0.1}, Wish: scraper})
	r := Routes(now, &after, scraper)
	near(t, "leave", r[0].Zone, now.Zone, 0)
	near(t, "scrape hours", r[2].Hours, 10*50.0/60, 1e-12) // 30 µm by 3 µm, the middle lies between stations
	near(t, "both hours", r[3].Hours, 2*50.0/60, 1e-12)
	near(t, "both zone", r[3].Zone, 3e-6, 0)
	if alone := Routes(now, nil, scraper); len(alone) != 2 || alone[0] != r[0] || alone[1] != r[2] {
		t.Errorf("without moves: %v", alone)
	}
}
