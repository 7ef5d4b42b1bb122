package reports

// Placement is where a number of pairs would stand best.
type Placement struct {
	Pairs       int       `json:"pairs"`
	At          []float64 `json:"at"`
	Zone        float64   `json:"zone"`
	Sensitivity float64   `json:"sensitivity"` // m of zone for 10 µm of wrong foot height
	Loads       []float64 `json:"loads"`       // N, of each of Feet without the table

	Pattern        string       `json:"pattern"` // "pairs", or which end stands on a single foot
	Feet           []PlacedFoot `json:"feet"`
	SensitivityRMS float64      `json:"sensitivity_rms"`
	Lightest       string       `json:"lightest"` // of Feet
	Floors         *FloorShares `json:"floors,omitempty"`
}

// PlacedFoot is a foot of a placement and what it carries over the whole travel, N.
type PlacedFoot struct {
	Name   string  `json:"name"`
	At     float64 `json:"at"`
	Offset float64 `json:"offset"`
	Least  float64 `json:"least"`
	Most   float64 `json:"most"`
}

// FloorShares is on how many of many floors the tolerance is met.
type FloorShares struct {
	AsFound  float64 `json:"as_found"`
	Adjusted float64 `json:"adjusted"`
}

// Place answers `place`.
type Place struct {
	Placements  []Placement  `json:"placements"`
	Recommended int          `json:"recommended"`
	Reason      string       `json:"reason"`                   // "enough": the fewest that keep the tolerance with one foot wrong; "worth": more gain less than a tenth
	Tolerance   float64      `json:"tolerance,omitempty"`      // wanted; 0: none
	Stroke      *Stroke      `json:"stroke,omitempty"`         // over which the table travelled; absent without one
	Present     *FloorShares `json:"present_floors,omitempty"` // of the feet as they stand now
	Warnings    []Warning    `json:"warnings"`
}
