package place

import (
	"errors"
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/stat/combin"

	"footwork/beam"
	"footwork/beam/shape"
)

// Options are where feet may go.
type Options struct {
	Pairs   []int        // how many pairs to consider
	Offsets []float64    // m, where the feet of a pair stand across the bed
	Zones   []shape.Span // where a foot may go; empty: anywhere
	Apart   float64      // m, the least distance between neighbours
	Keep    []beam.Foot  // feet that stay where they are
}

// Task is how the best places of the feet are to be searched.
type Task struct {
	Loading
	Options   Options
	Stiffness float64               // N/m, of each new foot; 0 or +Inf: rigid
	Tolerance float64               // m, straightness wanted of each way; 0 when not given
	Grid      int                   // places over the zones; 0: 60, fewer for more than two pairs
	Tables    int                   // places of the table in the search; 0: 9, twice as many for what is told
	Progress  func(done, whole int) // may be nil; called from several goroutines, one at a time
}

// Pattern is how the feet of a placement are arranged.
type Pattern string

const (
	Paired   Pattern = "pairs"
	oneLeft  Pattern = "one foot at the left end"
	oneRight Pattern = "one foot at the right end"
)

// WrongFoot is the wrong height, m, that sensitivity is for: a round one to compare by, as what it
// costs goes with it until a foot lifts.
const WrongFoot = 10e-6

// Placement is the best that a number of feet can do.
type Placement struct {
	Pairs          int // posts along the bed: pairs, single feet and kept feet
	Pattern        Pattern
	At             []float64 // m, posts along the bed, increasing
	Feet           []Foot
	Zone           float64 // m, the worst of both ways over self-weight and travel
	Sensitivity    float64 // m, worst change of zone when one foot is 10 µm too high or too low
	SensitivityRMS float64 // m, root mean square of these changes
	Least          int     // of Feet: that which gets lightest
}

// Foot is a foot of a placement and what it carries, N.
type Foot struct {
	beam.Foot
	Load        float64 // without the table
	Least, Most float64 // over self-weight and travel
}

// Answer is where feet would stand best.
type Answer struct {
	Stroke      *shape.Span // m, of the table's left end, over which it was judged; nil without a table
	Placements  []Placement // by number of feet
	Recommended int         // of Placements
	Reason      string
	LeftOut     []int // wished numbers of pairs that are fewer than two or than those kept
}

// ErrNone says that the bed stands nowhere: no number of feet asked for holds it, with the table over its whole stroke,
// within the zones.
var ErrNone = errors.New("no number of feet asked for holds the bed within the zones")

// Best finds for every wished number of pairs, and for the pattern with one
// single foot at an end, the places with the least zone: exhaustively on a grid,
// then off it. Standing on three is always among them, unless feet are kept. It is
// ErrNone, or an error when the loading does not hold together.
func Best(t Task) (Answer, error) {
	t.fill()
	coarse, err := newLoadCases(t.Loading, fewStations, t.Tables)
	if err != nil {
		return Answer{}, err
	}
	fine, err := coarse.finer(stations, 2*t.Tables-1)
	if err != nil {
		return Answer{}, err
	}
	out := Answer{Stroke: coarse.stroke}
	patterns := t.patterns(&out)
	tick := t.ticker(patterns)
	settled := make([]*Placement, len(patterns))
	var wg sync.WaitGroup
	for i, p := range patterns {
		wg.Go(func() { settled[i] = t.place(coarse, fine, p, tick) })
	}
	wg.Wait()
	for _, p := range settled {
		if p != nil {
			out.Placements = better(out.Placements, *p)
		}
	}
	if len(out.Placements) == 0 {
		return out, ErrNone
	}
	out.recommend(t.Tolerance)
	return out, nil
}

// Stations along the bed and places of the table in a search and on floors, and stations for what is told: on beds of 3.9 and
// 8 m on six to fourteen feet the zone is at most 0.25 and 0.03 % less than with 481 stations and 121 places.
const fewStations, fewTables, stations = 41, 9, 121

