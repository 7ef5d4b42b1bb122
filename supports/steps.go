package supports

import (
	"fmt"
	"math"
	"slices"
)

const (
	mostTurn    = 15.0 / 360 // of a screw in one step; common practice is "a few degrees", no source
	mostRaise   = 50e-6      // m in one step, of any foot
	mostSteps   = 12         // of one foot: long moves go in larger steps
	touching    = 1e-3       // share of the mean load under which a foot does no more than touch
	mostSettles = 400        // states that the search for an order looks at
)

// Step is one turn of one foot.
type Step struct {
	Foot   string
	Raise  float64 // m, of this step
	Text   string
	Raised []float64   // m, of every foot since the beginning
	Ways   [][]float64 // m, heights of each way after the step
	Loads  []float64   // N
	Lifted []bool
}

// walk is the way from no move to a plan, in turns. A place is how many turns of each
// foot are done, so every foot only ever moves towards its end.
type walk struct {
	*task
	feet  []int
	stops [][]float64 // [k][turns done] m
	safe  []float64   // N, the load that each foot keeps
	free  []bool      // foot may be clear of the bed on the way: it is so before or after, or only touches
	seen  map[string]Settled
	dead  map[string]bool
	err   error
}

// steps returns a plan's moves in small turns, in an order in which no foot goes below
// the least load or lifts that does not at the start or the end; when there is none,
// in the order that lacks least, with a warning if it is to be spoken of.
func (t *task) steps(p Plan, speak bool) ([]Step, error) {
	w := t.newWalk(p)
	at := make([]int, len(w.feet))
	path, ok := w.search(at, -1)
	if !ok && w.err == nil {
		path = w.leastBad(at, speak)
	}
	if w.err != nil {
		return nil, fmt.Errorf("on the way to the plan that moves %d feet: %w", p.FeetMoved, w.err)
	}
	var out []Step
	for _, k := range path {
		from := w.stops[k][at[k]]
		at[k]++
		out = append(out, w.step(at, w.feet[k], w.stops[k][at[k]]-from))
	}
	return out, w.err
}

func (t *task) newWalk(p Plan) *walk {
	w := &walk{task: t, seen: map[string]Settled{}, dead: map[string]bool{}}
	for f, r := range p.Raise {
		if r != 0 {
			w.feet, w.stops = append(w.feet, f), append(w.stops, t.stops(f, r))
		}
	}
	for f, end := range p.Loads {
		now := t.start.Loads[f]
		least := min(t.limits.least, now, end)
		if !t.limits.counts[f] {
			least = math.Inf(-1)
		}
		w.safe = append(w.safe, least-1e-6*t.limits.mean)
		w.free = append(w.free, t.start.Lifted[f] || p.Lifted[f] || now < touching*t.limits.mean)
	}
	return w
}

// stops returns the heights that a foot passes: whole notches, as many equal turns as
// keep each within mostTurn, mostRaise and half of the way that the foot can go before
// a foot loses its load, the last one to the very end. Shims go in and out all at once.
func (t *task) stops(f int, raise float64) []float64 {
	step := t.limits.notches[f].step
	if step == 0 {
		return []float64{0, raise}
	}
	most := min(mostRaise, t.room(f, raise)/2)
	if t.Adjusters[f].Kind == Screw {
		most = min(most, mostTurn*t.Adjusters[f].Rise)
	}
	whole := math.Round(raise / step)
	each := max(1, math.Floor(most/step+1e-9))
	n := min(mostSteps, math.Ceil(math.Abs(whole)/each))
	out := []float64{0}
	for i := 1.0; i < n; i++ {
		out = append(out, math.Round(whole*i/n)*step)
	}
	return append(out, raise)
}

// room returns how far a foot can go before another has no load left.
func (t *task) room(f int, raise float64) float64 {
	room := math.Inf(1)
	for g, load := range t.Influence.Loads {
		if rate := math.Copysign(1, raise) * t.Influence.Load[f][g]; rate < 0 && load > 1e-6*t.limits.mean {
			room = min(room, load/-rate)
		}
	}
	return room
}

