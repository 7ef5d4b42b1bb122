package place

import (
	"cmp"
	"math"
	"slices"

	"footwork/beam"
	"footwork/beam/shape"
)

// post is a place along the bed where one new foot or pair may stand, or where
// feet are kept.
type post struct {
	x    float64
	kept []int // of the sites; nil: a new one may stand here
	pair []int // of the sites: what a new pair is
	one  int   // of the sites: what a single foot is
}

// pattern is how many new posts a placement has and which of them is single: −1
// the first, 1 the last, 0 none.
type pattern struct{ fresh, single int }

// search is the exhaustive search over one grid of posts.
type search struct {
	lc     *loadCases
	sites  *sites
	posts  []post
	apart  float64
	lo, hi float64 // m along the bed, where weight acts in all cases: feet that only push stand around it
}

// newSearch lays the grid out: n places over the zones, and the kept feet.
func newSearch(lc *loadCases, w Options, stiffness float64, n int) *search {
	s := &search{lc: lc, apart: w.Apart}
	var feet []beam.Foot
	add := func(x, offset float64) int {
		feet = append(feet, beam.Foot{At: x, Offset: offset, Stiffness: stiffness})
		return len(feet) - 1
	}
	for _, x := range gridOf(w, lc.Bed.Length, n) {
		p := post{x: x}
		for _, offset := range w.Offsets {
			p.pair = append(p.pair, add(x, offset))
		}
		p.one = add(x, middle(w.Offsets))
		s.posts = append(s.posts, p)
	}
	for _, f := range w.Keep {
		feet = append(feet, f)
		i := slices.IndexFunc(s.posts, func(p post) bool { return p.kept != nil && p.x == f.At })
		if i < 0 {
			i = len(s.posts)
			s.posts = append(s.posts, post{x: f.At})
		}
		s.posts[i].kept = append(s.posts[i].kept, len(feet)-1)
	}
	slices.SortStableFunc(s.posts, func(a, b post) int { return cmp.Compare(a.x, b.x) })
	s.sites = lc.sites(feet, nil)
	s.around()
	return s
}

func middle(offsets []float64) float64 {
	return (slices.Min(offsets) + slices.Max(offsets)) / 2
}

// zones returns where feet may go on a bed.
func (w Options) zones(length float64) []shape.Span {
	if len(w.Zones) == 0 {
		return []shape.Span{{From: 0, To: length}}
	}
	return w.Zones
}

// gridOf spreads n places evenly over the zones' length, each zone with both ends.
func gridOf(w Options, length float64, n int) (x []float64) {
	zones := w.zones(length)
	total := 0.0
	for _, z := range zones {
		total += z.To - z.From
	}
	for _, z := range zones {
		share := 1
		if total > 0 {
			share = max(2, int(math.Round(float64(n)*(z.To-z.From)/total)))
		}
		if z.To == z.From {
			share = 1
		}
		x = append(x, shape.Even(z.From, z.To, share)...)
	}
	slices.Sort(x)
	return slices.Compact(x)
}

// around finds where weight acts, and a millionth of the bed more: right over an outermost post rounding decides.
func (s *search) around() {
	if slices.ContainsFunc(s.sites.all, func(f *site) bool { return f.Held }) {
		s.lo, s.hi = math.Inf(1), math.Inf(-1)
		return
	}
	edge := 1e-6 * s.lc.Bed.Length
	s.lo, s.hi = s.lc.Bed.Length, 0
	for _, c := range s.lc.cases {
		at := c.Resultant[1] / c.Resultant[0]
		s.lo, s.hi = min(s.lo, at-edge), max(s.hi, at+edge)
	}
}

// best returns the posts of the best placement of a pattern and its zone, of all that there are; +Inf when none holds the
// bed. tick is called for every post that was the first.
func (s *search) best(p pattern, tick func()) (placed []int, zone float64) {
	zone = math.Inf(1)
	r := s.lc.arrange(s.sites)
	var walk func(on []int, left int)
	walk = func(on []int, left int) {
		next := 0
		if n := len(on); n > 0 {
			next = on[n-1] + 1
			if left == 0 && s.posts[on[n-1]].x >= s.hi && !slices.ContainsFunc(s.posts[next:], post.stays) {
				r.stand(s.feet(on, p.single), nil, nil)
				if z := r.worst(zone); z < zone {
					placed, zone = slices.Clone(on), z
				}
			}
		}
		for j := next; j < len(s.posts); j++ {
			if s.follows(on, j) && left >= s.cost(j) {
				walk(append(on, j), left-s.cost(j))
			}
			if len(on) == 0 {
				tick()
			}
			if s.posts[j].stays() {
				return // none steps over it
			}
		}
	}
	walk(nil, p.fresh)
	return placed, zone
}

func (p post) stays() bool { return p.kept != nil }

// follows tells whether a post may stand next to the last one, or be the first.
func (s *search) follows(on []int, j int) bool {
	q := s.posts[j]
	if len(on) == 0 {
		return q.x <= s.lo
	}
	p := s.posts[on[len(on)-1]]
	return q.x-p.x >= max(s.apart, 1e-9)*(1-1e-9) || p.stays() && q.stays()
}

// cost is how many fresh posts one post is.
func (s *search) cost(j int) int {
	if s.posts[j].stays() {
		return 0
	}
	return 1
}

// feet returns the sites of a placement, of kept posts first.
func (s *search) feet(placed []int, single int) []int {
	feet, fresh := make([]int, 0, 4*len(placed)), make([]int, 0, len(placed))
	for _, j := range placed {
		feet = append(feet, s.posts[j].kept...)
		if !s.posts[j].stays() {
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
