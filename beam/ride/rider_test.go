package ride

import (
	"math"
	"testing"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/beam/shape"
)

// anvil is a bed that does not give, with the lying rider's place at its middle.
func anvil(t *testing.T, length float64) Riding {
	t.Helper()
	b, s := rigidBed(length)
	v := solverOf(t, b, s, beam.Options{Cells: 100})
	return v.Riding(beam.Case{})
}

func within(t *testing.T, what string, got, want, part float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > part*math.Abs(want) {
		t.Errorf("%s = %.7g, want %.7g", what, got, want)
	}
}

func lay(t *testing.T, r Riding, rider Rider, at float64) Lying {
	t.Helper()
	all, errs := r.Lay([]Rider{rider}, at)
	l, err := all[0], errs[0]
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// presses returns the first and the last place where the contact presses, by the pressure
// falling to 0 between cells.
func presses(l Lying) (from, to float64) {
	p := l.Pressure[0]
	first, last := -1, 0
	for i, v := range p {
		if v > 0 {
			if first < 0 {
				first = i
			}
			last = i
		}
	}
	half := (l.X[1] - l.X[0]) / 2
	return l.X[first] - half, l.X[last] + half
}

// A weightless beam pressed in its middle onto springs that only push keeps contact over
// π/2β to each side, whatever the force, and sinks (Pβ/2k)·coth(π/2), β⁴ = k/4EI (the case
// of Y. Weitsman, J. Appl. Mech. 37 (1970) 1019–1030; the figures follow from M. Hetényi's
// solution for a free end, Beams on Elastic Foundation, 1946).
func TestPressedInTheMiddle(t *testing.T) {
	const k, ei = 4e9, 2e6
	beta := math.Pow(k/(4*ei), 0.25)
	for _, p := range []float64{100, 10_000} {
		r := Rider{Length: 4, Weight: 1e-6, Bending: ei, Contact: k, Cells: 401, Rows: []Row{{}}, Lifts: []Lift{{2, -p}}}
		l := lay(t, anvil(t, 6), r, 1)
		from, to := presses(l)
		within(t, "contact", to-from, math.Pi/beta, 2*4./401/(math.Pi/beta))
		within(t, "sinking", l.Pressure[0][200]/k, p*beta/(2*k)/math.Tanh(math.Pi/2), 1e-3)
	}
}

// Pressed down at both ends it lifts in the middle once αl > π (A. D. Lovtsov, Inzhenerny
// vestnik Dona 10 (2025), abstract); beyond, by Krylov's functions, contact αc from each end,
// the rise of the middle and the sinking of the ends.
func TestPressedAtTheEnds(t *testing.T) {
	const k, ei, f = 1e9, 1e6, 5000.
	alpha := math.Pow(k/(4*ei), 0.25)
	for _, c := range []struct{ l, c, rise, sink float64 }{
		{3.5, 1.21863, .206595, 1.93813}, {4, 1.08300, .568246, 2.06133}, {5, .943475, 1.466365, 2.26476}, {8, .759398, 5.230734, 2.71055},
	} {
		long := c.l / alpha
		r := Rider{Length: long, Weight: 1e-6, Bending: ei, Contact: k, Cells: 401, Rows: []Row{{}}, Lifts: []Lift{{0, -f}, {long, -f}}}
		l := lay(t, anvil(t, 6), r, 1)
		touch := 0.0
		for _, p := range l.Pressure[0] {
			if p > 0 {
				touch += long / 401 / 2
			}
		}
		within(t, "contact", touch*alpha, c.c, 0.006)
		within(t, "rise", l.Gap[0][200]*k/(f*alpha), c.rise, 2e-3)
		p := l.Pressure[0]
		within(t, "sinking of the end", (1.5*p[0]-0.5*p[1])/(f*alpha), c.sink, 1e-3)
	}
}

// Two beams pressed together by a pair of forces give towards each other as one beam of
// EI* = EI₁EI₂/(EI₁+EI₂) would on the same springs, and lift off beyond π/2β*.
func TestTwoBeamsPressedTogether(t *testing.T) {
	const k, p = 1e9, 10_000.
	b := casting.Bed{Length: 6, Material: casting.Material{Modulus: 20e6, ShearModulus: 1, Density: 1e-12},
		Sections: []casting.Section{{To: 6, Area: 1, Inertia: 1, ShearArea: math.Inf(1), Torsion: 1e15, Depth: 1}}}
	soft := beam.Foot{Stiffness: 1e-3, Held: true}
	s := beam.Standing{Feet: []beam.Foot{{At: 3, Stiffness: math.Inf(1)}, soft, soft}}
	s.Feet[2].At = 6
	v := solverOf(t, b, s, beam.Options{Cells: 2000})
	r := Rider{Length: 4, Weight: 1e-6, Bending: 2e6, Contact: k, Cells: 401, Rows: []Row{{}}, Lifts: []Lift{{2, -p}}}
	l := lay(t, v.Riding(beam.Case{}), r, 1)
	from, to := presses(l)
	within(t, "contact", (to-from)/2, 0.458716, 0.012)
	within(t, "give", l.Pressure[0][200]/k, 18.66828e-6, 1e-3)
}

// A heavy beam on its ends over a hollow sags 5qL⁴/384EI + qL²/8κGA in its middle; an iron
// edge of 2 m, 0.22 m deep with a radius of gyration of 0.35 of that, E = 110 GPa, by 23 µm.
func TestEdgeOnItsEnds(t *testing.T) {
	const long, depth, e, density, g = 2., 0.22, 110e9, 7200., 9.80665
	area := 0.01
	ei, kga := e*area*0.35*0.35*depth*depth, 44e9*area*0.5
	q := area * density * g
	hollow := shape.Even(0, 4, 401)
	way := shape.Shape{X: hollow, Y: make([]float64, 401)}
	for i, x := range hollow {
		if x > 1.0001 && x < 2.9999 {
			way.Y[i] = -1e-3
		}
	}
	bend := 5 * q * math.Pow(long, 4) / 384 / ei
	within(t, "published sag", bend, 23e-6, 0.02)
	for _, shear := range []float64{0, kga} {
		want := bend
		if shear > 0 {
			want += q * long * long / 8 / shear
		}
		r := Rider{Length: long, Weight: q * long, Bending: ei, Shear: shear, Contact: 1e13, Cells: 201, Rows: []Row{{Way: way}}}
		l := lay(t, anvil(t, 4), r, 1)
		within(t, "sag", l.Face[0][0]-l.Face[0][100], want, 0.02) // it stands on the middles of its last cells
		// On a balance at the two points 0.22 L in that carry all but a little, it bends as if it floated there.
		for _, at := range []float64{0.22, 0.78} {
			r.Lifts = append(r.Lifts, Lift{at * long, 0.45 * q * long})
		}
		half := lay(t, anvil(t, 4), r, 1)
		// By superposition of the lifts' own closed form: F·a(3L²−4a²)/24EI for each pair, + F·a/κGA.
		a, f := 0.22*long, 0.45*q*long
		want -= f * a * (3*long*long - 4*a*a) / 24 / ei
		if shear > 0 {
			want -= f * a / shear
		}
		within(t, "sag on a balance", half.Face[0][0]-half.Face[0][100], want, 0.04)
	}
}

// What lies on two rows of a bed that winds touches on one edge at each end, and rolls
// until both carry alike.
func TestRiderOnAWindingWay(t *testing.T) {
	x := shape.Even(0, 4, 5)
	r := Rider{Length: 2, Weight: 600, Bending: 1e7, Contact: 4e9, Cells: 41,
		Rows: []Row{{Offset: -0.05, Way: shape.Shape{X: x, Y: []float64{-2e-6, -1e-6, 0, 1e-6, 2e-6}}}, {Offset: 0.05, Way: shape.Shape{X: x, Y: []float64{2e-6, 1e-6, 0, -1e-6, -2e-6}}}}}
	l := lay(t, anvil(t, 4), r, 1)
	if l.Gap[1][0] > 0 || l.Gap[0][0] < 1e-6 || l.Gap[0][40] > 0 || l.Gap[1][40] < 1e-6 {
		t.Errorf("left end gaps %g and %g, right end %g and %g", l.Gap[0][0], l.Gap[1][0], l.Gap[0][40], l.Gap[1][40])
	}
	within(t, "mean of the gaps", l.Gap[0][0]+l.Gap[1][0], l.Gap[0][40]+l.Gap[1][40], 1e-6)
}

// A flank that stands higher by n square to it moves what rides on both up and aside by the
// two formulas of a vee, however slack or stiff it is.
func TestRiderFollowsAFlank(t *testing.T) {
	x := shape.Even(0, 4, 5)
	for _, v := range []casting.Vee{{Flanks: [2]float64{0.7, 0.7}}, {Flanks: [2]float64{0.4, 1.1}}, {Flanks: [2]float64{0.4, 1.1}, Ridge: true}} {
		slope := [2]float64{-math.Tan(v.Flanks[0]), math.Tan(v.Flanks[1])}
		if v.Ridge {
			slope = [2]float64{-slope[0], -slope[1]}
		}
		at := func(n [2]float64) (up, aside float64) {
			r := Rider{Length: 2, Weight: 600, Bending: 1e6, Contact: 4e9, Cells: 32}
			for k, side := range []float64{-1, 1} {
				h := n[k] / math.Cos(v.Flanks[k])
				for _, y := range []float64{0.01, 0.08} {
					r.Rows = append(r.Rows, Row{Offset: side * y, Slope: slope[k], Way: shape.Shape{X: x, Y: []float64{h, h, h, h, h}}})
				}
			}
			l := lay(t, anvil(t, 4), r, 1)
			left, right := l.Face[0][16], l.Face[2][16] // heights of either flank: up − slope·aside
			return (left*slope[1] - right*slope[0]) / (slope[1] - slope[0]), (left - right) / (slope[1] - slope[0])
		}
		up0, aside0 := at([2]float64{})
		for _, n := range [][2]float64{{10e-6, 0}, {0, 10e-6}, {7e-6, -4e-6}} {
			up, aside := at(n)
			wantDown, wantAside := v.Sink([2]float64{-n[0], -n[1]})
			within(t, "up", up-up0, -wantDown, 1e-3)
			within(t, "aside", aside-aside0, wantAside, 1e-3)
		}
	}
}

// In a right vee a rider that bends alike to all sides bends square to either flank as if
// that were alone: the same print as of one with the flank's share of weight and stiffness,
// laid on that flank's heights.
func TestRightVeeIsTwoFlats(t *testing.T) {
	x := shape.Even(0, 4, 41)
	way := func(seed float64) shape.Shape {
		s := shape.Shape{X: x}
		for _, at := range x {
			s.Y = append(s.Y, 6e-6*math.Sin(seed*at*at+seed))
		}
		return s
	}
	ways := [2]shape.Shape{way(2), way(3)}
	both := Rider{Length: 2, Weight: 600, Bending: 1e6, Shear: 1e8, Contact: 4e9, Cells: 32}
	for k, slope := range []float64{-1, 1} {
		both.Rows = append(both.Rows, Row{Offset: slope * 0.05, Slope: slope, Way: ways[k]})
	}
	l := lay(t, anvil(t, 4), both, 1)
	for k := range ways {
		one := Rider{Length: 2, Weight: 300, Bending: 0.5e6, Shear: 0.5e8, Contact: 2e9, Cells: 32, Rows: []Row{{Way: ways[k]}}}
		alone := lay(t, anvil(t, 4), one, 1)
		for i := range alone.X {
			if math.Abs(alone.Pressure[0][i]-l.Pressure[k][i]) > 1e-2*300 || math.Abs(alone.Gap[0][i]-l.Gap[k][i]) > 2e-9 {
				t.Errorf("flank %d at %g m: %g N/m and %g of air, alone %g and %g", k, alone.X[i], l.Pressure[k][i], l.Gap[k][i], alone.Pressure[0][i], alone.Gap[0][i])
			}
		}
	}
}

// A rider laid beside where it lay begins with the feet that touched there: the same answer, for half the work or less, on
// feet of which every other one stands a millimetre low.
func TestLayingGoesOnFromTheNeighbour(t *testing.T) {
	b, s := rigidBed(4)
	s.Feet = nil
	for i, x := range shape.Even(0, 4, 41) {
		s.Feet = append(s.Feet, beam.Foot{At: x, Offset: 0.2 * float64(1-i%3), Height: -1e-3 * float64(i%2), Stiffness: 5e8})
	}
	v := solverOf(t, b, s, beam.Options{Cells: 100})
	r := Rider{Length: 1, Weight: 300, Bending: 1e5, Contact: 1e9, Cells: 8, Rows: []Row{{}}}
	fresh, next := v.Riding(beam.Case{}), v.Riding(beam.Case{})
	lay(t, next, r, 1)
	before := next.coupled.Work
	want, got := lay(t, fresh, r, 1.1), lay(t, next, r, 1.1)
	for i, p := range want.Pressure[0] {
		within(t, "pressure", got.Pressure[0][i], p, 1e-6)
	}
	if work := next.coupled.Work - before; work > fresh.coupled.Work/2 {
		t.Errorf("%.0f multiplications beside the last place, %.0f anew", work, fresh.coupled.Work)
	}
}
