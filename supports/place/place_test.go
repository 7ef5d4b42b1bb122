package place

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"testing"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/beam/ride"
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

// shop is an invented surface grinder bed.
func shop(length float64) casting.Bed {
	return casting.Bed{Length: length, Ways: []casting.Way{{Name: "front", Offset: -0.25}, {Name: "back", Offset: 0.25}},
		Material: casting.Material{Modulus: 1e11, ShearModulus: 4e10, Density: 7150, Expansion: 11e-6},
		Sections: []casting.Section{{To: length, Area: 0.045, Inertia: 1.2e-3, ShearArea: 0.02, Torsion: 2e-5, Depth: 0.48}}}
}

func shopSites(pairs ...int) Task {
	return Task{Loading: Loading{Bed: shop(3.9), Table: &ride.Table{Length: 2.4, Weight: 13000, Tool: 1.95}},
		Options: Options{Pairs: pairs, Offsets: []float64{-0.24, 0.24}, Zones: []shape.Span{{From: 0.1, To: 3.8}}, Apart: 0.3}, Stiffness: 9e8}
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

// The fewest feet that keep the tolerance with one of them wrong are advised; where none do, more as long as each step gains a
// tenth.
func TestFeetThatAreWorthIt(t *testing.T) {
	for _, c := range []struct {
		expected  []float64
		tolerance float64
		want      int
		reason    string
	}{{[]float64{10, 9.1, 8.9}, 0, 2, worth}, {[]float64{10, 8.9, 8.1}, 0, 1, worth}, {[]float64{10, 8.9, 5}, 8.9, 1, Enough}, {[]float64{10, 8.9, 5}, 4, 2, worth}} {
		var a Answer
		for _, e := range c.expected {
			a.Placements = append(a.Placements, Placement{Zone: e - 0.5, Sensitivity: 0.5})
		}
		if a.recommend(c.tolerance); a.Recommended != c.want || a.Reason != c.reason {
			t.Errorf("%v within %g: %d, %s", c.expected, c.tolerance, a.Recommended, a.Reason)
		}
	}
}
