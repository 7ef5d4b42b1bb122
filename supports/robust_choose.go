package supports

import (
	"math"
	"slices"

	"footwork/beam"
)

// judged is a plan and what it is worth over the scenarios.
type judged struct {
	raise   []float64
	zone    float64   // m, expected
	wrong   float64   // m, expected on the side that is not allowed
	spare   []float64 // mean loads, how far each foot keeps above the least
	lacking float64   // mean loads, by which that fails
}

// cost is the zone, dearer by what breaks a limit than any zone that could be
// bought with it: so a limit is kept where it can be, and nearly so elsewhere, m.
func cost(zone, wrong, lacking float64) float64 {
	return zone + wrongCosts*wrong + limitPrice*micro*lacking
}

func (j judged) cost() float64 { return cost(j.zone, j.wrong, j.lacking) }

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
	best := fewest(plans)
	inDoubt := slices.Max(o.hangs) > hanging
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
		next, err := o.better(fewest(plans))
		if err != nil {
			return nil, err
		}
		best = fewest([]judged{best, next})
	}
	return best.raise, nil
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

// better moves one foot at a time by ever smaller steps, of feet on shims also two at
// once, while the plan gains.
func (o *outlook) better(plan judged) (judged, error) {
	for _, step := range []float64{20e-6, 8e-6, 3e-6} {
		for f := range o.notches {
			for _, by := range []float64{step, -step} {
				for _, raise := range o.shifts(plan.raise, f, by) {
					next, err := o.judge(raise)
					if err != nil {
						return judged{}, err
					}
					if next.betters(plan) {
						plan = next
					}
				}
			}
		}
	}
	return plan, nil
}

// betters: a foot more must be worth it.
func (j judged) betters(plan judged) bool {
	gain := 0.0
	if count(j.raise) > count(plan.raise) {
		gain = asGood * plan.cost()
	}
	return j.cost() < plan.cost()-gain
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
		if o.hangs[f] == 0 {
			a.margin[f] = min(sureMargin*l.loadSD[f]/o.mean, 0.5)
		}
	}
	for {
		var plan judged
		for range tunings {
			raise, err := a.solveInNotches()
			if err != nil {
				return nil, err
			}
			if plan, err = o.judge(raise); err != nil {
				return nil, err
			}
			plans = append(plans, plan)
			if a.tune(plan.spare) < tuned {
				break
			}
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

// judge forecasts a plan over the scenarios, with the slips of the hand.
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
	j.spare, j.lacking = o.spare(raise, ends)
	return j, nil
}

// spare returns how far each foot keeps above the least load after a plan in all but
// 5 % of forecasts, in mean loads, and the sum of what is less than nothing, weighed.
// Of a foot that hangs by an unknown gap only a likely load is asked, and not at any
// price, nor of the others while one hangs: raised blindly it may bend the bed by all
// that its gap is less than feared. When nothing moves it is enough that no foot is
// more likely too light than not: a doubt about how a good bed stands is for a hand to
// settle, not for a screw.
func (o *outlook) spare(raise []float64, ends []forecast) (spare []float64, lacking float64) {
	loads := make([]float64, len(ends))
	blind := slices.Max(o.hangs) > hanging
	for f := range o.feet {
		for s, e := range ends {
			loads[s] = e.loads[f]
		}
		slices.Sort(loads)
		share, weight := lightShare, 1.0
		if o.hangs[f] > doubtful {
			share = doubtShare
		}
		if o.hangs[f] > doubtful || blind {
			weight = doubtWeight
		}
		if count(raise) == 0 {
			share, weight = 0.5, 1
		}
		spare = append(spare, between(loads, share)/o.mean-o.goal.LeastLoad)
		lacking += weight * max(0, -spare[f])
	}
	return spare, lacking
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
