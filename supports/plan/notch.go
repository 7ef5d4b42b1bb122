package plan

import (
	"cmp"
	"math"
	"slices"

	"footwork/supports"
)

const (
	screwNotch = 1.0 / 360 // of a turn: what a person can set with a long handle; common practice, no source
	mostLeaves = 4         // in a stack of shims: more give like a spring; common practice, no source
)

// notches are the moves that an adjuster can make: any when turned to a reading, every
// multiple of step, or the stacks, which go in or come out.
type notches struct {
	any    bool
	step   float64 // m; 0: stacks only
	stacks []stack // increasing, of different thickness
}

// stack is a pile of shims.
type stack struct {
	thick  float64   // m
	leaves []float64 // m, decreasing
}

func (n notches) none() bool { return !n.any && n.step == 0 && len(n.stacks) == 0 }

// coarse: the steps are larger than the slips of a hand.
func (n notches) coarse() bool { return len(n.stacks) > 0 }

func notchesOf(a supports.Adjuster, g supports.Goal) notches {
	switch a.Kind {
	case supports.Fixed:
		return notches{}
	case supports.Shim:
		return notches{stacks: stacks(g.Shims, g.MostMove)}
	case supports.Screw:
		return notches{step: a.Rise * screwNotch}
	}
	return notches{any: true}
}

// stacks returns every thickness up to most that at most four leaves make, each with
// the fewest leaves, increasing. A thickness may be used more than once.
func stacks(leaves []float64, most float64) []stack {
	best := map[int64]stack{} // by whole nanometres
	var pile func(from int, s stack)
	pile = func(from int, s stack) {
		key := int64(math.Round(s.thick * 1e9))
		if old, ok := best[key]; len(s.leaves) > 0 && (!ok || len(s.leaves) < len(old.leaves)) {
			best[key] = stack{s.thick, slices.Clone(s.leaves)}
		}
		for i := from; i >= 0 && len(s.leaves) < mostLeaves; i-- {
			if leaves[i] > 0 && s.thick+leaves[i] <= most*(1+1e-9) {
				pile(i, stack{s.thick + leaves[i], append(s.leaves, leaves[i])})
			}
		}
	}
	pile(len(leaves)-1, stack{})
	var out []stack
	for _, s := range best {
		out = append(out, s)
	}
	slices.SortFunc(out, func(a, b stack) int { return cmp.Compare(a.thick, b.thick) })
	return out
}

// reach returns how far a foot can be moved at all; +Inf for a screw.
func (n notches) reach() float64 {
	switch {
	case n.none():
		return 0
	case n.any || n.step > 0:
		return math.Inf(1)
	}
	return n.stacks[len(n.stacks)-1].thick
}

// around returns the moves next below and next above v, both v when it is one; beyond
// the thickest stack there is none, and above is +Inf.
func (n notches) around(v float64) (below, above float64) {
	switch {
	case n.any:
		return v, v
	case n.step > 0:
		k := v / n.step
		if r := math.Round(k); math.Abs(k-r) < 1e-6 {
			return r * n.step, r * n.step
		}
		return math.Floor(k) * n.step, math.Ceil(k) * n.step
	case v < 0:
		below, above = n.around(-v)
		return -above, -below
	}
	i, _ := slices.BinarySearchFunc(n.stacks, v-1e-12, func(s stack, v float64) int { return cmp.Compare(s.thick, v) })
	if i > 0 {
		below = n.stacks[i-1].thick
	}
	above = math.Inf(1)
	if i < len(n.stacks) {
		above = n.stacks[i].thick
	}
	switch {
	case v < 1e-12:
		return 0, 0
	case above <= v+1e-12:
		return above, above
	}
	return below, above
}

// next returns the move after v upwards (side 1) or downwards (−1).
func (n notches) next(v, side float64) float64 {
	if n.step > 0 {
		return (math.Round(v/n.step) + side) * n.step
	}
	_, above := n.around(v*side + 1e-9)
	return above * side
}

// leaves returns the stack of a thickness; nil when it is none.
func (n notches) leaves(raise float64) []float64 {
	for _, s := range n.stacks {
		if math.Abs(s.thick-math.Abs(raise)) < 1e-9 {
			return s.leaves
		}
	}
	return nil
}

// nearest returns the move nearest to v.
func (n notches) nearest(v float64) float64 {
	below, above := n.around(v)
	if above-v < v-below {
		return above
	}
	return below
}
