package blue

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"footwork/beam/ride"
	"footwork/beam/shape"
)

// Master is what is blued and laid down: a uniform beam.
type Master struct {
	Length  float64     // m
	Weight  float64     // N
	Bending float64     // EI, N·m²
	Shear   float64     // κGA, N; 0 leaves shear out
	Depth   float64     // m, over which a difference of temperature acts; 0: not known
	Lifts   []ride.Lift // what carries part of its weight
	Film    float64     // m, thickness of the blue
	Stroke  float64     // m, how far it is moved while printing, to both sides of its place together
}

// Of an iron edge only its depth h is known. Its radius of gyration is taken as 0.35 h, and
// its sag does not hang on its area; its weight does: an eleventh of h², so that an edge of
// 2 m and 220 mm weighs some 60 kg, of which four tenths bear shear (from memory).
const (
	gyration  = 0.35
	areaShare = 1. / 11
	shearPart = 0.4
	poisson   = 0.26  // grey iron, EN 1561
	density   = 7200. // kg/m³
	gravity   = 9.80665
)

// Iron returns an iron edge, laid down with all its weight.
func Iron(length, depth, modulus float64) Master {
	area := areaShare * depth * depth
	return Master{Length: length, Depth: depth, Weight: density * gravity * area * length,
		Bending: modulus * area * gyration * gyration * depth * depth, Shear: shearPart * area * modulus / 2 / (1 + poisson)}
}

// Carried returns the master with a share of its weight hanging at two places (m from its
// left end), so that what is left lies as evenly as it can.
func (m Master) Carried(share float64, at [2]float64) Master {
	t := 0.5
	if at[1] != at[0] {
		t = min(max((m.Length/2-at[0])/(at[1]-at[0]), 0), 1)
	}
	m.Lifts = []ride.Lift{{At: at[0], Force: share * m.Weight * (1 - t)}, {At: at[1], Force: share * m.Weight * t}}
	return m
}

// Hides returns how deep a hollow under its whole length the master closes, and how high a
// hump in its middle, by what of its weight is not carried (m): the sag on its ends,
// 5qL⁴/384EI + qL²/8κGA, and the droop of its ends over its middle, qL⁴/128EI + qL²/8κGA,
// each less what the lifts bend back.
func (m Master) Hides() (hollow, hump float64) {
	l, q, slide := m.Length, m.Weight/m.Length, 0.0
	if m.Shear > 0 {
		slide = 1 / m.Shear
	}
	hollow = 5*q*l*l*l*l/384/m.Bending + q*l*l/8*slide
	hump = q*l*l*l*l/128/m.Bending + q*l*l/8*slide
	for _, f := range m.Lifts {
		a, d := min(f.At, l-f.At), math.Abs(f.At-l/2)
		hollow -= f.Force * (a*(3*l*l-4*a*a)/48/m.Bending + a/2*slide)
		hump -= f.Force * (d*d*(1.5*l-d)/12/m.Bending + d/2*slide)
	}
	return math.Abs(hollow), math.Abs(hump)
}

// expansion of grey iron, 1/K (EN 1561, annex).
const expansion = 11e-6

// Degree returns by how much the master bows when one kelvin lies between its top and its
// face, m: αL²/8d; 0 when its depth is not known.
func (m Master) Degree() float64 {
	if m.Depth == 0 {
		return 0
	}
	return expansion * m.Length * m.Length / 8 / m.Depth
}

// rider returns the master on faces. The flanks of a vee meet in the middle between them.
func (m Master) rider(faces []Face) ride.Rider {
	r := ride.Rider{Length: m.Length, Weight: m.Weight, Bending: m.Bending, Shear: m.Shear, Lifts: m.Lifts, Cells: m.cells()}
	for _, f := range faces {
		r.Offset += f.Offset / float64(len(faces))
	}
	for _, f := range faces {
		for _, y := range f.rows() {
			r.Rows = append(r.Rows, ride.Row{Offset: y, Slope: f.Slope, Face: f.Master, Way: raised(f.way(), f.Tilt*(y-r.Offset))})
		}
	}
	r.Contact = touch * float64(len(faces)) / float64(len(r.Rows))
	return r
}

// raised returns a form higher by as much everywhere; empty is straight.
func raised(s shape.Shape, by float64) shape.Shape {
	if by == 0 {
		return s
	}
	if len(s.X) == 0 {
		return shape.Shape{X: []float64{0, 1}, Y: []float64{by, by}}
	}
	out := shape.Shape{X: s.X, Y: slices.Clone(s.Y)}
	floats.AddConst(by, out.Y)
	return out
}

// touch is the stiffness of the contact of scraped faces per length of a face, N/m². Such
// faces close by some 0.6 µm·√(p/MPa) (Z. M. Levina and D. N. Reshetov, Kontaktnaya
// zhestkost mashin, 1971; from memory), under an edge on a short hump, 0.06 MPa, by 0.15 µm:
// 40 kN/µm for each metre of a face 100 mm wide. Under a lighter touch they give more, but
// then by less than the film.
const touch = 4e10

// cells is how many lie along a master: each 3 cm, so that the shortest stretch of a map, a hand's breadth, has two whole
// ones; no fewer than tell an end from a middle, and on long ones no more than are soon solved (both assumed).
func (m Master) cells() int { return int(min(max(math.Round(m.Length/0.03), 32), 64)) }
