package plan

import (
	"cmp"
	"math"
	"math/bits"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// mostExhaustive is how many movable feet are looked through without leaving a choice
// out: 2ⁿ − 1 choices at most, most of which fall to their bound.
const mostExhaustive = 12

// alike is a difference of values that is none, m.
const alike = telling / 10

// found is a choice of feet with its best raises.
type found struct {
	choice
	raise []float64 // m, of every foot
	value float64   // m
}

// solved returns the best raises of a choice; nil when there are none.
func (p *planner) solved(feet []int, upward bool) *found {
	l, err := p.carrying(feet)
	if err != nil {
		return nil
	}
	c := p.choice(feet, upward)
	raise, value, err := p.solve(l, c)
	if err != nil {
		return nil
	}
	return &found{c, raise, value}
}

func valueOf(f *found) float64 {
	if f == nil {
		return math.Inf(1)
	}
	return f.value
}

// keep is how many choices of a size are looked at more closely.
func (p *planner) keep(size int) int {
	switch {
	case slices.Max(p.hangs) <= doubtful:
		return 1
	case size == 1:
		return p.feet
	}
	return 3
}

// everyChoice returns, for 1, 2, … feet, the best choices of that many, best first: one, or
// a few where feet hang, for then a programme does not know the contact. Fewer of the same feet never do better, so the value
// of a choice bounds all choices within it: sizes go down, and within a size the choices
// of least bound come first. A tilt of all feet does nothing, so the last sizes are as
// good as one another.
func (p *planner) everyChoice(feet []int, upward bool) [][]*found {
	n := len(feet)
	bound := make([]float64, 1<<n) // of what each choice can reach
	best := make([][]*found, n)
	for size := n; size > 0; size-- {
		var sets []uint
		for set := range uint(1 << n) {
			if bits.OnesCount(set) == size {
				bound[set] = boundOf(bound, set, n)
				sets = append(sets, set)
			}
		}
		slices.SortStableFunc(sets, func(a, b uint) int { return cmp.Compare(bound[a], bound[b]) })
		var list []*found
		keep := p.keep(size)
		for _, set := range sets {
			if len(list) == keep && bound[set] >= list[keep-1].value-alike || p.outOfWork() {
				break
			}
			f := p.solved(members(feet, set), upward)
			if bound[set] = valueOf(f); f != nil {
				k, _ := slices.BinarySearchFunc(list, f.value, func(g *found, v float64) int { return cmp.Compare(g.value, v+alike) })
				list = slices.Insert(list, k, f)
				list = list[:min(keep, len(list))]
			}
		}
		best[size-1] = list
		p.tell(n-size+1, 2*n)
	}
	return best
}

// boundOf returns the largest value of the choices that hold one foot more.
func boundOf(bound []float64, set uint, n int) float64 {
	b := math.Inf(-1)
	for f := range n {
		if more := set | 1<<f; more != set && !math.IsInf(bound[more], 1) {
			b = max(b, bound[more])
		}
	}
	return b
}

func members(feet []int, set uint) (out []int) {
	for i, f := range feet {
		if set&(1<<i) != 0 {
			out = append(out, f)
		}
	}
	return out
}

// enough is how near to the value of moving all feet a choice of many must come for more
// feet not to be looked at: a tenth of what two digits of a zone can show.
const enough = 1.005

// stepwise begins with all feet and leaves out, one by one, the foot that moves least, or that can do
// least where no programme of so many feet holds when checked;
// then, from the smallest choice up, exchanges a foot for another as long as that helps
// and work is left for it. It ends with the fewest feet that are as good as any.
func (p *planner) stepwise(feet []int) []*found {
	best := make([]*found, len(feet))
	have := slices.Clone(feet)
	for len(have) > 0 {
		f := p.solved(have, false)
		best[len(have)-1] = f
		if p.outOfWork() {
			break
		}
		does := func(g int) float64 { return math.Abs(f.raise[g]) }
		if f == nil {
			does = p.reach(have)
		}
		out := 0
		for k, g := range have {
			if does(g) < does(have[out]) {
				out = k
			}
		}
		p.tell(len(feet)-len(have), 2*len(feet))
		have = slices.Delete(slices.Clone(have), out, out+1)
	}
	whole := p.work
	for size := 1; size <= mostExhaustive && p.work > whole-p.exchangeBudget(); size++ {
		best[size-1] = p.exchanged(best[size-1], feet, whole)
	}
	all := valueOf(slices.MinFunc(best, func(a, b *found) int { return cmp.Compare(valueOf(a), valueOf(b)) }))
	last := slices.IndexFunc(best, func(f *found) bool { return valueOf(f) <= enough*all+alike })
	return best[:last+1]
}

// reach tells by how much the ways answer to a foot of a set where they do most, m/m.
func (p *planner) reach(set []int) func(foot int) float64 {
	l, err := p.carrying(set)
	return func(foot int) float64 {
		if err != nil {
			return 0
		}
		return floats.Norm(l.by[foot], math.Inf(1))
	}
}

// exchangeBudget is the part of the work that exchanging feet may take: a fifth leaves
// enough to round and to judge.
func (p *planner) exchangeBudget() int { return cmp.Or(p.Budget, defaultBudget) / 5 }

// exchanged puts in place of each foot of a choice the one that does best there.
func (p *planner) exchanged(f *found, feet []int, whole int) *found {
	if f == nil {
		return nil
	}
	for k := range f.feet {
		for _, g := range feet {
			if slices.Contains(f.feet, g) || p.work < whole-p.exchangeBudget() {
				continue
			}
			set := slices.Clone(f.feet)
			set[k] = g
			slices.Sort(set)
			if next := p.solved(set, false); valueOf(next) < f.value-alike {
				f = next
			}
		}
	}
	return f
}

// outOfWork tells, and warns, that the budget is spent.
func (p *planner) outOfWork() bool {
	if p.work > 0 {
		return false
	}
	if !slices.ContainsFunc(p.warnings, func(w Warning) bool { return w.Kind == OutOfWork }) {
		p.warn(OutOfWork, 0, 0)
	}
	return true
}

func (p *planner) tell(done, whole int) {
	if p.Progress != nil {
		p.Progress(done, whole)
	}
}
