package cut

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"footwork/beam/casting"
	"footwork/beam/shape"
)

var scraper = Options{DepthPerPass: 3e-6, TimePerPass: 3000}

func stations(n int, long float64) []float64 { return shape.Even(0, long, n) }

// parabola is a form whose middle stands c over its ends.
func parabola(x []float64, c float64) []float64 {
	h := make([]float64, len(x))
	for i := range x {
		s := x[i] / x[len(x)-1]
		h[i] = 4 * c * s * (1 - s)
	}
	return h
}

func wavy(r *rand.Rand, x []float64) []float64 {
	h := make([]float64, len(x))
	for k := 1; k < 6; k++ {
		a, p := 8e-6*r.NormFloat64()/float64(k), 7*r.Float64()
		for i := range x {
			h[i] += a * math.Sin(float64(k)*2*x[i]/x[len(x)-1]*math.Pi/2+p)
		}
	}
	return h
}

func near(t interface {
	Helper()
	Errorf(string, ...any)
}, what string, got, want, within float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > within {
		t.Errorf("%s: %g, want %g", what, got, want)
	}
}

func must(t interface{ Fatal(...any) }, in Task) Result {
	r, err := Cut(in)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// A parabola that is c high over L leaves 2/3·c·L·width above the line through its ends;
// one that is c low 1/3·c·L·width above the line that touches its middle.
func TestParabola(t *testing.T) {
	const n, long, c, width = 201, 3.9, 20e-6, 0.11
	x := stations(n, long)
	volume := c * long * width
	curved := volume / (n - 1) / (n - 1) // what chords cut off: f″·h²/12 over L
	for _, tc := range []struct {
		name string
		c    float64
		want float64
	}{{"high", c, volume * 2 / 3}, {"low", -c, volume / 3}} {
		r := must(t, Task{Ways: []Way{{X: x, Height: parabola(x, tc.c), Width: width}}, Options: scraper})
		f := r.Faces[0]
		near(t, tc.name+" volume", f.Volume, tc.want, 1.001*2.0/3*curved)
		near(t, tc.name+" deepest", f.Deepest, c, 1e-12)
		near(t, tc.name+" passes", f.Passes, 6, 0) // 20 µm by 3 µm but for the last of them
		near(t, tc.name+" hours", f.Hours, 6*50.0/60, 1e-12)
		near(t, tc.name+" zone", r.Zone, c, 1e-12)
		near(t, tc.name+" sink", r.Sink, tc.want/long/width, c/100)
	}
}

// The wanted crown is allowed for, wherever the stations begin.
func TestCrown(t *testing.T) {
	x := stations(50, 3.9)
	h := parabola(x, 8e-6)
	for i := range x {
		x[i] += 0.7
	}
	for i := range h {
		h[i] += 1e-3 + 2e-4*x[i] // where the survey's line lies is no metal
	}
	f := must(t, Task{Ways: []Way{{X: x, Height: h}}, Crown: 8e-6, Options: scraper}).Faces[0]
	near(t, "deepest", f.Deepest, 0, 1e-15)
	near(t, "passes", f.Passes, 0, 0)
}

// No line below all points, of all slopes on a fine grid, leaves less to cut.
func TestBruteForce(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	x := stations(25, 3.9)
	for range 20 {
		h := wavy(r, x)
		got := must(t, Task{Ways: []Way{{X: x, Height: h}}, Options: scraper}).Faces[0].Deepest
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
func TestTwist(t *testing.T) {
	const twist, long, width = 40e-6, 3.9, 0.11
	x := stations(40, long)
	rising := make([]float64, len(x))
	for i := range x {
		rising[i] = twist * x[i] / long
	}
	in := Task{Ways: []Way{{Offset: -0.25, X: x, Height: make([]float64, len(x)), Width: width}, {Offset: 0.25, X: x, Height: rising, Width: width}}, Tied: true, Options: scraper}
	for _, f := range must(t, in).Faces {
		near(t, "deepest", f.Deepest, twist/2, 1e-13)
		near(t, "volume", f.Volume, twist/4*long*width, 1e-15)
	}
	in.Tied = false
	for _, f := range must(t, in).Faces {
		near(t, "untied", f.Deepest, 0, 1e-15)
	}
}

// Where metal is known to be unworn the line runs along it and is sunk until nothing lies
// below: a worn end is not shared out by a tilted line of less depth.
func TestDatum(t *testing.T) {
	x := stations(101, 4)
	h := make([]float64, len(x))
	for i := range x { // its left end worn by up to 30 µm
		h[i] = 1e-5*x[i] - 30e-6*math.Pow(max(0, 1-x[i]/1.6), 2)
	}
	in := Task{Ways: []Way{{X: x, Height: h}}, Unworn: []shape.Span{{From: 2, To: 4}}, Options: scraper}
	d := must(t, in).Faces[0].Depth
	near(t, "left end", d[0], 0, 1e-9)
	near(t, "middle", d[50], 30e-6, 1e-9)
	near(t, "right end", d[100], 30e-6, 1e-9)
	in.Unworn = []shape.Span{{From: 3.95, To: 4}} // two stations are a line
	near(t, "by two stations", must(t, in).Faces[0].Depth[50], 30e-6, 1e-9)
	in.Unworn = nil
	if least := must(t, in).Faces[0].Deepest; least > 20e-6 {
		t.Errorf("without a datum the least depth is %g", least)
	}
}

// Laws of flats: depths are not negative, tilting the survey changes nothing, and a way
// already cut needs no more.
func TestLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		x := stations(rapid.IntRange(3, 40).Draw(t, "stations"), 3.9)
		in := Task{Ways: []Way{{Offset: -0.25, X: x, Height: wavy(r, x), Width: 0.1}, {Offset: 0.25, X: x, Height: wavy(r, x), Width: 0.1}}, Tied: rapid.Bool().Draw(t, "tied"), Options: scraper}
		within := 1e-12
		if rapid.Bool().Draw(t, "vee") {
			in.Ways[0].Vee = &casting.Vee{Flanks: [2]float64{0.7, 0.9}, Ridge: rapid.Bool().Draw(t, "ridge")}
			in.Ways[0].Sideways = wavy(r, x)
			within = 1e-11
		}
		first := must(t, in)
		a, b, c := rapid.Float64Range(-1e-4, 1e-4).Draw(t, "a"), rapid.Float64Range(-1e-5, 1e-5).Draw(t, "b"), rapid.Float64Range(-1e-5, 1e-5).Draw(t, "c")
		tilted, done := in, in
		tilted.Ways, done.Ways = slices.Clone(in.Ways), slices.Clone(in.Ways)
		for w, m := range in.Ways {
			tilted.Ways[w].Height, done.Ways[w].Height = make([]float64, len(x)), make([]float64, len(x))
			if m.Vee != nil {
				done.Ways[w].Sideways = make([]float64, len(x))
			}
			var depth [][]float64
			for _, f := range first.Faces {
				if f.Way == w {
					depth = append(depth, f.Depth)
				}
			}
			for i := range x {
				tilted.Ways[w].Height[i] = m.Height[i] + a + b*x[i] + c*m.Offset
				down, aside := depth[0][i], 0.0
				if m.Vee != nil {
					down, aside = m.Vee.Sink([2]float64{depth[0][i], depth[1][i]})
					done.Ways[w].Sideways[i] = m.Sideways[i] + aside
				}
				done.Ways[w].Height[i] = m.Height[i] - down
			}
		}
		second, third := must(t, tilted), must(t, done)
		for k, f := range first.Faces {
			if slices.Min(f.Depth) < 0 {
				t.Fatalf("metal put on")
			}
			if d := math.Abs(second.Faces[k].Volume - f.Volume); d > within*0.4 {
				t.Fatalf("a tilt changes the volume by %g", d)
			}
			if third.Faces[k].Deepest > within {
				t.Fatalf("%g is left after the cut", third.Faces[k].Deepest)
			}
		}
		if third.Zone > within {
			t.Fatalf("the bed cut is %g out of straight", third.Zone)
		}
	})
}

