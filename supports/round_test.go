package supports

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Rounding is never worse than rounding each move on its own, never better than the
// exact moves, and gives only moves that the adjusters can make.
func TestRounding(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		x := stations(12, 3.9)
		in := bay.task(x, [2][]float64{wavy(r, x), wavy(r, x)}, rapid.Bool().Draw(t, "tied"))
		in.Goal.MostMove, in.Goal.LeastLoad = 60e-6, 0.1
		in.Goal.Shims = []float64{5e-6, 10e-6, 25e-6}
		for f := range in.Adjusters {
			in.Adjusters[f] = rapid.SampledFrom([]Adjuster{{Kind: Screw, Rise: 1.5e-3}, {Kind: Shim}, {}}).Draw(t, "adjuster")
		}
		tk := newTask(in)
		feet := rapid.SliceOfNDistinct(rapid.IntRange(0, 7), 1, 5, rapid.ID[int]).Draw(t, "feet")
		slices.Sort(feet)
		c := tk.choose(feet)
		if err := c.solve(); err != nil {
			t.Fatal(err)
		}
		naive := &rounding{choice: c}
		raise := c.round(nil)
		moves := make([]float64, len(feet))
		for k, f := range feet {
			moves[k] = raise[f]
			if below, above := tk.limits.notches[f].around(moves[k]); math.Abs(below-moves[k]) > 1e-12 || below != above {
				t.Fatalf("foot %d cannot be moved by %g", f, moves[k])
			}
		}
		got := naive.worth(moves)
		if each := naive.worth(naive.nearest(c.moves)); got > each {
			t.Fatalf("%g, each on its own %g", got, each)
		}
		if exact := tk.value(c); got < exact-1e-12 {
			t.Fatalf("rounded moves reach %g, exact ones %g", got, exact)
		}
	})
}

// With two feet the rounding is the best of all pairs of notches.
func TestRoundingAgainstAllPairs(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	x := stations(15, 3.9)
	for range 10 {
		in := bay.task(x, [2][]float64{wavy(r, x), wavy(r, x)}, true)
		in.Goal.MostMove = 40e-6
		in.Adjusters[1], in.Adjusters[6] = Adjuster{Kind: Screw, Rise: 0.72e-3}, Adjuster{Kind: Screw, Rise: 1.5e-3}
		tk := newTask(in)
		c := tk.choose([]int{1, 6})
		if err := c.solve(); err != nil {
			t.Fatal(err)
		}
		raise := c.round(nil)
		all := &rounding{choice: c}
		best := math.Inf(1)
		for i := -20.0; i <= 20; i++ {
			for j := -10.0; j <= 10; j++ {
				best = min(best, all.worth([]float64{i * 2e-6, j * 1.5e-3 / 360}))
			}
		}
		if got := all.worth([]float64{raise[1], raise[6]}); got > best+telling/10 {
			t.Errorf("%g, the best pair of notches gives %g", got, best)
		}
	}
}

// Stacks against all ways to take up to four leaves.
func TestStacks(t *testing.T) {
	leaves := []float64{20e-6, 30e-6, 50e-6, 100e-6}
	const most = 0.25e-3
	fewest := map[int]int{} // µm to leaves
	var take func(sum, n int)
	take = func(sum, n int) {
		if old, ok := fewest[sum]; n > 0 && sum <= 250 && (!ok || n < old) {
			fewest[sum] = n
		}
		if n < 4 {
			for _, l := range []int{20, 30, 50, 100} {
				take(sum+l, n+1)
			}
		}
	}
	take(0, 0)
	got := stacks(leaves, most)
	if len(got) != len(fewest) {
		t.Errorf("%d stacks, want %d", len(got), len(fewest))
	}
	for i, s := range got {
		sum := 0.0
		for _, l := range s.leaves {
			sum += l
		}
		if math.Abs(sum-s.thick) > 1e-15 || len(s.leaves) != fewest[int(math.Round(s.thick*1e6))] {
			t.Errorf("stack %v", s)
		}
		if i > 0 && got[i-1].thick >= s.thick {
			t.Errorf("stacks out of order at %g", s.thick)
		}
	}
	n := notches{stacks: got}
	for v := -240e-6; v < 240e-6; v += 1.7e-6 {
		below, above := n.around(v)
		if below > v+1e-12 || above < v-1e-12 || n.next(below, 1) < above-1e-12 && below != above {
			t.Errorf("around %g: %g, %g", v, below, above)
		}
	}
}

