// Package supports has what a person can do with the feet of a bed and wants of them, and
// how a bed that was just set down is brought onto all of them. Which feet to move is
// asked of plan, where they would stand better of place, what is left for the scraper of
// cut, all beneath.
//
// Everything is SI; a raise is positive upwards.
package supports

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
	Rated  float64 // N, that no plan or step loads the foot beyond; 0 when not given
	Left   *Thread // what is left of it; nil when not given
}

// Thread is how far a foot can still go, m.
type Thread struct{ Up, Down float64 }

// Allow says which side of a straight line a way may lie on.
type Allow string

const (
	Either   Allow = "either"
	HighOnly Allow = "high only" // no middle lower than the ends
	LowOnly  Allow = "low only"
)

// Aim is what the feet shall do.
type Aim string

const (
	Straight Aim = "straight" // the ways' least zone; so is ""
	AtRest   Aim = "at rest"  // every foot carries what it does on level feet: nothing is bent
)

// By is what ends a move.
type By string

const (
	Reading By = "reading" // an instrument, where one sees the move; so is ""
	Angle   By = "angle"   // of the screw
)

// LightShare is the share of the mean foot load under which a foot is called light where nobody says (common practice,
// no source).
const LightShare = 0.1

// Goal is what an adjustment is to reach and what it may not do.
type Goal struct {
	Standing  string
	Aim       Aim
	By        By
	Allow     Allow
	Crown     float64   // m, wanted form over the way's length, middle high positive
	Twist     float64   // rad, by which the slope across the ways may change from end to end; 0: not asked for
	Gauge     float64   // m, of the level across the ways, on which twist is told as a height; 0: between the outer ways
	Tolerance float64   // m, straightness wanted of each way; 0 when not given
	LeastLoad float64   // share of the mean foot load that no foot may go below
	MostMove  float64   // m, the furthest any foot may be moved; +Inf without limit
	Shims     []float64 // m, leaf thicknesses at hand, increasing
	Indicator float64   // m, resolution of an indicator that can stand beside a foot; 0: none
}

// Floor is how wrong feet are where nobody has adjusted them yet.
type Floor struct {
	HeightSD        float64 // m
	StiffnessFactor float64 // one standard deviation: times or divided by this
}
