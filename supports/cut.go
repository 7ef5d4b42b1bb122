package supports

import (
	"math"
	"slices"

	"footwork/beam"
)

// CutTask is what Cut works on.
type CutTask struct {
	Ways   []Measured
	Width  []float64   // m, bearing width of each way; 0: not given
	Tied   bool        // both ways' heights are in one frame: they are cut to one plane
	Crown  float64     // m, wanted form over the stations, middle high positive
	Change [][]float64 // m, of each way from the survey's standing to the one it must be straight in; nil: the same
	Wish   CutWish
}

// CutWay is what is left for the scraper on one way.
type CutWay struct {
	Name     string
	X, Depth []float64 // m
	Deepest  float64   // m
	Volume   float64   // m³ of solid metal
	Passes   float64   // whole
	Hours    float64
	Range    CutRange
}

// CutRange holds low and high of each figure within the surveys' uncertainty (95 %).
type CutRange struct{ Volume, Passes, Hours [2]float64 }

// CutResult is the answer of Cut.
type CutResult struct {
	Ways     []CutWay
	Zone     float64 // m, how far out of straight before the cut
	Sigma    float64 // m, its standard uncertainty
	Warnings []string
}

// Cut returns how much metal lies above the lowest line, or plane of tied ways, that
// can be reached by removing metal only. Of all lines that lie nowhere above the way the
// one is taken from which the way rises least: passes are counted where it is highest, so
// that is the least work, and the greatest depth is the minimum zone. The volume is that
// above this line between the first and the last station, solid; swept up as loose chips
// it fills some five to eight times the room (common practice, no source).
func Cut(in CutTask) CutResult {
	heights := in.heights()
	draws := drawErrors(in.Ways)
	out := CutResult{Zone: zoneOf(in.Ways, in.Tied, heights), Ways: in.cut(heights)}
	if draws != nil {
		out.Sigma = spreadOver(draws, heights, func(h [][]float64) float64 { return zoneOf(in.Ways, in.Tied, h) })
	}
	for w := range out.Ways {
		out.Ways[w].Range = in.within(out.Ways[w], in.spread(draws, heights, w))
		if in.Width[w] == 0 {
			out.Warnings = append(out.Warnings, "the width of the "+in.Ways[w].Name+" way is not given, so no volume can be told: add width to the way")
		}
	}
	if in.Wish.DepthPerPass <= 0 || in.Wish.TimePerPass <= 0 {
		out.Warnings = append(out.Warnings, "passes and hours need the depth and the time of a pass: add depth_per_pass and time_per_pass to [cut]")
	}
	return out
}

// heights returns the ways' heights above the wanted form in the standing in which they
// must be straight.
func (in CutTask) heights() [][]float64 {
	var out [][]float64
	for w, m := range in.Ways {
		h := slices.Clone(m.Height)
		if in.Change != nil {
			addScaled(h, 1, in.Change[w])
		}
		out = append(out, lessCrown(m.X, h, in.Crown))
	}
	return out
}

// cut returns the ways with their depths for such heights.
func (in CutTask) cut(heights [][]float64) []CutWay {
	depth := in.depths(heights)
	out := make([]CutWay, len(depth))
	for w, m := range in.Ways {
		c := &out[w]
		*c = CutWay{Name: m.Name, X: m.X, Depth: depth[w], Deepest: slices.Max(depth[w]), Volume: area(m.X, depth[w]) * in.Width[w]}
		c.Passes = in.passes(c.Deepest)
		c.Hours = c.Passes * in.Wish.TimePerPass / 3600
	}
	return out
}

// passes returns the whole passes that a depth takes; a nanometre takes none.
func (in CutTask) passes(depth float64) float64 {
	if in.Wish.DepthPerPass <= 0 {
		return 0
	}
	return math.Ceil(max(0, depth-telling) / in.Wish.DepthPerPass)
}

// depths returns the heights above the lowest line or plane, ≥ 0.
func (in CutTask) depths(heights [][]float64) [][]float64 {
	out := make([][]float64, len(heights))
	floor := func(w, i int) float64 { return 0 }
	if in.Tied && len(in.Ways) > 1 {
		x, y, h := together(in.Ways, heights)
		zone, a, b, c, err := beam.PlaneZone(x, y, h)
		if err != nil {
			panic("supports: " + err.Error())
		}
		floor = func(w, i int) float64 { return a - zone/2 + b*in.Ways[w].X[i] + c*in.Ways[w].Offset }
	}
	for w, m := range in.Ways {
		h := heights[w]
		if !in.Tied || len(in.Ways) < 2 {
			h = beam.Shape{X: m.X, Y: h}.AboutMinimumZone().Y
			lowest := slices.Min(h)
			floor = func(int, int) float64 { return lowest }
		}
		for i := range h {
			out[w] = append(out[w], max(0, h[i]-floor(w, i)))
		}
	}
	return out
}

// area returns ∫ y dx by straight lines between stations.
func area(x, y []float64) float64 {
	sum := 0.0
	for i := 1; i < len(x); i++ {
		sum += (x[i] - x[i-1]) * (y[i] + y[i-1]) / 2
	}
	return sum
}

// spread returns the standard uncertainties of a way's volume and greatest depth.
func (in CutTask) spread(draws [][][]float64, heights [][]float64, w int) (sigma [2]float64) {
	if draws == nil {
		return sigma
	}
	sigma[0] = spreadOver(draws, heights, func(h [][]float64) float64 { return area(in.Ways[w].X, in.depths(h)[w]) * in.Width[w] })
	sigma[1] = spreadOver(draws, heights, func(h [][]float64) float64 { return slices.Max(in.depths(h)[w]) })
	return sigma
}

// within returns the figures two standard uncertainties up and down.
func (in CutTask) within(c CutWay, sigma [2]float64) CutRange {
	var r CutRange
	for k, sign := range []float64{-2, 2} {
		r.Volume[k] = max(0, c.Volume+sign*sigma[0])
		r.Passes[k] = in.passes(c.Deepest + sign*sigma[1])
		r.Hours[k] = r.Passes[k] * in.Wish.TimePerPass / 3600
	}
	return r
}

// Route is one way to go on, with what it costs and reaches.
type Route struct {
	Name  string
	Zone  float64 // m, how far out of straight it leaves the bed
	Hours float64 // at the scraper
}

// Routes compares leaving the bed, moving its feet, scraping it and both · now and
// after are the cuts before and after the moves; nil after: no move helps. Scraping is taken to reach what one
// pass takes off, or what the survey can tell (95 %) if that is more.
func Routes(now CutResult, after *CutResult, w CutWish) []Route {
	reach := func(r CutResult) float64 { return min(r.Zone, max(w.DepthPerPass, 2*r.Sigma)) }
	leave, scrape := Route{"leave", now.Zone, 0}, Route{"scrape", reach(now), hours(now)}
	if after == nil {
		return []Route{leave, scrape}
	}
	return []Route{leave, {"move feet", after.Zone, 0}, scrape, {"both", reach(*after), hours(*after)}}
}

func hours(r CutResult) float64 {
	sum := 0.0
	for _, w := range r.Ways {
		sum += w.Hours
	}
	return sum
}
