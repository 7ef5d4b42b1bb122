package plan

import (
	"math"
	"slices"
)

// mostNodes and mostTries bound the search over the roundings of one choice of feet.
const mostNodes, mostTries = 60, 2

// rounding is a search for the best moves that adjusters can make.
type rounding struct {
	*planner
	*linear
	choice
	best  []float64 // m, of every foot
	value float64
	nodes int
	tries int
	cut   bool
}

// inNotches returns the moves of a choice that adjusters can make: the nearest ones,
// improved by changing one foot by a notch at a time; of stacks of shims, which are
// coarser than the slips of a hand, two, with branch and bound over the programme · raise
// the programme's own answer and value what that is worth.
func (p *planner) inNotches(l *linear, c choice, raise []float64, value float64) []float64 {
	if !slices.ContainsFunc(c.feet, func(f int) bool { return !p.notch[f].any }) {
		return raise
	}
	r := &rounding{planner: p, linear: l, choice: c, value: math.Inf(1)}
	if !slices.ContainsFunc(c.feet, func(f int) bool { return p.notch[f].coarse() }) {
		r.try(r.nearest(raise))
		return r.best
	}
	r.branch(c, raise, value)
	if r.cut {
		p.warnOnce(NotAllRounded)
	}
	return r.best
}

// branch splits the range of the foot whose best move is farthest from one that can be
// made, the nearer half first, and leaves out what cannot beat the best so far.
func (r *rounding) branch(c choice, raise []float64, value float64) {
	if r.nodes++; r.nodes > mostNodes || r.work < 0 {
		r.cut = true
	}
	if value >= r.value-telling/100 || r.cut && r.best != nil {
		return
	}
	r.try(r.nearest(raise))
	worst, off, low, high := -1, 1e-9, 0.0, 0.0
	for k, f := range c.feet {
		below, above := r.notch[f].around(raise[f])
		if d := min(raise[f]-below, above-raise[f]); d > off {
			worst, off, low, high = k, d, below, above
		}
	}
	if worst < 0 {
		return
	}
	down, up := c, c
	down.high, up.low = slices.Clone(c.high), slices.Clone(c.low)
	down.high[worst], up.low[worst] = low, high
	halves := []choice{down, up}
	if at := raise[c.feet[worst]]; high-at < at-low {
		slices.Reverse(halves)
	}
	for _, h := range halves {
		if h.low[worst] > h.high[worst] {
			continue
		}
		if raise, value, err := r.solve(r.linear, h); err == nil {
			r.branch(h, raise, value)
		}
	}
}

// nearest rounds each move on its own.
func (r *rounding) nearest(raise []float64) []float64 {
	out := slices.Clone(raise)
	for k, f := range r.feetOf() {
		below, above := r.notch[f].around(raise[f])
		out[f] = below
		if above-raise[f] < raise[f]-below && r.within(k, above) || !r.within(k, below) {
			out[f] = above
		}
	}
	return out
}

func (r *rounding) feetOf() []int { return r.choice.feet }

func (r *rounding) within(k int, v float64) bool {
	return v >= r.low[k]*(1+1e-9) && v <= r.high[k]*(1+1e-9)
}

// worth is what raises are worth on the mean of the draws.
func (r *rounding) worth(raise []float64) float64 {
	for k, f := range r.feetOf() {
		if !r.within(k, raise[f]) {
			return math.Inf(1)
		}
	}
	r.spend(len(r.feetOf())*len(r.x) + 60*len(r.x))
	return r.valueOf(r.linear, raise)
}

// try improves raises until no change of one or two feet by a notch helps, and keeps
// them when they are the best so far. After the first mostTries only what is already
// better than the best is improved.
func (r *rounding) try(raise []float64) {
	value := r.worth(raise)
	if r.tries++; r.tries > mostTries && value >= r.value {
		return
	}
	for better := true; better && r.work > 0; {
		better = false
		for _, next := range r.neighbours(raise) {
			if v := r.worth(next); v < value-telling/100 {
				raise, value, better = next, v, true
			}
		}
	}
	if value < r.value || r.best == nil {
		r.best, r.value = raise, value
	}
}

// neighbours returns all raises with one foot changed by a notch, and two of no more
// feet than are looked through in every choice.
func (r *rounding) neighbours(raise []float64) (out [][]float64) {
	feet := r.feetOf()
	shifted := func(raise []float64, f int, side float64) []float64 {
		raise = slices.Clone(raise)
		raise[f] = r.notch[f].next(raise[f], side)
		out = append(out, raise)
		return raise
	}
	for k, f := range feet {
		if r.notch[f].any {
			continue
		}
		for _, side := range []float64{1, -1} {
			one := shifted(raise, f, side)
			for _, g := range feet[:k] {
				if len(feet) <= mostExhaustive && r.notch[f].coarse() && r.notch[g].coarse() {
					shifted(one, g, 1)
					shifted(one, g, -1)
				}
			}
		}
	}
	return out
}
