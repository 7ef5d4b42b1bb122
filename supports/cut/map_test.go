package cut

import (
	"math"
	"slices"
	"testing"

	"footwork/beam/shape"

	"gonum.org/v1/gonum/floats"
)

// A hump of four passes is cut from its top by three: every pass holds the one before, a
// place is left with a pass at most and none is dug, ends do not fall on one another.
func TestMapOfAHump(t *testing.T) {
	x := stations(81, 4)
	depth := parabola(x, 12e-6)
	m := Draw(Face{X: x, Depth: depth}, depth, nil, scraper)
	if len(m.Passes) != 3 {
		t.Fatalf("%d passes", len(m.Passes))
	}
	for i, at := range x {
		cut := Taken(x, m.Passes, 3e-6)[i]
		if left := depth[i] - cut; left > 3e-6+1e-12 || left < -1e-12 {
			t.Errorf("at %g m %g is cut of %g", at, cut, depth[i])
		}
	}
	for k := 1; k < 3; k++ {
		a, b := m.Passes[k-1].Runs[0], m.Passes[k].Runs[0]
		if b.From > a.From-tooNear || b.To < a.To+tooNear {
			t.Errorf("pass %d: %v after %v", k+1, b, a)
		}
		if m.Passes[k].Against == m.Passes[k-1].Against {
			t.Error("two passes in one direction")
		}
	}
	if !slices.Equal(m.Surveys, []int{1}) {
		t.Errorf("surveys after %v", m.Surveys)
	}
	// With 7 µm to be left standing two passes are enough, one more is not asked for.
	m = Draw(Face{X: x, Depth: depth}, depth, nil, Options{DepthPerPass: 3e-6, Until: 7e-6})
	if len(m.Passes) != 2 {
		t.Fatalf("%d passes to 7 µm", len(m.Passes))
	}
	low := slices.Clone(depth)
	floats.AddConst(-2e-6, low)
	if n := len(Draw(Face{X: x, Depth: depth}, low, nil, Options{DepthPerPass: 3e-6, Until: 7e-6}).Passes); n != 3 {
		t.Errorf("%d passes to 7 µm of which 2 are not known", n)
	}
	for i, c := range Taken(x, m.Passes, 3e-6) {
		if left := depth[i] - c; left > 6e-6+1e-12 || left < -1e-12 { // two passes take six of twelve
			t.Errorf("at %g m %g is cut of %g", x[i], c, depth[i])
		}
	}
}

// A stretch begins and ends where the straight line between stations passes the level; one
// shorter than a hand is lengthened, at the way's end inwards only, and near ones are one.
func TestRuns(t *testing.T) {
	x := []float64{0, 1, 2, 3, 4}
	same := func(what string, got, want []shape.Span) {
		t.Helper()
		if len(got) != len(want) {
			t.Fatalf("%s: %v, want %v", what, got, want)
		}
		for i := range got {
			near(t, what, got[i].From, want[i].From, 1e-12)
			near(t, what, got[i].To, want[i].To, 1e-12)
		}
	}
	same("two", runs(x, []float64{4, 0, 1, 3, 1}, 2), []shape.Span{{From: 0, To: 0.5}, {From: 2.5, To: 3.5}})
	same("one", runs(x, []float64{0, 4, 3, 5, 5}, 2), []shape.Span{{From: 0.5, To: 4}})
	same("short", joined(x, []shape.Span{{From: 0, To: 0.02}, {From: 2, To: 2.02}, {From: 3.99, To: 4}}), []shape.Span{{From: 0, To: 0.05}, {From: 1.97, To: 2.05}, {From: 3.955, To: 4}})
	same("near", joined(x, []shape.Span{{From: 1, To: 1.5}, {From: 1.57, To: 2}, {From: 2.09, To: 3}}), []shape.Span{{From: 1, To: 2}, {From: 2.09, To: 3}})
}

