package supports

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"
)

func mustAdjust(t testing.TB, in Task) Adjustment {
	t.Helper()
	a, err := Adjust(in)
	if err != nil {
		t.Fatal(err)
	}
	for k, p := range a.Plans {
		if len(p.Moves) != p.FeetMoved {
			t.Errorf("plan %d moves %d feet and says %d", k, len(p.Moves), p.FeetMoved)
		}
		if k > 0 && p.FeetMoved <= a.Plans[k-1].FeetMoved {
			t.Errorf("plan %d moves no more feet than the one before", k)
		}
		for _, v := range append([]float64{p.Zone, p.ZoneSigma, p.Unrounded}, p.Raise...) {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Errorf("plan %d holds %g", k, v)
			}
		}
	}
	return a
}

// A bed whose straight ways were spoilt by moving feet is made straight again by moving
// them back, to what rounding to a micrometre leaves: 1 µm of a foot is at most 1 µm of zone.
func TestDisplacedFeetAreFound(t *testing.T) {
	x := stations(30, 3.9)
	for _, tied := range []bool{true, false} {
		wrong := []float64{0, 23e-6, 0, 0, 0, 0, -41e-6, 0}
		f, _ := bay.spline(wrong[:4], x)
		b, _ := bay.spline(wrong[4:], x)
		a := mustAdjust(t, bay.task(x, [2][]float64{f, b}, tied))
		p := a.Plans[a.Recommended]
		if p.FeetMoved != 2 || p.Zone > 1e-12 {
			t.Fatalf("tied %v: plan %d with %v, zone %g", tied, a.Recommended, p.Moves, p.Zone)
		}
		for i, r := range p.Raise {
			if math.Abs(r+wrong[i]) > 1e-12 {
				t.Errorf("foot %d: raised by %g, was wrong by %g", i, r, wrong[i])
			}
		}
	}
}

// Twist counts only when the ways are tied: rolled feet of one way are no fault of either.
func TestTwistCountsWhenTied(t *testing.T) {
	x := stations(30, 3.9)
	front, back := make([]float64, 30), make([]float64, 30)
	for i := range x {
		back[i] = 30e-6 * x[i] / 3.9
	}
	free := mustAdjust(t, bay.task(x, [2][]float64{front, back}, false))
	if free.Plans[0].Zone > 1e-15 || free.Recommended != 0 {
		t.Errorf("untied: zone %g, plan %d", free.Plans[0].Zone, free.Recommended)
	}
	// Two lines that cross: the best plane halves the 30 µm at each end of each, zone 15 µm.
	tied := mustAdjust(t, bay.task(x, [2][]float64{front, back}, true))
	if math.Abs(tied.Plans[0].Zone-15e-6) > 1e-12 {
		t.Errorf("tied: zone %g, want 15 µm", tied.Plans[0].Zone)
	}
	if z := tied.Plans[tied.Recommended].Zone; z > 1e-6 {
		t.Errorf("tied: %g left", z)
	}
}

// The value of a choice of two feet agrees with a fine grid search over their moves.
func TestGridSearch(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	x := stations(12, 3.9)
	for range 6 {
		for _, tied := range []bool{true, false} {
			in := bay.task(x, [2][]float64{wavy(r, x), wavy(r, x)}, tied)
			in.Goal.MostMove, in.Goal.LeastLoad = 15e-6, 0.3
			tk := newTask(in)
			c := tk.choose([]int{1, 5 + r.IntN(3)})
			if err := c.solve(); err != nil {
				t.Fatal(err)
			}
			best := math.Inf(1)
			const n, step = 60, 0.25e-6
			for i := -n; i <= n; i++ {
				for j := -n; j <= n; j++ {
					v := tk.judge(c.raised([]float64{float64(i) * step, float64(j) * step}))
					if v.lacking < 1e-9 {
						best = min(best, v.zone)
					}
				}
			}
			// The zone changes by no more than twice the largest change of height.
			if got := c.best.zone; got > best+1e-12 || got < best-2*2*step {
				t.Errorf("tied %v: programme %g, grid %g", tied, got, best)
			}
		}
	}
}

// Small cases against every vertex: an optimum of the linear programme lies on as many
// active constraints as there are unknowns.
func TestEveryVertex(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	short := rails{at: []float64{0.3, 1.8, 3.6}, bending: 4e6, load: 5000}
	x := stations(4, 3.9)
	for range 4 {
		in := short.task(x, [2][]float64{wavy(r, x), wavy(r, x)}, true)
		in.Goal.MostMove = 4e-6
		c := newTask(in).choose([]int{1})
		if err := c.solve(); err != nil {
			t.Fatal(err)
		}
		if want := bestVertex(c); math.Abs(c.best.zone-want) > 1e-13 {
			t.Errorf("%g, the best vertex has %g", c.best.zone, want)
		}
	}
}

func bestVertex(c *choice) float64 {
	l := c.layout()
	rows := c.constraints(l)
	n, best := rows.width, math.Inf(1)
	a := mat.NewDense(len(rows.b), n, rows.a)
	var pickRows func(from int, set []int)
	pickRows = func(from int, set []int) {
		if len(set) < n {
			for i := from; i < len(rows.b); i++ {
				pickRows(i+1, append(set, i))
			}
			return
		}
		m, b := mat.NewDense(n, n, nil), mat.NewVecDense(n, nil)
		for i, k := range set {
			m.SetRow(i, a.RawRowView(k))
			b.SetVec(i, rows.b[k])
		}
		var v mat.VecDense
		if v.SolveVec(m, b) != nil {
			return
		}
		for i, b := range rows.b {
			if mat.Dot(mat.NewVecDense(n, a.RawRowView(i)), &v) < b-1e-14 {
				return
			}
		}
		best = min(best, v.AtVec(l.zone)*handy)
	}
	pickRows(0, nil)
	return best
}

