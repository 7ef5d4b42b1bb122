// Package reports turns results into what people and programs read: JSON, CSV,
// plain text and one page. The types of this file are the JSON contract: SI
// units, radians, fixed keys.
package reports

import (
	"strconv"

	"footwork/supports"
)

// View is an answer that people and programs read.
type View interface{ curves() csvTable }

// State is which bed an answer means: as drawn, as found, or after turning.
type State string

const (
	Given   State = "given"   // as the job says
	Found   State = "found"   // as surveys, log and hand tell it
	Planned State = "planned" // as the recommended plan leaves it
)

// Straightness is peak-to-valley about three reference lines (ISO 12780-1
// names the last two LSLI and MZLI), m.
type Straightness struct {
	Ends         float64  `json:"ends"`
	LeastSquares float64  `json:"least_squares"`
	MinimumZone  float64  `json:"minimum_zone"`
	Low          float64  `json:"low"` // with High: the minimum zone in 95 % of the beds that it may be
	High         float64  `json:"high"`
	Sigma        *float64 `json:"sigma,omitempty"` // standard uncertainty of the minimum zone
}

// WayShape is the shape of one way at the x of its parent, with its 95 % band about
// the line through the ends. The
// straightness is the median of those of the beds that it may be, not of the curve.
type WayShape struct {
	Name         string       `json:"name"`
	Offset       float64      `json:"offset"`
	Height       []float64    `json:"height"`
	Low          []float64    `json:"low"`
	High         []float64    `json:"high"`
	Straightness Straightness `json:"straightness"`
}

// FootLoad is how one foot stands. All feet together are between Low and High with
// 95 % probability.
type FootLoad struct {
	Name    string  `json:"name"`
	At      float64 `json:"at"`
	Offset  float64 `json:"offset"`
	Load    float64 `json:"load"`
	Low     float64 `json:"low"`
	High    float64 `json:"high"`
	Lifted  bool    `json:"lifted"`
	Gap     float64 `json:"gap"`
	Carries float64 `json:"carries"` // probability
}

// BearingLoad is how one bearing carries.
type BearingLoad struct {
	Load  float64   `json:"load"`
	X     []float64 `json:"x"`
	Force []float64 `json:"force"` // N at each x
}

// SagStanding is one standing's answer to `sag`.
type SagStanding struct {
	Name     string        `json:"name"`
	State    State         `json:"state"`
	TableAt  *float64      `json:"table_at,omitempty"` // left end of the table; nil: no table on the bed
	X        []float64     `json:"x"`
	Ways     []WayShape    `json:"ways"`
	Twist    []float64     `json:"twist"`
	Weight   float64       `json:"weight"`
	Feet     []FootLoad    `json:"feet"`
	Bearings []BearingLoad `json:"bearings"`
	Warnings []Warning     `json:"warnings"`
}

// Sag answers `sag`.
type Sag struct {
	Standings []SagStanding `json:"standings"`
}

// PathPoint is where the table is when its left end stands at a place.
type PathPoint struct {
	Height float64 `json:"height"`
	Pitch  float64 `json:"pitch"`
	Roll   float64 `json:"roll"`
	AtTool float64 `json:"at_tool"`
	Under  bool    `json:"under_tool"` // the tool stands over the table
}

// Travel answers `travel`.
type Travel struct {
	Standing           string      `json:"standing"`
	State              State       `json:"state"`
	Stroke             Stroke      `json:"stroke"`
	TableAt            []float64   `json:"table_at"`
	Path               []PathPoint `json:"path"`
	AtToolStraightness float64     `json:"at_tool_straightness"`
	AtToolLow          float64     `json:"at_tool_low"`
	AtToolHigh         float64     `json:"at_tool_high"`
	FootLoads          [][]float64 `json:"foot_loads"` // [place][foot]
	FootLow            [][]float64 `json:"foot_low"`
	FootHigh           [][]float64 `json:"foot_high"`
	Feet               []string    `json:"feet,omitempty"`
	X                  []float64   `json:"x,omitempty"`
	Ways               []TravelWay `json:"ways,omitempty"`
	PressureX          []float64   `json:"pressure_x,omitempty"` // from the table's left end
	Pressure           [][]float64 `json:"pressure,omitempty"`   // [place][pressure_x], N/m of both ways
	Warnings           []Warning   `json:"warnings"`
}

// Stroke is between which places the table's left end moves.
type Stroke struct {
	From    float64 `json:"from"`
	To      float64 `json:"to"`
	Assumed bool    `json:"assumed"` // the job says nothing: as far as the table cannot tip
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
	Name   string      `json:"name"`
	Height [][]float64 `json:"height"` // [place][x]
}

// Change answers `change`.
type Change struct {
	From     string     `json:"from"`
	To       string     `json:"to"`
	State    State      `json:"state"` // of To
	X        []float64  `json:"x"`
	Ways     []WayShape `json:"ways"`
	Warnings []Warning  `json:"warnings"`
}

