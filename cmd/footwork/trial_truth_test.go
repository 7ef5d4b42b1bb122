package main

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/beam/section"
	"footwork/beam/shape"
	"footwork/survey"
	"footwork/survey/match"
)

// truth is a bed as it really is. Nothing of it is in the job: neither its
// stiffness nor that of its feet, nor their heights, nor heat, nor form. It shares
// no code with what is tried on it but package beam, and is cut differently there;
// only the best setting that plans are held against comes from internal/convex.
type truth struct {
	job      casting.Bed
	nominal  beam.Standing
	ways     []casting.Way
	solver   *beam.Solver
	state    beam.Case
	form     []func(x float64) float64
	contact  []bool
	noise    float64 // rad, of one reading
	base     float64 // m
	stations []float64
	rise     float64 // m per turn
	rng      *rand.Rand
	day      int
	moves    []match.Move // since the last survey
}

const (
	arcsec = math.Pi / 180 / 3600
	// leastLoad is the share of the mean load that every foot must carry.
	leastLoad = 0.15
	// felt is the share of the mean load from which a hand feels that a foot carries.
	felt = 0.02
	// screwError is how far a hand misses the wanted turn: up to this either way.
	screwError = 2.0 / 360
)

// newTruth invents a bed of 3 to 5 pairs of feet whose job file says something
// else. The feet are wedges that rise half a millimetre a turn.
func newTruth(t testing.TB, seed uint64) *truth {
	r := rand.New(rand.NewPCG(seed, 20260302))
	pairs := 3 + int(seed%3)
	length := float64(pairs) * (0.8 + 0.3*r.Float64())
	w := &truth{job: plateBed(length), noise: 0.3 * arcsec, base: 0.15, rise: 0.5e-3, rng: r, nominal: beam.Standing{Name: "shop floor"}}
	w.ways = w.job.Ways
	for i := range pairs {
		x := length * (0.08 + 0.84*float64(i)/float64(pairs-1))
		for side, y := range []float64{-0.24, 0.24} {
			w.nominal.Feet = append(w.nominal.Feet, beam.Foot{Name: fmt.Sprintf("%c%d", "FB"[side], i+1), At: x, Offset: y, Stiffness: 6e8})
		}
	}
	real, cells := w.nominal, 1500
	real.Feet = append([]beam.Foot(nil), w.nominal.Feet...)
	if seed%2 == 1 { // feet of some length, another grid
		cells = 777
		for i := range real.Feet {
			real.Feet[i].Length = 0.06
		}
	}
	heat := 0.4 * r.NormFloat64()
	bed, feet := 0.75+0.5*r.Float64(), math.Exp2(2*r.Float64()-1)
	w.state = beam.Case{Draw: beam.Draw{Bending: bed, Twist: bed, Feet: slices.Repeat([]float64{feet}, 2*pairs), Gradient: &heat}}
	for range w.nominal.Feet {
		w.state.Heights = append(w.state.Heights, 25e-6*r.NormFloat64())
	}
	for range w.ways {
		w.form = append(w.form, wornForm(r, length))
	}
	for x := 0.05; x < length-0.04; x += w.base {
		w.stations = append(w.stations, x)
	}
	var err error
	if w.solver, err = beam.NewSolver(w.job, real, beam.Options{Cells: cells}); err != nil {
		t.Fatal(err)
	}
	return w
}

// plateBed is an invented surface grinder bed of plates, as the job describes it.
func plateBed(length float64) casting.Bed {
	s, err := casting.FromPlates([]section.Plate{
		{Width: 0.032, Height: 0.42, Offset: -0.24}, {Width: 0.032, Height: 0.42, Offset: 0.24},
		{Width: 0.15, Height: 0.06, Offset: -0.25, Bottom: 0.42}, {Width: 0.15, Height: 0.06, Offset: 0.25, Bottom: 0.42},
	})
	if err != nil {
		panic(err)
	}
	s.To, s.Torsion = length, 2e-5
	return casting.Bed{Length: length, Sections: []casting.Section{s},
		Material: casting.Material{Modulus: 100e9, ShearModulus: 40e9, Density: 7150, Expansion: 11e-6},
		Ways:     []casting.Way{{Name: "front", Offset: -0.25, Width: 0.11}, {Name: "back", Offset: 0.25, Width: 0.11}}}
}

// wornForm is a bow, a hollow worn somewhere, and a wave.
func wornForm(r *rand.Rand, length float64) func(float64) float64 {
	bow, hollow, wave := 2e-6*r.NormFloat64(), 2e-6*r.Float64(), 0.5e-6*r.NormFloat64()
	at, wide := length*(0.2+0.6*r.Float64()), length*(0.08+0.1*r.Float64())
	turns, phase := 1+3*r.Float64(), 6.28*r.Float64()
	return func(x float64) float64 {
		s, d := 2*x/length-1, (x-at)/wide
		return -bow*s*s - hollow*math.Exp(-d*d/2) + wave*math.Sin(math.Pi*turns*s+phase)
	}
}

func (w *truth) stand(t testing.TB) *beam.State {
	w.state.Contact = w.contact
	st, err := w.solver.Solve(w.state)
	if err != nil {
		t.Fatal(err)
	}
	w.contact = st.Contact()
	return st
}

// draw is the bed as it stands, for who knows it.
func (w *truth) draw() beam.Draw {
	d := w.state.Draw
	d.Heights = slices.Clone(d.Heights)
	for _, form := range w.form {
		f := shape.Shape{X: w.stations}
		for _, x := range w.stations {
			f.Y = append(f.Y, form(x))
		}
		d.Form = append(d.Form, f)
	}
	return d
}

