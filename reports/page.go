package reports

import (
	"footwork/beam"
	"footwork/beam/casting"
	"footwork/beam/ride"
	"footwork/internal/unit"
	"footwork/supports"
)

// Page is all that the one-page report shows. Title, Bed and Standings are
// always wanted; whatever is nil or empty leaves its section out, with a line
// that says what to add to the job.
type Page struct {
	Title     string
	Units     unit.System // what is shown first
	Made      string      // the day the page was made, for people
	Bed       casting.Bed
	Table     *ride.Table
	Standings []beam.Standing
	Standing  string                       // name of the standing that the machine works in
	Adjusters map[string]supports.Adjuster // by foot name, of Standing
	Goal      *supports.Goal

	Others []SagStanding // the other standings as drawn
	States []PageState   // of Standing: as drawn, as found, after turning
	Heat   *Heat
	Change *Change
	Survey *Survey
	Match  *Match
	Adjust *Adjust
	Try    *Try
	Place  *Place
	Cut    *Cut

	Contradictions []Warning // what surveys say against themselves and one another

	Published *Published // nil for a material of the job's own
}

// PageState is how the standing is in one state.
type PageState struct {
	State  State
	Bare   SagStanding  // without the table
	Under  *SagStanding // with the table in the middle of its stroke; nil without one
	Travel *Travel      // nil without a table, or where it tips
	Blue   *Blue        // nil without a master
}

// Heat is how the ways change when the top is one kelvin warmer than the bottom.
type Heat struct {
	X    []float64
	Ways []WayShape
}

// Published is where the constants of the bed's material are from, and between what they
// spread there: modulus, shear modulus, density, expansion.
type Published struct {
	Source string
	Ranges [4][2]float64
}

// Try is what the page needs to answer moves of the feet by itself. For n
// contact points with forces R, upwards positive, it solves
//
//	minimise ½RᵀHR + cᵀR  with  Eq·R = B  and  R ≥ 0 unless held;
//
// the multipliers (w₀, ψ₀, φ₀) of Eq are the bed's rigid motion, and a way at
// offset y stands at Base + G·R + w₀ + ψ₀x + φ₀y.
type Try struct {
	Standing  string      `json:"standing"`
	H         [][]float64 `json:"h"`    // n×n, m/N: beam and springs
	C         []float64   `json:"c"`    // m: unloaded beam height under the loads minus support height
	Eq        [][]float64 `json:"eq"`   // 3×n: 1, x and offset of each point
	B         []float64   `json:"b"`    // 3: N, N·m about x = 0, N·m about offset 0
	Foot      []int       `json:"foot"` // index into Feet of each point; −1: a bearing
	Held      []bool      `json:"held"`
	Feet      []TryFoot   `json:"feet"`
	Ways      []TryWay    `json:"ways"`
	Under     *TryLoad    `json:"under,omitempty"` // with the table on the bed; nil without one
	LeastLoad float64     `json:"least_load"`      // N, under which a foot is called light
	MostMove  float64     `json:"most_move"`       // m; 0: no limit given
}

// TryLoad is what another load on the bed changes of a Try.
type TryLoad struct {
	C    []float64   `json:"c"`
	B    []float64   `json:"b"`
	Base [][]float64 `json:"base"` // of each way
}

// TryFoot is one foot that the page lets a person move.
type TryFoot struct {
	Name   string    `json:"name"`
	At     float64   `json:"at"`
	Offset float64   `json:"offset"`
	Kind   string    `json:"kind"`             // "screw", "shim", "fixed" or ""
	Rise   float64   `json:"rise,omitempty"`   // m a turn
	Wrench float64   `json:"wrench,omitempty"` // m
	Shims  []float64 `json:"shims,omitempty"`  // m, leaves at hand
}

// TryWay is one way at the stations where the page shows it.
type TryWay struct {
	Name     string      `json:"name"`
	Offset   float64     `json:"offset"`
	X        []float64   `json:"x"`
	Base     []float64   `json:"base"`               // m, under the loads alone
	G        [][]float64 `json:"g"`                  // station × point, m/N
	Measured []float64   `json:"measured,omitempty"` // m, what was measured with no foot moved
}
