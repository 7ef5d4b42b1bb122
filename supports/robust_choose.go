package supports

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"footwork/internal/convex"
)

// aim is the linear programme of the expected state: raises r and their sizes
// t ≥ |r|, the zone, planes or lines, what feet lack. Lengths in µm, loads in
// mean foot loads.
type aim struct {
	o      *outlook
	l      *straightened
	goal   Goal
	margin []float64 // mean foot loads
	fixed  []bool
	in     [][]float64
	b      []float64
	size   int
}

const (
	micro      = 1e-6
	moveCost   = 0.003 // µm of zone that one µm of move must save
	lackPrice  = 50    // µm of zone for a mean foot load that a foot lacks for certain
	limitPrice = 200   // likewise, that it may lack with 5 % probability
	tunings    = 3     // of the margins of the loads
	sureMargin = 1.645
	lightShare = 0.03 // of the scenarios, in which a foot may miss the least load: 5 %, less what so few of them may be out by
	doubtful   = 0.02 // probability of hanging from which a foot's gap is in doubt
	doubtShare = 0.3  // of the scenarios, in which such a foot may stay without its load
)

// columns of the programme
func (a *aim) raise(f int) int { return f }
func (a *aim) move(f int) int  { return a.o.feet + f }
func (a *aim) lack(f int) int  { return 2*a.o.feet + f }
func (a *aim) zone() int       { return 3 * a.o.feet }
func (a *aim) line(w, k int) int {
	if a.o.Tied {
		return 3*a.o.feet + 1 + k
	}
	return 3*a.o.feet + 1 + 2*w + k
}

func (a *aim) row(b float64) []float64 {
	r := make([]float64, a.size)
	a.in, a.b = append(a.in, r), append(a.b, b)
	return r
}

// solve returns the best raises, m, and the zone expected of them, m.
func (a *aim) solve() (raise []float64, cost float64, err error) {
	o := a.o
	a.size = 3*o.feet + 1 + 3
	if !o.Tied {
		a.size = 3*o.feet + 1 + 2*len(o.Ways)
	}
	a.in, a.b = nil, nil
	p := convex.Program{C: make([]float64, a.size)}
	p.C[a.zone()] = 1
	for f := range o.feet {
		p.C[a.move(f)], p.C[a.lack(f)] = moveCost, lackPrice
		a.footRows(f)
	}
	for w := range o.Ways {
		a.wayRows(w)
	}
	p.In, p.B = mat.NewDense(len(a.in), a.size, nil), a.b
	for i, r := range a.in {
		p.In.SetRow(i, r)
	}
	sol, err := convex.Linear(p)
	if err != nil {
		return nil, 0, err
	}
	raise = make([]float64, o.feet)
	for f := range raise {
		if !a.fixed[f] {
			raise[f] = sol.X[a.raise(f)] * micro
		}
	}
	cost = sol.Value
	for f := range raise {
		cost -= moveCost * sol.X[a.move(f)]
	}
	return raise, cost * micro, nil
}

// footRows bounds a foot's raise, keeps its size above it, and its load above the least.
func (a *aim) footRows(f int) {
	o := a.o
	most := min(a.goal.MostMove/micro, 1e4)
	if a.fixed[f] {
		most = 0
	}
	a.row(-most)[a.move(f)] = -1
	for _, s := range []float64{1, -1} {
		r := a.row(0)
		r[a.move(f)], r[a.raise(f)] = 1, s
	}
	a.row(0)[a.lack(f)] = 1
	r := a.row(a.goal.LeastLoad + a.margin[f] - a.l.load[f]/o.mean)
	r[a.lack(f)] = 1
	for g := range o.feet {
		r[a.raise(g)] = a.l.loadBy[g][f] * micro / o.mean
	}
}

// wayRows keeps a way's stations within half the zone about its line or the plane,
// and on the side that is allowed.
func (a *aim) wayRows(w int) {
	o := a.o
	way := o.Ways[w]
	n := len(way.X)
	want := lessCrown(way.X, a.l.shape[w], a.goal.Crown)
	mid := (way.X[0] + way.X[n-1]) / 2
	for i, x := range way.X {
		for _, s := range []float64{1, -1} {
			r := a.row(s * want[i] / micro)
			r[a.zone()] = 0.5
			for f := range o.feet {
				r[a.raise(f)] = -s * a.l.influence[f][w][i]
			}
			r[a.line(w, 0)], r[a.line(w, 1)] = s, s*(x-mid)
			if o.Tied {
				r[a.line(w, 2)] = s * way.Offset
			}
		}
	}
	if side := a.goal.Allow.side(); side != 0 {
		for i := 1; i < n-1; i++ {
			t := (way.X[i] - way.X[0]) / (way.X[n-1] - way.X[0])
			r := a.row(-side * (want[i] - (1-t)*want[0] - t*want[n-1]) / micro)
			for f := range o.feet {
				y := a.l.influence[f][w]
				r[a.raise(f)] = side * (y[i] - (1-t)*y[0] - t*y[n-1])
			}
			r[a.zone()] = 0.02 // a way that cannot be had on this side is an answer too
		}
	}
}

