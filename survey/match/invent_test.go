package match

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/beam/section"
	"footwork/survey"
)

const arcsec = math.Pi / 180 / 3600

// hidden is a bed as it really is: it shares no code with what is tried on it but
// package beam.
type hidden struct {
	bed      casting.Bed
	finished []float64
	rng      *rand.Rand
	solver   []*beam.Solver // of each standing
	stand    []beam.Standing
	draw     beam.Draw // factors; heights of the first standing
	form     []func(x float64) float64
	x        []float64 // m, stations
	noise    float64   // rad, of one reading
	heat     []float64 // K, true, of every Heat
	epochs   []hiddenEpoch
	moveErr  float64
}

type hiddenEpoch struct {
	standing int
	heights  []float64
	heat     float64
}

// wear is a kind of metal.
type wear int

const (
	hollow wear = iota
	droop
	step
	short
	oneWay
	wears
)

var wearNames = [...]string{"hollow", "droop", "step", "short waves", "one way"}

// forms returns the metal of both ways, and its height from peak to valley.
func forms(kind wear, length float64, r *rand.Rand) ([]func(float64) float64, float64) {
	d := (8 + 22*r.Float64()) * 1e-6
	a, b := d, d*(0.5+0.5*r.Float64())
	of := func(shape func(s float64) float64) []func(float64) float64 {
		return []func(float64) float64{func(x float64) float64 { return a * shape(x/length) }, func(x float64) float64 { return b * shape(x/length) }}
	}
	switch kind {
	case hollow, oneWay:
		mid, wide := 0.35+0.3*r.Float64(), 0.5+0.3*r.Float64()
		f := of(func(s float64) float64 {
			u := (s - mid) / wide
			return -math.Exp(-4 * u * u)
		})
		if kind == oneWay {
			f[1] = func(float64) float64 { return 0 }
		}
		return f, d
	case droop:
		l := 0.15 + 0.15*r.Float64()
		return of(func(s float64) float64 {
			e := max(0, 1-min(s, 1-s)/l)
			return -e * e
		}), d
	case step:
		at := 0.3 + 0.4*r.Float64()
		a, b = a/2, b/2
		return of(func(s float64) float64 {
			if s < at {
				return 0
			}
			return 1
		}), d / 2
	}
	n, p := 6+6*r.Float64(), 6.3*r.Float64()
	a, b = a/4, b/4
	return of(func(s float64) float64 { return math.Sin(2*math.Pi*n*s+p) / 2 }), d / 4
}

func plateBed(length, height float64) casting.Bed {
	s, err := casting.FromPlates([]section.Plate{
		{Width: 0.032, Height: height, Offset: -0.24}, {Width: 0.032, Height: height, Offset: 0.24},
		{Width: 0.15, Height: 0.06, Offset: -0.25, Bottom: height}, {Width: 0.15, Height: 0.06, Offset: 0.25, Bottom: height},
	})
	if err != nil {
		panic(err)
	}
	s.To, s.Torsion, s.Warping, s.Plates, s.TwistGiven = length, 2e-5, 0, nil, true // by constants, free to warp
	return casting.Bed{Length: length, Sections: []casting.Section{s},
		Material: casting.Material{Modulus: 100e9, ShearModulus: 40e9, Density: 7150, Expansion: 11e-6},
		Ways:     []casting.Way{{Name: "front", Offset: -0.25, Width: 0.11}, {Name: "back", Offset: 0.25, Width: 0.11}}}
}

// invent makes a bed of 3 to 6 pairs of feet, unevenly spaced.
func invent(t testing.TB, seed uint64, kind wear) (*hidden, float64) {
	r := rand.New(rand.NewPCG(seed, uint64(kind)+77))
	pairs := 3 + r.IntN(4)
	length := 2 + 7*r.Float64()
	h := &hidden{bed: plateBed(length, 0.3+0.05*length), rng: r, noise: 0.3 * arcsec, moveErr: 2e-6}
	if r.IntN(2) == 0 {
		h.noise = 4e-6 // a level: a fifth of a division of 0.02 mm/m
	}
	s := beam.Standing{Name: "floor"}
	for i := range pairs {
		x := length * (0.08 + 0.84*float64(i)/float64(pairs-1))
		if i > 0 && i < pairs-1 {
			x += length * 0.1 * (r.Float64() - 0.5)
		}
		for side, y := range []float64{-0.24, 0.24} {
			s.Feet = append(s.Feet, beam.Foot{Name: fmt.Sprintf("%c%d", "FB"[side], i+1), At: x, Offset: y, Stiffness: 6e8})
		}
	}
	h.addStanding(t, s)
	b, tw, f := 0.2*r.NormFloat64(), 0.2*r.NormFloat64(), math.Ln2*r.NormFloat64()
	h.draw = beam.Draw{Bending: math.Exp(b), Twist: math.Exp(tw)}
	for range s.Feet {
		h.draw.Feet = append(h.draw.Feet, math.Exp(f+footSD*r.NormFloat64()))
		h.draw.Heights = append(h.draw.Heights, 40e-6*r.NormFloat64())
	}
	step := length * 0.92 / 26
	for i := range 27 {
		h.x = append(h.x, 0.04*length+step*float64(i))
	}
	var zone float64
	h.form, zone = forms(kind, length, r)
	return h, zone
}

