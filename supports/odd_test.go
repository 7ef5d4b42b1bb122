package supports

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// Whatever a job may hold, there is an answer with finite numbers, no plan is worse than
// to move nothing, and the recommended one is among them.
func TestOddTasks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		b := rails{bending: rapid.SampledFrom([]float64{1, 4e6, 1e12}).Draw(t, "bending"), load: rapid.SampledFrom([]float64{0, 1, 5000}).Draw(t, "load")}
		for i := range rapid.IntRange(2, 4).Draw(t, "feet") {
			b.at = append(b.at, 0.3+float64(i))
		}
		x := stations(rapid.IntRange(2, 12).Draw(t, "stations"), 3.9)
		in := b.task(x, [2][]float64{wavy(r, x), wavy(r, x)}, rapid.Bool().Draw(t, "tied"))
		in.Goal = Goal{Allow: rapid.SampledFrom([]Allow{Either, HighOnly, LowOnly, ""}).Draw(t, "allow"),
			Crown:     rapid.SampledFrom([]float64{0, 1e-5, -1e-5}).Draw(t, "crown"),
			LeastLoad: rapid.SampledFrom([]float64{0, 0.15, 1, 2}).Draw(t, "least load"),
			MostMove:  rapid.SampledFrom([]float64{0, 1e-6, 2e-4, math.Inf(1)}).Draw(t, "most move"),
			Shims:     rapid.SampledFrom([][]float64{nil, {2e-5}, {1e-5, 5e-5}}).Draw(t, "shims")}
		for f := range in.Adjusters {
			in.Adjusters[f] = rapid.SampledFrom([]Adjuster{{}, {Kind: Fixed}, {Kind: Shim}, {Kind: Screw, Rise: 1e-3}, {Kind: Screw, Rise: 1e-3, Wrench: 0.3}}).Draw(t, "adjuster")
		}
		if rapid.Bool().Draw(t, "one way") {
			settle := in.Settle
			in.Ways, in.Influence.Ways = in.Ways[:1], in.Influence.Ways[:1]
			in.Settle = func(raise []float64) (Settled, error) {
				s, err := settle(raise)
				s.Ways = s.Ways[:1]
				return s, err
			}
		}
		a, err := Adjust(in)
		if err != nil {
			t.Fatal(err)
		}
		if a.Recommended < 0 || a.Recommended >= len(a.Plans) {
			t.Fatalf("recommended %d of %d", a.Recommended, len(a.Plans))
		}
		for _, p := range a.Plans {
			numbers := append([]float64{p.Zone, p.Unrounded, p.ZoneSigma, p.Lacking, p.Wrong}, p.Raise...)
			for _, s := range p.Steps {
				numbers = append(append(numbers, s.Raise), s.Loads...)
			}
			for _, v := range numbers {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Fatalf("%g in plan %+v", v, p)
				}
			}
			for f, m := range p.Raise {
				if math.Abs(m) > in.Goal.MostMove*(1+1e-9) || in.Adjusters[f].Kind == Fixed && m != 0 {
					t.Fatalf("foot %d moves %g", f, m)
				}
			}
		}
	})
}
