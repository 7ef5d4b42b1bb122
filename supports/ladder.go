package supports

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
)

// mostExhaustive is how many movable feet are looked through without leaving a choice
// out: 2ⁿ − 1 choices at most, most of which fall to their bound.
const mostExhaustive = 12

// ladder returns, for 1, 2, … feet, the best choice of that many, each with the least
// moves that do it.
func (t *task) ladder() []*choice {
	feet := t.limits.movable
	search := t.everyChoice
	if len(feet) > mostExhaustive {
		search = t.stepwise
		t.leave("%d feet can be moved: not every choice of them was tried (up to %d it is); feet were added one by one and exchanged, which may miss a better choice",
			len(feet), mostExhaustive)
	}
	best := slices.DeleteFunc(search(feet), func(c *choice) bool { return c == nil })
	for _, c := range best {
		c.travel()
	}
	if t.failed > 0 {
		t.leave("for %d choices of feet no answer was found that holds when checked; they were left out", t.failed)
	}
	return best
}

// value returns what a choice is worth: +Inf for none.
func (t *task) value(c *choice) float64 {
	if c == nil {
		return math.Inf(1)
	}
	return t.total(c.best)
}

// solved returns the choice of feet with its best moves; nil when none were found.
func (t *task) solved(feet []int) *choice {
	t.tried++
	c := t.choose(feet)
	if c.solve() != nil {
		t.failed++
		return nil
	}
	return c
}

// everyChoice returns the best choice of each number of feet. Fewer of the same feet
// never do better, so the value of a choice bounds all choices within it: sizes go
// down, and within a size the choices of least bound come first. Of equals, of which
// mostTies are looked at, the one whose feet move least is taken; those made of feet
// that are used when all may move come first.
func (t *task) everyChoice(feet []int) []*choice {
	n := len(feet)
	bound := make([]float64, 1<<n) // of what each choice can reach
	best := make([]*choice, n)
	used := ^uint(0)
	for size := n; size > 0; size-- {
		var sets []uint
		for set := range uint(1 << n) {
			if bits.OnesCount(set) == size {
				bound[set] = boundOf(bound, set, n)
				sets = append(sets, set)
			}
		}
		slices.SortStableFunc(sets, func(a, b uint) int {
			return cmp.Or(cmp.Compare(math.Round(bound[a]/alike), math.Round(bound[b]/alike)), bits.OnesCount(b&used)-bits.OnesCount(a&used))
		})
		best[size-1] = t.bestSet(feet, sets, bound)
		if size == n {
			used = best[n-1].uses(feet)
		}
	}
	return best
}

// bestSet returns the best choice of sets, which are in order of their bounds, and makes
// the bounds of those that it looks at their values.
func (t *task) bestSet(feet []int, sets []uint, bound []float64) (best *choice) {
	ties := 0
	for _, set := range sets {
		above := bound[set] - t.value(best)
		if above > alike || above >= -alike && ties == mostTies {
			break
		}
		c := t.solved(pick(feet, set))
		if c != nil {
			bound[set] = t.value(c)
		}
		switch above := t.value(c) - t.value(best); {
		case above < -alike:
			best, ties = c, 0
		case above <= alike:
			ties++
			if c.travel() < best.travel() {
				best = c
			}
		}
	}
	return best
}

const (
	alike    = telling / 100 // a difference of values that is none, m
	mostTies = 12
)

// travel returns the sum of all moves, m, the least that is as good.
func (c *choice) travel() float64 {
	if !c.least {
		c.settleLeast()
		c.least = true
	}
	sum := 0.0
	for _, m := range c.moves {
		sum += math.Abs(m)
	}
	return sum
}

// uses returns which of feet a choice moves when it moves least; none of no choice.
func (c *choice) uses(feet []int) (set uint) {
	if c == nil {
		return 0
	}
	c.travel()
	for k, f := range c.feet {
		if i := slices.Index(feet, f); math.Abs(c.moves[k]) > telling {
			set |= 1 << i
		}
	}
	return set
}

// boundOf returns the largest value of the choices that hold one foot more.
func boundOf(bound []float64, set uint, n int) float64 {
	b := math.Inf(-1)
	for f := range n {
		if more := set | 1<<f; more != set {
			b = max(b, bound[more])
		}
	}
	return b
}

func pick(feet []int, set uint) []int {
	var out []int
	for i, f := range feet {
		if set&(1<<i) != 0 {
			out = append(out, f)
		}
	}
	return out
}

// mostTried is how many choices stepwise looks at before it exchanges no more.
const mostTried = 2000

// stepwise adds the foot that helps most, then exchanges one foot for another as long
// as that helps, until a tenth of what the surveys leave uncertain is all that is left
// to gain on all feet together.
func (t *task) stepwise(feet []int) []*choice {
	all := t.solved(feet)
	enough := t.value(all) + max(telling, t.zoneSigma(t.want)/10)
	var best []*choice
	var have []int
	for range feet {
		c := t.bestOf(nil, have, -1, feet)
		for k := 0; c != nil && k < len(have) && t.tried < mostTried; k++ {
			c = t.bestOf(c, c.feet, k, feet)
		}
		if c == nil {
			break
		}
		best, have = append(best, c), c.feet
		if all != nil && t.value(c) <= enough {
			break
		}
	}
	return best
}

// bestOf returns the best of a choice so far and those with another foot in place of
// the one at drop, or beside all when drop is negative.
func (t *task) bestOf(best *choice, have []int, drop int, feet []int) *choice {
	for _, f := range feet {
		if slices.Contains(have, f) {
			continue
		}
		set := append(slices.Clone(have), f)
		if drop >= 0 {
			set = slices.Delete(set, drop, drop+1)
		}
		slices.Sort(set)
		if c := t.solved(set); t.value(c) < t.value(best) {
			best = c
		}
	}
	return best
}
