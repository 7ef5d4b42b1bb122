package place

import (
	"math"
	"slices"
	"sync"
	"sync/atomic"
)

// toGo returns the least bound that the rest of a placement can have, [fresh
// posts still to stand][post reached].
func (s *search) toGo(fresh int) [][]float64 {
	out := make([][]float64, fresh+1)
	for m := range out {
		out[m] = make([]float64, len(s.posts))
		for i := len(s.posts) - 1; i >= 0; i-- {
			least := math.Inf(1)
			if m == 0 {
				least = s.last[i]
			}
			for j := i + 1; j < len(s.posts); j++ {
				if left := m - s.cost(j); left >= 0 {
					least = min(least, max(s.span[i][j], out[left][j]))
				}
			}
			out[m][i] = least
		}
	}
	return out
}

// cost is how many fresh posts one post is.
func (s *search) cost(j int) int {
	if s.posts[j].kept != nil {
		return 0
	}
	return 1
}

// feet returns the sites of a placement.
func (s *search) feet(placed []int, single int) (feet []int) {
	var fresh []int
	for _, j := range placed {
		feet = append(feet, s.posts[j].kept...)
		if s.posts[j].kept == nil {
			fresh = append(fresh, j)
		}
	}
	for i, j := range fresh {
		if single < 0 && i == 0 || single > 0 && i == len(fresh)-1 {
			feet = append(feet, s.posts[j].one)
		} else {
			feet = append(feet, s.posts[j].pair...)
		}
	}
	return feet
}

// incumbent is the best placement so far, shared by the goroutines that search.
type incumbent struct {
	sync.Mutex
	zone   atomic.Uint64 // bits of the zone
	placed []int
}

func (f *incumbent) best() float64 { return math.Float64frombits(f.zone.Load()) }

// offer takes a placement that is better, or as good and further left.
func (f *incumbent) offer(zone float64, placed []int) {
	f.Lock()
	defer f.Unlock()
	if best := f.best(); zone < best || zone == best && slices.Compare(placed, f.placed) < 0 {
		f.zone.Store(math.Float64bits(zone))
		f.placed = slices.Clone(placed)
	}
}

// run returns the posts of the best placement of a pattern and its zone; +Inf
// when none holds the bed.
func (s *search) run(p pattern, workers int, tick func()) ([]int, float64) {
	best := &incumbent{}
	best.zone.Store(math.Float64bits(math.Inf(1)))
	toGo := s.toGo(p.fresh)
	s.start(p, toGo, best)
	var starts []int
	for i := range s.posts {
		if !math.IsInf(s.first[i], 1) {
			starts = append(starts, i)
		}
	}
	var next atomic.Int64
	var wg sync.WaitGroup
	for range workers {
		wg.Go(func() {
			r := s.lc.arrange(s.sites)
			for n := int(next.Add(1)) - 1; n < len(starts); n = int(next.Add(1)) - 1 {
				i := starts[n]
				s.walk(r, p, []int{i}, p.fresh-s.cost(i), s.first[i], toGo, best)
				tick()
			}
		})
	}
	wg.Wait()
	return best.placed, best.best()
}

// walk tries every placement that goes on from the posts placed, except those that
// a bound rules out.
func (s *search) walk(r *arrangement, p pattern, placed []int, left int, bound float64, toGo [][]float64, best *incumbent) {
	at := placed[len(placed)-1]
	if left < 0 || max(bound, toGo[left][at]) > best.best() {
		return
	}
	if left == 0 && !math.IsInf(s.last[at], 1) && max(bound, s.last[at]) <= best.best() {
		r.stand(s.feet(placed, p.single), nil, nil)
		if zone := r.worst(best.best()); zone <= best.best() {
			best.offer(zone, placed)
		}
	}
	for j := at + 1; j < len(s.posts); j++ {
		if b := max(bound, s.span[at][j]); b <= best.best() {
			s.walk(r, p, append(placed, j), left-s.cost(j), b, toGo, best)
		}
	}
}

// start offers a good placement to begin with: that of the least bound, then
// moved post by post as long as it gets better.
func (s *search) start(p pattern, toGo [][]float64, best *incumbent) {
	placed := s.leastBound(p, toGo)
	if placed == nil {
		return
	}
	r := s.lc.arrange(s.sites)
	try := func(placed []int) bool {
		r.stand(s.feet(placed, p.single), nil, nil)
		zone := r.worst(best.best())
		better := zone < best.best()
		if better {
			best.offer(zone, placed)
		}
		return better
	}
	try(placed)
	for better := true; better && best.placed != nil; {
		better = false
		for i, at := range best.placed {
			for j := range s.posts {
				moved := slices.Clone(best.placed)
				moved[i] = j
				if s.cost(at) == 1 && s.cost(j) == 1 && s.allowed(moved) {
					better = try(moved) || better
				}
			}
		}
	}
}

func (s *search) allowed(placed []int) bool {
	for i := 1; i < len(placed); i++ {
		if placed[i] <= placed[i-1] || math.IsInf(s.span[placed[i-1]][placed[i]], 1) {
			return false
		}
	}
	return !math.IsInf(s.first[placed[0]], 1) && !math.IsInf(s.last[placed[len(placed)-1]], 1)
}

// leastBound follows the least bounds; nil when no placement is allowed.
func (s *search) leastBound(p pattern, toGo [][]float64) (placed []int) {
	at, least := -1, math.Inf(1)
	for i := range s.posts {
		if left := p.fresh - s.cost(i); left >= 0 && max(s.first[i], toGo[left][i]) < least {
			at, least = i, max(s.first[i], toGo[left][i])
		}
	}
	for left := p.fresh; at >= 0; {
		placed = append(placed, at)
		left -= s.cost(at)
		to, most := -1, math.Inf(1)
		if left == 0 {
			most = s.last[at]
		}
		for j := at + 1; j < len(s.posts); j++ {
			if m := left - s.cost(j); m >= 0 && max(s.span[at][j], toGo[m][j]) < most {
				to, most = j, max(s.span[at][j], toGo[m][j])
			}
		}
		at = to
	}
	return placed
}
