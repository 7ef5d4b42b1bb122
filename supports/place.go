package supports

import (
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"

	"footwork/beam"
	"gonum.org/v1/gonum/stat/combin"
)

// Sites is how the best places of the feet are to be searched.
type Sites struct {
	Burden
	Wish      PlaceWish
	Stiffness float64               // N/m, of each new foot; 0 or +Inf: rigid
	Tolerance float64               // m, straightness wanted of each way; 0 when not given
	Grid      int                   // places over the zones; 0: 60, fewer for more than four pairs
	Tables    int                   // places of the table in the search; 0: 16
	Finest    float64               // m, last step of the search off the grid; 0: a millimetre, as finely as a tape is read
	Progress  func(done, whole int) // may be nil; called from several goroutines, one at a time
}

// Pattern is how the feet of a placement are arranged.
type Pattern string

const (
	Paired    Pattern = "pairs"
	OneLeft   Pattern = "one foot at the left end"
	OneRight  Pattern = "one foot at the right end"
	wrongFoot         = 10e-6 // m, the wrong height that sensitivity is for
)

// Placement is the best that a number of feet can do.
type Placement struct {
	Pairs          int // posts along the bed: pairs, single feet and kept feet
	Pattern        Pattern
	At             []float64 // m, posts along the bed, increasing
	Feet           []PlacedFoot
	Zone           float64 // m, the worst of both ways over self-weight and travel
	GridZone       float64 // m, the same of the best placement on the grid, at the search's own stations
	Sensitivity    float64 // m, worst change of zone when one foot is 10 µm too high or too low
	SensitivityRMS float64 // m, root mean square of these changes
	Least          int     // of Feet: that which gets lightest
}

// PlacedFoot is a foot of a placement and what it carries, N.
type PlacedFoot struct {
	beam.Foot
	Load        float64 // without the table
	Least, Most float64 // over self-weight and travel
}

// Placements are what `place` answers.
type Placements struct {
	Placements  []Placement // by number of feet
	Recommended int         // of Placements; −1 when there is none
	Why         string      // one sentence
	Warnings    []string
}

// Place finds for every wished number of pairs, and for the pattern with one
// single foot at an end, the places with the least zone: exhaustively on a grid,
// then off it. Standing on three is always among them, unless feet are kept. It is an
// error when the wish contradicts itself or the burden does not hold together.
func Place(s Sites) (Placements, error) {
	if err := s.fill(); err != nil {
		return Placements{}, err
	}
	coarse, err := newYard(s.Burden, 61, s.Tables)
	if err != nil {
		return Placements{}, err
	}
	fine, err := newYard(s.Burden, 121, 2*s.Tables-1)
	if err != nil {
		return Placements{}, err
	}
	out := Placements{Recommended: -1}
	patterns := s.patterns(&out)
	tick := s.ticker(patterns)
	settled := make([]*Placement, len(patterns))
	var wg sync.WaitGroup
	for i, p := range patterns {
		grid := newSearch(coarse, s.Wish, s.Stiffness, s.grid(p.fresh))
		placed, zone := grid.run(p, runtime.GOMAXPROCS(0), tick)
		if placed != nil {
			wg.Go(func() { settled[i] = s.settle(fine, grid, p, placed, zone) })
		}
	}
	wg.Wait()
	for _, p := range settled {
		if p != nil {
			out.add(*p)
		}
	}
	if len(out.Placements) == 0 {
		if s.Table == nil {
			return out, errors.New("no wished number of feet holds the bed within the zones: widen the zones or lessen apart")
		}
		return out, errors.New("no wished number of feet holds bed and table over the whole travel within the zones: widen the zones, lessen apart, or shorten the stroke")
	}
	out.recommend(s.Tolerance, s.Table != nil)
	out.warnOfLight()
	return out, nil
}

func (s *Sites) fill() error {
	if s.Tables == 0 {
		s.Tables = 16
	}
	if s.Finest == 0 {
		s.Finest = 1e-3
	}
	if s.Stiffness == 0 {
		s.Stiffness = math.Inf(1)
	}
	if len(s.Wish.Offsets) == 0 {
		return errors.New(`a pair needs the places of its feet across the bed: write offsets = ["-240 mm", "240 mm"]`)
	}
	for _, z := range s.Wish.Zones {
		if z.From < 0 || z.To > s.Bed.Length || z.To < z.From {
			return fmt.Errorf("a zone runs from %.0f mm to %.0f mm, but the bed from 0 mm to %.0f mm", z.From*1e3, z.To*1e3, s.Bed.Length*1e3)
		}
	}
	for _, f := range s.Wish.Keep {
		if f.At < 0 || f.At > s.Bed.Length {
			return fmt.Errorf("the kept foot at %.0f mm stands off the bed", f.At*1e3)
		}
	}
	return nil
}

