package free

import (
	"math"
	"testing"

	"footwork/beam/casting"
	"footwork/beam/section"
)

// shopBed is an invented surface grinder bed, known by its constants.
func shopBed(length float64) casting.Bed {
	return casting.Bed{Length: length, Material: casting.Material{Modulus: 100e9, ShearModulus: 40e9, Density: 7150, Expansion: 11e-6},
		Sections: []casting.Section{{To: length, Area: 0.045, Inertia: 1.1e-3, ShearArea: 0.027, Torsion: 2e-5, Depth: 0.48}}}
}

// boxBed is a long box of plates of 20 mm, 0.6 × 0.4 m.
func boxBed(t testing.TB, length float64, ribs ...casting.Rib) casting.Bed {
	t.Helper()
	sec, err := casting.FromPlates([]section.Plate{{Width: 0.62, Height: 0.02}, {Width: 0.62, Height: 0.02, Bottom: 0.4},
		{Width: 0.02, Height: 0.38, Offset: -0.3, Bottom: 0.02}, {Width: 0.02, Height: 0.38, Offset: 0.3, Bottom: 0.02}})
	if err != nil {
		t.Fatal(err)
	}
	sec.To = length
	return casting.Bed{Length: length, Sections: []casting.Section{sec}, Ribs: ribs, Material: casting.Material{Modulus: 110e9, ShearModulus: 44e9, Density: 7200}}
}

func near(t testing.TB, what string, at, got, want, within float64) {
	t.Helper()
	scale := math.Abs(want)
	if scale == 0 {
		scale = 1
	}
	if !(math.Abs(got-want) <= within*scale) {
		t.Errorf("%s at %g: got %.10g, want %.10g", what, at, got, want)
	}
}
