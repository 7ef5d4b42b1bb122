package survey

import (
	"errors"
	"slices"

	"footwork/beam"
)

// MatchInput is all that is known of one bed.
type MatchInput struct {
	Ways      []beam.Way
	Standings []StandingModel
	Surveys   []Survey
	Profiles  []Profile // of the surveys, in their order
	Moves     []Move
	Felt      []Felt
	Standing  string // whose present state is asked for
	Scenarios int    // how many to return; 0: 96
	Between   int    // updates of the sampler from one to the next; 0: 48
	Seed      uint64
}

// StandingModel is a standing ready to be solved, and how far it may differ
// from what the job says.
type StandingModel struct {
	Standing  beam.Standing
	Solver    *beam.Solver
	HeightSD  float64   // m, of a foot's height about the standing's; 0: 50 µm
	MoveSD    []float64 // m, of each foot's moves about what was meant; nil: 2 µm
	Stiffness float64   // one standard deviation of the feet: times or divided by this; 0: 2
	Table     func(at float64) (beam.Case, error)
}

const (
	heightSD   = 50e-6 // m
	moveSD     = 2e-6  // m
	gradientSD = 0.5   // K, of a gradient that nobody measured
	readSD     = 0.1   // K, of one that was
	bedSD      = 0.20  // of log bed factor
	footFactor = 2.0
	feelerSD   = 5e-6 // m, of a gap by feeler: half the step between leaves, common practice
)

// Matched is what the surveys tell: each unknown with its 95 % interval, the
// parts of the profile, and a set of equally likely scenarios.
type Matched struct {
	Standing  string
	Bed       Estimate // factor on the bed's stiffness
	FootGive  Estimate // factor on the feet's stiffness
	Gradient  Estimate // K, in the latest state
	Feet      []FootBelief
	Ways      []WayParts
	Explained []Share // of the measured zone of the worst way
	Zone      float64 // m, that measured zone
	ZoneWay   string
	Tied      []Pair // unknowns that cannot be told apart
	Sets      []ContactSet
	Responses []FootResponse
	Kernel    Kernel
	Scenarios []Scenario
	Advice    []Advice
	Doubts    []Doubt
	Warnings  []string
}

// Estimate is an unknown with its 95 % interval.
type Estimate struct {
	Value, Low, High float64
	Told             bool // the data narrowed it
}

// FootBelief is what is known of one foot as it stands now.
type FootBelief struct {
	Name    string
	Height  Estimate // m, about the standing's, less the common plane of all feet
	Load    Estimate // N
	Carries float64  // probability
	Gap     Estimate // m, when it does not carry
}

// Curve is a part of a profile with its standard deviation, about the line
// through its ends, m.
type Curve struct{ Y, Sigma []float64 }

// WayParts is the measured profile of one way in its parts.
type WayParts struct {
	Name                                   string
	X                                      []float64
	Measured, Sag, Feet, Heat, Form, Whole Curve // Whole: the best estimate of the way as it is
	Rest                                   []float64
}

// Share is what one part adds to the measured zone, m; the shares add up to it.
type Share struct {
	Part        string // "feet", "sag", "heat", "metal", "rest"
	Value, Wide float64
	Told        bool
}

// Pair is two unknowns whose estimates move together.
type Pair struct {
	A, B        string
	Correlation float64
}

// ContactSet is which feet carry, and how likely that is.
type ContactSet struct {
	Hanging     []string
	Probability float64
}

// FootResponse is what a known move did to the way at the foot, m: predicted for
// the stiffness that the job gives, with the standard deviation that the foot
// heights and the surveys leave, and observed. Where several feet were moved
// between two surveys it is the work of all.
type FootResponse struct {
	Foot, Survey, Before string
	Raise                float64 // m
	Predicted, Sigma     float64 // m
	Observed             float64 // m
}

// Kernel is what the evidence says of the form: standard deviation, m, and
// correlation length, m.
type Kernel struct{ Amplitude, Length float64 }

// Scenario is one state of the bed as likely as any other of the set.
type Scenario struct {
	Heights    []float64 // m, of each foot as it stands now
	Loads      []float64 // N
	Gaps       []float64 // m; 0 in contact
	BedFactor  float64
	FootFactor float64
	Gradient   float64     // K
	Form       [][]float64 // [way][station], m; stations as in WayParts
}

// Draw returns the scenario as a bed to be solved.
func (s Scenario) Draw() beam.Draw {
	return beam.Draw{Heights: s.Heights, Bending: s.BedFactor, Twist: s.BedFactor,
		Feet: slices.Repeat([]float64{s.FootFactor}, len(s.Heights)), Gradient: &s.Gradient}
}

// Advice is one more measurement and how much it is expected to tell.
type Advice struct {
	Foot  string
	Raise float64 // m, to move it and survey again; 0: feel it
	Feel  bool
	Other string  // a standing to survey
	Bits  float64 // expected information
}

var (
	errNothing   = errors.New("no survey of this standing: measure one first")
	errUnsettled = errors.New("the contact between bed and feet could not be settled")
)

// Match returns the posterior over the bed's stiffness, its feet, heat and
// form, given all surveys at once: one Gaussian inference in the forces of the
// supports, in which the heights, and with them the contact, are sampled. It is
// an error when the standing asked for was never surveyed, or when it cannot
// stand.
func Match(in MatchInput) (Matched, error) {
	m, err := newModel(in)
	if err != nil {
		return Matched{}, err
	}
	s, err := m.sample(in)
	if err != nil {
		return Matched{}, err
	}
	return m.report(s), nil
}
