package plan

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"footwork/internal/sample"
)

const (
	orderDraws = 32  // draws on which an order is held: 5 % of them is one or two
	mostStates = 600 // that the search for the order of the recommended plan looks at
	fewStates  = 60  // of any other
	mostVisits = 4   // of one foot
)

// walk is the way from no move to a plan. A place is how many visits of each foot are
// done; every foot only ever moves towards its end.
type walk struct {
	*planner
	moves
	feet   []int // that are moved
	visits []int // of each
	beds   []*bed
	start  []state
	end    []state
	known  map[string]worst
	dead   map[string]bool
	states int // that may still be looked at
}

// worst is how far a place falls short: the share of draws in which a foot lacks what it
// must keep, and the foot that lacks most, N.
type worst struct {
	share float64
	foot  int
	lack  float64
}

// order returns the steps of a plan: as few as keep every foot's load, in 95 % of draws,
// above the least, or above what it carries before or after if that is less, and below
// its rating likewise. Feet that are light and are raised come first, then a foot in hand; feet
// that are watched from one place follow one another, those that are to touch and those that are
// raised come first. When there is no such order the one that lacks least.
func (p *planner) order(m moves, recommended bool) ([]Step, error) {
	draws := orderDraws
	if p.feet > mostExhaustive {
		draws /= 2
	}
	w := &walk{planner: p, moves: m, beds: p.choose[:min(draws, len(p.choose))], states: fewStates}
	if recommended {
		w.states = mostStates
	}
	for f, r := range m.raise {
		if r != 0 || m.touch[f] {
			w.feet = append(w.feet, f)
		}
	}
	var err error
	if w.start, err = w.at(make([]int, len(w.feet))); err != nil {
		return nil, err
	}
	path, ok := w.fewest()
	if w.end, err = w.at(w.visits); err != nil {
		return nil, err
	}
	if recommended && !ok {
		if bad := w.worstOn(path); bad.share > 0 {
			p.warn(NoSafeOrder, bad.lack, 0, bad.foot)
		}
	}
	steps, err := w.steps(path)
	if recommended {
		p.warnOfVisits(steps)
	}
	return steps, err
}

// warnOfVisits names the feet that are visited more than twice.
func (p *planner) warnOfVisits(steps []Step) {
	visits := make([]int, p.feet)
	for _, s := range steps {
		visits[s.Foot]++
	}
	for n := 3; n <= mostVisits; n++ {
		var feet []int
		for f, v := range visits {
			if v == n {
				feet = append(feet, f)
			}
		}
		if feet != nil {
			p.warn(MoreVisits, float64(n), 0, feet...)
		}
	}
}

// fewest finds a path with as few visits as can be: one of each foot, two, …; then the
// feet that do with one after all.
func (w *walk) fewest() (path []int, ok bool) {
	for n := 1; n <= mostVisits && !ok && w.states > 0; n++ {
		path, ok = w.with(slices.Repeat([]int{n}, len(w.feet)))
	}
	if !ok {
		visits := 2
		if len(w.feet) > mostExhaustive {
			visits = 1
		}
		w.reset(slices.Repeat([]int{visits}, len(w.feet)))
		if w.end, _ = w.at(w.visits); w.end == nil {
			return nil, false
		}
		return w.leastBad(), false
	}
	for k := range w.feet {
		for n := 1; n < w.visits[k] && w.states > 0; n++ {
			before := slices.Clone(w.visits)
			fewer := slices.Clone(w.visits)
			fewer[k] = n
			if next, ok := w.with(fewer); ok {
				path = next
				break
			}
			w.visits = before
		}
	}
	w.reset(w.visits)
	return path, true
}

func (w *walk) reset(visits []int) {
	w.visits, w.known, w.dead = visits, map[string]worst{}, map[string]bool{}
}

func (w *walk) with(visits []int) (path []int, ok bool) {
	w.reset(visits)
	var err error
	if w.end, err = w.at(visits); err != nil {
		return nil, false
	}
	lately := -1
	if w.last != nil {
		lately = slices.Index(w.feet, w.last.Foot)
	}
	return w.search(make([]int, len(w.feet)), lately)
}

