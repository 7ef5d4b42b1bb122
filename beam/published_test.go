package beam

import (
	"errors"
	"math"
	"testing"

	"footwork/beam/casting"
	"footwork/beam/shape"
)

// unitBar is a uniform bar with w = L = EI = 1 and no shear.
func unitBar() casting.Bed {
	return casting.Bed{Length: 1, Sections: []casting.Section{{To: 1, Area: 1, Inertia: 1, ShearArea: math.Inf(1), Torsion: 1, Depth: 1}},
		Material: casting.Material{Modulus: 1, ShearModulus: 1, Density: 1 / gravity}}
}

func rigidFeet(at ...float64) (s Standing) {
	for _, x := range at {
		s.Feet = append(s.Feet, Foot{At: x, Stiffness: math.Inf(1)})
	}
	return s
}

// A uniform bar on two supports at the classical places: end and centre below
// the supports, and peak to valley. Positions: Airy 1/√3 and Bessel 0.5594 as
// commonly published (Airy, Mem. R. Astron. Soc. 15, 1846, for the first),
// 0.554 for equal sag from lectures on straightedges; deflections from
// w l²(5l²−24c²)/384EI and w c(3c²(c+2l)−l³)/24EI.
func TestBarOnTwoSupports(t *testing.T) {
	cases := []struct {
		name                     string
		spacing, end, centre, pv float64
		digits                   float64
	}{
		{"ends", 1, 0, 5. / 384, 1.3021e-2, 5e-7},
		{"Airy", 1 / math.Sqrt(3), -8.310e-5, 5.1638e-4, 5.995e-4, 6e-8},
		{"Bessel", 0.559380, 1.8311e-4, 3.2566e-4, 3.313e-4, 6e-8},
		{"equal sag", 0.553702, 2.6973e-4, 2.6973e-4, 2.704e-4, 6e-8},
		{"nodes of vibration", 0.551685, 3.0077e-4, 2.5035e-4, 3.009e-4, 6e-8},
		{"level over supports", 0.550510, 3.1891e-4, 2.3918e-4, 3.189e-4, 6e-8},
		{"equal moments", 2 - math.Sqrt2, -2.0367e-4, 6.1328e-4, 8.17e-4, 6e-7},
		{"quarter points", 0.5, 1.1393e-3, -1.6276e-4, 1.302e-3, 6e-7},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			a := (1 - c.spacing) / 2
			way := solve(t, unitBar(), rigidFeet(a, 1-a), Case{}, Options{}).Way(0)
			l, o := c.spacing, a
			near(t, "centre", 0.5, -way.At(0.5), l*l*(5*l*l-24*o*o)/384, 1e-5)
			near(t, "end", 0, -way.At(0), o*(3*o*o*(o+2*l)-l*l*l)/24, 1e-5)
			for what, got := range map[float64]float64{c.end: -way.At(0), c.centre: -way.At(0.5), c.pv: peakToValley(way)} {
				if math.Abs(got-what) > c.digits {
					t.Errorf("%.6g, table %.6g", got, what)
				}
			}
		})
	}
}

func peakToValley(s shape.Shape) float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, y := range s.Y {
		lo, hi = min(lo, y), max(hi, y)
	}
	return hi - lo
}

// Of all symmetric spacings the tabulated ones are the best for their purpose.
func TestBestSpacings(t *testing.T) {
	best := func(goal func(a float64) float64, lo, hi float64) float64 {
		for range 60 {
			p, q := lo+(hi-lo)/3, hi-(hi-lo)/3
			if goal(p) < goal(q) {
				hi = q
			} else {
				lo = p
			}
		}
		return lo
	}
	sag := func(feet func(a float64) Standing) func(a float64) float64 {
		return func(a float64) float64 { return peakToValley(solve(t, unitBar(), feet(a), Case{}, Options{}).Way(0)) }
	}
	two := best(sag(func(a float64) Standing { return rigidFeet(a, 1-a) }), 0.2, 0.25)
	if math.Abs(1-2*two-0.553702) > 2e-5 {
		t.Errorf("two supports: spacing %.6f, want 0.553702", 1-2*two)
	}
	three := best(sag(func(a float64) Standing { return rigidFeet(a, 0.5, 1-a) }), 0.1, 0.18)
	if math.Abs(three-0.1424) > 6e-5 {
		t.Errorf("three supports: %.5f from the ends, want 0.1424", three)
	}
}