// The choices that bounds leave out are none of the best: all are solved one by one.
func TestLadderAgainstEveryChoice(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	x := stations(15, 3.9)
	for trial := range 6 {
		in := bay.task(x, [2][]float64{wavy(r, x), wavy(r, x)}, trial%2 == 0)
		in.Goal.MostMove, in.Goal.LeastLoad = 5e-6, 0.6
		if trial > 3 {
			in.Goal.Allow = HighOnly
		}
		tk := newTask(in)
		got := tk.everyChoice(tk.limits.movable)
		want := make([]float64, len(got))
		for i := range want {
			want[i] = math.Inf(1)
		}
		for set := uint(1); set < 1<<len(got); set++ {
			c := tk.choose(pick(tk.limits.movable, set))
			if err := c.solve(); err != nil {
				t.Fatal(err)
			}
			want[len(c.feet)-1] = min(want[len(c.feet)-1], tk.value(c))
		}
		for k := range want {
			if v := tk.value(got[k]); math.Abs(v-want[k]) > 1e-10+1e-6*want[k] {
				t.Errorf("trial %d, %d feet: %g, every choice gives %g", trial, k+1, v, want[k])
			}
		}
	}
}

// Limits are kept by every plan, and fixed feet stay.
func TestLimits(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	x := stations(20, 3.9)
	for range 8 {
		in := bay.task(x, [2][]float64{wavy(r, x), wavy(r, x)}, true)
		in.Goal.MostMove, in.Goal.LeastLoad = 12e-6, 0.5
		in.Adjusters[2] = Adjuster{Kind: Fixed}
		in.Adjusters[6] = Adjuster{Kind: Fixed}
		for _, p := range mustAdjust(t, in).Plans {
			for f, m := range p.Raise {
				if math.Abs(m) > 12e-6*(1+1e-9) || in.Adjusters[f].Kind == Fixed && m != 0 {
					t.Errorf("foot %d moves %g", f, m)
				}
			}
			for f, l := range p.Loads {
				if l < 0.5*5000*(1-1e-6) {
					t.Errorf("foot %d carries %g", f, l)
				}
			}
		}
	}
}

// Metal that no foot can reach: a short wave is left to the scraper.
func TestNothingHelps(t *testing.T) {
	x := stations(31, 3.9)
	h := make([]float64, len(x))
	cov := mat.NewSymDense(len(x), nil)
	for i := range h {
		h[i] = 3e-6 * float64(i%2)
		cov.SetSym(i, i, 1e-14)
	}
	in := bay.task(x, [2][]float64{h, h}, false)
	in.Ways[0].Cov, in.Ways[1].Cov = cov, cov
	a := mustAdjust(t, in)
	if a.Recommended != 0 || len(a.Warnings) == 0 {
		t.Errorf("recommended %d, warnings %q", a.Recommended, a.Warnings)
	}
	if all := strings.Join(a.Warnings, "\n"); strings.Contains(all, "to move more than") {
		t.Errorf("nothing helps, and yet: %s", all)
	}
}

// Crown and the allowed side: with 10 µm wanted high, what is left is about the parabola.
func TestCrownAndSide(t *testing.T) {
	x := stations(30, 3.9)
	flat := make([]float64, len(x))
	in := bay.task(x, [2][]float64{flat, flat}, false)
	in.Goal.Crown = 10e-6
	a := mustAdjust(t, in)
	if math.Abs(a.Plans[0].Zone-10e-6) > 0.05e-6 { // the highest stations lie beside the middle
		t.Errorf("a flat way is %g from the crown", a.Plans[0].Zone)
	}
	p := a.Plans[len(a.Plans)-1]
	middle := (p.Ways[0].Height[14]+p.Ways[0].Height[15])/2 - (p.Ways[0].Height[0]+p.Ways[0].Height[29])/2
	if math.Abs(middle-10e-6) > 2e-6 || p.Zone > 2e-6 {
		t.Errorf("middle %g high, zone %g", middle, p.Zone)
	}
	in.Goal.Crown, in.Goal.Allow = 0, HighOnly
	hollow := make([]float64, len(x))
	for i := range x {
		hollow[i] = -20e-6 * math.Sin(math.Pi*x[i]/3.9)
	}
	in = bay.task(x, [2][]float64{hollow, hollow}, false)
	in.Goal.Allow = HighOnly
	a = mustAdjust(t, in)
	best := a.Plans[len(a.Plans)-1]
	if a.Plans[0].Wrong < 19e-6 || best.Wrong > 1e-6 || best.Zone > 5e-6 {
		t.Errorf("wrong side %g before, %g after, zone %g", a.Plans[0].Wrong, best.Wrong, best.Zone)
	}
}

// Eight feet, two ways of 30 stations: all 255 choices, where feet may move far (many
// choices are as good) and where every limit bites (each further foot helps); and all of it.
func BenchmarkAdjust8Feet(b *testing.B) {
	for name, most := range map[string]float64{"far": 50e-6, "near": 4e-6} {
		r := rand.New(rand.NewPCG(1, 1))
		x := stations(30, 3.9)
		in := bay.task(x, [2][]float64{wavy(r, x), wavy(r, x)}, true)
		in.Goal.MostMove, in.Goal.LeastLoad = most, 0.15
		for i := range in.Adjusters {
			in.Adjusters[i] = Adjuster{Kind: Screw, Rise: 0.5e-3}
		}
		b.Run("choices "+name, func(b *testing.B) {
			for range b.N {
				newTask(in).ladder()
			}
		})
		b.Run("all "+name, func(b *testing.B) {
			for range b.N {
				mustAdjust(b, in)
			}
		})
	}
}
