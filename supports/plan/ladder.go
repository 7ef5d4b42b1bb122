package plan

import (
	"fmt"
	"math"
	"slices"
)

// rung is what moving a number of feet does, as far as the choosing draws tell.
type rung struct {
	moves
	verdict
	cost float64
}

const (
	unnoticed = 0.02 // mean foot loads, that a limit may lack unnoticed: a fifth of the usual least load
	closer    = 3    // times that a programme is taken up again about its own answer
	upwards   = 1.1  // times as dear a plan that only raises may be: wedges do not follow down
	farther   = 1.5  // times as far it may go: a long turn slips more than a wedge that is lowered
	asGood    = 0.01 // of its cost a plan must gain by a step of the pattern search: less fits the slips that were drawn
)

// movable returns the feet that a person can move and that do something.
func (p *planner) movable() (feet []int) {
	for f, n := range p.notch {
		c := p.choice([]int{f}, false)
		if !n.none() && c.high[0] > c.low[0] {
			feet = append(feet, f)
		}
	}
	return feet
}

// ladder returns the best that moving 1, 2, … feet can do.
func (p *planner) ladder() []rung {
	feet := p.movable()
	if len(feet) == 0 {
		return nil
	}
	if len(feet) > mostExhaustive {
		p.warn(NotAllTried, float64(len(feet)), mostExhaustive)
	}
	p.spreads(feet)
	return p.rungs(feet)
}

// rungs returns the best of 1, 2, … of these feet.
func (p *planner) rungs(feet []int) (out []rung) {
	both, up := p.choices(feet)
	for size := range max(len(both), len(up)) {
		out = append(out, p.preferred(at(both, size), at(up, size))...)
		if n := len(out); n > 1 && !p.many() && p.blind(feet) {
			out[n-1] = p.extended(feet, out[n-2], out[n-1])
		}
	}
	return out
}

// many: more feet stand than all choices are looked through of; then doubts about contact
// are looked at once, not chased.
func (p *planner) many() bool { return p.feet > mostExhaustive }

// choices returns the best choices of each number of feet, and the best that only raise.
// Of many feet those that gain less than a hundredth over fewer are left out, but for
// the last, and the same feet are those that are raised.
func (p *planner) choices(feet []int) (both, up [][]*found) {
	if len(feet) <= mostExhaustive {
		return p.everyChoice(feet, false), p.everyChoice(feet, true)
	}
	all, last := p.stepwise(feet), math.Inf(1)
	for k, f := range all {
		if f == nil || f.value > last*(1-asGood) && k < len(all)-1 {
			continue
		}
		last, both, up = f.value, append(both, []*found{f}), append(up, nil)
		if u := p.solved(f.feet, true); u != nil {
			up[len(up)-1] = []*found{u}
		}
	}
	return both, up
}

func at(list [][]*found, k int) []*found {
	if k < len(list) {
		return list[k]
	}
	return nil
}

// blind: programmes know too little, of stacks of shims or of feet that hang and cannot
// be raised until they touch.
func (p *planner) blind(feet []int) bool {
	for f := range p.feet {
		if p.hangs[f] > doubtful && !p.touch[f] || p.notch[f].coarse() {
			return true
		}
	}
	return false
}

// extended returns the better of a plan and the one of a foot fewer with any one foot more.
func (p *planner) extended(feet []int, fewer, plan rung) rung {
	var have []int
	for f, r := range fewer.raise {
		if r != 0 || fewer.touch[f] {
			have = append(have, f)
		}
	}
	for _, f := range feet {
		if slices.Contains(have, f) || p.work < 0 {
			continue
		}
		start := rung{moves{fewer.raise, slices.Clone(fewer.touch)}, fewer.verdict, math.Inf(1)}
		start.touch[f] = p.touch[f]
		if next := p.patterned(p.choice(append(slices.Clone(have), f), false), start); next.cost < plan.cost {
			plan = next
		}
	}
	return plan
}

// spreads finds how unsure loads are once all feet are moved as is best: what the draws' stiffness
// makes of raises is not seen before.
func (p *planner) spreads(feet []int) {
	if f := p.solved(feet, false); f != nil {
		if l, err := p.about(p.movesOf(f)); err == nil {
			p.spread = l.spread
			clear(p.linears)
		}
	}
}

func (p *planner) movesOf(f *found) moves {
	m := moves{slices.Clone(f.raise), make([]bool, p.feet)}
	for _, g := range f.feet {
		m.touch[g] = p.touch[g]
	}
	return m
}

// preferred finishes the best choices of a number of feet, and the best that only
// raise, and returns the best of the latter where it is as good but for a tenth. Where
// programmes know the contact, what they say is worth nothing is not finished.
func (p *planner) preferred(both, up []*found) []rung {
	const as, far = 1.02, 1.3 // times the value of the other: what notches and draws change of it is between
	if len(both) == 1 && len(up) == 1 && (p.many() || slices.Max(p.hangs) <= doubtful) {
		switch b, u := both[0], up[0]; {
		case u.value > far*b.value:
			up = nil
		case u.value <= as*b.value && farthest(u.raise) <= farther*farthest(b.raise):
			both = nil
		}
	}
	best, raising := p.cheapest(both), p.cheapest(up)
	if best == nil || raising != nil && raising[0].cost <= upwards*best[0].cost && farthest(raising[0].raise) <= farther*farthest(best[0].raise) {
		return raising
	}
	return best
}

