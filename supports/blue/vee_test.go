package blue

import (
	"math"
	"testing"

	"footwork/beam/casting"
)

// flanks are both of a vee whose middle lies at no offset, 80 mm wide each.
func flanks(v casting.Vee, tilt [2]float64) (out []Face) {
	for k, side := range []float64{-1, 1} {
		slope := side * math.Tan(v.Flanks[k])
		if v.Ridge {
			slope = -slope
		}
		out = append(out, Face{Offset: side * 0.04, Width: 0.08, Slope: slope, Tilt: tilt[k]})
	}
	return out
}

func onVee(t *testing.T, m Master, v casting.Vee, tilt [2]float64) Step {
	t.Helper()
	s, err := Bed{shop(t, 4, rigid), m, flanks(v, tilt)}.Lay(1)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// A prism that fits a true vee prints both its flanks in full, and presses on each with
// W·sin(other)/sin(a+b) square to it.
func TestPrismInAVee(t *testing.T) {
	m := Iron(0.6, 0.1, 110e9)
	m.Film = 1e-6
	for _, v := range []casting.Vee{{Flanks: [2]float64{0.7, 0.7}}, {Flanks: [2]float64{0.4, 1.1}}, {Flanks: [2]float64{0.4, 1.1}, Ridge: true}} {
		s := onVee(t, m, v, [2]float64{})
		a, b := v.Flanks[0], v.Flanks[1]
		for k, want := range []float64{math.Sin(b) * math.Cos(a), math.Sin(a) * math.Cos(b)} {
			sum := 0.0
			for _, p := range s.Faces[k].Pressure {
				sum += p * m.Length / float64(len(s.X))
			}
			within(t, "share upwards", sum/m.Weight, want/math.Sin(a+b), 1e-5)
			if p := s.Faces[k].Prints; len(p) != 1 || p[0].Across != Full {
				t.Errorf("%v prints %v", v, p)
			}
		}
	}
}

// A flank whose angle is off shows as one edge, both where the vee is too open or too steep
// on either side: the inner edges of one too open, the outer of one too steep. Both off the
// same way is a vee that leans, and prints in full.
func TestAngleError(t *testing.T) {
	m := Iron(0.6, 0.1, 110e9)
	m.Film = 1e-6
	right := casting.Vee{Flanks: [2]float64{math.Pi / 4, math.Pi / 4}}
	const off = 2e-4 // over 80 mm 16 µm
	for _, c := range []struct {
		tilt [2]float64
		want [2]Across
	}{
		{[2]float64{off, -off}, [2]Across{Inner, Inner}}, {[2]float64{-off, off}, [2]Across{Outer, Outer}}, {[2]float64{off, off}, [2]Across{Full, Full}},
		{[2]float64{0, -off}, [2]Across{Full, Inner}}, {[2]float64{off, 0}, [2]Across{Inner, Full}}, {[2]float64{0, off}, [2]Across{Full, Outer}},
	} {
		s := onVee(t, m, right, c.tilt)
		for k, f := range s.Faces {
			if len(f.Prints) != 1 || f.Prints[0].Across != c.want[k] {
				t.Errorf("tilts %v, flank %d: %v", c.tilt, k+1, f.Prints)
			}
		}
	}
}

// A vee prints alike wherever it stands across the bed.
func TestVeeBesideTheCentreLine(t *testing.T) {
	m := Iron(0.6, 0.1, 110e9)
	m.Film = 1e-6
	v, tilt := casting.Vee{Flanks: [2]float64{math.Pi / 4, math.Pi / 4}}, [2]float64{2e-4, -2e-4}
	faces := flanks(v, tilt)
	for k := range faces {
		faces[k].Offset -= 0.25
	}
	s, err := Bed{shop(t, 4, rigid), m, faces}.Lay(1)
	if err != nil {
		t.Fatal(err)
	}
	for k, f := range onVee(t, m, v, tilt).Faces {
		for i, gap := range s.Faces[k].Gap {
			within(t, "gap", gap, f.Gap[i], 1e-9)
		}
	}
}
