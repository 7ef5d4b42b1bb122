package blue

import (
	"math"
	"testing"

	"footwork/beam/casting"
	"footwork/beam/shape"
)

// Marks where air is foretold, and foretold prints that nobody saw, are doubted.
func TestAgainst(t *testing.T) {
	m := stiff()
	s := lay(t, m, Face{Metal: over(func(u float64) float64 { return -20e-6 * u * u })})
	if d := s.Against(0, marked(shape.Span{From: 1.9, To: 2.1}), m); len(d) > 0 {
		t.Errorf("the hump's own print is doubted: %v", d)
	}
	d := s.Against(0, marked(shape.Span{From: 1.1, To: 1.3}), m)
	if len(d) != 2 || math.Abs(d[0].Air-20e-6*0.7*0.7) > 1e-6 || d[1].Air != 0 {
		t.Errorf("doubts %+v", d)
	}
}

// marked are stretches that took colour.
func marked(spans ...shape.Span) (out []Print) {
	for _, s := range spans {
		out = append(out, Print{Span: s})
	}
	return out
}

// A vee that is too open prints on its inner edges: colour on an outer one is doubted, over the air that the angle
// leaves there, its tangent's error times the width, square to the flank. Where nobody said which edge, nothing is.
func TestAgainstAtAnEdge(t *testing.T) {
	m := Iron(0.6, 0.1, 110e9)
	m.Film = 1e-6
	const off = 2e-4
	s := onVee(t, m, casting.Vee{Flanks: [2]float64{math.Pi / 4, math.Pi / 4}}, [2]float64{off, -off})
	for flank := range s.Faces {
		mark := s.Faces[flank].Prints
		for across, want := range map[Across]float64{Full: 0, Inner: 0, Outer: off * 0.08 / math.Sqrt2} {
			mark[0].Across = across
			got := 0.0
			if d := s.Against(flank, mark, m); len(d) == 1 && d[0].Across == across {
				got = d[0].Air
			}
			within(t, "air", got, want, 0.5e-6) // contact and film
		}
	}
}
