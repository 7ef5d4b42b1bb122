package ride

import (
	"fmt"
	"math"

	"pgregory.net/rapid"

	"footwork/beam"
	"footwork/beam/casting"
)

func solverOf(t interface {
	Helper()
	Fatal(...any)
}, b casting.Bed, s beam.Standing, o beam.Options) *Bed {
	t.Helper()
	v, err := beam.NewSolver(b, s, o)
	if err != nil {
		t.Fatal(err)
	}
	return On(v)
}

// shopBed is an invented surface grinder bed, known by its constants.
func shopBed(length float64) casting.Bed {
	return casting.Bed{Length: length, Material: casting.Material{Modulus: 100e9, ShearModulus: 40e9, Density: 7150, Expansion: 11e-6},
		Sections: []casting.Section{{To: length, Area: 0.045, Inertia: 1.1e-3, ShearArea: 0.027, Torsion: 2e-5, Depth: 0.48}},
		Ways:     []casting.Way{{Name: "front", Offset: -0.25, Width: 0.11}, {Name: "back", Offset: 0.25, Width: 0.11}}}
}

// pairs stands a bed on n pairs of feet, evenly from 8 % to 92 % of its length.
func pairs(length float64, n int, k float64) beam.Standing {
	s := beam.Standing{Name: "floor"}
	for i := range n {
		for side, y := range []float64{-0.24, 0.24} {
			s.Feet = append(s.Feet, beam.Foot{Name: fmt.Sprintf("%c%d", "FB"[side], i+1), At: length * (0.08 + 0.84*float64(i)/float64(n-1)), Offset: y, Stiffness: k})
		}
	}
	return s
}

// drawBed draws a bed of two sections that are not alike.
func drawBed(t *rapid.T) casting.Bed {
	b := shopBed(rapid.Float64Range(1, 8).Draw(t, "length"))
	first, f := b.Sections[0], func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	first.To = b.Length / 2
	next := first
	next.From, next.To = first.To, b.Length
	next.Inertia, next.Torsion, next.Offset = f("inertia", 2e-4, 4e-3), f("torsion", 1e-6, 1e-3), f("offset", -0.03, 0.03)
	next.ShearCentre, next.Warping = f("shear centre", -0.1, 0.1), rapid.SampledFrom([]float64{0, 1e-5, 2e-4}).Draw(t, "warping")
	b.Sections = []casting.Section{first, next}
	return b
}

// drawStanding draws feet in pairs that certainly hold the bed.
func drawStanding(t *rapid.T, long float64) beam.Standing {
	s := beam.Standing{Gradient: rapid.Float64Range(-1, 1).Draw(t, "gradient")}
	n := rapid.IntRange(2, 5).Draw(t, "pairs")
	for i := range n {
		for _, y := range []float64{-0.24, 0.24} {
			s.Feet = append(s.Feet, beam.Foot{At: long * (0.05 + 0.87*float64(i)/float64(n-1)), Offset: y, // no pair where the bed could balance on it
				Height:    rapid.Float64Range(-60e-6, 60e-6).Draw(t, "height"),
				Stiffness: rapid.SampledFrom([]float64{2e8, 1e9, math.Inf(1)}).Draw(t, "k"),
				Length:    rapid.SampledFrom([]float64{0, 0, 0.04}).Draw(t, "foot length"),
				Held:      rapid.IntRange(0, 4).Draw(t, "held") == 0})
		}
	}
	return s
}