// SurveyProfile is one survey reduced. Heights are about the line through the
// ends; for a cross level they are slopes across the bed.
type SurveyProfile struct {
	Name         string       `json:"name"`
	Standing     string       `json:"standing"`
	Way          string       `json:"way"`
	X            []float64    `json:"x"`
	Height       []float64    `json:"height"`
	Sigma        []float64    `json:"sigma"`
	Straightness Straightness `json:"straightness"`
	Sideways     bool         `json:"sideways,omitempty"` // heights are to the side of positive offset
	OfTable      bool         `json:"of_table,omitempty"` // of the table's own ways
	Against      string       `json:"against,omitempty"`  // heights are the change of the distance from this way
	Pulled       int          `json:"pulled,omitempty"`   // the gauge of a cross level was pulled to negative (−1) or positive offset
	Gauge        float64      `json:"gauge,omitempty"`    // length on which slopes across are also told as heights
	Instrument   string       `json:"instrument,omitempty"`
	Date         string       `json:"date,omitempty"`
	Pass         int          `json:"pass,omitempty"`
	Runs         []RunSpread  `json:"runs,omitempty"`
	Remarks      []string     `json:"remarks,omitempty"` // beside the rows of readings
	Warnings     []Warning    `json:"warnings"`
}

// RunSpread is how one run differs from the mean of all at each reading.
type RunSpread struct {
	Name  string    `json:"name"`
	X     []float64 `json:"x"`
	Value []float64 `json:"value"`
	Unit  string    `json:"unit"` // of the readings
}

// Survey answers `survey`.
type Survey struct {
	Surveys []SurveyProfile `json:"surveys"`
	History []WayHistory    `json:"history,omitempty"` // of ways with two surveys or more
	Diary   []Deed          `json:"diary,omitempty"`   // the lines of the log that count
}

// Deed is a line of the log as it was written.
type Deed struct {
	When  string `json:"when"`
	What  string `json:"what"`
	Where string `json:"where"`
	Value string `json:"value"`
	Note  string `json:"note"`
}

// WayHistory is how one way fared from survey to survey in one standing.
type WayHistory struct {
	Standing string     `json:"standing"`
	Way      string     `json:"way"`
	Sideways bool       `json:"sideways,omitempty"`
	OfTable  bool       `json:"of_table,omitempty"`
	Marks    []Landmark `json:"marks"`
}

// Moved is what was done to a foot between two surveys.
type Moved struct {
	Foot    string  `json:"foot"`
	Raise   float64 `json:"raise"`
	ToTouch bool    `json:"to_touch,omitempty"` // also turned until it touched, by an unknown amount
	Locked  bool    `json:"locked,omitempty"`
}

// Landmark is one survey of a history.
type Landmark struct {
	Survey string  `json:"survey"`
	Date   string  `json:"date"`
	Pass   int     `json:"pass"`
	Zone   float64 `json:"zone"`
	Sigma  float64 `json:"sigma"`
	Change float64 `json:"change"`          // of zone since the survey before
	Unsure float64 `json:"unsure"`          // standard uncertainty of the change
	Moved  []Moved `json:"moved,omitempty"` // feet, since the survey before
	Kind   string  `json:"kind"`            // "" first, "pass" metal was cut, "move" feet were moved, "drift" neither
}

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
}