// heights returns the true heights of each way at the stations, form and all.
func (w *truth) heights(t testing.TB) [][]float64 {
	st := w.stand(t)
	var out [][]float64
	for i, way := range w.ways {
		y := st.Read(w.solver.Probe(w.stations, way.Offset))
		for k, x := range w.stations {
			y[k] += w.form[i](x)
		}
		out = append(out, y)
	}
	return out
}

// zoneOf returns the zone of both ways about one common plane.
func (w *truth) zoneOf(ways [][]float64) float64 {
	var x, y, h []float64
	for i, heights := range ways {
		for k, at := range w.stations {
			x, y, h = append(x, at), append(y, w.ways[i].Offset), append(h, heights[k])
		}
	}
	z, _, _, _ := shape.NewPlanes(x, y).Zone(h)
	return z
}

// lift is what a unit raise of one foot does while all are held: N/m and m/m.
type lift struct {
	loads []float64
	read  func(*beam.Probe) []float64
}

func (w *truth) date() string { return fmt.Sprintf("2026-03-%02d", 2+w.day) }

// measure reads both ways and the twist with the instrument's noise.
func (w *truth) measure(t testing.TB, in *match.Input) {
	h := w.heights(t)
	in.Heats = append(in.Heats, match.Heat{SD: 0.5})
	in.Epochs = append(in.Epochs, match.Epoch{Moves: w.moves})
	w.moves = nil
	for i, way := range w.ways {
		s := survey.Survey{Name: way.Name + " " + w.date(), Standing: "shop floor", Way: way.Name, Instrument: survey.Autocollimator,
			Base: w.base, Start: w.stations[0], Unit: "arcsec", Scale: arcsec, Uncertainty: w.noise, Date: w.date()}
		s.Readings.Runs = []survey.Run{{Name: "run 1", Values: make([]float64, len(w.stations)-1)}}
		for k := range s.Readings.Runs[0].Values {
			slope := math.Atan((h[i][k+1] - h[i][k]) / w.base)
			s.Readings.Runs[0].Values[k] = (slope + w.noise*w.rng.NormFloat64()) / arcsec
		}
		w.reduce(t, in, s, i)
	}
	s := survey.Survey{Name: "twist " + w.date(), Standing: "shop floor", Instrument: survey.CrossLevel, Unit: "arcsec", Scale: arcsec,
		XScale: 1, Uncertainty: w.noise, Date: w.date()}
	s.Readings.X = w.stations
	s.Readings.Runs = []survey.Run{{Name: "run 1"}}
	for k := range w.stations {
		slope := (h[1][k] - h[0][k]) / (w.ways[1].Offset - w.ways[0].Offset)
		s.Readings.Runs[0].Values = append(s.Readings.Runs[0].Values, (slope+w.noise*w.rng.NormFloat64())/arcsec)
	}
	w.reduce(t, in, s, -1)
}

func (w *truth) reduce(t testing.TB, in *match.Input, s survey.Survey, way int) {
	p, err := survey.Reduce(s)
	if err != nil {
		t.Fatal(err)
	}
	now := &in.Epochs[len(in.Epochs)-1]
	now.Surveys = append(now.Surveys, match.Survey{Name: s.Name, Way: way, Profile: p, Heat: w.day})
}

// feel tells of every foot whether it turns by hand.
func (w *truth) feel(t testing.TB, in *match.Input) (loose []bool) {
	st := w.stand(t)
	mean := st.Weight() / float64(len(w.nominal.Feet))
	now := &in.Epochs[len(in.Epochs)-1]
	for i, f := range st.Feet() {
		row := match.Felt{Foot: i, Touch: match.Solid, Heat: w.day}
		if f.Load < felt*mean {
			row.Touch = match.Free
		}
		now.Felt, loose = append(now.Felt, row), append(loose, row.Touch == match.Free)
	}
	return loose
}

// turn carries a move out: the wanted raise and a slip of the hand.
func (w *truth) turn(foot int, raise float64) {
	w.state.Heights[foot] += raise + (2*w.rng.Float64()-1)*screwError*w.rise
}

// touch raises a loose foot until it just takes load, and returns the turn read
// on the screw, as a length.
func (w *truth) touch(t testing.TB, foot int) float64 {
	gap := w.stand(t).Feet()[foot].Gap
	miss := (2*w.rng.Float64() - 1) * screwError * w.rise
	w.state.Heights[foot] += gap + miss
	return gap + miss
}

// watch raises a foot in small steps with the carriage standing between it and
// its neighbour, until the reading begins to move, and returns where that was: the
// place of the bend in two straight lines through the readings. The foot is left there.
func (w *truth) watch(t testing.TB, foot int) float64 {
	const step, most = 3e-6, 60
	f := w.nominal.Feet[foot]
	way := foot % 2
	at := f.At + math.Copysign(0.35, w.job.Length/2-f.At)
	k := int((at - w.stations[0]) / w.base)
	probe := w.solver.Probe(w.stations[k:k+2], w.ways[way].Offset)
	start := w.state.Heights[foot]
	var turned, reading []float64
	for i := range most {
		w.state.Heights[foot] = start + step*float64(i)
		y := w.stand(t).Read(probe)
		turned = append(turned, step*float64(i))
		reading = append(reading, (y[1]-y[0])/w.base+w.noise*w.rng.NormFloat64())
		if bend, size := bent(turned, reading); i > 6 && size > 6*w.noise && turned[i]-bend > 4*step {
			break
		}
	}
	bend, _ := bent(turned, reading)
	if bend < 2*step { // it moved at once: the foot carries, and is turned back
		bend = 0
	}
	w.state.Heights[foot] = start + bend
	return bend
}