// Three rigid level supports: reactions and peak to valley (derived, exact
// three-moment equation).
func TestBarOnThreeSupports(t *testing.T) {
	for _, c := range [][4]float64{ // a, end reaction, middle reaction, peak to valley
		{0.1424, 0.31899, 0.36202, 4.48e-5}, {0.1265, 0.29874, 0.40252, 7.76e-5},
		{1. / 6, 17. / 48, 14. / 48, 1.670e-4}, {0, 0.1875, 0.625, 3.385e-4},
	} {
		within := func(what string, digit, want float64, get func(a float64) float64) {
			// the tabulated a is rounded: the table must lie between its two edges
			lo, hi := get(max(0, c[0]-5e-5)), get(c[0]+5e-5)
			if min(lo, hi) > want+digit || max(lo, hi) < want-digit {
				t.Errorf("a = %.4f: %s between %.6g and %.6g, want %.6g", c[0], what, lo, hi, want)
			}
		}
		state := func(a float64) *State { return solve(t, unitBar(), rigidFeet(a, 0.5, 1-a), Case{}, Options{}) }
		within("end reaction", 5e-6, c[1], func(a float64) float64 { return state(a).Feet()[0].Load })
		within("middle reaction", 5e-6, c[2], func(a float64) float64 { return state(a).Feet()[1].Load })
		within("peak to valley", 5e-8, c[3], func(a float64) float64 { return peakToValley(state(a).Way(0)) })
	}
}

// Airy's spacing L/√(n²−1): n equal forces leave the end faces vertical
// (Mem. R. Astron. Soc. 15, 1846).
func TestAirysEqualForces(t *testing.T) {
	for n := 2; n <= 5; n++ {
		d := 1 / math.Sqrt(float64(n*n-1))
		soft := Standing{}
		for i := range n {
			soft.Feet = append(soft.Feet, Foot{At: 0.5 + d*(float64(i)-float64(n-1)/2), Stiffness: 1e-6})
		}
		way := solve(t, unitBar(), soft, Case{}, Options{}).Way(0)
		k := len(way.X) - 1
		left := (way.Y[1] - way.Y[0]) / (way.X[1] - way.X[0])
		right := (way.Y[k] - way.Y[k-1]) / (way.X[k] - way.X[k-1])
		if math.Abs(right-left) > 1e-4/float64(n*n) { // slopes against 1/24 for supports at the ends
			t.Errorf("%d forces: end faces turn %g against each other", n, right-left)
		}
	}
}

// hetenyi returns the deflection at the centre and the ends of a free beam of
// length L on an elastic foundation under a central force (Hetényi, Beams on
// Elastic Foundation, 1946; Roark, same table; from memory).
func hetenyi(p, k, beta, length float64) (centre, end float64) {
	q := beta * length
	d := math.Sinh(q) + math.Sin(q)
	return p * beta / (2 * k) * (math.Cosh(q) + math.Cos(q) + 2) / d,
		2 * p * beta / k * math.Cosh(q/2) * math.Cos(q/2) / d
}

func TestFiniteBeamOnElasticFoundation(t *testing.T) {
	for _, q := range []float64{1, 2, 3, 4, 5} {
		k := 4 * math.Pow(q, 4) // β = q with EI = L = 1
		s := Standing{Bearings: []Bearing{{To: 1, Stiffness: k, Held: true}}}
		b := unitBar()
		b.Material.Density = 0
		s.Weights = []casting.Weight{{At: 0.5, Force: 1}}
		st := solve(t, b, s, Case{}, Options{})
		centre, end := hetenyi(1, k, q, 1)
		near(t, "centre", q, -st.Way(0).At(0.5), centre, 1e-5)
		near(t, "end", q, -st.Way(0).At(0), end, 1e-4) // passes zero near q = π
		near(t, "load", q, st.Bearings()[0].Load, 1, 1e-9)
	}
}

