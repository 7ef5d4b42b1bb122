package match

import (
	"footwork/beam"
	"footwork/beam/casting"
	"footwork/survey"
)

// Input is all that is known of one bed: how it can stand, and what was done to it
// and read on it in the order of time.
type Input struct {
	Bed        casting.Bed
	FinishedTo []float64 // m, of each way: peak to valley of its metal, which eight in ten keep; 0 or nil: nobody says
	Standings  []Standing
	Heats      []Heat  // the gradients that it was measured under
	Epochs     []Epoch // in time order, at least one with a survey of the standing asked for
	Asked      int     // the standing whose present state is asked for

	Sweeps int     // of each chain, the most that are spent; 0: 500 for each height of a foot, of eight at least, or what a budget of work allows
	Work   float64 // part of that budget, below 1 where one command matches several standings; 0: all
	Seed   uint64
}

// Standing is one way in which the bed stands.
type Standing struct {
	beam.Standing
	Solver   *beam.Solver
	Like     int          // index of the standing that owns the heights of feet of the same name; −1: none
	HeightSD float64      // m, of a foot's height at first; 0: 50 µm
	Factor   float64      // one standard deviation of the feet's stiffness: times or divided by this; 0: 2
	Over     bool         // the bed will not stand there again
	Rated    []float64    // N, what each foot may carry; nil, or 0: not said
	Left     [][2]float64 // m, how far each foot can still be raised and lowered; nil: without limit
	Fixed    []bool       // feet that cannot be turned; nil: all can
	Table    func(at float64) (beam.Case, error)
}

// Heat is one unknown gradient, top minus bottom, K.
type Heat struct{ Mean, SD float64 }

// Epoch is a stretch of time in which nobody touched the standing.
type Epoch struct {
	Standing int
	Moves    []Move // that led to it from the epoch before
	Surveys  []Survey
	Readings []Reading
	Felt     []Felt
}

// Move is a foot raised by hand, or, Anew, let down and raised again nobody knows how far: its
// height is then as unknown as at first.
type Move struct {
	Foot    int     // of the epoch's standing
	Raise   float64 // m, what was meant
	SD      float64 // m, of what it did; 0: 2 µm
	Undated bool    // when it was done is a guess
	Anew    bool
}

// Survey is one way, or the twist between the ways, as it was read at one time.
type Survey struct {
	Name    string
	Way     int // index, −1: across
	Profile survey.Profile
	Heat    int      // of Input.Heats
	Cut     int      // how often metal had been cut before
	TableAt *float64 // m; nil: no table on the bed
}

// Reading is one reading of an instrument left standing.
type Reading struct {
	Survey  string // whose way and instrument it is of
	Zero    int    // readings of a survey with the same number share their zero
	Way     int    // −1: across
	At      float64
	Base    float64 // m: the slope between At and At + Base; 0: a height, or a slope across
	Value   float64 // rad, or m
	Sigma   float64
	Heat    int
	Cut     int
	TableAt *float64
}

// Touch is how a foot answers to the hand.
type Touch int

const (
	Gauged Touch = iota // by Gap or by Load
	Free                // it turns freely: it carries nothing
	Nips                // it just touches
	Solid               // it carries
)

// Felt is what hand, feeler or jack say of a foot. With Gauged one of Gap and Load is
// given.
type Felt struct {
	Foot      int
	Touch     Touch
	Gap, Load *float64 // m, N
	Sigma     float64  // of it; 0: 5 µm, 5 %
	Heat      int
	TableAt   *float64
}
