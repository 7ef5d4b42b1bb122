package supports

import "math"

// limits is what moves may not do.
type limits struct {
	mean      float64 // N, mean foot load
	least     float64 // N, that no foot may carry less of
	lackCosts float64 // m of zone for one mean load that a foot lacks
	counts    []bool  // foot has to carry: it does not hang on its bolts now
	gap       []float64
	movable   []int // feet that a person can move and that do something
	notches   []notches
}

// lackFactor makes load dearer than any straightness that could be bought with it: one
// mean load is worth so many times the raise that brings it about.
const lackFactor = 10

// noLever is a raise, m, that no bed takes: a foot that would need it to gain one mean
// load has no say in the loads, as none has where three feet carry the bed.
const noLever = 0.1

func (t *task) newLimits() limits {
	in := t.Influence
	l := limits{gap: t.Gap, counts: make([]bool, len(in.Feet)), notches: make([]notches, len(in.Feet))}
	if l.gap == nil {
		l.gap = make([]float64, len(in.Feet))
	}
	for _, load := range in.Loads {
		l.mean += load / float64(len(in.Loads))
	}
	if l.mean <= 0 {
		l.mean = 1 // nothing is carried: shares have no meaning
	}
	for f, load := range in.Loads {
		l.counts[f] = load >= -1e-6*l.mean
	}
	l.least = t.Goal.LeastLoad * l.mean
	for f := range in.Feet {
		if raise := l.mean / in.Load[f][f]; raise > 0 && raise < noLever {
			l.lackCosts = max(l.lackCosts, lackFactor*raise)
		}
		l.notches[f] = notchesOf(t.Adjusters[f], t.Goal)
		if l.notches[f].none() {
			if t.Adjusters[f].Kind == Shim {
				t.warn("foot %s stands on shims, but no leaf is listed that it may be moved by: it is taken as fixed; list the leaves at hand as shims", in.Feet[f])
			}
			continue
		}
		if l.gap[f] <= min(t.Goal.MostMove, l.notches[f].reach()) && t.tells(f) {
			l.movable = append(l.movable, f)
		}
	}
	return l
}

// tells reports whether raising a foot does anything at all: one clear of the bed may not.
func (t *task) tells(f int) bool {
	for _, w := range t.Influence.Ways {
		for _, h := range w.Height[f] {
			if math.Abs(h) > 1e-9 {
				return true
			}
		}
	}
	return false
}