// A bar sinks 1 mm under its own 100 N and is then loaded with 1000 N at its
// centre: 11.1241 mm there and 10.8140 mm at the ends (derived from Hetényi).
func TestBarSinksIntoFoundation(t *testing.T) {
	b := unitBar()
	b.Material = casting.Material{Modulus: 25000, ShearModulus: 1, Density: 100 / gravity}
	s := Standing{Bearings: []Bearing{{To: 1, Stiffness: 1e5}}, Weights: []casting.Weight{{At: 0.5, Force: 1000}}}
	way := solve(t, b, s, Case{}, Options{}).Way(0)
	near(t, "centre", 0.5, -way.At(0.5), 11.1241e-3, 1e-5)
	near(t, "end", 0, -way.At(0), 10.8140e-3, 1e-5)
}

// A weightless free beam longer than π/β lifts its ends off a foundation that
// cannot pull, and then pushes with all its load on the rest (Hetényi).
func TestLongBeamLiftsItsEnds(t *testing.T) {
	k := 4 * math.Pow(5, 4)
	b := unitBar()
	b.Material.Density = 0
	s := Standing{Bearings: []Bearing{{To: 1, Stiffness: k}}, Weights: []casting.Weight{{At: 0.5, Force: 1}}}
	row := solve(t, b, s, Case{}, Options{}).Bearings()[0]
	near(t, "load", 0, row.Load, 1, 1e-9)
	// A force on a weightless one-sided foundation presses over π/2β to each side.
	var half float64
	for i, f := range row.Force {
		if f > 0 {
			half = max(half, math.Abs(row.X[i]-0.5))
		}
	}
	if want := math.Pi / 2 / 5; math.Abs(half-want) > 0.0065 {
		t.Errorf("presses over %.4f to each side, want %.4f within a half panel", half, want)
	}
}

// Beam on discrete springs, the smeared example of Boresi and Schmidt, Advanced
// Mechanics of Materials, ch. 10 (inputs as printed; the discrete answers
// derived by finite elements).
func TestBeamOnSevenSprings(t *testing.T) {
	b := casting.Bed{Length: 6.8, Sections: []casting.Section{{To: 6.8, Area: 1, Inertia: 2.45e-6, ShearArea: math.Inf(1), Torsion: 1, Depth: 1}},
		Material: casting.Material{Modulus: 72e9, ShearModulus: 1}}
	s := Standing{Weights: []casting.Weight{{At: 3.4, Force: 12e3}}}
	for i := range 7 {
		s.Feet = append(s.Feet, Foot{At: 0.1 + 1.1*float64(i), Stiffness: 110e3, Held: true})
	}
	feet := solve(t, b, s, Case{}, Options{}).Feet()
	for i, want := range []float64{-453.9, 1215.7, 3093.9, 4288.5, 3093.9, 1215.7, -453.9} {
		if math.Abs(feet[i].Load-want) > 0.06 {
			t.Errorf("spring %d: %.2f N, want %.1f N", i+1, feet[i].Load, want)
		}
	}
}

// Infinite beam under a force: rail of E = 200 GPa, I = 36.9e6 mm⁴ on
// k = 14 N/mm², P = 170 kN: 5.04 mm, Boresi and Schmidt ch. 10, example 1
// (5.0384 recomputed). Twelve metres on each side stand for infinity.
func TestRailOnFoundation(t *testing.T) {
	b := casting.Bed{Length: 24, Sections: []casting.Section{{To: 24, Area: 1, Inertia: 36.9e-6, ShearArea: math.Inf(1), Torsion: 1, Depth: 1}},
		Material: casting.Material{Modulus: 200e9, ShearModulus: 1}}
	s := Standing{Weights: []casting.Weight{{At: 12, Force: 170e3}}, Bearings: []Bearing{{To: 24, Stiffness: 14e6, Held: true}}}
	st := solve(t, b, s, Case{}, Options{Panels: 150})
	beta := math.Pow(14e6/(4*200e9*36.9e-6), 0.25)
	near(t, "under the force", 12, -st.Way(0).At(12), 170e3*beta/2/14e6, 1e-5)
}

