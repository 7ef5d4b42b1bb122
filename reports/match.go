package reports

// Estimate is an unknown with its 95 % interval.
type Estimate struct {
	Factor float64 `json:"factor"`
	Low    float64 `json:"low"`
	High   float64 `json:"high"`
	Told   bool    `json:"told"`
}

// FootEstimate is a foot's height with its 95 % interval, and whether it carries.
type FootEstimate struct {
	Name    string     `json:"name"`
	Height  float64    `json:"height"`
	Low     float64    `json:"low"`
	High    float64    `json:"high"`
	Told    bool       `json:"told"`
	Carries float64    `json:"carries"` // probability
	Load    [3]float64 `json:"load"`    // N: estimate, low, high
	Gap     float64    `json:"gap"`     // m, when it does not carry

	StiffnessFactor float64 `json:"stiffness_factor,omitempty"`

	Own    Estimate `json:"own_stiffness"` // the part of it that is not all feet's
	Softer float64  `json:"softer"`        // probability that it is softer than the others, which are alike; one half where it is as they are

	Between []string  `json:"between,omitempty"` // feet that carry on either side of it in its row
	Above   []float64 `json:"above,omitempty"`   // m above the line through these: estimate, low, high
}

// Share is how much of the measured zone one part explains, m, ± wide (95 %).
type Share struct {
	Part  string  `json:"part"` // "feet", "sag", "heat", "metal", "rest"
	Value float64 `json:"value"`
	Low   float64 `json:"low"`
	High  float64 `json:"high"`
	Wide  float64 `json:"wide"`
	Told  bool    `json:"told"`
}

// ContactSet is which feet hang free, and how likely that is.
type ContactSet struct {
	Hanging     []string `json:"hanging"`
	Probability float64  `json:"probability"`
}

// Advice is one more measurement, what it takes, and how wide the metal's share of the
// measured zone is before and after it.
type Advice struct {
	Do      string   `json:"do"` // "stand on three", "survey", "survey again", "load", "gap", "turn", "heat"
	Foot    string   `json:"foot,omitempty"`
	Raise   float64  `json:"raise,omitempty"` // m, of a turn before the survey
	Other   string   `json:"standing,omitempty"`
	Minutes float64  `json:"minutes"`
	People  int      `json:"people"`
	Before  float64  `json:"metal_before"`
	After   float64  `json:"metal_after"`
	Three   *OnThree `json:"three,omitempty"`
}

// OnThree is how to stand a bed on a pair and a block.
type OnThree struct {
	At     [3][2]float64 `json:"at"`             // m, along and across: the pair, the block
	Stay   []string      `json:"stay,omitempty"` // feet that are the pair; none: blocks of one's own
	Feet   []LetDown     `json:"feet"`
	Margin float64       `json:"margin"` // m, of the weight inside the three
	Least  float64       `json:"least"`  // share of the weight on the lightest of the three
	Loads  [3]float64    `json:"loads"`  // N
}

// LetDown is how far a foot is let down, and the clearance of the packing there, m.
type LetDown struct {
	Foot    string  `json:"foot"`
	Down    float64 `json:"down"`
	Packing float64 `json:"packing"`
}

// WayParts is the measured profile of one way in its parts.
type WayParts struct {
	Name      string    `json:"name"`
	X         []float64 `json:"x"`
	Measured  []float64 `json:"measured"`
	Sag       []float64 `json:"sag"`
	Feet      []float64 `json:"feet"`
	Heat      []float64 `json:"heat"`
	Form      []float64 `json:"form"`
	FormSigma []float64 `json:"form_sigma"`
	Rest      []float64 `json:"rest"`
	Zones     [5]Share  `json:"zones"` // how far each part is out of straight by itself: feet, sag, heat, metal, rest
}

// Match answers `match`. Gradient holds kelvins in its Factor, Low and High.
type Match struct {
	Standing       string         `json:"standing"`
	State          State          `json:"state"`
	Settled        bool           `json:"settled"`
	Rhat           float64        `json:"rhat,omitempty"`
	ESS            float64        `json:"ess,omitempty"`
	Cause          string         `json:"cause,omitempty"`     // "feet", "metal", "heat" or "cannot tell"
	Reference      []string       `json:"reference,omitempty"` // the feet whose plane heights are about
	Stiffness      Estimate       `json:"stiffness"`
	TwistStiffness Estimate       `json:"twist_stiffness"`
	FootStiffness  Estimate       `json:"foot_stiffness"`
	Gradient       Estimate       `json:"gradient"`
	Feet           []FootEstimate `json:"feet"`
	Ways           []WayParts     `json:"ways"`
	Zone           float64        `json:"zone,omitempty"` // measured, of the worst way
	ZoneWay        string         `json:"zone_way,omitempty"`
	Shares         []Share        `json:"shares,omitempty"` // adds up to Zone
	Sets           []ContactSet   `json:"contact_sets,omitempty"`
	Advice         []Advice       `json:"advice,omitempty"`
	Warnings       []Warning      `json:"warnings"`
}