// at returns how the bed stands at a place.
func (w *walk) at(place []int) Settled {
	key := fmt.Sprint(place)
	s, ok := w.seen[key]
	if ok || w.err != nil {
		return s
	}
	s, w.err = w.Settle(w.raise(place))
	w.seen[key] = s
	return s
}

func (w *walk) raise(place []int) []float64 {
	raise := make([]float64, len(w.safe))
	for k, f := range w.feet {
		raise[f] = w.stops[k][place[k]]
	}
	return raise
}

// lack returns the worst shortfall of load at a place in mean foot loads, ≤ 0 when it
// is safe, and the foot that has it.
func (w *walk) lack(place []int) (worst float64, foot int) {
	s := w.at(place)
	worst = math.Inf(-1)
	for f := range s.Loads {
		lack := (w.safe[f] - s.Loads[f]) / w.limits.mean
		if s.Lifted[f] && !w.free[f] {
			lack = max(lack, 1e-3)
		}
		if lack > worst {
			worst, foot = lack, f
		}
	}
	return worst, foot
}

// turns returns the feet that can be turned on at a place: the one turned last first as
// long as every foot keeps twice the least load, then by how safe the next place is.
func (w *walk) turns(place []int, last int) []int {
	lack := make([]float64, len(w.feet))
	var out []int
	for k := range w.feet {
		if place[k] < len(w.stops[k])-1 {
			lack[k], _ = w.lack(turned(place, k))
			out = append(out, k)
		}
	}
	slices.SortStableFunc(out, func(a, b int) int {
		switch {
		case a == last && lack[a] <= -w.Goal.LeastLoad:
			return -1
		case b == last && lack[b] <= -w.Goal.LeastLoad:
			return 1
		case lack[a] < lack[b]:
			return -1
		case lack[a] > lack[b]:
			return 1
		}
		return 0
	})
	return out
}

func turned(place []int, k int) []int {
	next := slices.Clone(place)
	next[k]++
	return next
}

// search returns the turns from a place to the end by safe places only, depth first.
func (w *walk) search(place []int, last int) (path []int, ok bool) {
	turns := w.turns(place, last)
	if len(turns) == 0 {
		return nil, true
	}
	for _, k := range turns {
		next := turned(place, k)
		key := fmt.Sprint(next)
		if lack, _ := w.lack(next); lack > 0 || w.dead[key] || w.err != nil || len(w.seen) > mostSettles {
			continue
		}
		if rest, ok := w.search(next, k); ok {
			return append([]int{k}, rest...), true
		}
		w.dead[key] = true
	}
	return nil, false
}

// leastBad returns turns that at each place lack least, and names the foot that suffers.
func (w *walk) leastBad(place []int, speak bool) (path []int) {
	worst, foot, last := 0.0, 0, -1
	for w.err == nil {
		turns := w.turns(place, last)
		if len(turns) == 0 {
			break
		}
		last = turns[0]
		place = turned(place, last)
		path = append(path, last)
		if lack, f := w.lack(place); lack > worst {
			worst, foot = lack, f
		}
	}
	if speak && worst > 0 && w.err == nil {
		w.warn("no order of the moves keeps every foot loaded on the way: foot %s falls short of its least load by %.0f N; hold the bed there with a jack, or turn all feet in smaller steps by turns",
			w.Influence.Feet[foot], worst*w.limits.mean)
	}
	return path
}

func (w *walk) step(place []int, f int, raise float64) Step {
	s := w.at(place)
	st := Step{Foot: w.Influence.Feet[f], Raise: raise, Text: w.text(f, raise), Raised: w.raise(place), Loads: s.Loads, Lifted: s.Lifted}
	for k, m := range w.Ways {
		h := slices.Clone(m.Height)
		addScaled(h, 1, s.Ways[k])
		st.Ways = append(st.Ways, h)
	}
	return st
}
