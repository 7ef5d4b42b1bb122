package ride

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/beam/section"
	"footwork/beam/shape"

	"pgregory.net/rapid"
)

// Travel is that for one draw; none: the bed as given.
func (b *Bed) Travel(t Table, j journey, d ...beam.Draw) (Travel, error) {
	travel, err := b.travels(t, j)
	if err != nil {
		return Travel{}, err
	}
	return travel(append(d, beam.Draw{})[0])
}

// spans is a weightless beam without shear on held rigid feet one metre apart,
// EI = 1.
func spans(n int) (casting.Bed, beam.Standing) {
	b := casting.Bed{Length: float64(n), Ways: []casting.Way{{}}, Material: casting.Material{Modulus: 1, ShearModulus: 1},
		Sections: []casting.Section{{To: float64(n), Area: 1, Inertia: 1, ShearArea: math.Inf(1), Torsion: 1, Depth: 1}}}
	s := beam.Standing{}
	for i := range n + 1 {
		s.Feet = append(s.Feet, beam.Foot{At: float64(i), Stiffness: math.Inf(1), Held: true})
	}
	return b, s
}

func travel(t testing.TB, b casting.Bed, s beam.Standing, table Table, j journey) Travel {
	t.Helper()
	v := solverOf(t, b, s, beam.Options{At: j.X})
	tr, err := v.Travel(table, j)
	if err != nil {
		t.Fatal(err)
	}
	return tr
}

// A table parked on whole spans is their uniform load. Reactions: AISC Manual of
// Steel Construction, continuous beams with part-loaded spans, three digits for
// spans 1 and 2 loaded, exact elsewhere (three-moment equation); the sag of
// spans 1 and 2 as printed there, 0.0059 wL⁴/EI at 0.430 L.
func TestParkedOnWholeSpans(t *testing.T) {
	for _, c := range []struct {
		spans    int
		from, to float64
		want     []float64
		within   float64
	}{
		{3, 0, 2, []float64{0.383, 1.2, 0.45, -0.033}, 5e-4},
		{3, 1, 2, []float64{-0.05, 0.55, 0.55, -0.05}, 1e-6},
		{2, 0, 1, []float64{7. / 16, 10. / 16, -1. / 16}, 1e-6},
		{3, 0, 3, []float64{0.4, 1.1, 1.1, 0.4}, 1e-6},
	} {
		b, s := spans(c.spans)
		long := c.to - c.from
		tr := travel(t, b, s, Table{Length: long, Weight: long, Tool: 1, Stroke: &shape.Span{From: c.from, To: c.from}}, journey{Places: 1, X: []float64{0, 0.43}})
		for i, f := range tr.Places[0].Feet {
			if math.Abs(f.Load-c.want[i]) > c.within {
				t.Errorf("%d spans, table %g to %g: foot %d carries %g, want %g", c.spans, c.from, c.to, i, f.Load, c.want[i])
			}
		}
		if c.within > 1e-4 {
			if sag := -tr.Places[0].Shapes[0][1]; math.Abs(sag-0.0059) > 5e-5 {
				t.Errorf("sag %g", sag)
			}
		}
	}
}

// Influence lines of two equal spans (Clapeyron's three moments, any text on
// strength of materials): for a unit load at ξ of the first span the far foot
// gives −(ξ−ξ³)/4 and the middle one (3ξ−ξ³)/2, spread over a table's length by integration.
func TestInfluenceLinesOfTwoSpans(t *testing.T) {
	b, s := spans(2)
	const long = 0.25
	slack := Table{Length: long, Weight: 1, Tool: 1, Stroke: &shape.Span{From: 0, To: 0.75}, Bending: 1e-9, Contact: 1e4}
	stiff := slack
	stiff.Bending = 0
	for _, table := range []Table{stiff, slack} { // both press evenly
		for _, p := range travel(t, b, s, table, journey{Places: 31}).Places {
			lo, hi := p.At, p.At+long
			xi, cube := (lo+hi)/2, (math.Pow(hi, 4)-math.Pow(lo, 4))/4/long
			for i, want := range map[int]float64{2: -(xi - cube) / 4, 1: (3*xi - cube) / 2} {
				if math.Abs(p.Feet[i].Load-want) > 1e-5 {
					t.Errorf("table with EI %g at %g: foot %d carries %g, want %g", table.Bending, p.At, i, p.Feet[i].Load, want)
				}
			}
		}
	}
}