// choose returns the raises of the smallest plan that is as good as the best.
// Candidates come from the linear programme on the expected state, with fewer and
// fewer feet; each is judged over all scenarios, with the slips of the hand
// that every move adds: so a bed that stands well is left alone. Where feet hang
// by an unknown gap, the best of all is bettered foot by foot.
func (o *outlook) choose(feet []Adjuster, goal Goal) ([]float64, error) {
	all, err := o.held()
	if err != nil {
		return nil, err
	}
	l, err := o.straighten(all)
	if err != nil {
		return nil, err
	}
	plans, err := o.candidates(l, feet, goal)
	if err != nil {
		return nil, err
	}
	best := fewest(plans)
	if !slices.ContainsFunc(o.hangs, func(p float64) bool { return p > doubtful }) {
		return best.raise, nil
	}
	return o.better(best, feet, goal)
}

// judged is a plan and what it is worth: the mean zone that it leaves over the
// scenarios, m, and how far it keeps each foot above the least load in all but 5 %
// of them, in mean loads; less than nothing where it does not.
type judged struct {
	raise []float64
	zone  float64
	spare []float64
}

// cost is the zone, so much dearer where a load is less than the least that no
// zone is worth it: a limit, and where it cannot be held, the least short of it.
func (j judged) cost() float64 {
	cost := j.zone
	for _, s := range j.spare {
		cost += limitPrice * micro * max(0, -s)
	}
	return cost
}

// fewest returns the plan of fewest moves that is as good as the best.
func fewest(plans []judged) (plan judged) {
	best := math.Inf(1)
	for _, p := range plans {
		best = min(best, p.cost())
	}
	for _, p := range plans {
		if p.cost() <= best*(1+asGood) && (plan.raise == nil || count(p.raise) < count(plan.raise)) {
			plan = p
		}
	}
	return plan
}

func count(raise []float64) (n int) {
	for _, r := range raise {
		if r != 0 {
			n++
		}
	}
	return n
}

// better turns one foot at a time by ever smaller steps while the plan gains.
func (o *outlook) better(plan judged, feet []Adjuster, goal Goal) ([]float64, error) {
	for _, step := range []float64{20e-6, 8e-6, 3e-6} {
		for f := range plan.raise {
			if feet[f].Kind == Fixed {
				continue
			}
			for _, way := range []float64{step, -step} {
				raise := slices.Clone(plan.raise)
				raise[f] = roundRaise(feet[f], raise[f]+way)
				if math.Abs(raise[f]) > goal.MostMove {
					continue
				}
				next, err := o.judge(raise, goal)
				if err != nil {
					return nil, err
				}
				if next.cost() < plan.cost() {
					plan = next
					break
				}
			}
		}
	}
	return plan.raise, nil
}

// asGood: a plan of fewer moves may be expected to end so much worse.
const asGood = 0.01

// candidates returns plans from most to fewest moves, the last moving nothing. For
// every choice of feet the margins of the loads are set by what the plan before
// kept: that finds the least zone that holds the loads.
func (o *outlook) candidates(l *straightened, feet []Adjuster, goal Goal) (plans []judged, err error) {
	a := &aim{o: o, l: l, goal: goal, margin: make([]float64, o.feet), fixed: make([]bool, o.feet)}
	for f := range o.feet {
		a.fixed[f] = feet[f].Kind == Fixed
		if o.hangs[f] == 0 {
			a.margin[f] = min(sureMargin*l.loadSD[f]/o.mean, 0.5)
		}
	}
	for {
		var raise []float64
		for range tunings {
			if raise, _, err = a.solve(); err != nil {
				return nil, err
			}
			rounded := make([]float64, o.feet)
			for f := range raise {
				if rounded[f] = roundRaise(feet[f], raise[f]); rounded[f] == 0 {
					raise[f] = 0
				}
			}
			plan, err := o.judge(rounded, goal)
			if err != nil {
				return nil, err
			}
			plans = append(plans, plan)
			for f, s := range plan.spare {
				a.margin[f] = min(max(0, a.margin[f]-s), 0.8)
			}
		}
		f := smallest(raise, a.fixed)
		if f < 0 {
			return plans, nil
		}
		a.fixed[f] = true
	}
}

// judge forecasts a plan over the scenarios, with the slips of the hand. Of a foot
// that hangs by an unknown gap only a likely load is asked.
func (o *outlook) judge(raise []float64, goal Goal) (j judged, err error) {
	j = judged{raise: raise, spare: make([]float64, o.feet)}
	loads := make([][]float64, o.feet)
	for s := range o.Scenarios {
		f, err := o.forecast(s, raise, true)
		if err != nil {
			return judged{}, err
		}
		j.zone += f.zone / float64(len(o.Scenarios))
		for i, load := range f.loads {
			loads[i] = append(loads[i], load)
		}
	}
	for i, v := range loads {
		slices.Sort(v)
		share := lightShare
		if o.hangs[i] > doubtful {
			share = doubtShare
		}
		j.spare[i] = between(v, share)/o.mean - goal.LeastLoad
	}
	return j, nil
}

func smallest(raise []float64, fixed []bool) int {
	f := -1
	for i, r := range raise {
		if r != 0 && !fixed[i] && (f < 0 || math.Abs(r) < math.Abs(raise[f])) {
			f = i
		}
	}
	return f
}

// screwStep is the least turn that a person is asked for.
const screwStep = 1.0 / 360

func roundRaise(a Adjuster, r float64) float64 {
	if a.Kind != Screw || a.Rise <= 0 {
		return math.Round(r/1e-7) * 1e-7
	}
	step := a.Rise * screwStep
	return math.Round(r/step) * step
}
