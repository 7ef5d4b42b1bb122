package beam

import (
	"math"
	"testing"

	"footwork/beam/casting"
	"footwork/beam/free"
)

// UB 457×191×82 of SCI P385, Design of Steel Beams in Torsion (2011), table A.1: J = 69.2 cm⁴,
// I_w = 0.922 dm⁶, E = 210 GPa, G = 81 GPa.
const (
	ubGJ = 81e9 * 69.2e-8
	ubEI = 210e9 * 0.922e-6
)

// twistCase is a bar whose twist is held where a pair of held feet stands, which leaves its
// warping free. A root that cannot warp is the middle of a bar of twice the length, twisted alike
// on both sides.
type twistCase struct {
	name         string
	length       float64
	gj, ei       float64
	forks        []float64
	torques      [][2]float64 // at, N·m
	from, to, m  float64      // N·m/m
	at           float64
	want, within float64 // rad
	closed       float64 // 0: none
}

func (c twistCase) bed() (casting.Bed, Standing, Case) {
	b := casting.Bed{Length: c.length, Material: casting.Material{Modulus: 1, ShearModulus: 1, Density: 100},
		Sections: []casting.Section{{To: c.length, Area: 1, Inertia: 1e9, ShearArea: math.Inf(1), Torsion: c.gj, Depth: 1, Warping: c.ei}}}
	var s Standing
	for _, x := range c.forks {
		for _, y := range []float64{-1, 1} {
			s.Feet = append(s.Feet, Foot{At: x, Offset: y, Stiffness: math.Inf(1), Held: true})
		}
	}
	if len(c.forks) == 1 { // a foot on the axis holds the bar level, and no twist
		s.Feet = append(s.Feet, Foot{At: c.length - min(c.forks[0], c.length/2)*2, Stiffness: math.Inf(1), Held: true})
	}
	var v Case
	for _, t := range c.torques {
		v.Weights = append(v.Weights, casting.Weight{At: t[0], Offset: -1, Force: t[1] / 2}, casting.Weight{At: t[0], Offset: 1, Force: -t[1] / 2})
	}
	if c.m != 0 {
		v.Lines = []free.Line{{From: c.from, To: c.to, Offset: -1, Start: c.m / 2, End: c.m / 2}, {From: c.from, To: c.to, Offset: 1, Start: -c.m / 2, End: -c.m / 2}}
	}
	return b, s, v
}

func twistAt(st *State, x float64) float64 { return (st.Way(1).At(x) - st.Way(-1).At(x)) / 2 }

// Closed forms of SCI P385, table 2.2 and appendix C (also Seaburg and Carter, Torsional Analysis of
// Structural Steel Members, AISC Design Guide 9), and the numbers that public test files on P385 print;
// those without a closed form were found by finite elements, 200 to a span.
func twistCases() []twistCase {
	a := math.Sqrt(ubEI / ubGJ)
	ub := func(name string, length float64, c twistCase) twistCase {
		c.name, c.length, c.gj, c.ei = name, length, ubGJ, ubEI
		return c
	}
	w := 5e-7
	const l, m305 = 3.0, 0.924e3 // UB 305×165×40: J = 14.7 cm⁴, I_w = 0.164 dm⁶
	gj305, ei305 := 81e9*14.7e-8, 210e9*0.164e-6
	a305 := math.Sqrt(ei305 / gj305)
	u := l / a305
	return []twistCase{
		{"UB 305 cantilever under a spread torque", 2 * l, gj305, ei305, []float64{l}, nil, 0, 2 * l, m305, 0, 0.125587, w,
			m305 / gj305 * (l*l/2 + a305*a305*(1-1/math.Cosh(u)) - a305*l*math.Tanh(u))},
		{"IPE 300 cantilever", 12, 80.769e9 * 2.01e-7, 210e9 * 1.26e-7, []float64{6}, [][2]float64{{0, 1e3}, {12, 1e3}}, 0, 0, 0, 0, 0.29096, 5e-6, 0},
		ub("cantilever, 10 kN·m", 8, twistCase{forks: []float64{4}, torques: [][2]float64{{0, 1e4}, {8, 1e4}}, want: 0.39088, within: 5e-6,
			closed: 1e4 / ubGJ * (4 - a*math.Tanh(4/a))}),
		ub("cantilever, 2.4 kN·m", 8, twistCase{forks: []float64{4}, torques: [][2]float64{{0, 2.4e3}, {8, 2.4e3}}, want: 0.093812, within: w}),
		ub("fork ends, spread torque", 8, twistCase{forks: []float64{0, 8}, to: 8, m: 2.5e3, at: 4, want: 0.23808, within: 5e-6,
			closed: 2.5e3 * a * a / ubGJ * (64/a/a/8 + 1/math.Cosh(4/a) - 1)}),
		ub("fork ends, torque in the middle", 8, twistCase{forks: []float64{0, 8}, torques: [][2]float64{{4, 1e4}}, at: 4, want: 0.195441, within: w,
			closed: 1e4 * a / 2 / ubGJ * (4/a - math.Tanh(4/a))}),
		ub("one end fixed, the other a fork", 16, twistCase{forks: []float64{0, 8, 16}, to: 16, m: 2.5e3, at: 4, want: 0.146964, within: 1e-6}),
		ub("two spans", 8, twistCase{forks: []float64{0, 4, 8}, to: 8, m: 2.5e3, at: 2, want: 0.0141007, within: 5e-8}),
		ub("two spans, the first loaded", 8, twistCase{forks: []float64{0, 4, 8}, to: 4, m: 2.5e3, at: 2, want: 0.0216743, within: 5e-8}),
		ub("two spans, the first loaded: the second", 8, twistCase{forks: []float64{0, 4, 8}, to: 4, m: 2.5e3, at: 6, want: -0.0075736, within: 5e-8}),
		ub("two spans, torque in the first", 8, twistCase{forks: []float64{0, 4, 8}, torques: [][2]float64{{2, 1e4}}, at: 2, want: 0.0359884, within: 5e-8}),
		ub("ends free to warp", 8, twistCase{forks: []float64{0}, torques: [][2]float64{{8, 1e4}}, at: 8, want: 1.427246, within: w, closed: 8e4 / ubGJ}),
	}
}