// A place is what the solver says under the parked table's lines, in any case.
func TestPlaceIsTheSolverUnderTheParkedTable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBed(t)
		s := drawStanding(t, b.Length)
		s.Weights = []casting.Weight{{At: b.Length / 3, Offset: 0.1, Force: 3000}}
		v := solverOf(t, b, s, beam.Options{})
		warm := rapid.Float64Range(-1, 1).Draw(t, "warm")
		c := beam.Case{Draw: beam.Draw{Bending: rapid.Float64Range(0.5, 2).Draw(t, "bending"), Twist: rapid.Float64Range(0.5, 2).Draw(t, "twist"), Gradient: &warm}}
		for range s.Feet {
			c.Heights = append(c.Heights, rapid.Float64Range(-5e-5, 5e-5).Draw(t, "raised"))
			c.Feet = append(c.Feet, rapid.Float64Range(0.5, 2).Draw(t, "soft"))
		}
		table := Table{Length: 0.5 * b.Length, Weight: 8000, Tool: b.Length / 2, Stroke: &shape.Span{From: -0.1 * b.Length, To: 0.7 * b.Length}}
		tr, err := v.Travel(table, journey{Places: 5}, c.Draw)
		if err != nil {
			t.Skip(err)
		}
		for _, p := range tr.Places {
			lines, err := table.Park(b, p.At)
			if err != nil {
				t.Fatal(err)
			}
			with := c
			with.Lines = lines
			st, err := v.Solve(with)
			if err != nil {
				t.Fatal(err)
			}
			for w, way := range b.Ways {
				want := st.Read(v.Probe(tr.X, way.Offset))
				size := slices.Max(want) - slices.Min(want) + 1e-6
				for i, h := range want {
					if math.Abs(h-p.Shapes[w][i]) > 1e-5*size { // both of second order
						t.Fatalf("table at %g, way %d at %g: %g, by the solver %g", p.At, w, tr.X[i], p.Shapes[w][i], h)
					}
				}
			}
		}
	})
}

// A load that moves off the centre line moves weight from one side to the other,
// and all feet together always carry bed and table.
func TestTravelKeepsTheWeight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBed(t)
		s := drawStanding(t, b.Length)
		v := solverOf(t, b, s, beam.Options{Cells: 400})
		table := Table{Length: rapid.Float64Range(0.1, 1.5).Draw(t, "length") * b.Length, Weight: 8000,
			Tool: b.Length / 2, Offset: rapid.Float64Range(-0.2, 0.2).Draw(t, "offset")}
		if rapid.Bool().Draw(t, "flexible") {
			table.Bending, table.Contact = math.Pow(10, rapid.Float64Range(3, 9).Draw(t, "EI")), 4e9
		}
		tr, err := v.Travel(table, journey{Places: 7, Cells: 16})
		if err != nil {
			t.Skip(err) // the bed tips
		}
		bed := v.Linear(beam.Case{}).Resultant
		for _, p := range tr.Places {
			var f, fx, fy float64
			for _, foot := range p.Feet {
				f, fx, fy = f+foot.Load, fx+foot.Load*foot.At, fy+foot.Load*foot.Offset
			}
			want := []float64{bed[0] + 8000, bed[1] + 8000*(p.At+table.Length/2), bed[2] + 8000*table.Offset}
			for i, got := range []float64{f, fx, fy} {
				if i == 1 && len(v.points) > len(s.Feet) {
					continue // feet with length hold moments of their own
				}
				if math.Abs(got-want[i]) > 1e-6*want[0] {
					t.Fatalf("table at %g: balance %d is %g, want %g", p.At, i, got, want[i])
				}
			}
		}
	})
}

// On a bed that hardly bends the table's path is the tilt of the feet: nothing is cut crooked.
func TestPathOnATiltedRigidBed(t *testing.T) {
	b, s := shopBed(4), pairs(4, 3, math.Inf(1))
	b.Material.Modulus, b.Material.ShearModulus = 1e20, 1e20
	for i, f := range s.Feet {
		s.Feet[i].Height = 1e-3 + 2e-4*f.At + 3e-4*f.Offset
	}
	tr := travel(t, b, s, Table{Length: 2, Weight: 1e4, Tool: 2.2, Offset: 0.1}, journey{})
	for _, p := range tr.Places {
		want := []float64{1e-3 + 2e-4*(p.At+1), 2e-4, 3e-4, 1e-3 + 2e-4*2.2 + 3e-4*0.1}
		for i, got := range []float64{p.Height, p.Pitch, p.Roll, p.AtTool} {
			if math.Abs(got-want[i]) > 1e-9 {
				t.Fatalf("table at %g: %d is %g, want %g", p.At, i, got, want[i])
			}
		}
	}
	if tr.Zone > 1e-10 || len(tr.Tips)+len(tr.Idle) > 0 || tr.Missed {
		t.Errorf("zone %g, %v, %v", tr.Zone, tr.Tips, tr.Idle)
	}
}

