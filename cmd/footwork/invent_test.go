package main

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"

	"footwork/beam"
	"footwork/beam/shape"
	"footwork/internal/job"
	"footwork/survey"
)

// demoJob is the demo's job, and demoSheets are its surveys in their order.
var (
	demoJob, _ = demoFiles.ReadFile("demo/" + demoName)
	demoSheets = []string{"front-first.csv", "back-first.csv", "cross-first.csv"}
)

// The demo's readings were invented by this recipe: a bed whose stiffness, feet,
// warmth and form the job file does not know is stood up and read with an
// instrument that drifts and scatters. The seed is fixed, so it is always the
// same bed.

// invented is the bed as it really is.
type invented struct {
	standing   string
	sheets     []string  // of its surveys, in the job's order
	heights    []float64 // m, of its feet
	bedFactor  float64
	footFactor float64
	gradient   float64 // K
	scatter    float64 // of one reading, as a share of its stated uncertainty
	drift      float64 // readings' own unit, from the first to the last
	metal      float64 // of the form that the grinding machine left, a share
}

func inventedBed() invented {
	const um = 1e-6
	return invented{standing: "shop floor", sheets: demoSheets, metal: 1, bedFactor: 0.88, footFactor: 0.7, gradient: 0.15, scatter: 0.9, drift: 0.6,
		heights: []float64{12 * um, -6 * um, 16 * um, 24 * um, 20 * um, -72 * um, -2 * um, 14 * um}}
}

// at returns the bed with its feet at such heights.
func (inv invented) at(heights []float64) beam.Case {
	return beam.Case{Draw: beam.Draw{Heights: heights, Bending: inv.bedFactor, Twist: inv.bedFactor,
		Feet: slices.Repeat([]float64{inv.footFactor}, len(heights)), Gradient: &inv.gradient}}
}

// wayOf returns the heights of a way as the bed stands.
func wayOf(st *beam.State, offset float64) shape.Shape {
	ways, _ := st.Ways(offset)
	return ways[0]
}

// form is the shape in the metal, m: what the grinding machine left.
func (inv invented) form(way string, x, length float64) float64 {
	phase := 0.4
	if way == "back" {
		phase = 1.5
	}
	t := x / length
	return inv.metal * 1e-6 * (2.2*math.Sin(2*math.Pi*t*1.5+phase) + 0.7*math.Sin(2*math.Pi*t*4+3*phase))
}

// readings returns the CSV of every survey of the job by file name.
func (inv invented) readings(j *job.Job) (map[string][]byte, error) {
	st, err := j.Standing(inv.standing)
	if err != nil {
		return nil, err
	}
	v, err := beam.NewSolver(j.Bed, st.Standing, beam.Options{})
	if err != nil {
		return nil, err
	}
	state, err := v.Solve(inv.at(inv.heights))
	if err != nil {
		return nil, err
	}
	way := func(name string) shape.Shape {
		for _, w := range j.Bed.Ways {
			if w.Name == name {
				s := wayOf(state, w.Offset)
				for i, x := range s.X {
					s.Y[i] += inv.form(name, x, j.Bed.Length)
				}
				return s
			}
		}
		panic("the demo's job has no way " + name)
	}
	noise := rand.New(rand.NewPCG(4200, 2026))
	files := map[string][]byte{}
	for i, s := range j.Surveys {
		shape := way("front")
		if s.Instrument == survey.CrossLevel {
			front, across := shape, j.Bed.Ways[1].Offset-j.Bed.Ways[0].Offset
			shape = way("back").Minus(front)
			for i := range shape.Y {
				shape.Y[i] /= across
			}
		} else {
			shape = way(s.Way)
		}
		files[inv.sheets[i]] = inv.sheet(s, shape, noise)
	}
	return files, nil
}

// sheet writes one survey's CSV: out, and back over the same stations. For the
// cross level one run.
func (inv invented) sheet(s survey.Survey, shape shape.Shape, noise *rand.Rand) []byte {
	x, value := s.Expect(shape)
	sd := inv.scatter * s.Uncertainty / s.Scale
	var b bytes.Buffer
	fmt.Fprintf(&b, "# %s; invented\n", s.Name)
	cross := s.Instrument == survey.CrossLevel
	if cross {
		b.WriteString("x,run 1\n")
	} else {
		b.WriteString("station,out,back\n")
	}
	n := float64(len(value))
	for i, v := range value {
		if cross {
			fmt.Fprintf(&b, "%.0f,%.2f\n", x[i]*1e3, v+sd*noise.NormFloat64())
			continue
		}
		out := v + inv.drift*float64(i)/(2*n) + sd*noise.NormFloat64()
		back := v + inv.drift*(2*n-float64(i))/(2*n) + sd*noise.NormFloat64()
		fmt.Fprintf(&b, "%d,%.2f,%.2f\n", i+1, out, back)
	}
	return b.Bytes()
}

// blankReadings is a CSV of zeros with the right stations, from which the job is
// read before there are readings.
func blankReadings(file string) []byte {
	var b bytes.Buffer
	if file == "cross-first.csv" {
		b.WriteString("x,run 1\n")
		for x := 150; x <= 4050; x += 300 {
			fmt.Fprintf(&b, "%d,0\n", x)
		}
		return b.Bytes()
	}
	b.WriteString("station,out,back\n")
	for i := range 27 {
		fmt.Fprintf(&b, "%d,0,0\n", i+1)
	}
	return b.Bytes()
}
