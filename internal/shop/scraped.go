package shop

import (
	"cmp"
	"math"
	"slices"

	"footwork/beam/shape"
	"footwork/supports/cut"
	"footwork/survey"
	"footwork/survey/log"
)

// scraped is what came off a way by the log.
type scraped struct {
	since    []stop // the way was last surveyed up and down
	before   []stop
	passes   int       // since then
	stations []float64 // of that survey, along the bed; none: it was not surveyed
}

// stop is one stretch of a way, or of a flank of it, that some passes went over.
type stop struct {
	shape.Span         // m along the bed
	deep       float64 // m, square to the face
	flank      int     // −1 and 1, as in the log; 0: all of the way
}

func (s *Shop) scraped(way int) (out scraped) {
	perPass, name := s.cutOptions().DepthPerPass, s.Bed.Ways[way].Name
	for _, e := range s.History().Entries {
		switch {
		case e.Way != name:
		case e.What == log.Survey && slices.ContainsFunc(s.SetUps, func(v survey.Survey) bool { return v.Name == e.Survey && v.UpAndDown() }):
			out.before, out.since, out.passes = slices.Concat(out.before, out.since), nil, 0
		case e.What == log.Scrape && !e.Pad:
			one := stop{shape.Span{From: e.From, To: cmp.Or(e.To, s.Bed.Length)}, cmp.Or(e.Depth, perPass*float64(e.Passes)), e.Flank}
			out.since, out.passes = append(out.since, one), out.passes+e.Passes
		}
	}
	if len(out.before) > 0 {
		out.stations = s.latest("", func(v survey.Survey) bool { return v.Way == name && v.UpAndDown() }).X
	}
	return out
}

// taken returns what came off square to each flank of the way, or off the way (m), at places
// along the bed: since it was surveyed, and of what came off before that what no station of
// the survey shows.
func (d scraped) taken(x []float64) (out [2][]float64) {
	for flank, side := range []int{-1, 1} {
		out[flank] = off(d.since, side, x)
		if len(d.stations) > 1 {
			out[flank] = minus(out[flank], unseen(d.before, side, d.stations, x))
		}
	}
	return out
}

// between returns by how much each flank of the way, or the way, stands higher between
// stations than straight lines show: a pass that ends there leaves its step. Nil where
// nothing was scraped.
func (d scraped) between(stations []float64) []shape.Shape {
	if len(d.before)+len(d.since) == 0 {
		return nil
	}
	x := finer(stations)
	return each([]int{-1, 1}, func(side int) shape.Shape {
		return shape.Shape{X: x, Y: unseen(slices.Concat(d.before, d.since), side, stations, x)}
	})
}

// unseen returns by how much a flank stands higher after stops than straight lines between
// stations show, m.
func unseen(stops []stop, side int, stations, x []float64) []float64 {
	seen, out := shape.Shape{X: stations, Y: off(stops, side, stations)}, off(stops, side, x)
	for i, v := range out {
		out[i] = seen.At(min(max(x[i], stations[0]), stations[len(stations)-1])) - v
	}
	return out
}

// off is what stops took off one flank, m.
func off(stops []stop, side int, x []float64) []float64 {
	out := make([]float64, len(x))
	for _, s := range stops {
		if s.flank != -side {
			out = plus(out, cut.Taken(x, []cut.Pass{{Runs: []shape.Span{s.Span}}}, s.deep))
		}
	}
	return out
}

// near is how close to one another a way is looked at between its stations, m: about as far
// as runs are staggered.
const near = 50e-3

// finer returns stations and places between them.
func finer(stations []float64) (out []float64) {
	for i := 1; i < len(stations); i++ {
		n := max(2, int(math.Ceil((stations[i]-stations[i-1])/near))+1)
		out = append(out, shape.Even(stations[i-1], stations[i], n)[:n-1]...)
	}
	return append(out, stations[len(stations)-1])
}
