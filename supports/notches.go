package supports

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

const (
	screwNotch = 1.0 / 360 // of a turn: what a person can set with a long handle; common practice, no source
	freeNotch  = 1e-6      // m, where nothing is said of how the foot is moved
	mostLeaves = 4         // in a stack of shims: more give like a spring; common practice, no source
)

// notches are the moves that an adjuster can make: every multiple of step, or the
// stacks, which go in or come out.
type notches struct {
	step   float64 // m; 0: stacks only
	stacks []stack // increasing, of different thickness
}

// stack is a pile of shims.
type stack struct {
	thick  float64   // m
	leaves []float64 // m, decreasing
}

func (n notches) none() bool { return n.step == 0 && len(n.stacks) == 0 }

// coarse: the steps are larger than the slips of a hand.
func (n notches) coarse() bool { return len(n.stacks) > 0 }

func notchesOf(a Adjuster, g Goal) notches {
	switch a.Kind {
	case Fixed:
		return notches{}
	case Shim:
		return notches{stacks: stacks(g.Shims, g.MostMove)}
	case Screw:
		return notches{step: a.Rise * screwNotch}
	}
	return notches{step: freeNotch}
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
	slices.SortFunc(out, func(a, b stack) int {
		if a.thick < b.thick {
			return -1
		}
		return 1
	})
	return out
}

// reach returns how far a foot can be moved at all; +Inf for a screw.
func (n notches) reach() float64 {
	switch {
	case n.none():
		return 0
	case n.step > 0:
		return math.Inf(1)
	}
	return n.stacks[len(n.stacks)-1].thick
}

// around returns the moves next below and next above v, both v when it is one; beyond
// the thickest stack there is none, and above is +Inf.
func (n notches) around(v float64) (below, above float64) {
	if n.step > 0 {
		k := v / n.step
		if r := math.Round(k); math.Abs(k-r) < 1e-6 {
			return r * n.step, r * n.step
		}
		return math.Floor(k) * n.step, math.Ceil(k) * n.step
	}
	if math.Abs(v) < 1e-12 {
		return 0, 0
	}
	if v < 0 {
		below, above = n.around(-v)
		return -above, -below
	}
	i := slices.IndexFunc(n.stacks, func(s stack) bool { return s.thick >= v-1e-12 })
	switch {
	case i < 0:
		return n.stacks[len(n.stacks)-1].thick, math.Inf(1)
	case n.stacks[i].thick <= v+1e-12:
		return n.stacks[i].thick, n.stacks[i].thick
	case i == 0:
		return 0, n.stacks[0].thick
	}
	return n.stacks[i-1].thick, n.stacks[i].thick
}

// nearest returns the move nearest to v.
func (n notches) nearest(v float64) float64 {
	below, above := n.around(v)
	if above-v < v-below {
		return above
	}
	return below
}

// shifted returns the move nearest to v + by, at least one notch from v.
func (n notches) shifted(v, by float64) float64 {
	if to := n.nearest(v + by); to != v {
		return to
	}
	return n.next(v, math.Copysign(1, by))
}

// next returns the move after v upwards (side 1) or downwards (−1).
func (n notches) next(v, side float64) float64 {
	if n.step > 0 {
		return (math.Round(v/n.step) + side) * n.step
	}
	_, above := n.around(v*side + 1e-9)
	return above * side
}

// text returns a move as a person does it; the word for the direction comes first.
func (t *task) text(f int, raise float64) string {
	word, size := "raise", math.Abs(raise)
	if raise < 0 {
		word = "lower"
	}
	switch a := t.Adjusters[f]; a.Kind {
	case Screw:
		degrees := math.Round(size / a.Rise * 360)
		turn := fmt.Sprintf("%.0f°", degrees)
		if degrees >= 360 {
			turn = fmt.Sprintf("%.0f turn(s) and %.0f°", math.Floor(degrees/360), math.Mod(degrees, 360))
		}
		if a.Wrench > 0 && degrees < 360 {
			turn += ", handle end " + t.Amount(degrees/180*math.Pi*a.Wrench)
		}
		return word + ": " + turn
	case Shim:
		verb := map[string]string{"raise": "put in ", "lower": "take out "}[word]
		return word + ": " + verb + t.pile(f, size)
	}
	return word + ": " + t.Amount(size)
}

// pile returns the leaves of a thickness: "0.1 mm + 0.02 mm".
func (t *task) pile(f int, size float64) string {
	for _, s := range t.limits.notches[f].stacks {
		if math.Abs(s.thick-size) < 1e-9 {
			var words []string
			for _, l := range s.leaves {
				words = append(words, t.Amount(l))
			}
			return strings.Join(words, " + ")
		}
	}
	return t.Amount(size)
}