func (t *Task) fill() {
	if t.Tables == 0 {
		t.Tables = fewTables
	}
	if t.Stiffness == 0 {
		t.Stiffness = math.Inf(1)
	}
	on := func(z shape.Span) bool { return z.From >= 0 && z.From <= z.To && z.To <= t.Bed.Length }
	for _, f := range t.Options.Keep {
		if !on(shape.Span{From: f.At, To: f.At}) {
			panic("place: a kept foot lies off the bed")
		}
	}
	if len(t.Options.Offsets) == 0 || slices.ContainsFunc(t.Options.Zones, func(z shape.Span) bool { return !on(z) }) {
		panic("place: a zone lies off the bed, or pairs have no offsets")
	}
}

// patterns lists what is to be tried, by number of feet.
func (t *Task) patterns(out *Answer) (list []pattern) {
	var kept []float64
	for _, f := range t.Options.Keep {
		if !slices.Contains(kept, f.At) {
			kept = append(kept, f.At)
		}
	}
	pairs := slices.Clone(t.Options.Pairs)
	if len(kept) == 0 && len(t.Options.Offsets) > 1 {
		list = append(list, pattern{2, -1}, pattern{2, 1})
	}
	slices.Sort(pairs)
	for _, n := range slices.Compact(pairs) {
		fresh := n - len(kept)
		if fresh < 0 || n < 2 {
			out.LeftOut = append(out.LeftOut, n)
			continue
		}
		if fresh > 0 && len(t.Options.Offsets) > 1 && (n > 2 || len(kept) > 0) {
			list = append(list, pattern{fresh, -1}, pattern{fresh, 1})
		}
		list = append(list, pattern{fresh, 0})
	}
	return list
}

// Light tells whether a foot goes light on the way, by a millionth of what it carries most.
func (f Foot) Light() bool { return f.Least <= 1e-6*f.Most }

// mostPlacements is how many placements a grid may have, those apart: 24 posts for three pairs anywhere, 16 for four, 13 for eight.
// What is coarse about it the steps off the grid make good: fifty times as many give no better feet (22 patterns on beds of
// 4.2 and 12 m).
const mostPlacements = 2_050

// grid returns how many posts to try for so many fresh ones: of m among n that k−1 others must part, (n−(m−1)(k−1)) over m
// are apart.
func (t *Task) grid(fresh int) int {
	if t.Grid > 0 {
		return t.Grid
	}
	long := 0.0
	for _, z := range t.Options.zones(t.Bed.Length) {
		long += z.To - z.From
	}
	for n := 60; n > fresh; n-- {
		parting := math.Ceil(t.Options.Apart*float64(n-1)/max(long, 1e-9)*(1-1e-9)) - 1
		free := float64(n) - float64(fresh-1)*max(parting, 0)
		if free >= float64(fresh) && combin.GeneralizedBinomial(free, float64(fresh)) <= mostPlacements {
			return n
		}
	}
	return 60
}

func (t *Task) ticker(patterns []pattern) func() {
	whole := 0
	for _, p := range patterns {
		whole += len(gridOf(t.Options, t.Bed.Length, t.grid(p.fresh)))
	}
	var telling sync.Mutex
	done := 0
	return func() {
		telling.Lock()
		defer telling.Unlock()
		if done++; t.Progress != nil {
			t.Progress(done, whole)
		}
	}
}

// finest is the last step off the grid, as a part of the bed: a tape is read to half a millimetre.
const finest = 1e-5

// better adds a placement; of the two ends for a single foot the better, the left one
// when they are within a hundredth. The grid does not tell which: the best of one end
// may lie further off it than that of the other.
func better(list []Placement, p Placement) []Placement {
	if n := len(list); n > 0 && p.Pattern == oneRight && list[n-1].Pattern == oneLeft && list[n-1].Pairs == p.Pairs {
		if p.Zone < list[n-1].Zone*0.99 {
			list[n-1] = p
		}
		return list
	}
	return append(list, p)
}

