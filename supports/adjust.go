package supports

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// Measured is one way as surveyed.
type Measured struct {
	Name   string
	Offset float64       // m across the bed
	X      []float64     // m, stations, increasing
	Height []float64     // m, one a station; of tied ways in one frame
	Cov    *mat.SymDense // m², of Height; nil: not known
}

// Settled is how the bed stands after moves, with one-sided contact.
type Settled struct {
	Ways   [][]float64 // m, change of each way's heights at its stations against no move
	Loads  []float64   // N, of each foot
	Lifted []bool      // the bed does not touch the foot
	Gap    []float64   // m, clear of each foot; nil when not known
}

// Settle returns how the bed stands when each foot is raised by so much, m.
type Settle func(raise []float64) (Settled, error)

// Task is what Adjust works on. Feet are in the order of Influence.Feet, ways in that
// of Influence.Ways, whose stations are the measured ones.
type Task struct {
	Ways      []Measured
	Tied      bool // both ways' heights are in one frame: they shall lie in one plane
	Influence Influence
	Gap       []float64 // m, clear of each foot; see Touching. nil: Influence is of the present contact
	Goal      Goal
	Adjusters []Adjuster
	Settle    Settle
	PlanSigma float64              // m, standard uncertainty of a zone; 0: from Cov
	Amount    func(float64) string // prints a small length; nil: metric
}

// Move is one foot's part of a plan.
type Move struct {
	Foot  string
	Raise float64 // m
	Text  string  // in the adjuster's own units
}

// PlanWay is a way as a plan leaves it.
type PlanWay struct {
	Name             string
	X, Height, Sigma []float64 // m
}

// Plan is the best that a number of feet can do.
type Plan struct {
	FeetMoved int
	Moves     []Move
	Raise     []float64 // m, of every foot
	Zone      float64   // m, with the moves as rounded and the contact that results
	Unrounded float64   // m, zone of the exact moves: no rounding of these feet does better
	ZoneSigma float64   // m, standard uncertainty
	Lacking   float64   // sum of what feet lack of the least load, in mean foot loads
	Wrong     float64   // m, how far a way's middle lies on the side that is not allowed
	Ways      []PlanWay
	Loads     []float64 // N
	Lifted    []bool
	Steps     []Step
}

// Adjustment is the answer of Adjust. Plans[0] moves nothing; each further plan moves
// more feet than the one before and is better. Recommended is an index.
type Adjustment struct {
	Recommended int
	Plans       []Plan
	Unsearched  []string // what the search for plans had to leave out
	Warnings    []string // that, and what the recommended plan calls for
}

// task is a Task with what is worked out once.
type task struct {
	Task
	want       [][]float64 // [way][station] m, measured less the wanted form
	limits     limits
	draws      [][][]float64 // [draw][way][station] m, errors that the surveys may hold
	contact    map[string]*contact
	start      Settled
	tried      int // choices of feet that were looked at
	failed     int // choices of feet for which the programme gave no answer
	warnings   []string
	unsearched []string
}

// Adjust returns for every number of feet the best that moving so many can do, and
// which of these plans to take: the one that moves the fewest feet and is within the
// measurement's uncertainty (95 %) of the best. Best is least zone: the larger of the
// ways' own minimum zones or, when tied, that of all ways about one common plane;
// where feet lack load or a way lies on the side that is not allowed, curing that goes
// first. Exact up to the choice of feet when more than mostExhaustive can move (see
// stepwise), and up to rounding beyond mostNodes; Warnings say so. An error comes from Settle only.
func Adjust(in Task) (Adjustment, error) {
	t := newTask(in)
	out, err := t.search()
	if err != nil {
		return Adjustment{}, err
	}
	for k := range out.Plans {
		if out.Plans[k].Steps, err = t.steps(out.Plans[k], k == out.Recommended); err != nil {
			return Adjustment{}, err
		}
	}
	t.comment(out)
	out.Warnings = append(t.unsearched, t.warnings...)
	return out, nil
}

// Search returns the plans of Adjust without their steps and what is to be said of them.
func Search(in Task) (Adjustment, error) { return newTask(in).search() }

