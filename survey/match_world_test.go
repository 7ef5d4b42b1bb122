package survey

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"

	"footwork/beam"
	"footwork/beam/section"
)

// world is an invented bed that the inference does not see into.
type world struct {
	bed       beam.Bed
	standing  beam.Standing
	solver    *beam.Solver // as the job describes it
	truth     beam.Case
	stiff     float64 // of the truth's bed
	give      float64 // factor on its feet
	form      [2]func(x float64) float64
	slopeSD   float64 // rad
	heightsSD float64
	base      float64 // m, of the carriage
	rng       *rand.Rand
}

func shopBed(length float64) beam.Bed {
	s, err := beam.FromPlates([]section.Plate{
		{Width: 0.032, Height: 0.42, Offset: -0.24}, {Width: 0.032, Height: 0.42, Offset: 0.24},
		{Width: 0.15, Height: 0.06, Offset: -0.25, Bottom: 0.42}, {Width: 0.15, Height: 0.06, Offset: 0.25, Bottom: 0.42},
	})
	if err != nil {
		panic(err)
	}
	s.To, s.Torsion, s.Warping, s.Plates = length, 2e-5, 0, nil // by constants, free to warp
	return beam.Bed{Length: length, Sections: []beam.Section{s},
		Material: beam.Material{Modulus: 100e9, ShearModulus: 40e9, Density: 7150, Expansion: 11e-6},
		Ways:     []beam.Way{{Name: "front", Offset: -0.25, Width: 0.11}, {Name: "back", Offset: 0.25, Width: 0.11}}}
}

func newWorld(t testing.TB, pairs int, seed uint64) *world {
	w := &world{rng: rand.New(rand.NewPCG(seed, 7)), slopeSD: 0.3 / 3600 * math.Pi / 180, heightsSD: 25e-6, base: 0.15}
	length := 0.9 * float64(pairs)
	w.bed = shopBed(length)
	w.standing = beam.Standing{Name: "floor"}
	for i := range pairs {
		x := length * (0.08 + 0.84*float64(i)/float64(pairs-1))
		for side, y := range []float64{-0.24, 0.24} {
			w.standing.Feet = append(w.standing.Feet, beam.Foot{Name: fmt.Sprintf("%c%d", "FB"[side], i+1), At: x, Offset: y, Stiffness: 6e8})
		}
	}
	var err error
	if w.solver, err = beam.NewSolver(w.bed, w.standing, beam.Options{Cells: 1000}); err != nil {
		t.Fatal(err)
	}
	g := 0.4 * w.rng.NormFloat64()
	w.stiff, w.give = math.Exp(0.2*w.rng.NormFloat64()), math.Exp(math.Ln2*w.rng.NormFloat64())
	w.truth = beam.Case{Draw: beam.Draw{Bending: w.stiff, Twist: w.stiff, Gradient: &g}}
	for range w.standing.Feet {
		w.truth.Feet = append(w.truth.Feet, w.give)
		w.truth.Heights = append(w.truth.Heights, w.heightsSD*w.rng.NormFloat64())
	}
	for i := range w.form {
		a, c, k, p := 3e-6*w.rng.NormFloat64(), 1.5e-6*w.rng.NormFloat64(), 1+2*w.rng.Float64(), w.rng.Float64()*6
		w.form[i] = func(x float64) float64 {
			s := 2*x/length - 1
			return a*s*s + c*math.Cos(math.Pi*k*s+p)
		}
	}
	return w
}

// survey measures front, back and twist on the truth as it stands.
func (w *world) survey(t testing.TB, in *MatchInput, day string) {
	st, err := w.solver.Solve(w.truth)
	if err != nil {
		t.Fatal(err)
	}
	base := w.base
	n := int((w.bed.Length - 0.1) / base)
	x := make([]float64, n+1)
	for i := range x {
		x[i] = 0.05 + base*float64(i)
	}
	for side, way := range w.bed.Ways {
		y := st.Read(w.solver.Probe(x, way.Offset))
		p := Profile{X: x, Height: make([]float64, n+1), Cov: mat.NewSymDense(n+1, nil)}
		for i := range y {
			y[i] += w.form[side](x[i])
			if i > 0 {
				p.Height[i] = p.Height[i-1] + y[i] - y[i-1] + base*w.slopeSD*w.rng.NormFloat64()
			}
		}
		for i := range x {
			for j := i; j < len(x); j++ {
				p.Cov.SetSym(i, j, float64(i)*base*base*w.slopeSD*w.slopeSD)
			}
		}
		in.Surveys = append(in.Surveys, Survey{Name: way.Name + day, Standing: "floor", Way: way.Name, Instrument: Autocollimator, Date: day})
		in.Profiles = append(in.Profiles, p)
	}
	lo, hi := st.Read(w.solver.Probe(x, -0.25)), st.Read(w.solver.Probe(x, 0.25))
	p := Profile{X: x, Height: make([]float64, n+1), Cov: mat.NewSymDense(n+1, nil)}
	for i := range x {
		p.Height[i] = (hi[i]+w.form[1](x[i])-lo[i]-w.form[0](x[i]))/0.5 + w.slopeSD*w.rng.NormFloat64()
		p.Cov.SetSym(i, i, w.slopeSD*w.slopeSD)
	}
	in.Surveys = append(in.Surveys, Survey{Name: "twist" + day, Standing: "floor", Instrument: CrossLevel, Date: day})
	in.Profiles = append(in.Profiles, p)
}

func (w *world) input() MatchInput {
	return MatchInput{Ways: w.bed.Ways, Standing: "floor",
		Standings: []StandingModel{{Standing: w.standing, Solver: w.solver}}}
}
