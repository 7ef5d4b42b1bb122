package beam

import (
	"math"
	"testing"

	"footwork/beam/casting"
)

// A stiff bed that leans on three feet stands clear of the fourth by as much as that is low.
func TestGapOfALowFoot(t *testing.T) {
	b := casting.Bed{Length: 3, Material: casting.Material{Modulus: 1e16, ShearModulus: 4e15, Density: 7200},
		Sections: []casting.Section{{To: 3, Area: 0.06, Inertia: 8e-4, ShearArea: 0.02, Torsion: 5e-5, Depth: 0.4}},
		Weights:  []casting.Weight{{At: 0.5, Offset: -0.2, Force: 2e4}}}
	var s Standing
	for _, x := range []float64{0.3, 2.7} {
		for _, y := range []float64{-0.25, 0.25} {
			s.Feet = append(s.Feet, Foot{At: x, Offset: y, Stiffness: math.Inf(1)})
		}
	}
	s.Feet[3].Height = -1e-3
	v, err := NewSolver(b, s, Options{Cells: 400})
	if err != nil {
		t.Fatal(err)
	}
	st, err := v.Solve(Case{})
	if err != nil {
		t.Fatal(err)
	}
	for i, f := range st.Feet() {
		want := 0.0
		if i == 3 {
			want = 1e-3
		}
		if f.Lifted != (i == 3) || math.Abs(f.Gap-want) > 1e-7 {
			t.Errorf("foot %d: lifted %v, clear by %g m, want %g", i, f.Lifted, f.Gap, want)
		}
	}
}
