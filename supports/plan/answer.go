package plan

import (
	"footwork/beam"
	"footwork/internal/sample"
)

// Answer is what Make returns. Plans[0] moves nothing; each further plan moves more
// feet than the one before and is better. Recommended is an index.
type Answer struct {
	Plans       []Plan
	Recommended int
	Known       sample.Range // m, what all feet could bring each draw's zone to, were it known to be the bed; where nothing is recommended
	Warnings    []Warning
}

// Plan is what moving a number of feet does, over all draws that judge plans.
type Plan struct {
	Moves     []Move
	Zone      sample.Range // m, each draw's own least zone
	Departure sample.Range // mean foot loads, root mean square over the feet, from what they carry on level feet
	Wrong     float64
	Held      float64 // share of draws in which every foot keeps the least load and stays within its rating
	Ways      []Curve
	Loads     []Load
	Steps     []Step
	Draws     []beam.Draw // the judging draws as the plan leaves them
	moves     moves
	figures   []float64 // m, of each draw, what is made least
	cost      float64   // m
	priced    float64   // m, of it all but the median of the figures
}

// Move is one foot's part of a plan.
type Move struct {
	Foot   int
	Touch  bool      // raise it until it just takes load, first
	Raise  float64   // m, after that
	Leaves []float64 // m, of the stack of shims that goes in or comes out
	SD     float64   // m, standard uncertainty of the move
}

// Curve is a way as a plan leaves it, about the line through its ends: the median at
// each station and 95 % of the draws, m.
type Curve struct{ X, Height, Sigma, Low, High []float64 }

// Load is what one foot carries.
type Load struct {
	sample.Range         // N
	Carries      float64 // share of draws in which it does
}

// Step is one visit to one foot.
type Step struct {
	Foot   int
	Touch  bool        // raise it until it just takes load, first
	Raise  float64     // m, after that; negative with Touch: short of touching
	Raised []float64   // m, of every foot since the beginning, without what brought it to touch
	Watch  *Watch      // nil: no instrument sees it well enough, go by the angle
	Feel   []int       // feet that may come loose here: they must stay solid
	Loads  []float64   // N, of every foot after it, median
	Ways   [][]float64 // m, change of every way at its stations since the beginning, median
}

// Watch is the instrument and the place that tell a move best.
type Watch struct {
	Instrument int
	At         float64  // m; of an instrument beside the foot the foot's own
	Less       *float64 // m, a second place whose reading is taken off the first's, so that drift cancels
	Since      float64  // rad or m: change of the reading by earlier steps
	Change     float64  // likewise, by this one
	Within     float64  // likewise, standard uncertainty of a change that is read
}

// Kind is a kind of Warning.
type Kind int

// What is said of a plan as a whole is of the recommended one.
const (
	NotAllTried    Kind = iota // more feet can be moved than all choices are tried of: Value of them, tried up to Of
	OutOfWork                  // the search ended with its budget
	NoLeaves                   // Feet stand on shims, and no leaf is listed
	LoadNotHeld                // Feet may carry less than the least load of Of, N; Value: share of draws in which one does
	MayGoLight                 // Feet[0] ends with less than Of, N, more likely than not: Value, N
	Overloaded                 // Feet[0] may carry Value, N, more than its rating of Of
	WrongSide                  // a way's middle lies Value, m, on the side that is not allowed
	OutOfTolerance             // the plan leaves Value, m, with a tolerance of Of
	LessStraight               // the ways will be less straight than now, by Value, m: the price of loads or of the side
	NoSafeOrder                // no order keeps loads on the way: Feet[0] falls short by Value, N
	MoreVisits                 // Feet are moved in Value visits each, for no fewer keep the loads
	GapUnknown                 // Feet[0] hangs in a share Of of the draws, by up to Value, m: a feeler tells more than a survey
	CheckHand                  // which way of turning the screws of Feet raises the bed is to be tried first
)

// Warning is what a reader must know of an answer.
type Warning struct {
	Kind      Kind
	Feet      []int
	Value, Of float64
}