// Match answers `match`. Gradient holds kelvins in its Factor, Low and High.
type Match struct {
	Standing       string         `json:"standing"`
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

// Move is one foot's part of a plan.
type Move struct {
	Foot   string    `json:"foot"`
	Touch  bool      `json:"touch,omitempty"`  // first raise the foot until it just takes load
	Raise  float64   `json:"raise"`            // m, after that
	SD     float64   `json:"sd"`               // m, standard uncertainty of the move
	Leaves []float64 `json:"leaves,omitempty"` // m, of the stack of shims
	Text   string    `json:"text"`             // as the log would have it
}

// Reading is what an instrument should show after a step.
type Reading struct {
	Survey string    `json:"survey"`
	X      []float64 `json:"x"`
	Value  []float64 `json:"value"`
	Unit   string    `json:"unit"`
}

// NamedLoad is a foot's load in newtons; Low and High, where they differ, are
// the ends of its 95 % interval.
type NamedLoad struct {
	Foot string  `json:"foot"`
	Load float64 `json:"load"`
	Low  float64 `json:"low,omitempty"`
	High float64 `json:"high,omitempty"`
}

// Watch is what the instrument left standing there reads before a step and must read
// after it, in its own unit; of an indicator beside the foot only the change, m.
type Watch struct {
	Survey    string   `json:"survey,omitempty"`
	Indicator bool     `json:"indicator,omitempty"`
	At        float64  `json:"at"`             // m, of a carriage the trailing foot
	Less      *float64 `json:"less,omitempty"` // m, a second place whose reading is taken off the first's
	Before    float64  `json:"before"`
	Until     float64  `json:"until"`
	Change    float64  `json:"change"`
	Within    float64  `json:"within"` // 95 %
	Unit      string   `json:"unit,omitempty"`
}

// Step is one visit to one foot.
type Step struct {
	Foot     string      `json:"foot"`
	Touch    bool        `json:"touch,omitempty"` // first raise the foot until it just takes load
	Raise    float64     `json:"raise"`           // m, after that
	Text     string      `json:"text"`            // as the log would have it
	Watch    *Watch      `json:"watch,omitempty"` // nil: no instrument sees it well enough, go by the angle
	Feel     []string    `json:"feel"`            // feet that may come loose here: they must stay solid
	Readings []Reading   `json:"readings"`
	Loads    []NamedLoad `json:"loads"`
}

// PlanWay is a way as a plan leaves it: the median at each station and 95 % of the beds.
type PlanWay struct {
	Name   string    `json:"name"`
	X      []float64 `json:"x"`
	Height []float64 `json:"height"`
	Sigma  []float64 `json:"sigma"`
	Low    []float64 `json:"low"`
	High   []float64 `json:"high"`
}

// Plan is the best that a number of feet can do.
type Plan struct {
	FeetMoved int         `json:"feet_moved"`
	Moves     []Move      `json:"moves"`
	Zone      float64     `json:"zone"`
	Low       float64     `json:"low"`
	High      float64     `json:"high"`
	ZoneSigma float64     `json:"zone_sigma"`
	Ways      []PlanWay   `json:"ways"`
	Loads     []NamedLoad `json:"loads"`
	Steps     []Step      `json:"steps"`
}

// Before is the state that a plan starts from.
type Before struct {
	Zone float64 `json:"zone"`
	Low  float64 `json:"low"`
	High float64 `json:"high"`
}

// NextStep answers `turn --next`.
type NextStep struct {
	Step     int         `json:"step"`
	Of       int         `json:"of"`
	Foot     string      `json:"foot"`
	Touch    bool        `json:"touch"`
	Raise    float64     `json:"raise"`
	Watch    *Watch      `json:"watch,omitempty"`
	Feel     []string    `json:"feel"`
	Loads    []NamedLoad `json:"loads"`
	Expected Before      `json:"expected"` // of the ways, when all steps are done
	Done     bool        `json:"done"`
}

// Levelling is how a bed that was just set down is brought onto all its feet, its table
// off: on a pair and a centre block first.
type Levelling struct {
	On     []Rest      `json:"on"`
	Others []string    `json:"others"` // feet brought up one by one until they just take load
	Turns  []LevelTurn `json:"turns"`
	Clear  float64     `json:"clear"`            // m, by which the blocks are free in the end
	Unsafe bool        `json:"unsafe,omitempty"` // the weight lies too near to a side of any such three
}

// Rest is a foot or a block that a bed stands on for a while.
type Rest struct {
	Foot   string  `json:"foot,omitempty"` // "": a block
	At     float64 `json:"at"`
	Offset float64 `json:"offset"`
	Load   float64 `json:"load"`
}

// LevelTurn is one round of sharing the load.
type LevelTurn struct {
	Moves    []Turned `json:"moves"`
	Lightest float64  `json:"lightest"` // N, of all feet after it
}

// Turned is a foot's move and how far its screw rises a turn, m; 0 without one.
type Turned struct {
	Foot  string  `json:"foot"`
	Raise float64 `json:"raise"`
	Rise  float64 `json:"rise"`
}

// Adjust answers `adjust`. Plans[0] moves nothing; Recommended is an index.
type Adjust struct {
	Standing    string     `json:"standing"`
	State       State      `json:"state"`
	Before      Before     `json:"before"`
	OnePlane    bool       `json:"one_plane"` // a cross level ties the ways: every zone is of both about one common plane
	Recommended int        `json:"recommended"`
	Plans       []Plan     `json:"plans"`
	Aims        []AimPlan  `json:"aims,omitempty"`      // where metal may be a third of it: this plan, and what the other aim asks for
	Levelling   *Levelling `json:"levelling,omitempty"` // from nothing to a level bed
	Warnings    []Warning  `json:"warnings"`
}

// AimPlan is what the plan of an aim moves and leaves.
type AimPlan struct {
	Aim       supports.Aim `json:"aim"`
	Moves     []Move       `json:"moves"`
	Zone      float64      `json:"zone"`
	Low       float64      `json:"low"`
	High      float64      `json:"high"`
	Departure float64      `json:"departure"` // root mean square over the feet, of loads from those on level feet, mean foot loads
}

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

// Across reports whether the survey is of slopes across the bed.
func (v SurveyProfile) Across() bool { return v.Way == "" }

// FootCount returns the number of feet whose loads are given.
func (v Travel) FootCount() int {
	if len(v.FootLoads) == 0 {
		return 0
	}
	return len(v.FootLoads[0])
}

// FootName returns the name of a foot, or its number.
func (v Travel) FootName(i int) string {
	if i < len(v.Feet) {
		return v.Feet[i]
	}
	return strconv.Itoa(i + 1)
}
