package reports

// Placement is where a number of pairs would stand best.
type Placement struct {
	Pairs       int
	At          []float64
	Zone        float64
	Sensitivity float64   // m of zone for 10 µm of wrong foot height
	Loads       []float64 // N, of each of Feet without the table

	Pattern        string // "pairs", or which end stands on a single foot
	Feet           []PlacedFoot
	SensitivityRMS float64
	Lightest       string       // of Feet
	Floors         *FloorShares `json:",omitempty"`
}

// PlacedFoot is a foot of a placement and what it carries over the whole travel, N.
type PlacedFoot struct {
	Name                    string
	At, Offset, Least, Most float64
}

// FloorShares is on how many of many floors the tolerance is met.
type FloorShares struct {
	AsFound, Adjusted float64
}

// Place answers `place`.
type Place struct {
	Placements  []Placement
	Recommended int
	Reason      string       // "enough": the fewest that keep the tolerance with one foot wrong; "worth": more gain less than a tenth
	Tolerance   float64      `json:",omitempty"`               // wanted; 0: none
	Stroke      *Stroke      `json:",omitempty"`               // over which the table travelled; absent without one
	Present     *FloorShares `json:"present_floors,omitempty"` // of the feet as they stand now
	Warnings    []Warning
}
