package reports

import (
	"fmt"
	"math"
	"strings"

	"footwork/internal/unit"
	"footwork/supports"
	"footwork/supports/plan"
)

// Move is one foot's part of a plan.
type Move struct {
	Foot   string
	Touch  bool      `json:",omitempty"` // first raise the foot until it just takes load
	Raise  float64   // m, after that
	SD     float64   // m, standard uncertainty of the move
	Leaves []float64 `json:",omitempty"` // m, of the stack of shims
	Text   string    // as the log would have it
}

// Reading is what an instrument should show after a step.
type Reading struct {
	Survey   string
	X, Value []float64
	Unit     string
}

// NamedLoad is a foot's load in newtons; Low and High, where they differ, are
// the ends of its 95 % interval.
type NamedLoad struct {
	Foot string
	Load float64
	Low  float64 `json:",omitempty"`
	High float64 `json:",omitempty"`
}

// Watch is what the instrument left standing there reads before a step and must read
// after it, in its own unit; of an indicator beside the foot only the change, m.
type Watch struct {
	Survey                string   `json:",omitempty"`
	Indicator             bool     `json:",omitempty"`
	At                    float64  // m, of a carriage the trailing foot
	Less                  *float64 `json:",omitempty"` // m, a second place whose reading is taken off the first's
	Before, Until, Change float64
	Within                float64 // 95 %
	Unit                  string  `json:",omitempty"`
}

// Step is one visit to one foot.
type Step struct {
	Foot     string
	Touch    bool      `json:",omitempty"` // first raise the foot until it just takes load
	Raise    float64   // m, after that
	Leaves   []float64 `json:",omitempty"` // m, of the stack of shims
	Text     string    // as the log would have it
	Watch    *Watch    `json:",omitempty"` // nil: no instrument sees it well enough, go by the angle
	Feel     []string  // feet that may come loose here: they must stay solid
	Readings []Reading
	Loads    []NamedLoad
}

// PlanWay is a way as a plan leaves it: the median at each station and 95 % of the beds.
type PlanWay struct {
	Name string
	plan.Curve
}

// Plan is the best that a number of feet can do.
type Plan struct {
	FeetMoved                  int
	Moves                      []Move
	Zone, Low, High, ZoneSigma float64
	Ways                       []PlanWay
	Loads                      []NamedLoad
	Steps                      []Step
}

// Before is the state that a plan starts from.
type Before struct {
	Zone, Low, High float64
}

// NextStep answers `turn --next`.
type NextStep struct {
	State    State // as the log leaves it
	Step, Of int
	Foot     string
	Touch    bool
	Raise    float64
	Watch    *Watch `json:",omitempty"`
	Feel     []string
	Loads    []NamedLoad
	Expected Before // of the ways, when all steps are done
	Done     bool
}

// Levelling is how a bed that was just set down is brought onto all its feet, its table
// off: on a pair and a centre block first.
type Levelling struct {
	On     []Rest
	Others []string // feet brought up one by one until they just take load
	Turns  []LevelTurn
	Clear  float64  // m, by which the blocks are free in the end
	Unsafe bool     `json:",omitempty"` // the weight lies too near to a side of any such three
	Short  []string `json:",omitempty"` // feet of less thread than they are raised by
}

// Rest is a foot or a block that a bed stands on for a while.
type Rest struct {
	Foot             string `json:",omitempty"` // "": a block
	At, Offset, Load float64
}

// LevelTurn is one round of sharing the load.
type LevelTurn struct {
	Moves    []Turned
	Lightest float64 // N, of all feet after it
}

// Turned is a foot's move and how far its screw rises a turn, m; 0 without one.
type Turned struct {
	Foot        string
	Raise, Rise float64
}

// Adjust answers `adjust`. Plans[0] moves nothing; Recommended is an index.
type Adjust struct {
	Standing    string
	State       State
	Before      Before
	TableAt     *float64 `json:",omitempty"` // where the table stood as the bed was surveyed, for which plans are made; nil: off
	OnePlane    bool     // a cross level ties the ways: every zone is of both about one common plane
	Recommended int
	Plans       []Plan
	Aims        []AimPlan  `json:",omitempty"` // where metal may be a third of it: this plan, and what the other aim asks for
	First       []Advice   `json:",omitempty"` // what settles feet or metal, while that is open
	Levelling   *Levelling `json:",omitempty"` // from nothing to a level bed
	Warnings    []Warning
}

// AimPlan is what the plan of an aim moves and leaves.
type AimPlan struct {
	Aim             supports.Aim
	Moves           []Move
	Zone, Low, High float64
	Departure       float64 // root mean square over the feet, of loads from those on level feet, mean foot loads
}

// Indicator is the name of the instrument that can stand beside a foot.
const Indicator = "indicator"

// MoveText writes a move as the log has it: "up 9°", "in 0.05 + 0.02 mm", "up 20.0 µm",
// and "to touch, then up 9°".
func MoveText(a supports.Adjuster, touch bool, raise float64, leaves []float64) string {
	text := amountText(a, raise, leaves)
	switch {
	case !touch:
		return text
	case raise == 0:
		return "to touch"
	}
	return "to touch, then " + text
}

func amountText(a supports.Adjuster, raise float64, leaves []float64) string {
	way, in := "up", "in"
	if raise < 0 {
		way, in = "down", "out"
	}
	switch {
	case a.Kind == supports.Screw && a.Rise > 0:
		return fmt.Sprintf("%s %.0f°", way, math.Abs(raise)/a.Rise*360)
	case a.Kind == supports.Shim && len(leaves) > 0:
		var list []string
		for _, l := range leaves {
			list = append(list, fmt.Sprintf("%.2f", l/unit.MM))
		}
		return in + " " + strings.Join(list, " + ") + " mm"
	}
	return way + " " + unit.Metric.Height().Text(math.Abs(raise))
}
