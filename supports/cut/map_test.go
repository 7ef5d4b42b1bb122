package cut

import (
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"footwork/beam"
)

// A hump of four passes is cut from its top: every pass holds the one before, a place is
// left with eight tenths of a pass at most and dug by two, ends do not fall on one another.
func TestMapOfAHump(t *testing.T) {
	x := stations(81, 4)
	depth := parabola(x, 12e-6)
	m := Draw(x, depth, depth, 3e-6)
	if len(m.Passes) != 4 {
		t.Fatalf("%d passes", len(m.Passes))
	}
	for i, at := range x {
		cut := 0.0
		for _, p := range m.Passes {
			if inside(p.Runs, at) {
				cut += 3e-6
			}
		}
		if left := depth[i] - cut; left > 2.5e-6 || left < -0.7e-6 {
			t.Errorf("at %g m %g is cut of %g", at, cut, depth[i])
		}
	}
	for k := 1; k < 4; k++ {
		a, b := m.Passes[k-1].Runs[0], m.Passes[k].Runs[0]
		if b.From > a.From-tooNear || b.To < a.To+tooNear {
			t.Errorf("pass %d: %v after %v", k+1, b, a)
		}
		if m.Passes[k].Against == m.Passes[k-1].Against {
			t.Error("two passes in one direction")
		}
	}
	if !slices.Equal(m.Surveys, []int{2}) {
		t.Errorf("surveys after %v", m.Surveys)
	}
}

func inside(runs []beam.Span, at float64) bool {
	return slices.ContainsFunc(runs, func(s beam.Span) bool { return at >= s.From && at <= s.To })
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
	m := Draw(x, depth, depth, 3e-6)
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
	m := Draw(x, depth, low, 3e-6)
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
}

// A pad of many passes outweighs what was given, and a mean of logarithms is kept.
func TestLearn(t *testing.T) {
	near(t, "nothing but what was given", Learn(3e-6, nil), 3e-6, 1e-18)
	near(t, "one pad", Learn(3e-6, []Pad{{Depth: 12e-6, Passes: 2}}), math.Exp((math.Log(3e-6)+2*math.Log(6e-6))/3), 1e-15)
	near(t, "pads alone", Learn(0, []Pad{{Depth: 12e-6, Passes: 4}}), 3e-6, 1e-15)
	near(t, "nothing", Learn(0, nil), 0, 0)
}

// hand is a scraper: a pass takes off what it takes, scattered by three tenths.
type hand struct {
	r      *rand.Rand
	x      []float64
	metal  []float64
	deep   float64 // m, of his passes on the mean
	most   float64 // m, of the deepest
	passes int
}

func (h *hand) pass(p Pass) {
	d := h.deep * max(0.1, 1+0.3*h.r.NormFloat64())
	h.most = max(h.most, d)
	for i, at := range h.x {
		if inside(p.Runs, at) {
			h.metal[i] -= d
		}
	}
	h.passes++
}

// survey adds slopes up, each wrong by sigma times the step.
func (h *hand) survey(sigma float64) []float64 {
	out := slices.Clone(h.metal)
	off := 0.0
	for i := range out {
		out[i] += off
		off += sigma * h.r.NormFloat64()
	}
	return out
}

