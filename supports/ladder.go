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
func (t *task) ladder() ([]*choice, error) {
	feet := t.limits.movable
	search := t.everyChoice
	if len(feet) > mostExhaustive {
		search = t.stepwise
		t.warn("%d feet can be moved: not every choice of them was tried (up to %d it is); feet were added one by one and exchanged, which may miss a better choice",
			len(feet), mostExhaustive)
	}
	best, err := search(feet)
	if err != nil {
		return nil, err
	}
	for _, c := range best {
		c.settleLeast()
	}
	return best, nil
}

func (t *task) value(c *choice) float64 { return t.total(c.best) }

// everyChoice returns the best choice of each number of feet. Fewer of the same feet
// never do better, so the value of a choice bounds all choices within it: sizes go
// down, and within a size the choices of least bound come first.
func (t *task) everyChoice(feet []int) ([]*choice, error) {
	n := len(feet)
	bound := make([]float64, 1<<n) // of what each choice can reach
	best := make([]*choice, n)
	for size := n; size > 0; size-- {
		var sets []uint
		for set := range uint(1 << n) {
			if bits.OnesCount(set) == size {
				bound[set] = boundOf(bound, set, n)
				sets = append(sets, set)
			}
		}
		slices.SortStableFunc(sets, func(a, b uint) int { return cmp.Compare(bound[a], bound[b]) })
		for _, set := range sets {
			if b := best[size-1]; b != nil && bound[set] >= t.value(b)-telling/100 {
				break
			}
			c := t.choose(pick(feet, set))
			if err := c.solve(); err != nil {
				return nil, err
			}
			bound[set] = t.value(c)
			if b := best[size-1]; b == nil || t.value(c) < t.value(b) {
				best[size-1] = c
			}
		}
	}
	return best, nil
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

// stepwise adds the foot that helps most, then exchanges one foot for another as long as that helps.
func (t *task) stepwise(feet []int) ([]*choice, error) {
	var best []*choice
	var have []int
	for range feet {
		c, err := t.bestOf(nil, have, -1, feet)
		for k := 0; err == nil && k < len(have); k++ {
			c, err = t.bestOf(c, c.feet, k, feet)
		}
		if err != nil {
			return nil, err
		}
		best, have = append(best, c), c.feet
	}
	return best, nil
}

// bestOf returns the best of a choice so far and those with another foot in place of
// the one at drop, or beside all when drop is negative.
func (t *task) bestOf(best *choice, have []int, drop int, feet []int) (*choice, error) {
	for _, f := range feet {
		if slices.Contains(have, f) {
			continue
		}
		set := append(slices.Clone(have), f)
		if drop >= 0 {
			set = slices.Delete(set, drop, drop+1)
		}
		slices.Sort(set)
		c := t.choose(set)
		if err := c.solve(); err != nil {
			return nil, err
		}
		if best == nil || t.value(c) < t.value(best) {
			best = c
		}
	}
	return best, nil
}
