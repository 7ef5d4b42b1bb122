package place

import (
	"cmp"
	"math"
	"slices"

	"footwork/beam"
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
	lc    *loadCases
	sites *sites
	posts []post
	apart float64
	span  [][]float64 // bound when two posts are neighbours; +Inf: not allowed
	first []float64   // bound when a post is the first; +Inf: not allowed
	last  []float64
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
	s.sites = lc.sites(feet)
	s.bound()
	return s
}

func middle(offsets []float64) float64 {
	return (slices.Min(offsets) + slices.Max(offsets)) / 2
}

// gridOf spreads n places evenly over the zones' length, each zone with both ends.
func gridOf(w Options, length float64, n int) (x []float64) {
	zones := w.Zones
	if len(zones) == 0 {
		zones = []beam.Span{{From: 0, To: length}}
	}
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
		x = append(x, beam.Even(z.From, z.To, share)...)
	}
	slices.Sort(x)
	return slices.Compact(x)
}

// bound fills in the bounds of all stretches and forbids what is not allowed:
// neighbours too close, and stepping over a kept foot.
func (s *search) bound() {
	b, inf := s.lc.bounds(s.sites), math.Inf(1)
	for i, p := range s.posts {
		row := make([]float64, len(s.posts))
		blocked := false
		for j := range row {
			switch q := s.posts[j]; {
			case j <= i || blocked || (q.x-p.x < max(s.apart, 1e-9)*(1-1e-9) && (p.kept == nil || q.kept == nil)):
				row[j] = inf
			default:
				row[j] = b.span(p.x, q.x)
			}
			blocked = blocked || (j > i && s.posts[j].kept != nil)
		}
		s.span = append(s.span, row)
		first, last := b.ends(p.x)
		s.first, s.last = append(s.first, first), append(s.last, last)
	}
	s.boundTips()
	for i, p := range s.posts {
		if p.kept == nil {
			continue
		}
		for j := range s.posts {
			if j > i {
				s.first[j] = inf
			} else if j < i {
				s.last[j] = inf
			}
		}
	}
}

// boundTips forbids outermost posts with weight beyond them, or over them but for
// a millionth of the bed: nothing pulls there.
func (s *search) boundTips() {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, c := range s.lc.cases {
		at := c.Resultant[1] / c.Resultant[0]
		lo, hi = min(lo, at), max(hi, at)
	}
	if slices.ContainsFunc(s.sites.feet, func(f beam.Foot) bool { return f.Held }) {
		return
	}
	edge := 1e-6 * s.lc.Bed.Length
	for i, p := range s.posts {
		if p.x > lo-edge {
			s.first[i] = math.Inf(1)
		}
		if p.x < hi+edge {
			s.last[i] = math.Inf(1)
		}
	}
}
