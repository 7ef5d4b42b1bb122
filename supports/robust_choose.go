package supports

import (
	"cmp"
	"math"
	"slices"

	"footwork/beam"
)

// judged is a plan and what it is worth over the scenarios.
type judged struct {
	worth
	raise []float64
	spare []float64 // mean loads, how far each foot keeps above the least
}

// worth weighs plans: the zone, dearer by what lies on the wrong side and by the load
// that feet may be expected to lack; and where loads can be promised at all, by what
// breaks the promise more than by any zone that could be bought with it.
type worth struct {
	zone    float64 // m, expected
	wrong   float64 // m, expected on the side that is not allowed
	short   float64 // mean foot loads, expected to lack of the least, of all feet
	lacking float64 // mean foot loads, by which feet may miss the least with 5 % probability
}

func (w worth) cost(promised bool) float64 {
	c := w.zone + wrongCosts*w.wrong + lackPrice*micro*w.short
	if promised {
		c += limitPrice * micro * w.lacking
	}
	return c
}

// keeps: all feet keep the least load in all but 5 % of scenarios.
func (w worth) keeps() bool { return w.lacking <= unnoticed }

// Costs weighs foretold plans against each other: the expected zone, dearer by the
// load that feet are expected to lack, and much dearer where one may lack it with 5 %
// probability though another of these that moves feet keeps it, m.
func Costs(plans []Careful) []float64 {
	promised := slices.ContainsFunc(plans, func(c Careful) bool { return len(c.Moves) > 0 && c.worth().keeps() })
	out := make([]float64, len(plans))
	for i, c := range plans {
		out[i] = c.worth().cost(promised)
	}
	return out
}

func (c Careful) worth() worth { return worth{c.Zone, c.Wrong, c.Short, c.Lacking} }

// choose returns the raises of the smallest plan that is as good as the best.
// Candidates come from the linear programme on the expected state, with fewer and
// fewer feet; each is judged over all scenarios, with the slips of the hand that
// every move adds: so a bed that stands well is left alone. At first all feet count as
// carrying. Where some hang by unknown gaps, programmes follow for the contact as it is
// and as the best plan so far leaves it; and where a programme knows too little, of
// those gaps or of stacks of shims, its best is bettered foot by foot.
func (o *outlook) choose() ([]float64, error) {
	all, err := o.held()
	if err != nil {
		return nil, err
	}
	still := make([]float64, o.feet)
	plans, err := o.candidates(all, still)
	if err != nil {
		return nil, err
	}
	inDoubt := slices.Max(o.hangs) > hanging
	o.promised = !inDoubt && slices.ContainsFunc(plans, func(p judged) bool { return count(p.raise) > 0 && p.keeps() })
	best := o.fewest(plans)
	if onShims := slices.ContainsFunc(o.notches, notches.coarse); !inDoubt && !onShims || count(best.raise) == 0 {
		return best.raise, nil // bettering would fit the plan to the slips that were drawn
	}
	if best, err = o.better(best); err != nil || !inDoubt {
		return best.raise, err
	}
	for _, about := range [][]float64{still, best.raise} {
		if plans, err = o.candidates(o.Solver, about); err != nil {
			return nil, err
		}
		next, err := o.better(o.fewest(plans))
		if err != nil {
			return nil, err
		}
		best = o.fewest([]judged{best, next})
	}
	return best.raise, nil
}