// patterns lists what is to be tried, by number of feet.
func (s *Sites) patterns(out *Placements) (list []pattern) {
	var kept []float64
	for _, f := range s.Wish.Keep {
		if !slices.Contains(kept, f.At) {
			kept = append(kept, f.At)
		}
	}
	pairs := slices.Clone(s.Wish.Pairs)
	if len(kept) == 0 && len(s.Wish.Offsets) > 1 {
		list = append(list, pattern{2, -1}, pattern{2, 1})
	}
	slices.Sort(pairs)
	for _, n := range slices.Compact(pairs) {
		fresh := n - len(kept)
		if fresh < 0 || n < 2 {
			out.Warnings = append(out.Warnings, fmt.Sprintf("%d pairs are left out: %d are kept, and a bed needs two", n, len(kept)))
			continue
		}
		if fresh > 0 && len(s.Wish.Offsets) > 1 && (n > 2 || len(kept) > 0) {
			list = append(list, pattern{fresh, -1}, pattern{fresh, 1})
		}
		list = append(list, pattern{fresh, 0})
	}
	return list
}

// mostPlacements is how many placements a grid may have: 60 posts for three pairs, 40
// for four, 28 for five. What is coarse about it the steps off the grid make good.
const mostPlacements = 100_000

// grid returns how many posts to try for so many fresh ones.
func (s *Sites) grid(fresh int) int {
	if s.Grid > 0 {
		return s.Grid
	}
	n := 60
	for combin.GeneralizedBinomial(float64(n), float64(fresh)) > mostPlacements {
		n--
	}
	return n
}

func (s *Sites) ticker(patterns []pattern) func() {
	whole := 0
	for _, p := range patterns {
		whole += len(gridOf(s.Wish, s.Bed.Length, s.grid(p.fresh)))
	}
	done := make(chan int, 1)
	done <- 0
	return func() {
		n := <-done + 1
		if s.Progress != nil {
			s.Progress(n, whole)
		}
		done <- n
	}
}

// settle refines a placement off the grid and works out all that is told of it.
func (s *Sites) settle(fine *yard, grid *search, p pattern, placed []int, zone float64) *Placement {
	var fresh []float64
	for _, j := range placed {
		if grid.posts[j].kept == nil {
			fresh = append(fresh, grid.posts[j].x)
		}
	}
	r := refinement{y: fine, wish: s.Wish, stiff: s.Stiffness, single: p.single, finest: s.Finest}
	out := &Placement{Pairs: len(placed), Pattern: Paired, GridZone: zone}
	if p.single != 0 {
		out.Pattern = map[int]Pattern{-1: OneLeft, 1: OneRight}[p.single]
	}
	if len(fresh) > 0 {
		fresh, _ = r.refined(fresh, s.Bed.Length/float64(s.grid(p.fresh))/2)
	}
	feet := r.feet(fresh)
	for _, f := range feet {
		if !slices.Contains(out.At, f.At) {
			out.At = append(out.At, f.At)
		}
	}
	slices.Sort(out.At)
	out.weigh(fine.standOn(feet))
	return out
}

// weigh fills in zone, loads and sensitivity.
func (p *Placement) weigh(r *rig) {
	p.Feet = nil
	for _, f := range r.s.feet {
		p.Feet = append(p.Feet, PlacedFoot{Foot: f, Least: math.Inf(1)})
	}
	for k := range r.y.cases {
		r.carry(k)
		for i, load := range r.stands.Force {
			f := &p.Feet[i]
			f.Least, f.Most = min(f.Least, load), max(f.Most, load)
			if k == 0 {
				f.Load = load
			}
		}
	}
	for i, f := range p.Feet {
		if f.Least < p.Feet[p.Least].Least {
			p.Least = i
		}
	}
	p.Zone = r.worst(math.Inf(1))
	p.Sensitivity, p.SensitivityRMS = r.sensitivity(p.Zone)
}

// sensitivity returns the worst and the rms change of zone for one foot 10 µm
// wrong, up or down.
func (r *rig) sensitivity(zone float64) (worst, rms float64) {
	n := len(r.feet)
	for i := range n {
		for _, wrong := range []float64{wrongFoot, -wrongFoot} {
			heights := make([]float64, n)
			heights[i] = wrong
			r.stand(r.feet, heights, nil)
			d := r.worst(math.Inf(1)) - zone
			worst, rms = max(worst, math.Abs(d)), rms+d*d/float64(2*n)
		}
	}
	return worst, math.Sqrt(rms)
}

// add keeps the better of the two ends for a single foot, the left one when they
// are within a hundredth.
func (p *Placements) add(q Placement) {
	if n := len(p.Placements); n > 0 && q.Pattern == OneRight && p.Placements[n-1].Pattern == OneLeft && p.Placements[n-1].Pairs == q.Pairs {
		if q.Zone < p.Placements[n-1].Zone*0.99 {
			p.Placements[n-1] = q
		}
		return
	}
	p.Placements = append(p.Placements, q)
}

// warnOfLight names feet that carry nothing at some place of the table.
func (p *Placements) warnOfLight() {
	for _, q := range p.Placements {
		if f := q.Feet[q.Least]; f.Least <= 1e-6*f.Most {
			p.Warnings = append(p.Warnings, fmt.Sprintf("of %d feet, that at %.0f mm goes light on the way: it carries %.0f N to %.0f N", len(q.Feet), f.At*1e3, f.Least, f.Most))
		}
	}
}
