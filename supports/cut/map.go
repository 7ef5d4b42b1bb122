package cut

import (
	"math"
	"slices"

	"footwork/beam"
)

// Map is where to scrape, pass by pass.
type Map struct {
	Passes     []Pass
	Surveys    []int       // after so many passes the way is surveyed in full
	CannotTell []beam.Span // m along the bed: what stands high there is within what is not known
}

// Pass is one pass over some stretches.
type Pass struct {
	Runs    []beam.Span // m along the bed, from mark to mark
	Against bool        // scraped across the marks of the pass before
}

// How a map is drawn (common practice, no source): runs end 30 to 50 mm beside those of the
// pass before, so that no step is cut in; a stretch shorter than a hand's breadth is not one.
// A place is cut where eight tenths of a pass stand, for passes scatter by three tenths: of
// 0.5, 0.6 to 0.9 that with which none of fifty hidden ways was dug by more than a pass and
// the passes were 13 % more than those of one who sees (TestScraperOnHiddenWays).
const (
	stagger   = 40e-3
	tooNear   = 30e-3
	leastRun  = 80e-3
	fewPasses = 2 // a last survey before so many are left
	leave     = 0.8
)

// Draw maps a depth (m) at stations x for passes that take perPass · low is the least that
// stands there within what is known: where it is nothing, nothing is cut. The highest is cut
// first, so that every pass is the longer by what the one before has brought down; no place
// is cut by more than two tenths of a pass below its depth.
func Draw(x, depth, low []float64, perPass float64) Map {
	var m Map
	sure := make([]float64, len(x))
	most := 0.0
	for i, d := range depth {
		if low[i] > 0 {
			sure[i] = d
			most = max(most, d)
		}
	}
	m.CannotTell = runs(x, func(i int) float64 {
		if low[i] > 0 {
			return -1
		}
		return depth[i] - leave*perPass
	})
	n := int(math.Ceil(most/perPass - leave))
	for k := range n {
		level := (float64(n-1-k) + leave) * perPass
		r := joined(runs(x, func(i int) float64 { return sure[i] - level }), x[0], x[len(x)-1])
		if k > 0 {
			r = staggered(r, m.Passes[k-1].Runs, x[0], x[len(x)-1])
		}
		m.Passes = append(m.Passes, Pass{Runs: r, Against: k%2 == 1})
	}
	for _, at := range []int{(n + 2) / 3, (2*n + 2) / 3, n - fewPasses} {
		if at > 0 && at < n && (len(m.Surveys) == 0 || at > m.Surveys[len(m.Surveys)-1]+1) {
			m.Surveys = append(m.Surveys, at)
		}
	}
	return m
}

// runs returns where a height, straight between stations, is over 0.
func runs(x []float64, over func(i int) float64) (out []beam.Span) {
	for i := range x {
		if over(i) <= 0 {
			continue
		}
		s := beam.Span{From: x[i], To: x[i]}
		if i > 0 && over(i-1) <= 0 {
			s.From = x[i-1] + (x[i]-x[i-1])*-over(i-1)/(over(i)-over(i-1))
		}
		if i < len(x)-1 && over(i+1) <= 0 {
			s.To = x[i] + (x[i+1]-x[i])*over(i)/(over(i)-over(i+1))
		}
		if n := len(out); n > 0 && over(i-1) > 0 {
			out[n-1].To = s.To
		} else {
			out = append(out, s)
		}
	}
	return out
}

// joined joins runs with less than a run between them and lengthens those that are shorter.
func joined(all []beam.Span, from, to float64) (out []beam.Span) {
	for _, s := range all {
		if short := leastRun - (s.To - s.From); short > 0 {
			s = beam.Span{From: max(from, s.From-short/2), To: min(to, s.To+short/2)}
		}
		if n := len(out); n > 0 && s.From-out[n-1].To < leastRun {
			out[n-1].To = s.To
		} else {
			out = append(out, s)
		}
	}
	return out
}

// staggered moves ends that fall beside those of the pass before inwards, where they leave
// metal and dig nothing, except at the way's own ends.
func staggered(now, before []beam.Span, from, to float64) []beam.Span {
	for k := range now {
		s := &now[k]
		for _, b := range before {
			if s.From > from && math.Abs(s.From-b.From) < tooNear {
				s.From = b.From + stagger
			}
			if s.To < to && math.Abs(s.To-b.To) < tooNear {
				s.To = b.To - stagger
			}
		}
	}
	return slices.DeleteFunc(now, func(s beam.Span) bool { return s.To <= s.From })
}

// Pad is a small place cut on purpose: how deep so many passes went.
type Pad struct {
	Depth  float64 // m
	Passes int
}

// Learn returns the depth of a pass from what was given for it and what pads show, each
// weighed by how well it tells, in logarithms (m; 0 given: not known).
func Learn(given float64, pads []Pad) float64 {
	if len(pads) == 0 {
		return given
	}
	sum, weight := 0.0, 0.0
	add := func(depth, w float64) {
		sum, weight = sum+w*math.Log(depth), weight+w
	}
	if given > 0 {
		add(given, 1)
	}
	for _, p := range pads {
		if p.Depth > 0 && p.Passes > 0 {
			add(p.Depth/float64(p.Passes), float64(p.Passes))
		}
	}
	if weight == 0 {
		return 0
	}
	return math.Exp(sum / weight)
}

// Route is one way to go on, with what it costs and reaches.
type Route struct {
	Name  string
	Zone  float64 // m, how far out of straight it leaves the bed
	Hours float64 // at the scraper
}

// Left is how far out of straight a bed is, how well that is known, and the hours at the
// scraper that it takes.
type Left struct{ Zone, Sigma, Hours float64 }

// Routes compares leaving the bed, moving its feet, scraping it and both · after is the bed
// after the moves; nil: no move helps. Scraping is taken to reach what one pass takes off, or
// what the survey can tell (95 %) if that is more.
func Routes(now Left, after *Left, w Wish) []Route {
	reach := func(l Left) float64 { return min(l.Zone, max(w.DepthPerPass, 2*l.Sigma)) }
	leave, scrape := Route{"leave", now.Zone, 0}, Route{"scrape", reach(now), now.Hours}
	if after == nil {
		return []Route{leave, scrape}
	}
	return []Route{leave, {"move feet", after.Zone, 0}, scrape, {"both", reach(*after), after.Hours}}
}
