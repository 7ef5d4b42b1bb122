package reports

// Estimate is an unknown with its 95 % interval.
type Estimate struct {
	Factor, Low, High float64
	Told              bool
}

// FootEstimate is a foot's height with its 95 % interval, and whether it carries.
type FootEstimate struct {
	Name              string
	Height, Low, High float64
	Told              bool
	Carries           float64    // probability
	Load              [3]float64 // N: estimate, low, high
	Gap               float64    // m, when it does not carry

	StiffnessFactor float64 `json:",omitempty"`

	Own    Estimate `json:"own_stiffness"` // the part of it that is not all feet's
	Softer float64  // probability that it is softer than the others, which are alike; one half where it is as they are

	Between []string  `json:",omitempty"` // feet that carry on either side of it in its row
	Above   []float64 `json:",omitempty"` // m above the line through these: estimate, low, high
}

// Share is how much of the measured zone one part explains, m, ± wide (95 %).
type Share struct {
	Part                   string // "feet", "sag", "heat", "metal", "rest"
	Value, Low, High, Wide float64
	Told                   bool
}

// ContactSet is which feet hang free, and how likely that is.
type ContactSet struct {
	Hanging     []string
	Probability float64
}

// Advice is one more measurement, what it takes, and how wide the metal's share of the
// measured zone, and the height of a foot, is before and after it.
type Advice struct {
	Do      string  // "stand on three", "survey", "survey again", "load", "gap", "turn", "heat"
	Foot    string  `json:",omitempty"`
	Raise   float64 `json:",omitempty"` // m, of a turn before the survey
	Other   string  `json:"standing,omitempty"`
	Minutes float64
	People  int
	Before  float64    `json:"metal_before"`
	After   float64    `json:"metal_after"`
	Heights [2]float64 `json:"foot_height"`
	OfFeet  bool       `json:"-"` // heights are what it is for
	Settles bool       `json:"-"` // how much is metal is then known well enough to go on
	Three   *OnThree   `json:",omitempty"`
}

// OnThree is how to stand a bed on a pair and a block.
type OnThree struct {
	At     [3][2]float64 // m, along and across: the pair, the block
	Stay   []string      `json:",omitempty"` // feet that are the pair; none: blocks of one's own
	Feet   []LetDown
	Margin float64    // m, of the weight inside the three
	Least  float64    // share of the weight on the lightest of the three
	Loads  [3]float64 // N
	Lines  []string   // of the job file for a standing like that
}

// LetDown is how far a foot is let down, and the clearance of the packing there, m.
type LetDown struct {
	Foot          string
	Down, Packing float64
}

// WayParts is the measured profile of one way in its parts.
type WayParts struct {
	Name                               string
	X, Measured, Sag, Feet, Heat, Form []float64
	FormSigma, Rest                    []float64
	FinishedTo                         float64  `json:",omitempty"` // m, what the job says of its metal; 0: nothing, or it was cut since
	Zones                              [5]Share // how far each part is out of straight by itself: feet, sag, heat, metal, rest
}

// Match answers `match`. Gradient holds kelvins in its Factor, Low and High.
type Match struct {
	Standing                                           string
	State                                              State
	Settled                                            bool
	Rhat                                               float64  `json:",omitempty"`
	ESS                                                float64  `json:",omitempty"`
	Cause                                              string   `json:",omitempty"` // "feet", "metal", "heat" or "cannot tell"
	Reference                                          []string `json:",omitempty"` // the feet whose plane heights are about
	Stiffness, TwistStiffness, FootStiffness, Gradient Estimate
	Feet                                               []FootEstimate
	Ways                                               []WayParts
	Zone                                               float64      `json:",omitempty"` // measured, of the worst way
	ZoneWay                                            string       `json:",omitempty"`
	Shares                                             []Share      `json:",omitempty"` // adds up to Zone
	Sets                                               []ContactSet `json:"contact_sets,omitempty"`
	Advice                                             []Advice     `json:",omitempty"`
	Warnings                                           []Warning
}
