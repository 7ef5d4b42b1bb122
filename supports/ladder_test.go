package supports

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// Feet added one by one and exchanged never do better than the best of every choice,
// and in the end as well as moving all of them.
func TestStepwise(t *testing.T) {
	r := rand.New(rand.NewPCG(41, 42))
	x := stations(15, 3.9)
	for range 4 {
		in := bay.task(x, [2][]float64{wavy(r, x), wavy(r, x)}, true)
		in.Goal.MostMove, in.Goal.LeastLoad = 8e-6, 0.3
		tk := newTask(in)
		every := tk.everyChoice(tk.limits.movable)
		some := tk.stepwise(tk.limits.movable)
		for k := range some {
			if tk.value(some[k]) < tk.value(every[k])-telling/10 {
				t.Errorf("%d feet: %g, better than every choice %g", k+1, tk.value(some[k]), tk.value(every[k]))
			}
		}
		near(t, "one foot", tk.value(some[0]), tk.value(every[0]), telling/10)
		near(t, "all feet", tk.value(some[len(some)-1]), tk.value(every[len(every)-1]), telling)
	}
}

// With forty feet the choices looked at are bounded, and what is left to gain on all
// feet together is less than a tenth of the uncertainty.
func TestStepwiseFortyFeet(t *testing.T) {
	long := rails{bending: 4e6, load: 5000}
	for i := range 20 {
		long.at = append(long.at, 0.3+0.6*float64(i))
	}
	r := rand.New(rand.NewPCG(43, 44))
	x := stations(40, 12)
	in := long.task(x, [2][]float64{wavy(r, x), wavy(r, x)}, true)
	in.PlanSigma = 1e-6
	tk := newTask(in)
	some := tk.stepwise(tk.limits.movable)
	if most := mostTried + 40*41/2 + 40; tk.tried > most {
		t.Errorf("%d choices, more than %d", tk.tried, most)
	}
	all := tk.value(tk.solved(tk.limits.movable))
	if end := tk.value(some[len(some)-1]); end > all+in.PlanSigma/10 {
		t.Errorf("%d feet leave %g, all %g", len(some), end, all)
	}
	t.Logf("%d feet are enough, %d choices were looked at", len(some), tk.tried)
}

// A bed with more feet than can be gone through says so, and is still made straight.
func TestManyFeet(t *testing.T) {
	long := rails{bending: 4e6, load: 5000}
	for i := range 8 {
		long.at = append(long.at, 0.3+1.1*float64(i))
	}
	x := stations(30, 8.3)
	wrong := []float64{0, 0, 30e-6, 0, 0, -20e-6, 0, 0}
	h, _ := long.spline(wrong, x)
	in := long.task(x, [2][]float64{h, make([]float64, len(x))}, true)
	for f := range 3 {
		in.Adjusters[8+f].Kind = Fixed
	}
	a := mustAdjust(t, in)
	p := a.Plans[a.Recommended]
	if p.FeetMoved != 2 || p.Zone > 1e-12 {
		t.Errorf("%v, zone %g", p.Moves, p.Zone)
	}
	if !slices.ContainsFunc(a.Warnings, func(w string) bool { return strings.Contains(w, "13 feet can be moved") }) {
		t.Errorf("no word of the choice: %q", a.Warnings)
	}
}

// The fewest feet that are as good as the best as far as can be told: one foot is
// wrong by 40 µm, another by 2 µm, and a zone is known to ± 1.5 µm (one sigma).
func TestFewestFeetWithinUncertainty(t *testing.T) {
	x := stations(30, 3.9)
	wrong := []float64{0, 40e-6, 0, 0}
	front, _ := bay.spline(wrong, x)
	back, _ := bay.spline([]float64{0, 0, 2e-6, 0}, x)
	in := bay.task(x, [2][]float64{front, back}, true)
	in.PlanSigma = 1.5e-6
	a := mustAdjust(t, in)
	if p := a.Plans[a.Recommended]; p.FeetMoved != 1 || math.Abs(p.Raise[1]+40e-6) > 3e-6 {
		t.Errorf("known poorly: %v", p.Moves)
	}
	in.PlanSigma = 1e-8
	a = mustAdjust(t, in)
	if p := a.Plans[a.Recommended]; p.FeetMoved != 2 || p.Zone > 1e-12 {
		t.Errorf("known well: %v, zone %g", p.Moves, p.Zone)
	}
}

// The zone of three points is |h₁ − (h₀+h₂)/2|: with independent errors of σ its
// standard uncertainty is σ√1.5 (JCGM 100, law of propagation).
func TestZoneSigma(t *testing.T) {
	cov := mat.NewSymDense(3, []float64{4e-12, 0, 0, 0, 4e-12, 0, 0, 0, 4e-12})
	x := []float64{0, 1, 2}
	ways := []Measured{{X: x, Height: []float64{0, 50e-6, 0}, Cov: cov}}
	tk := &task{Task: Task{Ways: ways}, draws: drawErrors(ways)}
	want := 2e-6 * math.Sqrt(1.5)
	near(t, "sigma", tk.zoneSigma([][]float64{ways[0].Height}), want, 3*want/math.Sqrt(2*nDraws))
}

// A goal out of reach is said with numbers: the way stays hollow where every foot is fixed.
func TestOutOfReach(t *testing.T) {
	x := stations(30, 3.9)
	in := bay.task(x, [2][]float64{parabola(x, -12e-6), parabola(x, 3e-6)}, false)
	in.Goal.Allow, in.Goal.Tolerance = HighOnly, 8e-6
	for f := range in.Adjusters {
		in.Adjusters[f].Kind = Fixed
	}
	a := mustAdjust(t, in)
	for _, want := range []string{"12 µm on the other", "front way 12 µm out of straight", "the rest is metal"} {
		if !slices.ContainsFunc(a.Warnings, func(w string) bool { return strings.Contains(w, want) }) {
			t.Errorf("no %q in %q", want, a.Warnings)
		}
	}
	if len(a.Plans) != 1 {
		t.Errorf("%d plans for fixed feet", len(a.Plans))
	}
}
