package supports

import "footwork/beam"

// Kind is how a foot's height is changed.
type Kind string

const (
	Screw Kind = "screw"
	Shim  Kind = "shim"
	Fixed Kind = "fixed" // cannot be moved
	Free  Kind = ""      // nothing said: any amount
)

// Adjuster is the means by which a person moves a foot.
type Adjuster struct {
	Kind   Kind
	Name   string  // as written in the job: "screw M20x1.5"
	Rise   float64 // m per turn of a screw
	Wrench float64 // m, handle length; 0 when not given
}

// Allow says which side of a straight line a way may lie on.
type Allow string

const (
	Either   Allow = "either"
	HighOnly Allow = "high only" // no middle lower than the ends
	LowOnly  Allow = "low only"
)

// Goal is what an adjustment is to reach and what it may not do.
type Goal struct {
	Standing  string
	Allow     Allow
	Crown     float64   // m, wanted form over the way's length, middle high positive
	Tolerance float64   // m, straightness wanted of each way; 0 when not given
	LeastLoad float64   // share of the mean foot load that no foot may go below
	MostMove  float64   // m, the furthest any foot may be moved; +Inf without limit
	Shims     []float64 // m, leaf thicknesses at hand, increasing
}

// Floor is how wrong feet are where nobody has adjusted them yet.
type Floor struct {
	HeightSD        float64 // m
	StiffnessFactor float64 // one standard deviation: times or divided by this
}

// PlaceWish is where feet may go.
type PlaceWish struct {
	Pairs   []int       // how many pairs to consider
	Offsets []float64   // m, where the feet of a pair stand across the bed
	Zones   []beam.Span // where a foot may go; empty: anywhere
	Apart   float64     // m, the least distance between neighbours
	Keep    []beam.Foot // feet that stay where they are
}

// CutWish is how metal comes off.
type CutWish struct {
	StraightIn   string   // standing in which the ways must be straight; "": the survey's own
	TableAt      *float64 // m, where the table's left end then stands; nil: no table on the bed
	DepthPerPass float64  // m
	TimePerPass  float64  // s
}
