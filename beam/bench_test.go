package beam

import (
	"fmt"
	"math"
	"testing"

	"footwork/beam/casting"
)

// shopBed is an invented surface grinder bed of open plates.
func shopBed(length float64) casting.Bed {
	s, err := casting.FromPlates(plates(
		[4]float64{0.032, 0.42, -0.24, 0}, [4]float64{0.032, 0.42, 0.24, 0},
		[4]float64{0.15, 0.06, -0.25, 0.42}, [4]float64{0.15, 0.06, 0.25, 0.42}))
	if err != nil {
		panic(err)
	}
	s.To = length
	s.Torsion = 2e-5 // ribbed
	s.Plates = nil   // known by its constants: it does not give over its feet
	return casting.Bed{Length: length, Sections: []casting.Section{s},
		Material: casting.Material{Modulus: 100e9, ShearModulus: 40e9, Density: 7150, Expansion: 11e-6},
		Ways:     []casting.Way{{Name: "front", Offset: -0.25, Width: 0.11}, {Name: "back", Offset: 0.25, Width: 0.11}}}
}

// pairs stands a bed on n pairs of feet, evenly from 8 % to 92 % of its length.
func pairs(length float64, n int, k float64) Standing {
	s := Standing{Name: "floor"}
	for i := range n {
		x := length * (0.08 + 0.84*float64(i)/float64(n-1))
		for side, y := range []float64{-0.24, 0.24} {
			s.Feet = append(s.Feet, Foot{Name: fmt.Sprintf("%c%d", "FB"[side], i+1), At: x, Offset: y, Stiffness: k})
		}
	}
	return s
}

func BenchmarkStanding8Feet(b *testing.B) {
	bed, s := shopBed(4), pairs(4, 4, 9e8)
	for b.Loop() {
		st := solve(b, bed, s, Case{}, Options{})
		st.alongBed()
	}
}

func BenchmarkSolveAgain8Feet(b *testing.B) {
	v, err := NewSolver(shopBed(4), pairs(4, 4, 9e8), Options{})
	if err != nil {
		b.Fatal(err)
	}
	h := make([]float64, 8)
	for b.Loop() {
		h[3] += 1e-9
		if _, err := v.Solve(Case{Draw: Draw{Heights: h}}); err != nil {
			b.Fatal(err)
		}
	}
}

func benchBearing(b *testing.B, held bool, k float64) {
	s := Standing{Gradient: 2, Bearings: []Bearing{{From: 0, To: 4, Stiffness: k, Held: held}}}
	for b.Loop() {
		solve(b, shopBed(4), s, Case{}, Options{})
	}
}

func BenchmarkBearingHeld(b *testing.B)     { benchBearing(b, true, math.Inf(1)) }
func BenchmarkBearingFree(b *testing.B)     { benchBearing(b, false, math.Inf(1)) }
func BenchmarkBearingFreeSoft(b *testing.B) { benchBearing(b, false, 4e9) }
