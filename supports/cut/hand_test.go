package cut

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"footwork/beam/shape"

	"gonum.org/v1/gonum/floats"
)

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