// fewest returns the plan of fewest moves that is as good as the best.
func (o *outlook) fewest(plans []judged) (plan judged) {
	best := slices.MinFunc(plans, func(a, b judged) int { return cmp.Compare(a.cost(o.promised), b.cost(o.promised)) })
	plan = best
	for _, p := range plans {
		if p.cost(o.promised) <= best.cost(o.promised)+asGood*best.zone && count(p.raise) < count(plan.raise) {
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

// better moves one foot at a time by ever smaller steps, of feet on shims also two at
// once, while the plan gains.
func (o *outlook) better(plan judged) (judged, error) {
	for _, step := range []float64{50e-6, 20e-6, 8e-6, 3e-6} {
		for f, n := range o.notches {
			if step > 20e-6 && !n.coarse() {
				continue // screws end near where the programme puts them
			}
			for _, by := range []float64{step, -step} {
				for _, raise := range o.shifts(plan.raise, f, by) {
					next, err := o.judge(raise)
					if err != nil {
						return judged{}, err
					}
					if o.betters(next, plan) {
						plan = next
					}
				}
			}
		}
	}
	return plan, nil
}

// betters: a foot more must be worth it.
func (o *outlook) betters(j, plan judged) bool {
	gain := 0.0
	if count(j.raise) > count(plan.raise) {
		gain = asGood * plan.zone
	}
	return j.cost(o.promised) < plan.cost(o.promised)-gain
}

// shifts returns raises with a foot moved by about so much more, alone and, from one
// stack of shims to another, with each foot before it.
func (o *outlook) shifts(raise []float64, f int, by float64) (out [][]float64) {
	shifted := func(raise []float64, f int, by float64) []float64 {
		raise = slices.Clone(raise)
		raise[f] = o.notches[f].shifted(raise[f], by)
		if math.Abs(raise[f]) <= o.most(f) {
			out = append(out, raise)
		}
		return raise
	}
	if o.notches[f].none() {
		return nil
	}
	one := shifted(raise, f, by)
	for g := 0; g < f && len(out) > 0 && o.notches[f].coarse(); g++ {
		if o.notches[g].coarse() {
			shifted(one, g, by)
			shifted(one, g, -by)
		}
	}
	return out
}

// most returns how far a foot may be moved, m.
func (o *outlook) most(f int) float64 {
	return min(o.goal.MostMove, o.notches[f].reach(), 1e-2) * (1 + 1e-9)
}

// candidates returns plans from most to fewest moves, the last moving nothing, of the
// bed as it is about some raises on a solver, with every foot held or as they are. For
// every choice of feet the margins of the loads are set by what the plan before
// kept: that finds the least zone that holds the loads.
func (o *outlook) candidates(v *beam.Solver, about []float64) (plans []judged, err error) {
	l, err := o.straighten(v, about)
	if err != nil {
		return nil, err
	}
	a := &aim{o: o, l: l, margin: make([]float64, o.feet), fixed: make([]bool, o.feet), at: make([]float64, o.feet)}
	for f := range o.feet {
		a.fixed[f] = o.notches[f].none()
	}
	for {
		var plan judged
		lacking := math.Inf(1)
		for range tunings {
			raise, err := a.solveInNotches()
			if err != nil {
				return nil, err
			}
			if plan, err = o.judge(raise); err != nil {
				return nil, err
			}
			plans = append(plans, plan)
			if a.tune(plan.spare) < tuned || plan.lacking > lacking {
				break
			}
			lacking = plan.lacking
		}
		f := smallest(plan.raise, a.fixed)
		if f < 0 {
			return plans, nil
		}
		a.fixed[f] = true
	}
}

// tune sets the margins for what a plan kept, and returns the most that one moved.
func (a *aim) tune(spare []float64) (most float64) {
	for f, s := range spare {
		if a.o.hangs[f] > doubtful {
			continue
		}
		next := min(max(0, a.margin[f]-s), mostMargin)
		most = max(most, math.Abs(next-a.margin[f]))
		a.margin[f] = next
	}
	return most
}

// judge forecasts a plan over the scenarios, with the slips of the hand. The least load
// is to be kept in all but 5 % of them; of a foot that hangs by an unknown gap only a
// likely load is asked: raised blindly it may bend the bed by all that its gap is less
// than feared.
func (o *outlook) judge(raise []float64) (j judged, err error) {
	j = judged{raise: raise}
	ends := make([]forecast, len(o.Scenarios))
	for s := range o.Scenarios {
		if ends[s], err = o.forecast(s, raise, true); err != nil {
			return judged{}, err
		}
		j.zone += ends[s].zone / float64(len(ends))
		j.wrong += ends[s].wrong / float64(len(ends))
	}
	for f := range o.feet {
		share := lightShare
		if o.hangs[f] > doubtful {
			share = doubtShare
		}
		j.spare = append(j.spare, o.spare(ends, f, share))
		j.lacking += max(0, -j.spare[f])
		j.short += o.short(ends, f)
	}
	if o.mayStay(raise, ends) {
		j.short, j.lacking = 0, 0
	}
	return j, nil
}

// mayStay: nothing moves, and no foot is more likely too light than not. A doubt about
// how a good bed stands is for a hand to settle, not for a screw.
func (o *outlook) mayStay(raise []float64, ends []forecast) bool {
	for f := range o.feet {
		if raise[f] != 0 || o.spare(ends, f, 0.5) < 0 {
			return false
		}
	}
	return true
}

// spare returns how far a foot keeps above the least load in all but a share of
// forecasts, in mean loads.
func (o *outlook) spare(ends []forecast, f int, share float64) float64 {
	loads := make([]float64, len(ends))
	for s, e := range ends {
		loads[s] = e.loads[f]
	}
	slices.Sort(loads)
	return between(loads, share)/o.mean - o.goal.LeastLoad
}

// short returns what a foot is expected to lack of the least load, mean loads.
func (o *outlook) short(ends []forecast, f int) (short float64) {
	for _, e := range ends {
		short += max(0, o.goal.LeastLoad-e.loads[f]/o.mean) / float64(len(ends))
	}
	return short
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