// Whatever the ways, there is an answer, and no depth is below nothing: straight ones, level or
// not, waves from a nanometre to a tenth of a millimetre, flats and vees, tied and not.
func TestAnyTask(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	form := func(x []float64) []float64 {
		kind, amp, y := r.IntN(5), math.Pow(10, -9+5*r.Float64()), make([]float64, len(x))
		for i, at := range x {
			y[i] = amp * [...]float64{0, 1, at, r.NormFloat64(), math.Sin(at)}[kind]
		}
		return y
	}
	slope := func() float64 { return 0.1 + 1.3*r.Float64() }
	for n := range 400 {
		in := Task{Options: scraper, Tied: r.IntN(2) == 0, Parallel: r.IntN(2) == 0}
		for w := range 1 + r.IntN(3) {
			x := shape.Even(r.Float64(), 1+8*r.Float64(), 2+r.IntN(40))
			way := Way{Offset: float64(w) * 0.5 * r.Float64(), Width: 0.1 * float64(r.IntN(3)), X: x, Height: form(x)}
			if r.IntN(3) > 0 {
				way.Vee = &casting.Vee{Flanks: [2]float64{slope(), slope()}, Ridge: r.IntN(2) == 0}
			}
			if way.Vee != nil && r.IntN(2) == 0 {
				way.Sideways = form(x)
			}
			in.Ways = append(in.Ways, way)
		}
		if r.IntN(4) == 0 {
			in.Unworn = []shape.Span{{From: 0, To: 2}}
		}
		out, err := Cut(in)
		if err != nil {
			t.Fatalf("task %d: %v", n, err)
		}
		for _, f := range out.Faces {
			if least := slices.Min(f.Depth); !(least >= 0) {
				t.Errorf("task %d: a depth of %g", n, least)
			}
		}
	}
}

// The crown asked for spans what is kept: a way that has it from its joint on is right.
func TestCrownOverWhatIsKept(t *testing.T) {
	way := Way{X: stations(41, 4), Width: 0.1, LeaveOut: []shape.Span{{From: 0, To: 0.95}}}
	for _, x := range way.X {
		s := (x - 1) / 3
		way.Height = append(way.Height, 4*8e-6*s*(1-s))
	}
	near(t, "deepest", must(t, Task{Ways: []Way{way}, Crown: 8e-6, Options: scraper}).Faces[0].Deepest, 0, 1e-15)
}