// Cowper, J. Appl. Mech. 33 (1966) 335–340: κ = 10(1+ν)/(12+11ν) for a
// rectangle. P = 125 kN in the middle of 7 m, 40 cm wide and 18 cm high,
// E = 200 GPa, ν = 0.3: bending 2.29740 cm, shear 0.0046484 cm (derived).
func TestCowperShear(t *testing.T) {
	const nu = 0.3
	sec, err := casting.FromPlates(plates([4]float64{0.40, 0.18}))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "energy shear area", 0, sec.ShearArea, 5./6*sec.Area, 1e-3) // Gere and Timoshenko: f = 6/5
	sec.Plates = nil                                                    // known by its constants it is met at points
	s := rigidFeet(0, 7)
	s.Weights = []casting.Weight{{At: 3.5, Force: 125e3}}
	middle := func(shearArea float64) float64 {
		sec.To, sec.ShearArea = 7, shearArea
		b := casting.Bed{Length: 7, Sections: []casting.Section{sec}, Material: casting.Material{Modulus: 200e9, ShearModulus: 200e9 / 2 / (1 + nu)}}
		return -solve(t, b, s, Case{}, Options{}).Way(0).At(3.5)
	}
	bending := middle(math.Inf(1))
	near(t, "bending", 3.5, bending, 2.29740e-2, 1e-5)
	near(t, "shear", 3.5, middle(10*(1+nu)/(12+11*nu)*sec.Area)-bending, 0.0046484e-2, 2e-5)
}

// A bed of about 12 ft, flat when fully supported, stands high over three pairs
// of legs and low between them, by something between a tenth and two
// thousandths of an inch: common practice, no source.
func TestTwelveFootBedOnLegs(t *testing.T) {
	const inch = 0.0254
	b, s := shopBed(144*inch), pairs(144*inch, 3, math.Inf(1))
	shallow, err := casting.FromPlates(plates(
		[4]float64{1 * inch, 9 * inch, -9 * inch, 0}, [4]float64{1 * inch, 9 * inch, 9 * inch, 0},
		[4]float64{5 * inch, 1.5 * inch, -9 * inch, 9 * inch}, [4]float64{5 * inch, 1.5 * inch, 9 * inch, 9 * inch}))
	if err != nil {
		t.Fatal(err)
	}
	shallow.To = b.Length
	b.Sections = []casting.Section{shallow}
	st := solve(t, b, s, Case{}, Options{})
	way := st.Way(-0.25)
	leg := way.At(s.Feet[2].At)
	for i := 0; i < 4; i += 2 {
		between := way.At((s.Feet[i].At + s.Feet[i+2].At) / 2)
		if drop := leg - between; drop < 1e-4*inch || drop > 2e-3*inch {
			t.Errorf("the bed lies %.2f thou lower between its legs", drop/inch*1e3)
		}
	}
}

// A bed that no set of feet can balance names the side it falls to.
func TestTipping(t *testing.T) {
	b := unitBar()
	for side, s := range map[string]Standing{
		"right end":            rigidFeet(0, 0.2, 0.4),
		"left end":             rigidFeet(0.7, 0.8, 0.9),
		"positive-offset side": {Feet: []Foot{{At: 0, Offset: -1, Stiffness: 1}, {At: 1, Offset: -1, Stiffness: 1}}},
		"negative-offset side": {Feet: []Foot{{At: 0, Offset: 1, Stiffness: 1}, {At: 1, Offset: 1, Stiffness: 1}, {At: 1, Offset: 2, Stiffness: 1}}},
	} {
		v, err := NewSolver(b, s, coarse())
		if err != nil {
			t.Fatal(err)
		}
		_, err = v.Solve(Case{})
		var tip *TipError
		if !errors.As(err, &tip) || tip.Side != side {
			t.Errorf("falls to the %s, but: %v", side, err)
		}
	}
}
