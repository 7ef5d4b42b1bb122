package beam

import "footwork/beam/section"

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

// Span is a stretch along the bed, m.
type Span struct{ From, To float64 }

// Less returns what is left of spans without others, in their order.
func Less(spans, others []Span) []Span {
	for _, o := range others {
		var left []Span
		for _, s := range spans {
			for _, part := range []Span{{s.From, min(s.To, o.From)}, {max(s.From, o.To), s.To}} {
				if part.From < part.To {
					left = append(left, part)
				}
			}
		}
		spans = left
	}
	return spans
}

// Table is what rides on the ways.
type Table struct {
	Length  float64 // m
	Weight  float64 // N
	Tool    float64 // m along the bed, where the cutter or wheel stands
	Offset  float64 // m across the bed, of its centre of weight
	Stroke  *Span   // m, of the table's left end; nil: as far as it cannot tip
	Bending float64 // EI, N·m²; 0: stiff
	Contact float64 // stiffness of the contact per length of one way, N/m²; used when Bending > 0
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
