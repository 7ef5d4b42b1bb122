package reports

import (
	"cmp"

	"footwork/beam/casting"
	"footwork/supports"
)

// FootLoad is how one foot stands. All feet together are between Low and High with
// 95 % probability.
type FootLoad struct {
	Name                        string
	At, Offset, Load, Low, High float64
	Lifted                      bool
	Gap                         float64
	Carries                     float64 // probability
}

// Light returns the load under which one of n feet that carry sum is called light, N: the least that was
// asked for, or where nobody did the usual share.
func Light(g *supports.Goal, sum float64, n int) float64 {
	share := supports.LightShare
	if g != nil {
		share = cmp.Or(g.LeastLoad, share)
	}
	return share * sum / float64(max(n, 1))
}

// BearingLoad is how one bearing carries.
type BearingLoad struct {
	Load  float64
	X     []float64
	Force []float64 // N at each x
}

// SagStanding is one standing's answer to `sag`.
type SagStanding struct {
	Name     string
	State    State
	TableAt  *float64 `json:",omitempty"` // left end of the table; nil: no table on the bed
	X        []float64
	Ways     []WayShape
	Twist    []float64
	Weight   float64
	Feet     []FootLoad
	Bearings []BearingLoad
	Warnings []Warning
}

// Sag answers `sag`.
type Sag struct {
	Standings []SagStanding
}

// Change answers `change`.
type Change struct {
	From, To string
	State    State // of To
	X        []float64
	Ways     []WayShape
	Warnings []Warning
}

// Check is what a job says that the bed is; it has no JSON.
type Check struct {
	Stretches []casting.Stretch
	Material  casting.Material
	Plates    float64 // N, of all sections by the metal's density
	Ribs      float64 // N
	Weighed   float64 // N
	WeighedSD float64 // N, standard uncertainty, where it is said
	Feet      []CheckFoot
	Doubts    []CheckDoubt
}

// CheckFoot is how much a foot gives way, m/N.
type CheckFoot struct {
	Standing, Foot string
	Give           float64 // of all
	Casting        float64 // of that the iron over it
}

// DoubtKind says what a job leaves in doubt.
type DoubtKind string

const (
	OpenUnribbed DoubtKind = "open section without ribs" // over From to To, of Walls
	BoxUnribbed  DoubtKind = "box without ribs"          // over From to To
	BoxBare      DoubtKind = "box without ribs between"  // over Long of From to To
	Lopsided     DoubtKind = "lopsided section"          // over From to To, softer by Share
	RigidFeet    DoubtKind = "rigid feet"                // all of Standing
)

// CheckDoubt is one doubt.
type CheckDoubt struct {
	Kind     DoubtKind
	From, To float64
	Walls    int
	Long     float64
	Share    float64
	Standing string
}

// PathPoint is where the table is when its left end stands at a place.
type PathPoint struct {
	Height, Pitch, Roll, AtTool float64
	Under                       bool `json:"under_tool"` // the tool stands over the table
}

// Travel answers `travel`.
type Travel struct {
	Standing                                  string
	State                                     State
	Stroke                                    Stroke
	TableAt                                   []float64
	Path                                      []PathPoint
	AtToolStraightness, AtToolLow, AtToolHigh float64
	FootLoads                                 [][]float64 // [place][foot]
	FootLow, FootHigh                         [][]float64
	Feet                                      []string    `json:",omitempty"` // those whose loads are given
	X                                         []float64   `json:",omitempty"`
	Ways                                      []TravelWay `json:",omitempty"`
	PressureX                                 []float64   `json:",omitempty"` // from the table's left end
	Pressure                                  [][]float64 `json:",omitempty"` // [place][pressure_x], N/m of both ways
	Warnings                                  []Warning
}

// Stroke is between which places the table's left end moves.
type Stroke struct {
	From, To float64
	Assumed  bool // the job says nothing: as far as the table cannot tip
}

// Work returns the heights under the tool by the place of the table's left end,
// where the tool stands over the table; everywhere when it never does.
func (v Travel) Work() (at, height []float64) {
	for all := range 2 {
		for i, p := range v.Path {
			if p.Under || all == 1 {
				at, height = append(at, v.TableAt[i]), append(height, p.AtTool)
			}
		}
		if len(at) > 0 {
			break
		}
	}
	return at, height
}

// TravelWay is the shape of one way with the table at each place.
type TravelWay struct {
	Name   string
	Height [][]float64 // [place][x]
}

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