// A bed bent to a parabola of curvature κ (its top warm, its middle high) leads a
// light table so that the work is cut to −κs²/2, wherever the tool stands: over a
// cut of length d the zone is κd²/8. On a parabola the line of least squares has the
// slope at the table's middle, and the mean height.
func TestParabolaIsCut(t *testing.T) {
	b, s := shopBed(4), pairs(4, 2, math.Inf(1))
	b.Material.Density = 1e-9
	s.Gradient = 2
	kappa := b.Material.Expansion * s.Gradient / b.Sections[0].Depth
	for _, table := range []Table{
		{Length: 1, Weight: 1e-6, Tool: 2, Stroke: &shape.Span{From: 1.2, To: 1.9}},
		{Length: 1, Weight: 1e-6, Tool: 1.4, Stroke: &shape.Span{From: 0.5, To: 1.3}},
	} {
		tr := travel(t, b, s, table, journey{Places: 41})
		d := table.Stroke.To - table.Stroke.From
		if want := kappa * d * d / 8; math.Abs(tr.Zone-want) > 1e-3*want {
			t.Errorf("zone %g, want %g", tr.Zone, want)
		}
		for _, p := range tr.Places {
			if want := -kappa * (p.At + 0.5 - 2); math.Abs(p.Pitch-want) > 1e-4*kappa {
				t.Errorf("table at %g: pitch %g, want %g", p.At, p.Pitch, want)
			}
		}
		if n := len(tr.Work.X); n != 41 || tr.Work.X[0] >= tr.Work.X[n-1] {
			t.Errorf("work at %v", tr.Work.X)
		}
	}
}

// Where the bed would tip under the overhanging table the places are left out and the side is said.
func TestTravelLeavesOutWhereTheBedTips(t *testing.T) {
	b, s := shopBed(4), pairs(4, 2, 1e9)
	for i := range s.Feet {
		s.Feet[i].At = 2 + (s.Feet[i].At-2)*0.3
	}
	tr := travel(t, b, s, Table{Length: 1, Weight: 4e4, Tool: 2}, journey{})
	if len(tr.Places) == 0 || len(tr.Places) == 61 || len(tr.Tips) != 2 {
		t.Fatalf("%d places, %v", len(tr.Places), tr.Tips)
	}
	for i, side := range []string{"left end", "right end"} {
		if tr.Tips[i].Side != side || tr.Tips[i].Table || tr.Tips[i].To <= tr.Tips[i].From {
			t.Errorf("%+v: want the bed to fall to the %s", tr.Tips[i], side)
		}
	}
}

func TestLightFootIsNamed(t *testing.T) {
	b, s := shopBed(4), pairs(4, 4, 1e9)
	for i := range s.Feet {
		s.Feet[i].Name = fmt.Sprint("P", i)
	}
	s.Feet[3].Height = -60e-6
	tr := travel(t, b, s, Table{Length: 1, Weight: 2e4, Tool: 2}, journey{})
	if len(tr.Idle) == 0 || tr.Idle[0].Foot != "P3" {
		t.Fatalf("%v", tr.Idle)
	}
	load, foot, _ := leastLoad(tr)
	if foot != 3 || load != 0 {
		t.Errorf("foot %d carries least, %g N", foot, load)
	}
}

// What a probe reads is what the curves show, on a box that goes out of square with feet beside its walls and a table on
// it, and what a travel finds is what standing there finds.
func TestTwoPathsOfABox(t *testing.T) {
	box, err := casting.FromPlates([]section.Plate{{Width: 0.56, Height: 0.02}, {Width: 0.56, Height: 0.02, Bottom: 0.4},
		{Width: 0.02, Height: 0.38, Offset: -0.27, Bottom: 0.02}, {Width: 0.02, Height: 0.38, Offset: 0.27, Bottom: 0.02}})
	if err != nil {
		t.Fatal(err)
	}
	b := shopBed(3.6)
	box.To = b.Length
	b.Sections = []casting.Section{box}
	v := solverOf(t, b, pairs(b.Length, 3, 2e8), beam.Options{})
	table := Table{Length: 1.2, Weight: 8000, Tool: 1.8, Offset: 0.05}
	tr, err := v.Travel(table, journey{Places: 3})
	if err != nil {
		t.Fatal(err)
	}
	for _, place := range tr.Places {
		lines, err := table.Park(b, place.At)
		if err != nil {
			t.Fatal(err)
		}
		st, err := v.Solve(beam.Case{Lines: lines})
		if err != nil {
			t.Fatal(err)
		}
		for i, w := range b.Ways {
			read := st.Read(v.Probe(tr.X, w.Offset))
			ways, _ := st.Ways(w.Offset)
			for k, x := range tr.X {
				if near := math.Abs(x-place.At) < 1e-3 || math.Abs(x-place.At-1.2) < 1e-3; near {
					continue // a way steps there
				}
				if math.Abs(read[k]-ways[0].At(x)) > 2e-9 || math.Abs(read[k]-place.Shapes[i][k]) > 2e-9 {
					t.Fatalf("table at %g, way %d at %g: read %.4f, curve %.4f, travel %.4f µm", place.At, i, x, read[k]*1e6, ways[0].At(x)*1e6, place.Shapes[i][k]*1e6)
				}
			}
		}
	}
}

