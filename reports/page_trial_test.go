package reports

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// trials are beds that the page must stand as internal/convex does: few and
// many feet, feet of two points, bolted feet, the table parked.
func trials() map[string]*Try {
	held := newBenchBed(4)
	held.feet[2].Held, held.feet[5].Held = true, true
	stiff := newBenchBed(5)
	for i := range stiff.feet {
		stiff.feet[i].Stiffness = 50e9
	}
	zero := func(b *benchBed) []float64 { return make([]float64, len(b.feet)) }
	ten, sixteen := newBenchBed(5), newBenchBed(8)
	long := newBenchBed(4).trial(make([]float64, 8), math.NaN())
	for i := range long.Foot { // two neighbours are one foot of two points
		long.Foot[i] = i / 4 * 2
	}
	return map[string]*Try{"ten": ten.trial([]float64{0, 3e-6, -7e-6, 5e-6, 6e-6, -4e-6, -9e-6, 3e-6, 2e-6, 0}, math.NaN()),
		"sixteen": sixteen.trial(zero(sixteen), 0.4), "bolted": held.trial(zero(held), math.NaN()), "nearly rigid": stiff.trial(zero(stiff), 1.2), "feet of several points": long}
}

// TestTrialAgainstGo drives random moves, many of which lift feet, and compares
// the page's forces and shapes with those of internal/convex.
func TestTrialAgainstGo(t *testing.T) {
	tab := invented(t)
	for name, trial := range trials() {
		t.Run(name, func(t *testing.T) {
			rng := rand.New(rand.NewPCG(1, uint64(len(trial.C))))
			var moves [][]float64
			for k := range 60 {
				m := make([]float64, len(trial.Feet))
				for f := range m {
					m[f] = (rng.Float64() - 0.5) * math.Pow(10, -6+3*float64(k)/60)
				}
				moves = append(moves, m)
			}
			lifted := 0
			for k, got := range askPage(t, tab, trial, moves) {
				lifted += compareStood(t, k, got, standGo(t, trial, moves[k]))
			}
			if lifted == 0 {
				t.Error("no move lifted a foot: the test tries too little")
			}
		})
	}
	tab.quiet()
}

// askPage returns how the page stands a trial under each of the moves.
func askPage(t *testing.T, tab *tab, trial *Try, moves [][]float64) []stood {
	t.Helper()
	j, err := json.Marshal(moves)
	tab.check(err)
	k, err := json.Marshal(trial.thinned())
	tab.check(err)
	out := eval[string](tab, fmt.Sprintf(`(() => { const trial = %s;
		return JSON.stringify(%s.map((m) => { const r = footwork.raised(m, trial); return { Loads: r.loads, Gaps: r.gaps, Ways: r.ways }; })); })()`, k, j))
	var got []stood
	tab.check(json.Unmarshal([]byte(out), &got))
	return got
}

// compareStood fails where page and Go differ by more than 1 mN or 1 nm, and
// returns how many feet carry nothing.
func compareStood(t *testing.T, k int, got, want stood) (lifted int) {
	t.Helper()
	for f := range want.Loads {
		if d := math.Abs(got.Loads[f] - want.Loads[f]); !(d < 1e-3) {
			t.Errorf("move %d, foot %d: %g N, Go has %g N", k, f, got.Loads[f], want.Loads[f])
		}
		if want.Loads[f] < 1e-6 {
			lifted++
		}
	}
	for w := range want.Ways {
		for i := range want.Ways[w] {
			if d := math.Abs(got.Ways[w][i] - want.Ways[w][i]); !(d < 1e-9) {
				t.Fatalf("move %d, way %d, station %d: off by %g m", k, w, i, d)
			}
		}
	}
	return lifted
}

// TestTipping: when the weight lies outside all feet, the page says so.
func TestTipping(t *testing.T) {
	b := newBenchBed(2)
	for i := range b.feet {
		b.feet[i].At *= 0.3
	}
	p := fixture(t)
	p.Try = b.trial(make([]float64, 4), math.NaN())
	p.Adjust = nil
	tab := open(t, render(t, p), window{width: 1000, height: 800})
	if !eval[bool](tab, `footwork.raised([0,0,0,0]) === null && document.getElementById("try-answer").textContent.includes("tip")`) {
		t.Error("the page stands a bed that tips")
	}
	tab.quiet()
}

// TestLinesAgainstGo compares the reference lines with brute force.
func TestLinesAgainstGo(t *testing.T) {
	tab := invented(t)
	rng := rand.New(rand.NewPCG(2, 3))
	for range 60 {
		var x, y []float64
		at, walk := 0.0, 0.0
		for range 3 + rng.IntN(30) {
			x, y = append(x, at), append(y, walk*1e-6)
			at, walk = at+0.05+rng.Float64()*0.2, walk+rng.NormFloat64()
		}
		jx, _ := json.Marshal(x)
		jy, _ := json.Marshal(y)
		got := eval[[]float64](tab, fmt.Sprintf(`["ends","least","zone"].map((l) => { const d = footwork.about(l, %s, %s); return Math.max(...d) - Math.min(...d); })`, jx, jy))
		want := straightOf(x, y)
		for k, w := range []float64{want.Ends, want.LeastSquares, want.MinimumZone} {
			if math.Abs(got[k]-w) > 1e-12 {
				t.Fatalf("line %d: %g, want %g", k, got[k], w)
			}
		}
	}
}

// TestTextAgainstGo: page and program print every kind alike.
func TestTextAgainstGo(t *testing.T) {
	tab := invented(t)
	rng := rand.New(rand.NewPCG(4, 5))
	type ask struct {
		System string
		Kind   Kind
		V      float64
		Fine   bool
	}
	var asked []ask
	for kind, both := range kinds {
		for system, p := range map[string]printed{"metric": both.Metric, "inch": both.Inch} {
			asked = append(asked, ask{system, kind, 0, true})
			for range 12 {
				asked = append(asked, ask{system, kind, p.One * rng.NormFloat64() * math.Pow(10, float64(rng.IntN(7)-4)), rng.IntN(2) == 0})
			}
		}
	}
	j, err := json.Marshal(asked)
	tab.check(err)
	for i, got := range eval[[]string](tab, fmt.Sprintf(`%s.map((a) => footwork.text(a.System, a.Kind, a.V, true, a.Fine))`, j)) {
		a := asked[i]
		if want := (quantity{kind: a.Kind, value: a.V, signed: true, fine: a.Fine}).text(systemOf(a.System)); got != want {
			t.Errorf("%+v: page %q, program %q", a, got, want)
		}
	}
}

// BenchmarkTrial reports the processor time that the page takes for one move of
// sixteen feet: solving alone, and with all that the page then shows.
func BenchmarkTrial(b *testing.B) {
	sixteen := newBenchBed(8)
	p := fixture(b)
	p.Try = sixteen.trial(make([]float64, 16), 0.4)
	tab := open(b, render(b, p), window{width: 1400, height: 900})
	cpu := func(times int, script string) float64 {
		was := tab.busy()
		eval[bool](tab, fmt.Sprintf(`(() => { for (let k = 0; k < %d; k++) { %s } return true; })()`, times, script))
		return (tab.busy() - was) / float64(times)
	}
	for b.Loop() {
		b.ReportMetric(cpu(50, `footwork.raised(Array.from({ length: 16 }, (_, i) => 2e-5 * Math.sin(7 * i + k)));`), "solve-ms")
		b.ReportMetric(cpu(20, `const s = document.getElementById("slide-3"); s.value = k % 7; s.dispatchEvent(new Event("input"));`), "move-ms")
	}
}