// Nine passes are surveyed after a third, two thirds and when two remain; the first goes one
// way. What passes can take beyond what must go makes them longer, down to a pass's depth.
func TestStopsAndLengths(t *testing.T) {
	x := stations(801, 4)
	f := Face{X: x, Depth: parabola(x, 30e-6)}
	m := Draw(f, f.Depth, nil, scraper)
	if len(m.Passes) != 9 || !slices.Equal(m.Surveys, []int{3, 6}) || m.Passes[0].Against || !m.Passes[1].Against {
		t.Errorf("%d passes, surveys after %v, across the last at first %v", len(m.Passes), m.Surveys, m.Passes[0].Against)
	}
	m = Draw(Face{X: x, Depth: parabola(x, 48e-6)}, parabola(x, 48e-6), nil, scraper)
	if !slices.Equal(m.Surveys, []int{5, 10, 13}) {
		t.Errorf("of %d passes surveys after %v", len(m.Passes), m.Surveys)
	}
	m = Draw(Face{X: x, Depth: parabola(x, 33e-6)}, parabola(x, 33e-6), nil, scraper) // a third of ten is passed by the fourth
	if len(m.Passes) != 10 || !slices.Equal(m.Surveys, []int{4, 7}) {
		t.Errorf("of %d passes surveys after %v", len(m.Passes), m.Surveys)
	}
	// 30 µm to 7 µm take eight passes of 3 µm, 24 µm: each begins a pass deeper than the next,
	// the last where 6 µm stand and not 7.
	m = Draw(f, f.Depth, nil, Options{DepthPerPass: 3e-6, Until: 7e-6})
	if len(m.Passes) != 8 {
		t.Fatalf("%d passes", len(m.Passes))
	}
	for k, p := range m.Passes {
		level := 6e-6 + 3e-6*float64(7-k)
		near(t, "a pass begins", p.Runs[0].From, 2-2*math.Sqrt(1-level/30e-6), 0.041)
	}
	near(t, "the last begins", m.Passes[7].Runs[0].From, 2-2*math.Sqrt(1-6e-6/30e-6), 0.005)
}

// A joint in the hump is cut by no pass, is not looked at for the line, and takes its part
// of the volume away; an end that overhangs is no end of the line.
func TestLeaveOut(t *testing.T) {
	x := stations(401, 4)
	h := parabola(x, 12e-6)
	joint, end := shape.Span{From: 1.9, To: 2.1}, shape.Span{From: 0, To: 0.5}
	for i, at := range x {
		if at <= 0.5 {
			h[i] = -1e-3
		}
	}
	way := Way{X: x, Height: h, Width: 0.1, LeaveOut: []shape.Span{joint, end}}
	f := must(t, Task{Ways: []Way{way}, Options: scraper}).Faces[0]
	// From 0.51 to 4 m the hump is a parabola of 12·(3.49/4)² µm over its ends.
	deep := 12e-6 * 3.49 * 3.49 / 16
	near(t, "deepest", f.Deepest, deep, 1e-12+deep*0.002)
	of := func(a, b float64) float64 { // ∫ of 4·deep·u(1−u) over 3.49 m
		p := func(s float64) float64 { u := (s - 0.51) / 3.49; return 4 * deep * 3.49 * (u*u/2 - u*u*u/3) }
		return p(b) - p(a)
	}
	near(t, "volume", f.Volume, 0.1*(of(0.51, 4)-of(1.9, 2.1)), 1e-4*0.1*of(0.51, 4))
	for _, p := range Draw(f, f.Depth, way.LeaveOut, scraper).Passes {
		for _, r := range p.Runs {
			if r.From < 2.1-1e-9 && r.To > 1.9+1e-9 || r.From < 0.5 {
				t.Errorf("a pass runs %v", r)
			}
		}
	}
}

// On a step, where all passes end at one place, the ends are staggered and nothing is dug
// beyond it; runs near one another are one.
func TestMapOfASteps(t *testing.T) {
	x := stations(401, 4)
	depth := make([]float64, len(x))
	for i := range x {
		if x[i] > 1 && x[i] < 2 || x[i] > 2.05 && x[i] < 3 {
			depth[i] = 9e-6
		}
	}
	m := Draw(Face{X: x, Depth: depth}, depth, nil, scraper)
	for k, p := range m.Passes {
		if len(p.Runs) != 1 || p.Runs[0].From < 0.99 || p.Runs[0].To > 3.01 {
			t.Errorf("pass %d: %v", k, p.Runs)
		}
		if k > 0 && math.Abs(p.Runs[0].From-m.Passes[k-1].Runs[0].From) < tooNear {
			t.Errorf("pass %d begins beside the one before: %v", k, p.Runs)
		}
	}
}

