package casting

import (
	"fmt"
	"math"
	"slices"

	"footwork/beam/section"
)

// Material is what the bed is cast of.
type Material struct {
	Name         string
	Modulus      float64 // E, Pa
	ShearModulus float64 // G, Pa
	Density      float64 // kg/m³
	Expansion    float64 // α, 1/K
}

// Section holds the constants of a stretch of bed. Sections follow one another
// from x = 0 to the bed's length without gap or overlap.
type Section struct {
	From, To  float64 // m along the bed
	Area      float64 // A, m²
	Inertia   float64 // I about the horizontal axis through the centroid, m⁴
	ShearArea float64 // κA, m²; +Inf leaves shear out
	Torsion   float64 // J, m⁴
	Warping   float64 // I_ω, m⁶; 0: the section is free to warp
	Depth     float64 // d, m, over which a top-minus-bottom temperature difference acts
	Offset    float64 // m, of the centroid from the centre line

	WarpingShear float64 // A_ω, m⁴; 0 leaves the shear of restrained warping out
	ShearCentre  float64 // m across the bed, of the axis about which it twists

	Plates     section.Plates // that it is made of; nil: only its constants are known
	TwistGiven bool           // J stands for the section with its ribs
}

// Weight is a point weight on the bed.
type Weight struct {
	Name   string
	At     float64 // m along the bed
	Offset float64 // m across the bed
	Force  float64 // N, downwards positive
}

// Way is a guiding surface along the whole bed.
type Way struct {
	Name   string
	Offset float64 // m across the bed
	Width  float64 // m, bearing width; 0 when not given
}

// Bed is the casting with its ways and what is always bolted to it.
type Bed struct {
	Length   float64 // m
	Material Material
	Sections []Section
	Ribs     []Rib
	Weight   float64 // N, weighed total of the casting alone, ribs included; 0 takes density times volume
	Weights  []Weight
	Ways     []Way
}

// FromPlates returns the constants of a section made of plates. From and To stay zero.
func FromPlates(plates []section.Plate) (Section, error) {
	c, err := section.Of(plates)
	if err != nil {
		return Section{}, err
	}
	return Section{Area: c.Area, Inertia: c.Inertia, ShearArea: c.ShearArea, Torsion: c.Torsion, Warping: c.Warping,
		Depth: c.Depth, Offset: c.Offset, WarpingShear: c.WarpingShear, ShearCentre: c.ShearCentre, Plates: plates}, nil
}

// covered is an error unless the sections follow one another from 0 to the length.
func (b Bed) covered() error {
	end := 0.0
	for i, s := range b.Sections {
		if math.Abs(s.From-end) > 1e-9*b.Length || s.To <= s.From {
			return fmt.Errorf("section %d runs from %g m to %g m, but must begin at %g m where the one before it ends", i+1, s.From, s.To, end)
		}
		end = s.To
	}
	if !(b.Length > 0) || math.Abs(end-b.Length) > 1e-9*b.Length {
		return fmt.Errorf("the sections end at %g m, the bed at %g m", end, b.Length)
	}
	return nil
}

// At returns the section at x.
func (b Bed) At(x float64) Section {
	for _, s := range b.Sections {
		if x <= s.To+1e-9 {
			return s
		}
	}
	return Section{}
}

// Give returns how much the casting itself yields over a foot so long, m/N, and how far left and right of it its force
// enters the bed, m; rigid feet stand under it too.
func (b Bed) Give(at, offset, length float64) (give, spread float64) {
	var over []section.Rib
	for _, r := range b.Ribs {
		beside := func(x float64) bool { return math.Abs(x-at) <= max(length, shortestPad)/2 }
		if !r.Diagonal && slices.ContainsFunc(r.Places(), beside) {
			over = append(over, r.Rib)
		}
	}
	return b.At(at).Plates.Give(offset, length, b.Material.Modulus, over)
}

// shortestPad is how far, m, a rib that stands over a foot may miss its middle by twice, at the least: a foot of a
// machine has a pad of 60 mm or more (common practice, no source).
const shortestPad = 0.06