// at stands the draws on a place.
func (w *walk) at(place []int) ([]state, error) {
	out := make([]state, len(w.beds))
	err := sample.Each(len(w.beds), 0, func(i int) (err error) {
		out[i], err = w.beds[i].stand(w.part(w.beds[i], place))
		return err
	})
	w.spendOn(w.beds, 1)
	return out, err
}

// part returns the raises of a draw at a place.
func (w *walk) part(b *bed, place []int) []float64 {
	m := moves{make([]float64, w.planner.feet), make([]bool, w.planner.feet)}
	for k, f := range w.feet {
		if place[k] > 0 {
			m.raise[f] = w.raise[f] * float64(place[k]) / float64(w.visits[k])
			m.touch[f] = w.touch(f)
		}
	}
	return w.raised(b, m, false)
}

func (w *walk) touch(f int) bool { return w.moves.touch[f] }

// lack returns how a place falls short.
func (w *walk) lack(place []int) worst {
	key := fmt.Sprint(place)
	if v, ok := w.known[key]; ok {
		return v
	}
	w.states--
	v := worst{}
	now, err := w.at(place)
	if err != nil {
		v = worst{share: 1, lack: math.Inf(1)}
	}
	for i, s := range now {
		most := 0.0
		for f, load := range s.load {
			lack := min(w.Goal.LeastLoad*w.mean, w.start[i].load[f], w.end[i].load[f]) - load
			if !w.counts[f] {
				lack = 0
			}
			if rated := w.Feet[f].Rated; rated > 0 {
				lack = max(lack, load-max(rated, w.start[i].load[f], w.end[i].load[f]))
			}
			if most = max(most, lack); lack > v.lack {
				v.foot, v.lack = f, lack
			}
		}
		if most > 1e-6*w.mean {
			v.share += 1 / float64(len(now))
		}
	}
	w.known[key] = v
	return v
}

// next returns the feet that can be visited at a place, the best first.
func (w *walk) next(place []int, last int) (out []int) {
	for k := range w.feet {
		if place[k] < w.visits[k] {
			out = append(out, k)
		}
	}
	rank := func(k int) (rank int) {
		f := w.feet[k]
		if up := w.touch(f) || w.raise[f] > 0; up && w.light(f) {
			rank -= 16
		}
		if k == last {
			rank -= 8
		}
		if !w.touch(f) {
			rank += 4
		}
		if last < 0 || w.watch[f] == nil || w.watch[w.feet[last]] == nil || w.watch[f].setup() != w.watch[w.feet[last]].setup() {
			rank += 2
		}
		if w.raise[f] < 0 && k != last {
			rank++
		}
		return rank
	}
	slices.SortStableFunc(out, func(a, b int) int { return rank(a) - rank(b) })
	return out
}

// light: a foot begins with less than half the least load, more likely than not.
func (w *walk) light(f int) bool {
	return w.counts[f] && w.over(func(i int) float64 { return w.start[i].load[f] }) < w.Goal.LeastLoad/2*w.mean
}

func visited(place []int, k int) []int {
	next := slices.Clone(place)
	next[k]++
	return next
}

// search returns the visits from a place to the end by safe places only, depth first.
func (w *walk) search(place []int, last int) (path []int, ok bool) {
	next := w.next(place, last)
	if len(next) == 0 {
		return nil, true
	}
	for _, k := range next {
		to := visited(place, k)
		key := fmt.Sprint(to)
		if w.dead[key] || w.states < 0 || w.lack(to).share > w.mayMiss(w.ByFeel) {
			continue
		}
		if rest, ok := w.search(to, k); ok {
			return append([]int{k}, rest...), true
		}
		w.dead[key] = true
	}
	return nil, false
}

