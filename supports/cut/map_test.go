package cut

import (
	"math"
	"math/rand/v2"
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

// hand is a scraper: a pass takes off what it takes, scattered by three tenths.
type hand struct {
	r      *rand.Rand
	x      []float64
	metal  []float64
	deep   float64 // m, of his passes on the mean
	most   float64 // m, of the deepest
	passes int
	every  int       // of its places is a station of his surveys
	logged []float64 // m, taken off by what he wrote down
}

func (h *hand) depth() float64 { return h.deep * max(0.1, 1+0.3*h.r.NormFloat64()) }

// pass returns how deep it went.
func (h *hand) pass(p Pass) float64 {
	d := h.depth()
	h.most = max(h.most, d)
	for i, t := range Taken(h.x, []Pass{p}, d) {
		h.metal[i] -= t
	}
	h.passes++
	return d
}

// survey adds slopes up at his stations, each wrong by sigma.
func (h *hand) survey(sigma float64) (out []float64) {
	off := 0.0
	for i := 0; i < len(h.x); i += h.every {
		out = append(out, h.metal[i]+off)
		off += sigma * h.step() * h.r.NormFloat64()
	}
	return out
}

// atStations returns what has places everywhere at his stations.
func (h *hand) atStations(all []float64) (out []float64) {
	for i := 0; i < len(h.x); i += h.every {
		out = append(out, all[i])
	}
	return out
}

// step is how far apart his stations stand, m.
func (h *hand) step() float64 { return h.x[h.every] - h.x[0] }

// pad is cut where metal comes off anyway, four passes deep, and told by an indicator.
func (h *hand) pad() Pad {
	p := Pad{Passes: 4, Depth: 0.3e-6 * h.r.NormFloat64()}
	for range p.Passes {
		p.Depth += h.depth()
	}
	return p
}

// check lays the level astride the marks of a pass, before it and after: what it read
// changes by the depth over its base. Without a mark on the way it tells nothing.
func (h *hand) check(p Pass, depth, sigma float64) (seen float64, told bool) {
	marks := 0.0
	for _, s := range p.Runs {
		for _, at := range []float64{s.From, s.To} {
			if at > h.x[0] && at < h.x[len(h.x)-1] {
				seen += depth + 2*sigma*h.r.NormFloat64() // each read once
				marks++
			}
		}
	}
	return seen / max(marks, 1), marks > 0
}

// A hidden way is scraped by the map: a pad first, the level at the marks after every pass,
// a full survey when the map says so and before it is called done. One who sees the truth
// after every pass, and knows his hand, does the same way. On the sum of all ways the map
// costs no more than 15 % more passes, every way ends within tolerance, between its stations
// too, and none is dug below its lowest line by more than a pass. No constant was chosen on
// these ways, whose shortest waves are 1.6 m long; the log says where each pass ended.
func TestScraperOnHiddenWays(t *testing.T) {
	for _, every := range []int{1, 2} {
		scrapeHidden(t, every)
	}
}

func scrapeHidden(t *testing.T, every int) {
	t.Helper()
	const count, tolerance, reading = 50, 6e-6, 0.69e-6 // m and m/m: of 0.2 arc seconds, out and back, as in the demo
	var blind, seeing int
	for n := range count {
		r := rand.New(rand.NewPCG(71, uint64(n)))
		x := stations(61, 3.9)
		metal := wavy(r, x)
		for i := range metal {
			metal[i] *= 1.5
		}
		given := 3e-6
		deep := given * math.Exp(0.3*r.NormFloat64())
		line := lowest(x, metal)
		a := &hand{r: rand.New(rand.NewPCG(72, uint64(n))), x: x, metal: slices.Clone(metal), deep: deep, every: every, logged: make([]float64, len(x))}
		b := &hand{r: rand.New(rand.NewPCG(73, uint64(n))), x: x, metal: slices.Clone(metal), deep: deep, every: 1, logged: make([]float64, len(x))}
		a.byMap(given, reading, tolerance)
		b.seeing(tolerance)
		if z := shape.Zone(x, a.metal); z > tolerance {
			t.Errorf("way %d ends %.1f µm out of straight", n, z*1e6)
		}
		for i := range x {
			if a.metal[i] < line[i]-a.most {
				t.Errorf("way %d is dug %.1f µm below the lowest line at %g m, the deepest pass took %.1f µm", n, (line[i]-a.metal[i])*1e6, x[i], a.most*1e6)
				break
			}
		}
		blind, seeing = blind+a.passes, seeing+b.passes
	}
	t.Logf("%d ways, stations %.0f mm apart: %d passes by map, %d by one who sees", count, 65*float64(every), blind, seeing)
	if float64(blind) > 1.15*float64(seeing) {
		t.Errorf("%d passes by map, %d by one who sees", blind, seeing)
	}
}

// lowest returns the lowest line that removal reaches.
func lowest(x, h []float64) []float64 {
	r, _ := Cut(Task{Ways: []Way{{X: x, Height: h}}, Options: scraper})
	out := slices.Clone(h)
	for i, d := range r.Faces[0].Depth {
		out[i] -= d
	}
	return out
}

// byMap scrapes by surveys, levels and maps.
func (h *hand) byMap(perPass, reading, tolerance float64) {
	pads := []Pad{h.pad()}
	for range 30 {
		seen := h.survey(reading)
		// Of slopes added up and taken about their line the middle is known to √n/2 steps.
		unsure := 2 * reading * h.step() * math.Sqrt((h.x[len(h.x)-1]-h.x[0])/h.step()) / 2
		if h.zone(seen)+unsure <= tolerance {
			return
		}
		for due, k := -1, 0; k != due; k++ {
			m := h.mapOf(seen, unsure, tolerance, Learn(perPass, pads))
			if due < 0 {
				due = len(m.Passes)
				if len(m.Surveys) > 0 {
					due = m.Surveys[0]
				}
			}
			if len(m.Passes) == 0 || k > 0 && h.zone(seen)+unsure <= tolerance {
				break
			}
			took, told := h.check(m.Passes[0], h.pass(m.Passes[0]), reading*h.step())
			if told && took > 0 {
				pads = append(pads, Pad{Depth: took, Passes: 1})
			} else {
				took = Learn(perPass, pads)
			}
			taken := Taken(h.x, m.Passes[:1], took)
			floats.Add(h.logged, taken)
			floats.Sub(seen, h.atStations(taken))
		}
	}
}

// between is what the log has between his stations.
func (h *hand) between() shape.Shape {
	shown, out := shape.Shape{X: h.atStations(h.x), Y: h.atStations(h.logged)}, shape.Shape{X: h.x}
	for i, x := range h.x {
		out.Y = append(out.Y, shown.At(x)-h.logged[i])
	}
	return out
}

// zone is how far out of straight he takes it to be, by what was seen at his stations.
func (h *hand) zone(seen []float64) float64 {
	shown := shape.Shape{X: h.atStations(h.x), Y: seen}
	all := h.between().Y
	for i, x := range h.x {
		all[i] += shown.At(x)
	}
	return shape.Zone(h.x, all)
}

func (h *hand) mapOf(seen []float64, unsure, tolerance, perPass float64) Map {
	way, between := Way{X: h.atStations(h.x), Height: seen}, h.between()
	way.Between = []shape.Shape{between}
	r, _ := Cut(Task{Ways: []Way{way}, Options: scraper})
	low := slices.Clone(r.Faces[0].Depth)
	for i := range low {
		low[i] -= unsure
	}
	return Draw(r.Faces[0], low, nil, Options{DepthPerPass: perPass, Until: tolerance})
}

// seeing scrapes with the truth before his eyes, and knows his hand.
func (h *hand) seeing(tolerance float64) {
	for range 60 {
		if shape.Zone(h.x, h.metal) <= tolerance {
			return
		}
		m := h.mapOf(h.metal, 0, tolerance, h.deep) // every is 1
		if len(m.Passes) == 0 {
			return
		}
		h.pass(m.Passes[0])
	}
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
