package reports

import (
	"footwork/supports"
	"footwork/supports/plan"
)

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
	Touch    bool        `json:"touch,omitempty"`  // first raise the foot until it just takes load
	Raise    float64     `json:"raise"`            // m, after that
	Leaves   []float64   `json:"leaves,omitempty"` // m, of the stack of shims
	Text     string      `json:"text"`             // as the log would have it
	Watch    *Watch      `json:"watch,omitempty"`  // nil: no instrument sees it well enough, go by the angle
	Feel     []string    `json:"feel"`             // feet that may come loose here: they must stay solid
	Readings []Reading   `json:"readings"`
	Loads    []NamedLoad `json:"loads"`
}

// PlanWay is a way as a plan leaves it: the median at each station and 95 % of the beds.
type PlanWay struct {
	Name string
	plan.Curve
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
	State    State       `json:"state"` // as the log leaves it
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
	TableAt     *float64   `json:"table_at,omitempty"` // where the table stood as the bed was surveyed, for which plans are made; nil: off
	OnePlane    bool       `json:"one_plane"`          // a cross level ties the ways: every zone is of both about one common plane
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