func TestRestrainedWarping(t *testing.T) {
	for _, c := range twistCases() {
		t.Run(c.name, func(t *testing.T) {
			b, s, v := c.bed()
			for _, refine := range []int{1, 10} {
				st := solve(t, b, s, v, Options{Cells: refine * 5000})
				got := twistAt(st, c.at) - min(0, twistAt(st, c.forks[0]))
				if math.Abs(got-c.want) > c.within*1.05 {
					t.Errorf("%.8g rad, published %.8g", got, c.want)
				}
				if c.closed != 0 {
					near(t, "closed form", c.at, got, c.closed, 1e-5/math.Pow(float64(refine), 1.5))
				}
				p := v // the sums between places tell the same
				probe := solverOf(t, b, s, Options{Cells: refine * 5000})
				again, err := probe.Solve(p)
				if err != nil {
					t.Fatal(err)
				}
				near(t, "by sums", c.at, again.Read(probe.Probe([]float64{c.at}, 1))[0]-again.Read(probe.Probe([]float64{c.at}, -1))[0], 2*twistAt(st, c.at), 1e-9)
			}
		})
	}
}

func solverOf(t testing.TB, b casting.Bed, s Standing, o Options) *Solver {
	t.Helper()
	v, err := NewSolver(b, s, o)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// What two continuous spans give to their three forks, N·m (finite elements, 200 to a span).
func TestTorqueOfForks(t *testing.T) {
	for i, want := range map[int][3]float64{7: {3909.12, 12181.76, 3909.12}, 8: {4454.56, 6090.88, -545.44}, 10: {4196.72, 6606.55, -803.28}} {
		b, s, v := twistCases()[i].bed()
		feet := solve(t, b, s, v, Options{}).Feet()
		for k, w := range want {
			if got := feet[2*k].Load - feet[2*k+1].Load; math.Abs(got-w) > 0.006 {
				t.Errorf("%s: fork %d takes %.3f N·m, want %.2f", twistCases()[i].name, k+1, got, w)
			}
		}
	}
}

// Share of Saint-Venant's torque along an IPE 300 cantilever of 6 m, root to tip (verification
// example on SCI P385, figure 2.7): GJφ′ of the torque.
func TestShareOfTorque(t *testing.T) {
	c := twistCases()[1]
	b, s, v := c.bed()
	st := solve(t, b, s, v, Options{})
	way := st.Way(1)
	for i, want := range []float64{0, .375, .609, .756, .847, .904, .939, .961, .973, .980, .982} {
		x := min(max(6+0.6*float64(i), 6.003), 11.997)
		share := math.Abs(way.At(x+0.003)-way.At(x-0.003)-(st.Way(0).At(x+0.003)-st.Way(0).At(x-0.003))) / 0.006 * c.gj / 1e3
		if math.Abs(share-want) > 3e-3 {
			t.Errorf("at %d %%: %.4f, want %.3f", 10*i, share, want)
		}
	}
}

// The two limits: no warping stiffness, or all of it, and GJ without limit.
func TestWarpingFallsBackToSaintVenant(t *testing.T) {
	c := twistCases()[4]
	for _, k := range []struct{ gj, ei, want float64 }{
		{ubGJ, 0, 2.5e3 * 64 / 8 / ubGJ},
		{ubGJ, 1e-12 * ubEI, 2.5e3 * 64 / 8 / ubGJ},
		{1e6 * ubGJ, ubEI, 2.5e3 * 64 / 8 / ubGJ / 1e6},
		{1e-6 * ubGJ, ubEI, 5. / 384 * 2.5e3 * 4096 / ubEI}, // EI_wφ⁗ = m, a beam's sag
	} {
		c.gj, c.ei = k.gj, k.ei
		b, s, v := c.bed()
		near(t, "twist", 4, twistAt(solve(t, b, s, v, Options{}), 4), k.want, 1e-5)
	}
}

// Order of convergence 2.0 ± 0.1 of twist, as of bending.
func TestOrderOfTwistIsTwo(t *testing.T) {
	for _, c := range twistCases() {
		if c.closed == 0 || c.name == "ends free to warp" {
			continue // the last is exact
		}
		b, s, v := c.bed()
		var last float64
		for _, per := range []int{10, 20, 40, 80} {
			off := math.Abs(twistAt(solve(t, b, s, v, Options{Cells: per * int(c.length)}), c.at) - c.closed)
			if order := math.Log2(last / off); last > 0 && math.Abs(order-2) > 0.1 {
				t.Errorf("%s: order %.3f", c.name, order)
			}
			last = off
		}
	}
}

// Two walls that ribs hold upright, one of them loaded in the middle of simple supports: the
// loaded wall sinks by PL³/96EI·(1+η), the other by 1−η, with η = 3(v − tanh v)/v³, v = L/2a and
// EI_w = EI·b²/2; shares of beam 1 by the same form. The example: walls 500×20 mm, b = 0.4 m,
// L = 2.4 m, E = 110 GPa, E/G = 2.52, 10 kN (own derivation; a grillage agrees within 0.1 % in the loaded wall).
func TestTwoWalls(t *testing.T) {
	const e, g, i, width, l, p = 110e9, 110e9 / 2.52, 2.083333e-4, 0.4, 2.4, 10e3
	sag := p * l * l * l / (96 * e * i)
	stand := func(gj float64) (loaded, other float64) {
		b := casting.Bed{Length: l, Material: casting.Material{Modulus: e, ShearModulus: g},
			Sections: []casting.Section{{To: l, Area: 1, Inertia: 2 * i, ShearArea: math.Inf(1), Torsion: gj / g, Depth: 1, Warping: i * width * width / 2}}}
		s := Standing{Weights: []casting.Weight{{At: l / 2, Offset: -width / 2, Force: p}}}
		for _, x := range []float64{0, l} {
			for _, y := range []float64{-width / 2, width / 2} {
				s.Feet = append(s.Feet, Foot{At: x, Offset: y, Stiffness: math.Inf(1), Held: true})
			}
		}
		st := solve(t, b, s, Case{}, Options{})
		return -st.Way(-width / 2).At(l / 2), -st.Way(width / 2).At(l / 2)
	}
	for v, eta := range map[float64]float64{0.25: .975617, 0.5: .909188, 1: .715218, 1.5: .528757, 2: .388490, 3: .222772, 5: .096002} {
		loaded, other := stand(e * i * width * width / 2 * (2 * v / l) * (2 * v / l))
		near(t, "loaded", v, loaded, sag*(1+eta), 1e-5)
		near(t, "other", v, other, sag*(1-eta), 2e-5)
	}
	loaded, other := stand(2 * g * 1.299733e-6)
	near(t, "loaded wall of the example", 0, loaded, 123.511e-6, 1e-5)
	near(t, "other wall of the example", 0, other, 2.162e-6, 3e-4)
}

// A wall's shear gives way besides. A torque in the middle of fork ends: without GJ the twist is TL³/48EI_ω +
// TL/4GA_ω, as of Timoshenko's beam; with all three, by the equations of the package with T/2 = const and χ = 0 in the
// middle, T/2·[pL/2 + r²/k·(L/2 − tanh(βL/2)/β)], β² = k/EI_ω.
func TestShearOfWarping(t *testing.T) {
	for _, gj := range []float64{1e-6 * ubGJ, ubGJ, 20 * ubGJ} {
		c := twistCases()[5]
		c.gj = gj
		b, s, v := c.bed()
		const ga, half = 7e4, 4.0
		b.Sections[0].WarpingShear = ga
		p, r := 1/(gj+ga), ga/(gj+ga)
		k := gj * r
		beta := math.Sqrt(k / ubEI)
		want := 5e3 * (p*half + r*r/k*(half-math.Tanh(beta*half)/beta))
		if gj < 1 {
			want = 1e4*512/48/ubEI + 1e4*8/4/ga
		}
		near(t, "twist", gj, twistAt(solve(t, b, s, v, Options{}), 4), want, 1e-5)
	}
}