// cheapest finishes that of some choices which costs least as the draws have it; nil of none.
func (p *planner) cheapest(list []*found) []rung {
	var best *found
	least := math.Inf(1)
	for _, f := range list {
		if r, _ := p.rounded(f); best == nil || r.cost < least {
			best, least = f, r.cost
		}
	}
	if best == nil {
		return nil
	}
	return []rung{p.finished(best)}
}

// finished turns a choice into moves that adjusters can make, with the contact and the spread of
// loads that the draws have after it.
func (p *planner) finished(f *found) rung {
	best, ends := p.rounded(f)
	for k := 0; k < closer && ends != nil && p.work >= 0 && (k == 0 || !p.many()); k++ {
		l, err := p.about(best.moves)
		if err != nil {
			break
		}
		next, after := p.again(l, f)
		if after == nil || next.cost >= best.cost {
			break
		}
		best, ends = next, after
	}
	if !p.many() && p.departs(f, ends) || slices.ContainsFunc(f.feet, func(g int) bool { return p.notch[g].coarse() }) {
		best = p.patterned(f.choice, best)
	}
	return best
}

// again solves a choice anew.
func (p *planner) again(l *linear, f *found) (rung, []state) {
	raise, value, err := p.solve(l, f.choice)
	if err != nil {
		return rung{}, nil
	}
	return p.rounded(&found{f.choice, raise, value})
}

// rounded returns a choice with every raise the nearest that its adjuster can make within
// its limits, judged.
func (p *planner) rounded(f *found) (rung, []state) {
	m := p.movesOf(f)
	for k, g := range f.feet {
		below, above := p.notch[g].around(m.raise[g])
		if m.raise[g] = p.notch[g].nearest(m.raise[g]); m.raise[g] > f.high[k]*(1+1e-9) {
			m.raise[g] = below
		} else if m.raise[g] < f.low[k]*(1+1e-9) {
			m.raise[g] = above
		}
	}
	v, ends := p.judged(m)
	return rung{m, v, p.cost(v)}, ends
}

// departs: in more than a few draws a foot ends without load that was taken to carry, or
// with some that was taken to hang.
func (p *planner) departs(f *found, ends []state) bool {
	draws := 0
	for i, s := range ends {
		if slices.ContainsFunc(p.all(), func(g int) bool {
			taken := p.choose[i].now.load[g] > nothing*p.mean || slices.Contains(f.feet, g)
			return p.counts[g] && taken != (s.load[g] > nothing*p.mean)
		}) {
			draws++
		}
	}
	return float64(draws) > doubtful*float64(len(ends))
}

// all returns the index of every foot.
func (p *planner) all() []int {
	out := make([]int, p.feet)
	for f := range out {
		out[f] = f
	}
	return out
}

// patterned moves one foot at a time by ever smaller steps, of feet on shims two at
// once, while the choosing draws gain (a pattern search: R. Hooke and T. A. Jeeves,
// J. ACM 8 (1961) 212–229).
func (p *planner) patterned(c choice, best rung) rung {
	for _, step := range []float64{50e-6, 20e-6, 8e-6, 3e-6} {
		for k, f := range c.feet {
			if step > 20e-6 && !p.notch[f].coarse() {
				continue // screws end near where the programme puts them
			}
			for _, by := range []float64{step, -step} {
				for _, raise := range p.shifts(c, best.raise, k, by) {
					if p.work < 0 {
						return best
					}
					m := moves{raise, best.touch}
					v := p.tried(m)
					if cost := p.cost(v); cost < best.cost*(1-asGood) {
						best = rung{m, v, cost}
					}
				}
			}
		}
	}
	return best
}

// tried is judged, once: searches from fewer feet and from more meet the same moves.
func (p *planner) tried(m moves) verdict {
	key := fmt.Sprint(m)
	v, ok := p.verdicts[key]
	if !ok {
		v, _ = p.judged(m)
		p.verdicts[key] = v
	}
	return v
}

// shifts returns raises with a foot moved by about so much more, alone and, from one
// stack of shims to another, with each foot before it.
func (p *planner) shifts(c choice, raise []float64, k int, by float64) (out [][]float64) {
	shifted := func(raise []float64, k int, by float64) []float64 {
		raise, f := slices.Clone(raise), c.feet[k]
		to := p.notch[f].nearest(raise[f] + by)
		if to == raise[f] && !p.notch[f].any {
			to = p.notch[f].next(to, math.Copysign(1, by))
		}
		if raise[f] = to; to >= c.low[k] && to <= c.high[k] {
			out = append(out, raise)
		}
		return raise
	}
	one := shifted(raise, k, by)
	for g := 0; g < k && len(out) > 0 && p.notch[c.feet[k]].coarse(); g++ {
		if p.notch[c.feet[g]].coarse() {
			shifted(one, g, by)
			shifted(one, g, -by)
		}
	}
	return out
}
