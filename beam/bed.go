package beam

import (
	"math"

	"footwork/beam/section"
	"footwork/beam/shape"
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

// Table is what rides on the ways.
type Table struct {
	Length  float64     // m
	Weight  float64     // N
	Tool    float64     // m along the bed, where the cutter or wheel stands
	Offset  float64     // m across the bed, of its centre of weight
	Stroke  *shape.Span // m, of the table's left end; nil: as far as it cannot tip
	Bending float64     // EI, N·m²; 0: stiff
	Contact float64     // stiffness of the contact per length of one way, N/m²; used when Bending > 0
}

// Foot is a place where the bed is held up.
type Foot struct {
	Name      string
	At        float64 // m along the bed
	Offset    float64 // m across the bed
	Height    float64 // m, of its unloaded top, relative to the other feet
	Stiffness float64 // k, N/m; +Inf: rigid
	Length    float64 // m, bearing length along the bed; 0: a point
	Held      bool    // bolted down: pulls as well as pushes
}

// Bearing is a continuous line of support at height 0.
type Bearing struct {
	From, To  float64 // m along the bed
	Offset    float64 // m across the bed
	Stiffness float64 // N/m per m of length; +Inf: rigid
	Held      bool    // a magnet or clamps: pulls as well as pushes
}

// Standing is one way in which the bed is supported, loaded and warmed.
type Standing struct {
	Name     string
	After    string  // the standing in which the bed was made straight; "" for none
	Gradient float64 // K, top minus bottom of the casting
	Feet     []Foot
	Bearings []Bearing
	Weights  []Weight // what this standing carries besides the bed's own
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

// Vee is a way of two flanks. Their slopes a and b to the level may differ.
type Vee struct {
	Flanks [2]float64 // rad, slopes towards negative and positive offset, over 0 and below π/2
	Ridge  bool       // the flanks fall away from its middle; else a groove
}

// lean returns by how much each flank's normal leans towards positive offset: in a groove
// the flanks face each other.
func (v Vee) lean() (a, b float64) {
	a, b = math.Sin(v.Flanks[0]), -math.Sin(v.Flanks[1])
	if v.Ridge {
		return -a, -b
	}
	return a, b
}

// Sink returns how far a rider on both flanks goes down, and towards positive offset, when
// metal is taken off square to them (m): (n₁ sin b + n₂ sin a)/sin(a+b) down and, in a
// groove, (n₂ cos a − n₁ cos b)/sin(a+b) towards positive offset; on a ridge the other way.
// A rider sinks into the metal that was taken: in a groove towards the flank that lost more.
func (v Vee) Sink(taken [2]float64) (down, aside float64) {
	up, aside := v.ride([2]float64{-taken[0], -taken[1]})
	return -up, aside
}

// ride returns where a rider on both flanks stands when the metal of these is higher by n,
// square to them (m): up, and towards positive offset.
func (v Vee) ride(n [2]float64) (up, aside float64) {
	a, b := v.Flanks[0], v.Flanks[1]
	s := math.Sin(a + b)
	up = (n[0]*math.Sin(b) + n[1]*math.Sin(a)) / s
	aside = (n[0]*math.Cos(b) - n[1]*math.Cos(a)) / s
	if v.Ridge {
		aside = -aside
	}
	return up, aside
}

// Apart returns by how much further towards positive offset the second of two such vees lies
// (m), from what a cross level over both reads (rad) when its gauge, pulled to negative and
// to positive offset, touches one flank of each · across is from the first to the second, m.
// On a flank of slope θ the gauge of a vee that lies u up and v aside stands u ± v tan θ up:
// pulled to positive offset it lies against the flank that rises towards it, in a groove or
// on a ridge, and the sign is −. It slides as it likes: that lifts both its ends alike.
func (v Vee) Apart(negative, positive, across float64) float64 {
	a, b := math.Tan(v.Flanks[0]), math.Tan(v.Flanks[1])
	return (negative - positive) * across / (a + b)
}

// Square returns how far a way that stands up and aside of where it should moves each of
// its flanks, square to them (m): what Ride undoes.
func (v Vee) Square(up, aside float64) (n [2]float64) {
	a, b := v.lean()
	return [2]float64{up*math.Cos(v.Flanks[0]) + aside*a, up*math.Cos(v.Flanks[1]) + aside*b}
}
