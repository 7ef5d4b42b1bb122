package place

import (
	"math"
	"slices"
	"testing"

	"footwork/beam/casting"
	"footwork/beam/ride"
	"footwork/beam/shape"
)

// A bed that is its own mirror image gets feet that are, and more feet sag less. More are advised as long as
// they lessen the zone with one foot wrong by a tenth, or the fewest that keep a tolerance then.
func TestSymmetricBedsGetSymmetricFeet(t *testing.T) {
	got := mustFind(t, shopSites(3, 4, 5))
	last := math.Inf(1)
	for _, p := range got.Placements {
		if p.Pattern != Paired {
			continue
		}
		for i, x := range p.At {
			if math.Abs(x+p.At[len(p.At)-1-i]-3.9) > 1e-6 {
				t.Errorf("%d pairs at %.4f", p.Pairs, p.At)
				break
			}
		}
		if p.Zone >= last {
			t.Errorf("%d pairs do not sag less", p.Pairs)
		}
		last = p.Zone
		for _, f := range p.Feet {
			if f.Least > f.Load || f.Most < f.Load {
				t.Errorf("load %g outside %g to %g", f.Load, f.Least, f.Most)
			}
		}
	}
	if got.Placements[0].Sensitivity > 1e-12 {
		t.Errorf("three feet only tilt the bed, but 10 µm cost %g m", got.Placements[0].Sensitivity)
	}
	for _, c := range []struct {
		tolerance float64
		zones     []float64
		want      int
		reason    string
	}{{0, []float64{10, 9.5, 8.7}, 2, worth}, {0, []float64{10, 9.1}, 0, worth}, {9.4, []float64{10, 8.9, 5}, 1, Enough}, {4, []float64{10, 9.2, 5}, 2, worth}} {
		var a Answer
		for _, zone := range c.zones {
			a.Placements = append(a.Placements, Placement{Zone: zone - 0.5, Sensitivity: 0.5})
		}
		if a.recommend(c.tolerance); a.Recommended != c.want || a.Reason != c.reason {
			t.Errorf("of %v within %g number %d, %s", c.zones, c.tolerance, a.Recommended, a.Reason)
		}
	}
}

// From grids of other places the posts come to the same end, in their zones and apart. A grid has as many
// posts as leave some two thousand placements: C(16, 4) = 1,820 of four, which 22 have where two others part any two.
func TestPlacesDoNotHangOnTheGrid(t *testing.T) {
	for _, c := range []struct {
		apart       float64
		fresh, want int
	}{{0, 3, 24}, {0, 4, 16}, {0, 8, 13}, {0.4, 4, 22}} {
		s := Task{Loading: Loading{Bed: shop(4)}, Options: Options{Apart: c.apart}}
		if got := s.grid(c.fresh); got != c.want {
			t.Errorf("%d posts for %d that stand %g m apart", got, c.fresh, c.apart)
		}
	}
	var zones []float64
	for _, n := range []int{0, 29, 41} {
		s := shopSites(4)
		s.Grid, s.Options.Zones, s.Options.Apart = n, []shape.Span{{From: 0.1, To: 0.5}, {From: 1.2, To: 3.8}}, 1.15
		for _, p := range mustFind(t, s).Placements {
			for i, x := range p.At {
				if x < 0.1-1e-9 || x > 0.5+1e-9 && x < 1.2-1e-9 || x > 3.8+1e-9 || i > 0 && x-p.At[i-1] < 1.15-1e-9 {
					t.Errorf("grid %d, %s: %.4f", n, p.Pattern, p.At)
				}
			}
			if p.Pattern == Paired {
				zones = append(zones, p.Zone)
			}
		}
	}
	if lo, hi := slices.Min(zones), slices.Max(zones); hi > 1.002*lo {
		t.Errorf("zones %g m from different grids", zones)
	}
}

// Where the posts of a coarse grid run into a place that is best only near by, they are thrown off it, and
// come to that of a finer one: straight from the grid of nine these two end 3 and 13 % worse.
func TestThrownOffAPoorPlace(t *testing.T) {
	for _, c := range []struct {
		long, weight float64
		single       int
	}{{3.9, 0, 0}, {6, 3000, -1}} {
		s := shopSites(5)
		s.Bed = shop(c.long)
		s.Table = &ride.Table{Length: 0.6 * c.long, Weight: 13000, Tool: c.long / 2}
		s.Options.Zones, s.Options.Apart = []shape.Span{{From: 0.03 * c.long, To: 0.97 * c.long}}, 0.08*c.long
		if c.weight > 0 {
			s.Bed.Weights = []casting.Weight{{At: 0.6 * c.long, Force: c.weight}}
		}
		s.fill()
		coarse, err := newLoadCases(s.Loading, 41, s.Tables)
		if err != nil {
			t.Fatal(err)
		}
		fine, err := coarse.finer(61, s.Tables)
		if err != nil {
			t.Fatal(err)
		}
		want := s.place(coarse, fine, pattern{5, c.single}, func() {}).Zone
		s.Grid = 9
		if got := s.place(coarse, fine, pattern{5, c.single}, func() {}).Zone; math.Abs(got-want) > 1e-4*want {
			t.Errorf("a bed of %g m: %g m from nine posts, %g from more", c.long, got, want)
		}
	}
}

// Feet that are their own mirror image are for beds and zones that are theirs: off a bed that leans a little no placement
// is worse than what the search comes to, and no pair leaves zones whose image is none.
func TestNoMirrorWhereThereIsNone(t *testing.T) {
	s := shopSites(3)
	s.Bed.Weights = []casting.Weight{{At: 0.7 * s.Bed.Length, Force: 15}}
	s.fill()
	lc, err := newLoadCases(s.Loading, fewStations, s.Tables)
	if err != nil {
		t.Fatal(err)
	}
	r := descent{lc: lc, on: lc.arrange(nil), options: s.Options, stiff: s.Stiffness}
	from := []float64{0.55, 1.97, 3.3}
	found, told := r.run(from, singly(3, false), 0.05, 1e-5), r.refined(from, 0.05, 1e-5)
	if even := r.run(r.evened(found.x), singly(3, true), 0.05, 1e-5); even.zone > 1.001*found.zone || even.zone <= found.zone {
		t.Fatalf("even feet leave %g m, the best %g: the case is none", even.zone, found.zone)
	}
	if told.zone > found.zone {
		t.Errorf("%g m on %v, but %g on %v", told.zone, told.x, found.zone, found.x)
	}
	s = shopSites(3)
	s.Table, s.Options.Zones = nil, []shape.Span{{From: 0.1, To: 0.5}, {From: 1.2, To: 3.2}}
	for _, p := range mustFind(t, s).Placements {
		for _, x := range p.At {
			if p.Pattern == Paired && (x < 0.1-1e-9 || x > 0.5+1e-9 && x < 1.2-1e-9 || x > 3.2+1e-9) {
				t.Errorf("a pair at %g m", x)
			}
		}
	}
}