func (h *hidden) addStanding(t testing.TB, s beam.Standing) {
	v, err := beam.NewSolver(h.bed, s, beam.Options{Cells: 1000})
	if err != nil {
		t.Fatal(err)
	}
	h.stand, h.solver = append(h.stand, s), append(h.solver, v)
}

// input is the job without its surveys.
func (h *hidden) input() Input {
	in := Input{Bed: h.bed, FinishedTo: h.finished, Seed: 1}
	for _, s := range h.stand {
		in.Standings = append(in.Standings, Standing{Standing: s, Solver: h.solver[len(in.Standings)], Like: -1})
	}
	return in
}

func (h *hidden) state(t testing.TB, e hiddenEpoch) *beam.State {
	d := h.draw
	d.Heights, d.Gradient = e.heights, &e.heat
	if e.standing > 0 {
		d.Feet = nil
	}
	st, err := h.solver[e.standing].Solve(beam.Case{Draw: d})
	if err != nil {
		t.Fatal(err)
	}
	return st
}

// survey reads both ways and the twist in a standing and adds an epoch.
func (h *hidden) survey(t testing.TB, in *Input, e hiddenEpoch, moves []Move, known Heat) {
	st := h.state(t, e)
	h.epochs, h.heat = append(h.epochs, e), append(h.heat, e.heat)
	in.Heats = append(in.Heats, known)
	ep := Epoch{Standing: e.standing, Moves: moves}
	var y [][]float64
	for i, w := range h.bed.Ways {
		v := st.Read(h.solver[e.standing].Probe(h.x, w.Offset))
		for k, x := range h.x {
			v[k] += h.form[i](x)
		}
		y = append(y, v)
		s := survey.Survey{Name: fmt.Sprintf("%s %d", w.Name, len(in.Epochs)), Way: w.Name, Instrument: survey.Autocollimator,
			Base: h.x[1] - h.x[0], Start: h.x[0], Unit: "rad", Scale: 1, Uncertainty: h.noise}
		s.Readings.Runs = []survey.Run{{Name: "run 1"}}
		for k := range h.x[1:] {
			s.Readings.Runs[0].Values = append(s.Readings.Runs[0].Values, math.Atan((v[k+1]-v[k])/s.Base)+h.noise*h.rng.NormFloat64())
		}
		ep.Surveys = append(ep.Surveys, h.reduce(t, s, i, len(in.Heats)-1))
	}
	s := survey.Survey{Name: fmt.Sprintf("twist %d", len(in.Epochs)), Instrument: survey.CrossLevel, Unit: "rad", Scale: 1, XScale: 1, Uncertainty: h.noise}
	s.Readings.X = slices.Clone(h.x)
	s.Readings.Runs = []survey.Run{{Name: "run 1"}}
	for k := range h.x {
		s.Readings.Runs[0].Values = append(s.Readings.Runs[0].Values, (y[1][k]-y[0][k])/(h.bed.Ways[1].Offset-h.bed.Ways[0].Offset)+h.noise*h.rng.NormFloat64())
	}
	ep.Surveys = append(ep.Surveys, h.reduce(t, s, -1, len(in.Heats)-1))
	in.Epochs = append(in.Epochs, ep)
}

func (h *hidden) reduce(t testing.TB, s survey.Survey, way, heat int) Survey {
	p, err := survey.Reduce(s)
	if err != nil {
		t.Fatal(err)
	}
	return Survey{Name: s.Name, Way: way, Profile: p, Heat: heat}
}