// leastBad returns visits that at each place lack least.
func (w *walk) leastBad() (path []int) {
	place, last := make([]int, len(w.feet)), -1
	for {
		next := w.next(place, last)
		if len(next) == 0 {
			return path
		}
		if last = next[0]; w.states < -mostStates || w.states < 0 && len(w.feet) > mostExhaustive {
			place, path = visited(place, last), append(path, last)
			continue
		}
		last = slices.MinFunc(next, func(a, b int) int {
			p, q := w.lack(visited(place, a)), w.lack(visited(place, b))
			return cmp.Or(cmp.Compare(p.share, q.share), cmp.Compare(p.lack, q.lack))
		})
		place, path = visited(place, last), append(path, last)
	}
}

func (w *walk) worstOn(path []int) (bad worst) {
	place := make([]int, len(w.feet))
	for _, k := range path {
		place = visited(place, k)
		if v := w.lack(place); v.lack > bad.lack {
			bad = v
		}
	}
	return bad
}

// steps turns visits into steps; those of one foot that follow one another are one.
func (w *walk) steps(path []int) (out []Step, err error) {
	place, before := make([]int, len(w.feet)), w.start
	for i := 0; i < len(path); {
		from := slices.Clone(place)
		k := path[i]
		for ; i < len(path) && path[i] == k; i++ {
			place = visited(place, k)
		}
		after, err := w.at(place)
		if err != nil {
			return nil, err
		}
		out = append(out, w.step(k, from, place, before, after))
		before = after
	}
	return out, nil
}

func (w *walk) step(k int, from, to []int, before, after []state) Step {
	f := w.feet[k]
	s := Step{Foot: f, Touch: w.touch(f) && from[k] == 0, Raised: make([]float64, w.planner.feet), Watch: w.seen(f, before, after)}
	for j, g := range w.feet {
		s.Raised[g] = w.raise[g] * float64(to[j]) / float64(w.visits[j])
	}
	s.Raise = w.raise[f] * float64(to[k]-from[k]) / float64(w.visits[k])
	if s.Touch { // what was done since shifted where it touches
		s.Raise = w.over(func(i int) float64 {
			return w.part(w.beds[i], to)[f] - w.part(w.beds[i], from)[f] - before[i].gap[f]
		})
	}
	for g := range w.planner.feet {
		s.Loads = append(s.Loads, w.over(func(i int) float64 { return after[i].load[g] }))
		if w.loose(g, before, after) > missed {
			s.Feel = append(s.Feel, g)
		}
	}
	for way := range w.Ways {
		h := make([]float64, 0, w.from[way+1]-w.from[way])
		for a := w.from[way]; a < w.from[way+1]; a++ {
			h = append(h, w.over(func(i int) float64 { return after[i].height[a] - w.start[i].height[a] }))
		}
		s.Ways = append(s.Ways, h)
	}
	return s
}

// loose returns the share of draws in which a foot comes loose by a step or, where that is left to
// a hand to feel, goes light.
func (w *walk) loose(g int, before, after []state) (share float64) {
	least := nothing
	if w.ByFeel {
		least = w.kept()
	}
	for i := range after {
		if w.counts[g] && before[i].load[g] > least*w.mean && after[i].load[g] <= least*w.mean {
			share += 1 / float64(len(after))
		}
	}
	return share
}

// seen returns what is read of a step; nil where that tells less than nothing does.
func (w *walk) seen(f int, before, after []state) *Watch {
	watch := w.watch[f]
	if watch == nil {
		return nil
	}
	moved := func(from, to []state) float64 {
		return w.over(func(i int) float64 { return w.change(watch, f, to[i].height) - w.change(watch, f, from[i].height) })
	}
	v := Watch{Instrument: watch.instrument, At: watch.at, Less: watch.less, Within: watch.within, Since: moved(w.start, before), Change: moved(before, after)}
	if math.Abs(v.Change) <= v.Within && !(w.planner.next && w.touch(f)) { // a touch is seen to come
		return nil
	}
	return &v
}

// over returns the median over the draws.
func (w *walk) over(of func(i int) float64) float64 {
	v := make([]float64, len(w.beds))
	for i := range v {
		v[i] = of(i)
	}
	return sample.Median(v)
}