// A hidden way is scraped by the map, surveyed in full when it says so, until it is within
// tolerance as far as the survey tells; one who sees the truth after every pass does the same
// way. On the sum of all ways that costs no more than 15 % more passes, every way ends within
// tolerance, and none is dug below its lowest line by more than a pass.
func TestScraperOnHiddenWays(t *testing.T) {
	count := 4
	if os.Getenv("FOOTWORK_TRIAL") != "" {
		count = 50
	}
	const tolerance, reading = 6e-6, 0.15e-6 // of 0.3 arc seconds over 100 mm
	var blind, seeing int
	for n := range count {
		r := rand.New(rand.NewPCG(7, uint64(n)))
		x := stations(41, 4)
		metal := wavy(r, x)
		for i := range metal {
			metal[i] *= 1.5
		}
		given := 3e-6
		deep := given * math.Exp(0.3*r.NormFloat64())
		line := lowest(x, metal)
		a := &hand{r: rand.New(rand.NewPCG(8, uint64(n))), x: x, metal: slices.Clone(metal), deep: deep}
		b := &hand{r: rand.New(rand.NewPCG(8, uint64(n))), x: x, metal: slices.Clone(metal), deep: deep}
		a.byMap(given, reading, tolerance)
		b.seeing(tolerance)
		if z := beam.Zone(x, a.metal); z > tolerance {
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
	t.Logf("%d ways: %d passes by map, %d by one who sees", count, blind, seeing)
	if float64(blind) > 1.15*float64(seeing) {
		t.Errorf("%d passes by map, %d by one who sees", blind, seeing)
	}
}

// lowest returns the lowest line that removal reaches.
func lowest(x, h []float64) []float64 {
	r, _ := Cut(Task{Ways: []Way{{X: x, Height: h}}, Wish: scraper})
	out := slices.Clone(h)
	for i, d := range r.Faces[0].Depth {
		out[i] -= d
	}
	return out
}

// byMap scrapes by surveys and maps.
func (h *hand) byMap(perPass, reading, tolerance float64) {
	var pads []Pad
	for range 30 {
		seen := h.survey(reading)
		// Of two surveys' slopes about their line the middle is known to √n/2 steps.
		unsure := 2 * reading * math.Sqrt(float64(len(h.x))) / 2
		if beam.Zone(h.x, seen)+unsure <= tolerance {
			return
		}
		r, _ := Cut(Task{Ways: []Way{{X: h.x, Height: seen}}, Wish: scraper})
		depth := r.Faces[0].Depth
		low := slices.Clone(depth)
		for i := range low {
			low[i] -= unsure
		}
		m := Draw(h.x, depth, low, Learn(perPass, pads))
		todo := len(m.Passes)
		if len(m.Surveys) > 0 {
			todo = m.Surveys[0]
		}
		if todo == 0 {
			return
		}
		before := slices.Clone(seen)
		for _, p := range m.Passes[:todo] {
			h.pass(p)
		}
		after := h.survey(reading)
		pads = append(pads, padOf(h.x, before, after, m.Passes[:todo]))
	}
}

// padOf learns from two surveys what the passes took: the way's own lines differ by a line
// that what was not cut tells.
func padOf(x, before, after []float64, passes []Pass) Pad {
	var off, all beam.Shape
	for i := range x {
		d := before[i] - after[i]
		all.X, all.Y = append(all.X, x[i]), append(all.Y, d)
		if !inside(passes[len(passes)-1].Runs, x[i]) {
			off.X, off.Y = append(off.X, x[i]), append(off.Y, d)
		}
	}
	if len(off.X) < 4 {
		return Pad{}
	}
	line := off.LeastSquaresLine()
	deep, n := 0.0, 0.0
	for i := range x {
		if inside(passes[0].Runs, x[i]) {
			deep += all.Y[i] - line.A - line.B*x[i]
			n++
		}
	}
	if n == 0 || deep <= 0 {
		return Pad{}
	}
	return Pad{Depth: deep / n, Passes: len(passes)}
}

// seeing scrapes with the truth before his eyes, and knows his hand.
func (h *hand) seeing(tolerance float64) {
	for range 60 {
		if beam.Zone(h.x, h.metal) <= tolerance {
			return
		}
		r, _ := Cut(Task{Ways: []Way{{X: h.x, Height: h.metal}}, Wish: scraper})
		depth := r.Faces[0].Depth
		m := Draw(h.x, depth, depth, h.deep)
		if len(m.Passes) == 0 {
			return
		}
		h.pass(m.Passes[0])
	}
}
