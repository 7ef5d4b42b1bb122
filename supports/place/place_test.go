package place

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/beam/section"
	"footwork/beam/shape"
)

// bar is a uniform bar of length, weight per length and EI all 1, without shear.
func bar() casting.Bed {
	return casting.Bed{Length: 1, Ways: []casting.Way{{}}, Weight: 1,
		Material: casting.Material{Modulus: 1, ShearModulus: 1, Density: 1},
		Sections: []casting.Section{{To: 1, Area: 1, Inertia: 1, ShearArea: math.Inf(1), Torsion: 1, Depth: 1}}}
}

func mustFind(t testing.TB, s Task) Answer {
	t.Helper()
	p, err := Best(s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Least peak-to-valley of a uniform bar on rigid supports. Two: spacing 0.5537 L
// ("0.554 L for straightedges", common practice), equal sag of ends and middle
// 2.704e-4 wL⁴/EI (Timoshenko and Gere's beam with two overhangs). Three: 0.1424 L
// from each end, 4.48e-5 wL⁴/EI (derived from the same superposition).
func TestBestPlacesOfAUniformBar(t *testing.T) {
	for _, c := range []struct {
		n          int
		first      float64
		zone       float64
		place, rel float64
	}{
		{2, (1 - 0.553702) / 2, 2.704e-4, 2e-5, 1e-3},
		{3, 0.1424, 4.48e-5, 5e-5, 2e-3},
	} {
		got := mustFind(t, Task{Loading: Loading{Bed: bar()}, Options: Options{Pairs: []int{c.n}, Offsets: []float64{0}}}).Placements[0]
		if math.Abs(got.At[0]-c.first) > c.place || math.Abs(got.Zone-c.zone) > c.rel*c.zone {
			t.Errorf("%d supports: at %.6f with zone %.5g, want %.6f and %.5g", c.n, got.At, got.Zone, c.first, c.zone)
		}
	}
}

// Airy (Mem. R. Astron. Soc. 15, 1846): n supports that carry equal forces leave
// the ends level when they stand L/√(n²−1) apart. Feet far softer than the bar
// carry equal forces.
func TestAirysSpacing(t *testing.T) {
	lc, err := newLoadCases(Loading{Bed: bar()}, 2001, 0)
	if err != nil {
		t.Fatal(err)
	}
	for n := 2; n <= 5; n++ {
		var feet []beam.Foot
		for i := range n {
			feet = append(feet, beam.Foot{At: 0.5 + (float64(i)-float64(n-1)/2)/math.Sqrt(float64(n*n-1)), Stiffness: 1e-6})
		}
		r := lc.standOn(feet)
		if !r.solve(0) {
			t.Fatal("tips")
		}
		for _, f := range r.stands.Force {
			if math.Abs(f-1/float64(n)) > 1e-6 {
				t.Errorf("%d supports: %v", n, r.stands.Force)
			}
		}
		r.zone(0, math.Inf(1))
		turn := (r.line[2000] - r.line[1999] - r.line[1] + r.line[0]) * 2000 / 2
		if math.Abs(turn) > 1e-6 {
			t.Errorf("%d supports: ends turn by %g wL³/EI", n, turn)
		}
	}
}

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
		s.Table = &beam.Table{Length: 0.4 * long, Weight: f("table weight", 1e3, 2e4), Offset: f("offset", -0.2, 0.2), Stroke: &reach}
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

// shop is an invented surface grinder bed.
func shop(length float64) casting.Bed {
	return casting.Bed{Length: length, Ways: []casting.Way{{Name: "front", Offset: -0.25}, {Name: "back", Offset: 0.25}},
		Material: casting.Material{Modulus: 1e11, ShearModulus: 4e10, Density: 7150, Expansion: 11e-6},
		Sections: []casting.Section{{To: length, Area: 0.045, Inertia: 1.2e-3, ShearArea: 0.02, Torsion: 2e-5, Depth: 0.48}}}
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

func shopSites(pairs ...int) Task {
	return Task{Loading: Loading{Bed: shop(3.9), Table: &beam.Table{Length: 2.4, Weight: 13000, Tool: 1.95}},
		Options: Options{Pairs: pairs, Offsets: []float64{-0.24, 0.24}, Zones: []shape.Span{{From: 0.1, To: 3.8}}, Apart: 0.3}, Stiffness: 9e8}
}

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
		s.Table = &beam.Table{Length: 0.6 * c.long, Weight: 13000, Tool: c.long / 2}
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

// Which end a single foot belongs at is judged off the grid, where both stand best.
func TestBetterEnd(t *testing.T) {
	s := shopSites(4)
	s.Grid = 16
	s.Bed.Weights = []casting.Weight{{At: 0.6 * s.Bed.Length, Force: 2000}}
	s.fill()
	coarse, err := newLoadCases(s.Loading, 61, s.Tables)
	if err != nil {
		t.Fatal(err)
	}
	fine, err := newLoadCases(s.Loading, 121, 2*s.Tables-1)
	if err != nil {
		t.Fatal(err)
	}
	least := math.Inf(1)
	for _, single := range []int{-1, 1} {
		p := s.place(coarse, fine, pattern{4, single}, func() {})
		least = min(least, p.Zone)
	}
	for _, p := range mustFind(t, s).Placements {
		if p.Pairs == 4 && p.Pattern != Paired && p.Zone > least/0.99 {
			t.Errorf("%s with zone %g m, %g m can be had", p.Pattern, p.Zone, least)
		}
	}
}

// A pair added to kept feet stays apart from them, and they stay where they are.
func TestKeptFeetStay(t *testing.T) {
	s := shopSites(2, 3)
	for _, x := range []float64{0.4, 3.3} {
		for _, lc := range []float64{-0.24, 0.24} {
			s.Options.Keep = append(s.Options.Keep, beam.Foot{Name: fmt.Sprint(x, lc), At: x, Offset: lc, Stiffness: 9e8})
		}
	}
	got := mustFind(t, s)
	if len(got.Placements) != 3 {
		t.Fatalf("%d placements", len(got.Placements))
	}
	for i, posts := range []int{2, 3, 3} {
		p := got.Placements[i]
		if p.Pairs != posts || !slices.Contains(p.At, 0.4) || !slices.Contains(p.At, 3.3) {
			t.Errorf("%d: %d posts at %v", i, p.Pairs, p.At)
		}
	}
	if now, more := got.Placements[0].Zone, got.Placements[2].Zone; more >= now {
		t.Errorf("a pair more makes it %g from %g", more, now)
	}
}

// Off the grid, too, a pair keeps as far from kept feet as was asked, on either side of them.
func TestKeptFeetKeepOthersOff(t *testing.T) {
	s := shopSites(3)
	s.Grid, s.Options.Apart, s.Options.Zones = 30, 1.75, []shape.Span{{From: 0, To: 3.9}}
	s.Options.Keep = pairsAt(9e8, 2)
	for _, p := range mustFind(t, s).Placements {
		for i := 1; i < len(p.At); i++ {
			if p.At[i]-p.At[i-1] < 1.75-1e-9 {
				t.Errorf("%s: %.4f", p.Pattern, p.At)
			}
		}
	}
}

// A bed made straight on its feet is straight on them; elsewhere the change counts.
func TestMadeStraightOnItsFeet(t *testing.T) {
	feet := pairsAt(9e8, 0.5, 3.2)
	b := Loading{Bed: shop(3.9)}
	v, err := beam.NewSolver(b.Bed, beam.Standing{Feet: feet}, beam.Options{})
	if err != nil {
		t.Fatal(err)
	}
	st, err := v.Solve(beam.Case{})
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range b.Bed.Ways {
		ways, _ := st.Ways(w.Offset)
		b.Made = append(b.Made, ways[0])
	}
	lc, err := newLoadCases(b, 41, 0)
	if err != nil {
		t.Fatal(err)
	}
	if zone := lc.standOn(feet).worst(math.Inf(1)); zone > 1e-11 {
		t.Errorf("zone %g on the feet it was made straight on", zone)
	}
	if zone := lc.standOn(pairsAt(9e8, 0.2, 3.2)).worst(math.Inf(1)); zone < 1e-6 {
		t.Errorf("zone %g on others", zone)
	}
}

func TestPlaceExplainsWhatCannotBe(t *testing.T) {
	s := shopSites(4)
	s.Options.Zones = []shape.Span{{From: 0.1, To: 0.9}}
	if _, err := Best(s); !errors.Is(err, ErrNone) {
		t.Error(err)
	}
}

func BenchmarkPlace4Pairs(b *testing.B) {
	s := shopSites(4)
	for b.Loop() {
		mustFind(b, s)
	}
}

// How the cost of the exhaustive part grows with pairs, posts and the table's places.
func BenchmarkPlaceGrows(b *testing.B) {
	for _, c := range [][3]int{{4, 16, 16}, {3, 24, 16}, {5, 13, 16}, {4, 32, 16}, {4, 16, 32}} {
		b.Run(fmt.Sprintf("pairs=%d/posts=%d/places=%d", c[0], c[1], c[2]), func(b *testing.B) {
			s := shopSites(c[0])
			s.Grid, s.Tables = c[1], c[2]
			s.fill()
			lc, err := newLoadCases(s.Loading, 61, s.Tables)
			if err != nil {
				b.Fatal(err)
			}
			for b.Loop() {
				newSearch(lc, s.Options, s.Stiffness, s.Grid).best(pattern{c[0], 0}, func() {})
			}
		})
	}
}

// A foot goes light that comes down to a millionth of what it carries most: what rounding leaves.
func TestWhenAFootGoesLight(t *testing.T) {
	for least, want := range map[float64]bool{-5: true, 0.9e-2: true, 1.1e-2: false, 2e3: false} {
		if got := (Foot{Least: least, Most: 1e4}).Light(); got != want {
			t.Errorf("from %g to 10000 N: light %v", least, got)
		}
	}
}
