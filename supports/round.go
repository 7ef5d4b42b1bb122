package supports

import (
	"math"
	"slices"
)

// mostNodes and mostTries bound the search over roundings of one choice of feet. Of
// more feet than are looked through in every choice the nearest roundings are improved.
const mostNodes, mostTries = 60, 2

// rounding is a search for the best moves that adjusters can make.
type rounding struct {
	*choice
	moves []float64 // best so far
	value float64
	nodes int
	tries int
}

// round returns the raise of every foot when the chosen moves become moves that the
// adjusters can make: the nearest ones, improved by changing one or two feet by a notch
// at a time, then branch and bound over the linear programme, improved again. A plan
// made of some of these feet is a beginning, too · before raises every foot, m; may be nil.
func (c *choice) round(before []float64) []float64 {
	r := &rounding{choice: c, value: math.Inf(1)}
	if moves, ok := c.of(before); ok {
		r.try(moves)
	}
	r.branch(*c)
	raise := make([]float64, len(c.Feet))
	for k, f := range c.feet {
		raise[f] = r.moves[k] + 0 // no −0
	}
	return raise
}

// of returns the moves of these feet in a plan; false when it moves others, too.
func (c *choice) of(raise []float64) ([]float64, bool) {
	moves := make([]float64, len(c.feet))
	for f, v := range raise {
		k := slices.Index(c.feet, f)
		if k < 0 && v != 0 {
			return nil, false
		}
		if k >= 0 {
			moves[k] = v
		}
	}
	return moves, raise != nil
}

// nearest rounds each move on its own.
func (r *rounding) nearest(moves []float64) []float64 {
	out := make([]float64, len(moves))
	for k, v := range moves {
		below, above := r.limits.notches[r.feet[k]].around(v)
		out[k] = below
		if above-v < v-below && r.within(k, above) || !r.within(k, below) {
			out[k] = above
		}
	}
	return out
}

func (r *rounding) within(k int, v float64) bool {
	most := r.Goal.MostMove * (1 + 1e-9)
	return v >= -most && v <= most && !math.IsInf(v, 0) && (v >= 0 || r.limits.gap[r.feet[k]] == 0)
}

func (r *rounding) worth(moves []float64) float64 {
	for k, v := range moves {
		if !r.within(k, v) {
			return math.Inf(1)
		}
	}
	return r.total(r.judge(r.raised(moves)))
}

// try improves moves until no change of one or two feet by a notch helps, and keeps
// them when they are the best so far. After the first mostTries only moves that are
// already better than the best are improved.
func (r *rounding) try(moves []float64) {
	value := r.worth(moves)
	if r.tries++; r.tries > mostTries && value >= r.value {
		return
	}
	for better := true; better; {
		better = false
		for _, next := range r.neighbours(moves) {
			if v := r.worth(next); v < value-telling/100 {
				moves, value, better = next, v, true
			}
		}
	}
	if value < r.value || r.moves == nil {
		r.moves, r.value = moves, value
	}
}

// neighbours returns all moves with one foot changed by a notch, and two of no more
// feet than are looked through in every choice.
func (r *rounding) neighbours(moves []float64) [][]float64 {
	var out [][]float64
	shifted := func(m []float64, k int, side float64) []float64 {
		m = slices.Clone(m)
		m[k] = r.limits.notches[r.feet[k]].next(m[k], side)
		out = append(out, m)
		return m
	}
	for k := range moves {
		for _, side := range []float64{1, -1} {
			one := shifted(moves, k, side)
			for j := 0; j < k && len(moves) <= mostExhaustive; j++ {
				shifted(one, j, 1)
				shifted(one, j, -1)
			}
		}
	}
	return out
}

func (r *rounding) mostNodes() int {
	if len(r.feet) > mostExhaustive {
		return 1
	}
	return mostNodes
}

// branch splits the range of the foot whose best move is farthest from one that can be
// made, the nearer half first, and leaves out what cannot beat the best so far.
func (r *rounding) branch(c choice) {
	if r.nodes++; r.nodes > r.mostNodes() || r.nodes > 1 && c.solve() != nil {
		return // a range without moves that keep the loads
	}
	if c.value(&c) >= r.value-telling/100 {
		return
	}
	r.try(r.nearest(c.moves))
	worst, off, low, high := -1, 1e-9, 0.0, 0.0
	for k, v := range c.moves {
		below, above := r.limits.notches[c.feet[k]].around(v)
		if d := min(v-below, above-v); d > off {
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
	if high-c.moves[worst] < c.moves[worst]-low {
		slices.Reverse(halves)
	}
	for _, h := range halves {
		if h.low[worst] <= h.high[worst] {
			r.branch(h)
		}
	}
}