// What is not known is not cut, and is named.
func TestMapStopsAtDoubt(t *testing.T) {
	x := stations(81, 4)
	depth := parabola(x, 12e-6)
	low := make([]float64, len(x))
	for i := range x {
		low[i] = depth[i] - 8e-6
	}
	m := Draw(Face{X: x, Depth: depth}, low, nil, scraper)
	for _, p := range m.Passes {
		for _, r := range p.Runs {
			if r.From < 0.8 || r.To > 3.2 { // 8 µm stands there from 0.845 m on
				t.Errorf("cut at %v", r)
			}
		}
	}
	if len(m.CannotTell) != 2 {
		t.Errorf("cannot tell at %v", m.CannotTell)
	}
	if m := Draw(Face{X: x, Depth: depth}, make([]float64, len(x)), nil, scraper); len(m.Passes) > 0 {
		t.Errorf("cut where all may lie on the line: %v", m.Passes)
	}
}

// An end 25 mm inside that of the pass before is set 40 mm inside it, one 35 mm inside stays.
func TestStaggered(t *testing.T) {
	x, before := []float64{0, 4}, []shape.Span{{From: 1, To: 3}}
	for _, c := range [][2]shape.Span{{{From: 1.025, To: 2.975}, {From: 1.04, To: 2.96}}, {{From: 1.035, To: 2.965}, {From: 1.035, To: 2.965}}, {{From: 0, To: 4}, {From: 0, To: 4}}} {
		if got := staggered(x, []shape.Span{c[0]}, before); len(got) != 1 || math.Abs(got[0].From-c[1].From) > 1e-12 || math.Abs(got[0].To-c[1].To) > 1e-12 {
			t.Errorf("%v after %v: %v", c[0], before, got)
		}
	}
}

// A pad of many passes outweighs what was given, and a mean of logarithms is kept.
func TestLearn(t *testing.T) {
	near(t, "nothing but what was given", Learn(3e-6, nil), 3e-6, 1e-18)
	near(t, "one pad", Learn(3e-6, []Pad{{Depth: 12e-6, Passes: 2}}), math.Exp((math.Log(3e-6)+2*math.Log(6e-6))/3), 1e-15)
	near(t, "pads alone", Learn(0, []Pad{{Depth: 12e-6, Passes: 4}}), 3e-6, 1e-15)
	near(t, "nothing", Learn(0, nil), 0, 0)
	near(t, "pads that tell nothing", Learn(3e-6, []Pad{{Depth: 12e-6}, {Passes: 2}}), 3e-6, 1e-18)
}

// What passes left between the stations is cut too, adds to the passes where it stands up,
// and never brings the line down.
func TestBetweenStations(t *testing.T) {
	way := Way{X: []float64{0, 1, 2, 3, 4}, Height: []float64{0, 0, 0, 0, 0}, Width: 0.1,
		Between: []shape.Shape{{X: []float64{0, 1, 1.25, 1.5, 2, 2.5, 3, 4}, Y: []float64{0, 0, 9e-6, 0, 0, -5e-6, 0, 0}}}}
	f := must(t, Task{Ways: []Way{way}, Options: scraper}).Faces[0]
	near(t, "deepest", f.Deepest, 9e-6, 1e-15)
	near(t, "volume", f.Volume, 0.1*0.25*9e-6, 1e-15)
	near(t, "passes", f.Passes, 2, 0)
	runs := Draw(f, f.Depth, nil, scraper).Passes[0].Runs
	if len(runs) != 1 || runs[0].From < 1 || runs[0].To > 1.5 {
		t.Errorf("cut at %v", runs)
	}
	way.LeaveOut = []shape.Span{{From: 1.2, To: 1.3}}
	near(t, "left out", must(t, Task{Ways: []Way{way}, Options: scraper}).Faces[0].Deepest, 0, 0)
}
