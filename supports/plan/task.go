package plan

import (
	"math"
	"math/rand/v2"
	"slices"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/supports"
)

// Task is what a plan is made for.
type Task struct {
	Bed         casting.Bed
	Standing    beam.Standing
	Solver      *beam.Solver // of both
	Loads       beam.Case    // its weights and lines: what else is on the bed while its feet are moved
	Ways        []Way
	Tied        bool        // the ways' heights are in one frame: they shall lie in one plane
	Draws       []beam.Draw // each as likely as any other, with the form of every way of Ways; one: a certain bed
	Feet        []supports.Adjuster
	Goal        supports.Goal
	Instruments []Instrument
	Slip        []float64             // m, standard uncertainty of what a foot does about what an angle meant; nil: none
	Nut         []float64             // m, likewise of what tightening its lock nut adds to a move; nil: none
	TouchSD     float64               // m, of where a foot is found to touch
	ByFeel      bool                  // of Next: a hand feels after each small step that no foot came loose
	Budget      int                   // work allowed, in operations of arithmetic; 0: one to two seconds of them
	Progress    func(done, whole int) // may be nil
}

// Way is a surveyed way of the bed.
type Way struct {
	Of int       // index in Bed.Ways
	X  []float64 // m, stations, increasing
}

// Instrument can be left standing where it shows a foot's move.
type Instrument struct {
	Name  string
	Way   int       // of Ways; Across: the slope from the first of them to the last
	Base  float64   // m, between the feet of its carriage; 0 of one that reads a height, or across
	At    []float64 // m, where it can stand: of a carriage the trailing foot; nil: beside the foot that is moved
	Noise float64   // rad, of a height m: standard uncertainty of one reading
	Drift float64   // likewise, of what all its readings drift by during one step
}

// Places returns where an instrument can stand to show a foot's move: over the foot nothing moves but at
// an end, and there a foot's own dent shows.
func (in Instrument) Places(foot beam.Foot) []float64 {
	if in.At == nil {
		return []float64{foot.At}
	}
	return slices.DeleteFunc(slices.Clone(in.At), func(at float64) bool { return in.Base > 0 && math.Abs(at+in.Base/2-foot.At) < in.Base })
}

// Within is the standard uncertainty of a change that is read at one place, rad, of a height m.
func (in Instrument) Within() float64 { return math.Hypot(math.Sqrt2*in.Noise, in.Drift) }

// Shows returns what an instrument shows at a place, without its unknown zero · foot that one
// without places stands beside, height of a way at x, m.
func (t *Task) Shows(instrument int, at float64, foot int, height func(way int, x float64) float64) float64 {
	in, last := t.Instruments[instrument], len(t.Ways)-1
	offset := func(way int) float64 { return t.Bed.Ways[t.Ways[way].Of].Offset }
	across := func(x float64) float64 {
		if last == 0 {
			return 0
		}
		return (height(last, x) - height(0, x)) / (offset(last) - offset(0))
	}
	switch {
	case in.At == nil: // the section does not bend: the foot's height lies on the line through the ways
		f := t.Standing.Feet[foot]
		return height(0, f.At) + across(f.At)*(f.Offset-offset(0))
	case in.Way == Across:
		return across(at)
	case in.Base == 0:
		return height(in.Way, at)
	}
	return (height(in.Way, at+in.Base) - height(in.Way, at)) / in.Base
}

// Across is the way of a cross level.
const Across = -1

// Split parts draws into those that choose plans, 64 and half of all at most, and those
// that judge them, the first among these. They are drawn by lot, for draws may come from
// several chains in turn. Of a single draw both are that one.
func Split(draws []beam.Draw) (choose, judge []beam.Draw) {
	const most = 64
	n := len(draws)
	if n == 1 {
		return draws, draws
	}
	lot := make([]bool, n)
	for _, i := range rand.New(rand.NewPCG(uint64(n), 1)).Perm(n - 1)[:min(most, n/2)] {
		lot[i+1] = true
	}
	for i, d := range draws {
		if lot[i] {
			choose = append(choose, d)
		} else {
			judge = append(judge, d)
		}
	}
	return choose, judge
}
