package place

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/beam/ride"
	"footwork/beam/section"
	"footwork/beam/shape"
)

// smallSites draws a bed with ways, table and options small enough to try everything.
func smallSites(t *rapid.T) Task {
	f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	long := f("length", 2, 5)
	b := shop(long)
	thick := b.Sections[0]
	b.Sections[0].To = long * f("edge", 0.3, 0.7)
	thick.From, thick.Inertia, thick.Torsion = b.Sections[0].To, thick.Inertia*f("thicker", 0.5, 3), thick.Torsion*f("stiffer", 0.3, 3)
	if rapid.Bool().Draw(t, "warps") {
		b.Sections[0].Warping, b.Sections[0].WarpingShear, b.Sections[0].ShearCentre = f("warping", 1e-7, 1e-4), 1e-3, f("shear centre", -0.1, 0.1)
		thick.Warping = f("thick warping", 1e-7, 1e-4)
	} else if rapid.Bool().Draw(t, "turns elsewhere") { // over a part of its length: fewer functions between some feet
		thick.ShearCentre = f("thick's shear centre", -0.1, 0.1)
	}
	b.Sections = append(b.Sections, thick)
	if rapid.IntRange(0, 2).Draw(t, "cast") == 0 {
		b = cast(t, long, rapid.Bool().Draw(t, "box"), f("a rib at", 0.1, 0.9)*long)
	}
	b.Weights = []casting.Weight{{At: f("gearbox", 0, long), Offset: 0.1, Force: f("heavy", 0, 3000)}}
	s := Task{Loading: Loading{Bed: b}, Grid: 9, Tables: 4, Stiffness: rapid.SampledFrom([]float64{0, 2e8, 1e9}).Draw(t, "k"),
		Options: Options{Offsets: []float64{-0.24, 0.24}, Apart: long * f("apart", 0, 0.2)}}
	if rapid.Bool().Draw(t, "table") {
		reach := shape.Span{From: 0.2 * long, To: 0.3 * long}
		s.Table = &ride.Table{Length: 0.4 * long, Weight: f("table weight", 1e3, 2e4), Offset: f("offset", -0.2, 0.2), Stroke: &reach}
	}
	if rapid.Bool().Draw(t, "off line") {
		s.Bed.Ways = []casting.Way{{Offset: 0.1}, {Offset: 0.35}}
		if s.Table != nil {
			s.Table.Offset = 0.2
		}
	}
	if rapid.IntRange(0, 2).Draw(t, "keep") == 0 {
		x := f("kept at", 0.3, 0.7) * long
		s.Options.Keep = []beam.Foot{{At: x, Offset: -0.24, Stiffness: 1e9}, {At: x, Offset: 0.24, Stiffness: 1e9}}
	}
	return s
}

// cast is a bed of plates with one rib, open or a box: it gives over its feet, and a box goes out of square.
func cast(t interface{ Fatal(...any) }, length float64, box bool, rib float64) casting.Bed {
	plates := []section.Plate{{Width: 0.03, Height: 0.4, Offset: -0.24, Bottom: 0.02}, {Width: 0.03, Height: 0.4, Offset: 0.24, Bottom: 0.02},
		{Width: 0.1, Height: 0.04, Offset: -0.24, Bottom: 0.42}, {Width: 0.1, Height: 0.04, Offset: 0.24, Bottom: 0.42}}
	if box {
		plates = append(plates, section.Plate{Width: 0.51, Height: 0.02, Bottom: 0.4}, section.Plate{Width: 0.51, Height: 0.02})
	}
	s, err := casting.FromPlates(plates)
	if err != nil {
		t.Fatal(err)
	}
	b := shop(length)
	s.To = length
	b.Sections = []casting.Section{s}
	b.Ribs = []casting.Rib{{Rib: section.Rib{Thickness: 0.02, Height: 0.36, Bottom: 0.02}, From: rib, To: rib}}
	return b
}

// On every small case the search finds what trying every placement finds, and the
// zone is what the solver of package beam says, by its own path.
func TestPlaceEqualsTryingEverything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := smallSites(t)
		s.fill()
		lc, err := newLoadCases(s.Loading, 41, s.Tables)
		if err != nil {
			t.Fatal(err)
		}
		grid := newSearch(lc, s.Options, s.Stiffness, s.Grid)
		p := pattern{rapid.IntRange(1, 4).Draw(t, "fresh"), rapid.IntRange(-1, 1).Draw(t, "single")}
		if len(s.Options.Keep) == 0 {
			p.fresh = max(p.fresh, 2)
		}
		placed, zone := grid.best(p, func() {})
		want, least := everyPlacement(grid, p)
		if math.Abs(zone-least) > 1e-9*least && !(math.IsInf(zone, 1) && math.IsInf(least, 1)) {
			t.Fatalf("%v with %g m, but %v has %g m", placed, zone, want, least)
		}
		if placed == nil {
			return
		}
		var feet []beam.Foot
		for _, i := range grid.feet(placed, p.single) {
			feet = append(feet, grid.sites.all[i].Foot)
		}
		if other := solved(t, s.Loading, feet, lc.x, s.Tables); math.Abs(other-zone) > 1e-4*zone+1e-11 {
			t.Fatalf("zone %g m, by the solver %g m", zone, other)
		}
	})
}

// everyPlacement tries all sets of posts, without any bound.
func everyPlacement(s *search, p pattern) (best []int, least float64) {
	least = math.Inf(1)
	r := s.lc.arrange(s.sites)
	for set := range 1 << len(s.posts) {
		var placed []int
		fresh, ok := 0, true
		for i, post := range s.posts {
			if set>>i&1 == 1 {
				placed = append(placed, i)
				fresh += s.cost(i)
			} else if post.kept != nil {
				ok = false
			}
		}
		if fresh != p.fresh || !ok || len(placed) == 0 {
			continue
		}
		for i := 1; i < len(placed); i++ {
			a, b := s.posts[placed[i-1]], s.posts[placed[i]]
			ok = ok && b.x-a.x >= max(s.apart, 1e-9)*(1-1e-9)
		}
		for _, c := range s.lc.cases { // over an outermost post rounding decides
			for _, i := range []int{placed[0], placed[len(placed)-1]} {
				ok = ok && math.Abs(c.Resultant[1]/c.Resultant[0]-s.posts[i].x) > 1e-6*s.lc.Bed.Length
			}
		}
		if !ok {
			continue
		}
		r.stand(s.feet(placed, p.single), nil, nil)
		if zone := r.worst(math.Inf(1)); zone < least {
			best, least = placed, zone
		}
	}
	return best, least
}

// solved is the worst zone by package beam.
func solved(t interface{ Fatal(...any) }, b Loading, feet []beam.Foot, x []float64, tables int) (worst float64) {
	st := b.Standing
	st.Feet = feet
	v, err := beam.NewSolver(b.Bed, st, beam.Options{})
	if err != nil {
		t.Fatal(err)
	}
	cases := []beam.Case{{}}
	if b.Table != nil {
		reach := b.Table.Reach(b.Bed)
		for _, at := range shape.Even(reach.From, reach.To, tables) {
			lines, err := b.Table.Park(b.Bed, at)
			if err != nil {
				t.Fatal(err)
			}
			cases = append(cases, beam.Case{Lines: lines})
		}
	}
	for _, c := range cases {
		state, err := v.Solve(c)
		if err != nil {
			t.Fatal(err)
		}
		for _, w := range b.Bed.Ways {
			worst = max(worst, shape.Zone(x, state.Read(v.Probe(x, w.Offset))))
		}
	}
	return worst
}
