package cut

import (
	"math"
	"slices"

	"footwork/beam/shape"
)

// Map is where to scrape, pass by pass.
type Map struct {
	Passes     []Pass
	Surveys    []int        // after so many passes the way is surveyed in full
	CannotTell []shape.Span // m along the bed: what stands high there is within what is not known
}

// Pass is one pass over some stretches.
type Pass struct {
	Runs    []shape.Span // m along the bed, from mark to mark
	Against bool         // scraped across the marks of the pass before
}

// How a map is drawn (common practice, no source): runs end 30 to 50 mm beside those of the
// pass before, so that no step is cut in; a stretch shorter than a hand's breadth is not one.
const (
	stagger   = 40e-3
	tooNear   = 30e-3
	leastRun  = 80e-3
	fewPasses = 2 // a last survey before so many are left
)

// Draw maps what is to come off a face · low is the least depth (m) at its stations within
// what is known: where it is nothing, nothing is cut · leaveOut are stretches along the bed
// that no pass runs over.
//
// A place is cut where a whole pass stands, so that only a pass deeper than meant digs. The
// highest is cut first: every pass is the longer by what the one before has brought down.
// There are as few as leave no more standing than the wish allows, less what is not known
// of the face, and what they can take beyond that makes them longer.
func Draw(f Face, low []float64, leaveOut []shape.Span, wish Options) Map {
	sure, unclear := make([]float64, len(f.X)), make([]float64, len(f.X))
	for i, d := range f.Depth {
		wish.Until -= (d - low[i]) / float64(len(f.X))
		if low[i] > 0 {
			sure[i] = d
		} else {
			unclear[i] = d
		}
	}
	over := func(h []float64, level float64) []shape.Span { return joined(f.X, runs(f.X, h, level)) }
	m := Map{CannotTell: shape.Less(over(unclear, wish.Leaves()), leaveOut)}
	most := slices.Max(sure)
	n := int(wish.passes(most))
	least := max(wish.DepthPerPass, most-float64(n)*wish.DepthPerPass)
	var before []shape.Span
	for k := range n {
		r := staggered(f.X, over(sure, float64(n-1-k)*wish.DepthPerPass+least), before)
		m.Passes = append(m.Passes, Pass{Runs: shape.Less(r, leaveOut), Against: k%2 == 1})
		before = r
	}
	for _, at := range []int{(n + 2) / 3, (2*n + 2) / 3, n - fewPasses} {
		if at > 0 && at < n && (len(m.Surveys) == 0 || at > m.Surveys[len(m.Surveys)-1]+1) {
			m.Surveys = append(m.Surveys, at)
		}
	}
	return m
}

// Taken returns what passes of one depth (m) have taken off at each place (m along the bed).
func Taken(x []float64, passes []Pass, perPass float64) []float64 {
	out := make([]float64, len(x))
	for _, p := range passes {
		for i, at := range x {
			if slices.ContainsFunc(p.Runs, func(s shape.Span) bool { return at >= s.From && at <= s.To }) {
				out[i] += perPass
			}
		}
	}
	return out
}

// runs returns where heights, straight between stations, are over a level.
func runs(x, h []float64, level float64) (out []shape.Span) {
	cross := func(i int) float64 { return x[i] + (x[i+1]-x[i])*(level-h[i])/(h[i+1]-h[i]) }
	for i := range x {
		if h[i] <= level {
			continue
		}
		s := shape.Span{From: x[i], To: x[i]}
		if i > 0 && h[i-1] <= level {
			s.From = cross(i - 1)
		}
		if i < len(x)-1 && h[i+1] <= level {
			s.To = cross(i)
		}
		if n := len(out); n > 0 && h[i-1] > level {
			out[n-1].To = s.To
		} else {
			out = append(out, s)
		}
	}
	return out
}

// joined joins runs with less than a run between them and lengthens those that are shorter,
// within the stations x.
func joined(x []float64, all []shape.Span) (out []shape.Span) {
	for _, s := range all {
		if short := leastRun - (s.To - s.From); short > 0 {
			s = shape.Span{From: max(x[0], s.From-short/2), To: min(x[len(x)-1], s.To+short/2)}
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
func staggered(x []float64, now, before []shape.Span) []shape.Span {
	for k := range now {
		s := &now[k]
		for _, b := range before {
			if s.From > x[0] && math.Abs(s.From-b.From) < tooNear {
				s.From = b.From + stagger
			}
			if s.To < x[len(x)-1] && math.Abs(s.To-b.To) < tooNear {
				s.To = b.To - stagger
			}
		}
	}
	return slices.DeleteFunc(now, func(s shape.Span) bool { return s.To <= s.From })
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