func BenchmarkTravel100Places8Feet(b *testing.B) {
	benchTravel(b, 0, 4, 100, Table{Length: 2.4, Weight: 13000, Tool: 2})
}

func BenchmarkTravelFlexible100Places8Feet(b *testing.B) {
	benchTravel(b, 0, 4, 100, flexible)
}

var flexible = Table{Length: 2.4, Weight: 13000, Tool: 2, Bending: 9e6, Contact: 4e9}

// How the cost grows with the grid, the feet and the places.
func BenchmarkTravelGrows(b *testing.B) {
	stiff := flexible
	stiff.Bending = 0
	for name, table := range map[string]Table{"stiff": stiff, "flexible": flexible} {
		for _, c := range [][3]int{{5000, 4, 50}, {5000, 4, 200}, {20000, 4, 50}, {5000, 16, 50}} {
			b.Run(fmt.Sprintf("%s/cells=%d/feet=%d/places=%d", name, c[0], 2*c[1], c[2]), func(b *testing.B) {
				benchTravel(b, c[0], c[1], c[2], table)
			})
		}
	}
}

func benchTravel(b *testing.B, cells, feet, places int, table Table) {
	v := solverOf(b, shopBed(4), pairs(4, feet, 9e8), beam.Options{Cells: cells})
	for b.Loop() {
		if _, err := v.Travel(table, journey{Places: places}); err != nil {
			b.Fatal(err)
		}
	}
}

// A table off the centre line of a bed that resists warping.
func BenchmarkTravelTwists100Places8Feet(b *testing.B) {
	bed := shopBed(4)
	bed.Sections[0].Warping, bed.Sections[0].WarpingShear = 3e-5, 1e-3
	v := solverOf(b, bed, pairs(4, 4, 9e8), beam.Options{})
	for b.Loop() {
		if _, err := v.Travel(Table{Length: 2.4, Weight: 13000, Tool: 2, Offset: 0.03}, journey{Places: 100}); err != nil {
			b.Fatal(err)
		}
	}
}

// leastLoad returns the lightest that any foot gets, N, which foot and at which
// place; −1, −1 on bearings alone.
func leastLoad(tr Travel) (load float64, foot, place int) {
	load, foot, place = math.Inf(1), -1, -1
	for k, p := range tr.Places {
		for i, f := range p.Feet {
			if f.Load < load {
				load, foot, place = f.Load, i, k
			}
		}
	}
	if foot < 0 {
		load = 0
	}
	return load, foot, place
}

// The metal of the ways carries the table: over a hollow cx² in both a stiff table pitches by c(a+b) more between a and b, the
// mean slope there, the ways show the hollow itself, and a flexible one that is nearly stiff hardly differs.
func TestTableRidesOnTheMetal(t *testing.T) {
	const c = 5e-6
	b := shopBed(4)
	v := solverOf(t, b, pairs(4, 4, 9e8), beam.Options{})
	hollow := shape.Shape{X: shape.Even(0, 4, 401)}
	for _, x := range hollow.X {
		hollow.Y = append(hollow.Y, c*x*x)
	}
	worn := beam.Draw{Form: []shape.Shape{hollow, hollow}}
	for _, bending := range []float64{0, 1e9} {
		table := Table{Length: 1.2, Weight: 8000, Tool: 2, Bending: bending, Contact: 1e10}
		straight, err := v.Travel(table, journey{Places: 5})
		if err != nil {
			t.Fatal(err)
		}
		tr, err := v.Travel(table, journey{Places: 5}, worn)
		if err != nil {
			t.Fatal(err)
		}
		for i, p := range tr.Places[1:4] {
			q := straight.Places[1+i]
			part := 1e-3
			if bending > 0 {
				part = 0.05
			}
			within(t, "pitch", p.Pitch-q.Pitch, c*(2*p.At+1.2), part)
			for k, x := range tr.X {
				if bending == 0 && math.Abs(p.Shapes[1][k]-q.Shapes[1][k]-c*x*x) > 1e-10 {
					t.Fatalf("way at %g: %g", x, p.Shapes[1][k]-q.Shapes[1][k])
				}
			}
		}
	}
}