// A foot on shims goes no farther than the thickest stack, even without another limit.
func TestShimsReach(t *testing.T) {
	x := stations(15, 3.9)
	h, _ := bay.spline([]float64{0, -300e-6, 0, 0}, x)
	in := bay.task(x, [2][]float64{h, make([]float64, len(x))}, true)
	in.Goal.Shims = []float64{20e-6, 50e-6}
	for f := range in.Adjusters {
		in.Adjusters[f].Kind = Shim
	}
	for _, p := range mustAdjust(t, in).Plans {
		for f, r := range p.Raise {
			if math.Abs(r) > 200e-6+1e-12 {
				t.Errorf("foot %d on %g of shims", f, r)
			}
		}
	}
}

// Texts: the direction first. A handle of 300 mm swings through 2π·300·14/360 = 73 mm.
func TestText(t *testing.T) {
	in := bay.task(stations(3, 3.9), [2][]float64{make([]float64, 3), make([]float64, 3)}, false)
	in.Adjusters = []Adjuster{{Kind: Screw, Rise: 1.5e-3, Wrench: 0.3}, {Kind: Shim}, {}, {Kind: Fixed}, {Kind: Screw, Rise: 1.5e-3}, {}, {}, {}}
	in.Goal.Shims, in.Goal.MostMove = []float64{20e-6, 50e-6}, 1e-3
	tk := newTask(in)
	for _, tc := range []struct {
		foot  int
		raise float64
		want  string
	}{
		{0, 14 * 1.5e-3 / 360, "raise: 14°, handle end 73 mm"},
		{0, -1.5e-3 / 360, "lower: 1°, handle end 5 mm"},
		{1, 70e-6, "raise: put in 50 µm + 20 µm"},
		{1, -40e-6, "lower: take out 20 µm + 20 µm"},
		{2, 12e-6, "raise: 12 µm"},
		{4, 1.5e-3 * 1.5, "raise: 1 turn(s) and 180°"},
	} {
		if got := tk.text(tc.foot, tc.raise); got != tc.want {
			t.Errorf("%q, want %q", got, tc.want)
		}
	}
}

// A shimmed foot without shims at hand stays, and the warning says what to add.
func TestNoShims(t *testing.T) {
	x := stations(10, 3.9)
	in := bay.task(x, [2][]float64{parabola(x, 20e-6), parabola(x, 20e-6)}, false)
	for f := range in.Adjusters {
		in.Adjusters[f].Kind = Shim
	}
	a := mustAdjust(t, in)
	if len(a.Plans) != 1 || !slices.ContainsFunc(a.Warnings, func(w string) bool { return strings.Contains(w, "list the leaves") }) {
		t.Errorf("%d plans, warnings %q", len(a.Plans), a.Warnings)
	}
}

// Adding a tilt to the survey changes no plan; the mirror image of a survey has the
// mirror image's zones.
func TestAdjustLaws(t *testing.T) {
	short := rails{at: []float64{0.3, 1.95, 3.6}, bending: 4e6, load: 5000}
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		x := stations(12, 3.9)
		h := [2][]float64{wavy(r, x), wavy(r, x)}
		tied := rapid.Bool().Draw(t, "tied")
		in := short.task(x, h, tied)
		in.Goal.MostMove, in.Goal.LeastLoad = 20e-6, 0.2
		a, b, c := rapid.Float64Range(-1e-3, 1e-3).Draw(t, "a"), rapid.Float64Range(-1e-4, 1e-4).Draw(t, "b"), rapid.Float64Range(-1e-4, 1e-4).Draw(t, "c")
		var tilted, mirrored [2][]float64
		for w := range h {
			for i := range x {
				tilted[w] = append(tilted[w], h[w][i]+a+b*x[i]+c*in.Ways[w].Offset)
			}
			mirrored[w] = slices.Clone(h[w])
			slices.Reverse(mirrored[w])
		}
		rungs := func(h [2][]float64) []float64 {
			in := short.task(x, h, tied)
			in.Goal.MostMove, in.Goal.LeastLoad = 20e-6, 0.2
			tk := newTask(in)
			ladder := tk.ladder()
			var out []float64
			for _, c := range ladder {
				out = append(out, tk.value(c))
			}
			return out
		}
		want := rungs(h)
		for name, other := range map[string][2][]float64{"tilted": tilted, "mirrored": mirrored} {
			for k, v := range rungs(other) {
				if math.Abs(v-want[k]) > 2*telling {
					t.Fatalf("%s, %d feet: %g, was %g", name, k+1, v, want[k])
				}
			}
		}
		for k := 1; k < len(want); k++ {
			if want[k] > want[k-1]+2*telling {
				t.Fatalf("%d feet do worse than %d: %g, %g", k+1, k, want[k], want[k-1])
			}
		}
	})
}