func (t *task) search() (out Adjustment, err error) {
	if t.start, err = t.Settle(make([]float64, len(t.Influence.Feet))); err != nil {
		return Adjustment{}, fmt.Errorf("feet as they are: %w", err)
	}
	first, err := t.plan(make([]float64, len(t.Influence.Feet)))
	if err != nil {
		return Adjustment{}, err
	}
	first.Unrounded = first.Zone
	out.Plans = []Plan{first}
	for _, rung := range t.ladder() {
		before := out.Plans[len(out.Plans)-1]
		p, err := t.plan(rung.round(before.Raise))
		if err != nil {
			return Adjustment{}, err
		}
		p.Unrounded = rung.best.zone
		if p.FeetMoved > before.FeetMoved && t.total(p.verdict()) < t.total(before.verdict())-telling {
			out.Plans = append(out.Plans, p)
		}
	}
	out.Recommended = t.recommend(out.Plans)
	out.Unsearched = t.unsearched
	return out, nil
}

// telling is the least change of a zone that is one: nothing on a bed is known to a nanometre.
const telling = 1e-9

func newTask(in Task) *task {
	t := &task{Task: in, contact: map[string]*contact{}}
	if len(in.Ways) != len(in.Influence.Ways) || len(in.Adjusters) != len(in.Influence.Feet) {
		panic("supports: ways or adjusters do not match the influence")
	}
	if t.Amount == nil {
		t.Amount = metric
	}
	for _, w := range in.Ways {
		t.want = append(t.want, lessCrown(w.X, w.Height, in.Goal.Crown))
	}
	t.limits = t.newLimits()
	t.draws = drawErrors(in.Ways)
	return t
}

// lessCrown returns heights less a parabola that is crown high in the middle of the
// stations and 0 at their ends.
func lessCrown(x, height []float64, crown float64) []float64 {
	out := make([]float64, len(x))
	from, long := x[0], x[len(x)-1]-x[0]
	for i := range x {
		s := 0.0
		if long > 0 {
			s = (x[i] - from) / long
		}
		out[i] = height[i] - 4*crown*s*(1-s)
	}
	return out
}

// metric prints a small length as a person in a metric shop would.
func metric(m float64) string {
	switch a := math.Abs(m); {
	case a < 9.95e-6:
		return fmt.Sprintf("%.1f µm", m*1e6)
	case a < 1e-3:
		return fmt.Sprintf("%.0f µm", m*1e6)
	}
	return fmt.Sprintf("%.0f mm", m*1e3)
}

// plan returns what the bed does when the feet are raised, solved with full contact.
func (t *task) plan(raise []float64) (Plan, error) {
	s, err := t.Settle(raise)
	if err != nil {
		return Plan{}, fmt.Errorf("plan that moves %d feet: %w", len(t.moves(raise)), err)
	}
	v := t.judge(t.after(t.want, s), s.Loads)
	p := Plan{Moves: t.moves(raise), Raise: raise, Zone: v.zone, Lacking: v.lacking, Wrong: v.wrong, Loads: s.Loads, Lifted: s.Lifted,
		ZoneSigma: t.zoneSigma(t.after(t.want, s))}
	p.FeetMoved = len(p.Moves)
	for w, m := range t.Ways {
		h := make([]float64, len(m.X))
		for i := range h {
			h[i] = m.Height[i] + s.Ways[w][i]
		}
		p.Ways = append(p.Ways, PlanWay{Name: m.Name, X: m.X, Height: h, Sigma: deviations(m)})
	}
	return p, nil
}

func (t *task) moves(raise []float64) []Move {
	var out []Move
	for f, r := range raise {
		if r != 0 {
			out = append(out, Move{Foot: t.Influence.Feet[f], Raise: r, Text: t.text(f, r)})
		}
	}
	return out
}

// after returns heights with the change that settling brought.
func (t *task) after(heights [][]float64, s Settled) [][]float64 {
	out := make([][]float64, len(heights))
	for w, h := range heights {
		out[w] = make([]float64, len(h))
		for i := range h {
			out[w][i] = h[i] + s.Ways[w][i]
		}
	}
	return out
}

// recommend returns the plan of the fewest feet that is as good as the best as far as
// the measurement can tell.
func (t *task) recommend(plans []Plan) int {
	best := plans[len(plans)-1]
	for k, p := range plans {
		sound := p.Lacking <= best.Lacking+1e-6 && p.Wrong <= best.Wrong+2*best.ZoneSigma+telling
		if sound && p.Zone <= best.Zone+2*best.ZoneSigma+telling {
			return k
		}
	}
	return len(plans) - 1
}