// place finds the best placement of a pattern, on a grid and then off it, first by the cases of the grid, and works
// out all that is told of it; nil when none holds the bed.
func (t *Task) place(coarse, fine *loadCases, p pattern, tick func()) *Placement {
	g := newSearch(coarse, t.Options, t.Stiffness, t.grid(p.fresh))
	placed, _ := g.best(p, tick)
	if placed == nil {
		return nil
	}
	var fresh []float64
	for _, j := range placed {
		if !g.posts[j].stays() {
			fresh = append(fresh, g.posts[j].x)
		}
	}
	r := descent{lc: coarse, on: coarse.arrange(nil), options: t.Options, stiff: t.Stiffness, single: p.single}
	out := &Placement{Pairs: len(placed), Pattern: Paired}
	if p.single != 0 {
		out.Pattern = map[int]Pattern{-1: oneLeft, 1: oneRight}[p.single]
	}
	if len(fresh) > 0 {
		step := t.Bed.Length / float64(t.grid(p.fresh)) / 2
		fresh = r.settled(fresh, step, max(step/64, finest*t.Bed.Length))
		r.lc, r.on = fine, fine.arrange(nil)
		fresh = r.refined(fresh, step/32, finest*t.Bed.Length).x
	}
	feet := r.feet(fresh)
	for _, f := range feet {
		if !slices.Contains(out.At, f.At) {
			out.At = append(out.At, f.At)
		}
	}
	slices.Sort(out.At)
	out.weigh(fine.standOn(feet))
	return out
}

// alike is within what share of its load the lightest foot is the first of several: those of a pair under a bed that is its
// own mirror image differ by rounding.
const alike = 1e-9

// weigh fills in zone, loads and sensitivity.
func (p *Placement) weigh(r *arrangement) {
	p.Feet = nil
	for _, f := range r.s.all {
		p.Feet = append(p.Feet, Foot{Foot: f.Foot, Least: math.Inf(1)})
	}
	for k := range r.lc.cases {
		r.solve(k)
		for i, load := range r.stands.Force {
			f := &p.Feet[i]
			f.Least, f.Most = min(f.Least, load), max(f.Most, load)
			if k == 0 {
				f.Load = load
			}
		}
	}
	for i, f := range p.Feet {
		if f.Least < p.Feet[p.Least].Least-alike*f.Most {
			p.Least = i
		}
	}
	p.Zone = r.worst(math.Inf(1))
	p.Sensitivity, p.SensitivityRMS = r.sensitivity(p.Zone)
}

// sensitivity returns the worst and the rms change of zone for one foot 10 µm
// wrong, up or down.
func (r *arrangement) sensitivity(zone float64) (worst, rms float64) {
	n := len(r.feet)
	for i := range n {
		for _, wrong := range []float64{WrongFoot, -WrongFoot} {
			heights := make([]float64, n)
			heights[i] = wrong
			r.stand(r.feet, heights, nil)
			d := r.worst(math.Inf(1)) - zone
			worst, rms = max(worst, math.Abs(d)), rms+d*d/float64(2*n)
		}
	}
	return worst, math.Sqrt(rms)
}

// worthwhile is by how much a further foot must lessen what is to be expected
// before it is advised: a tenth, a judgement with no source.
const worthwhile = 0.1

// Why a number of feet is recommended.
const (
	Enough = "enough" // the fewest that keep the tolerance with one foot wrong
	worth  = "worth"  // no tolerance is kept, or none was given: more gain less than a tenth
)

// expected is the zone to reckon with when one foot is 10 µm wrong, m.
func (p Placement) expected() float64 { return p.Zone + p.Sensitivity }

// recommend picks the number of feet that is worth it. With a tolerance, the fewest
// feet that keep it with one foot 10 µm wrong; else, or when none does, more feet as
// long as they lessen the expected zone by a tenth.
func (a *Answer) recommend(tolerance float64) {
	a.Recommended, a.Reason = 0, worth
	for i, p := range a.Placements {
		if tolerance > 0 && p.expected() <= tolerance {
			a.Recommended, a.Reason = i, Enough
			return
		}
		if p.expected() < (1-worthwhile)*a.Placements[a.Recommended].expected() {
			a.Recommended = i
		}
	}
}
