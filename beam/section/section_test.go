package section

import (
	"errors"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// of are plates by width, height, offset and bottom.
func of(v ...[4]float64) (p []Plate) {
	for _, q := range v {
		p = append(p, Plate{q[0], q[1], q[2], q[3]})
	}
	return p
}

// tester is a test or a rapid one.
type tester interface {
	Helper()
	Errorf(string, ...any)
	Fatal(...any)
}

func mustOf(t tester, p []Plate) Constants {
	t.Helper()
	c, err := Of(p)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func near(t tester, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within*math.Abs(want)) {
		t.Errorf("%s: got %.7g, want %.7g (off by %.2g of it)", what, got, want, math.Abs(got/want-1))
	}
}

// rectangle is Saint-Venant's J, a·b³/3·[1 − (192/π⁵)(b/a) Σ tanh(nπa/2b)/n⁵], n odd, a the long side.
func rectangle(a, b float64) float64 {
	if a < b {
		a, b = b, a
	}
	var sum float64
	for n := 1.0; n < 60; n += 2 {
		sum += math.Tanh(n*math.Pi*a/(2*b)) / math.Pow(n, 5)
	}
	return a * b * b * b / 3 * (1 - 192/math.Pow(math.Pi, 5)*(b/a)*sum)
}

// Saint-Venant's β of a rectangle, J = β·a·b³ (Timoshenko and Goodier, Theory of Elasticity, table of
// section 109; six digits by his series); shear area 5/6 (Gere and Timoshenko: f = 6/5); I about the middle.
func TestRectangle(t *testing.T) {
	for ratio, beta := range map[float64]float64{1: 0.140577, 1.5: 0.195761, 2: 0.228682, 3: 0.263317, 4: 0.281, 5: 0.291, 10: 0.312} {
		for _, turned := range []bool{false, true} {
			p := of([4]float64{ratio, 1, 0.3, 0.2})
			if turned {
				p = of([4]float64{1, ratio, 0.3, 0.2})
			}
			c := mustOf(t, p)
			near(t, "β", c.Torsion/ratio, beta, 2e-3)
			near(t, "series", c.Torsion, rectangle(ratio, 1), 1.5e-3)
			near(t, "shear area", c.ShearArea, 5./6*ratio, 4e-4) // of the finer mesh alone 9e-4
			near(t, "inertia", c.Inertia, p[0].Width*math.Pow(p[0].Height, 3)/12, 1e-9)
			near(t, "centroid", c.Offset, 0.3, 1e-9)
			near(t, "shear centre", c.ShearCentre, 0.3, 1e-6)
			near(t, "its height", c.ShearHeight, 0.2+p[0].Height/2, 1e-6)
		}
	}
	// A thin strip's secondary warping, I_ω = b³t³/144 (any text on thin-walled beams).
	near(t, "I_ω of a strip", mustOf(t, of([4]float64{0.01, 1, 0, 0})).Warping, 1e-6/144, 1e-2)
}

// Pilkey, Analysis and Design of Elastic Beams (2002), example B.2: a channel of t = 1, 18 between
// flange midlines, 8 from web midline to flange tip, by two-dimensional finite elements.
func TestPilkeysChannel(t *testing.T) {
	c := mustOf(t, of([4]float64{1, 19, 0, 0}, [4]float64{7.5, 1, 4.25, 0}, [4]float64{7.5, 1, 4.25, 18}))
	near(t, "A", c.Area, 34, 1e-9)
	near(t, "I", c.Inertia, 1787.833, 1e-6)
	near(t, "centroid", c.Offset, 1.875, 1e-6)
	near(t, "J", c.Torsion, 11.28862, 2e-3)
	near(t, "I_ω", c.Warping, 12763.15, 1e-3)
	near(t, "shear centre", c.ShearCentre, -2.86769, 1e-3)
	near(t, "shear coefficient", c.Area/c.ShearArea, 2.15337, 2e-2) // with Poisson's ratio 1/3 there
}

// Thin walls in midline theory: J = Σst³/3 and the forms for channel, I-section, trough, H and double T
// of handbooks on thin-walled beams, as check of sectorial integration (t = 1/100 of the depth or less).
func TestThinOpenSections(t *testing.T) {
	const b, h, w = 0.4, 0.5, 0.004
	trough := of([4]float64{w, h + w/2, -b / 2, -w / 2}, [4]float64{w, h + w/2, b / 2, -w / 2}, [4]float64{b, w, 0, -w / 2})
	for name, k := range map[string]struct {
		plates              []Plate
		torsion, warp, high float64
	}{
		"trough": {trough, (2*h + b) * w * w * w / 3, (w * h * h * h * b * b / 12) * (3*h*w + 2*b*w) / (6*h*w + b*w), -3 * h * h * w / (6*h*w + b*w)},
		"H": {of([4]float64{w, h, -b / 2, 0}, [4]float64{w, h, b / 2, 0}, [4]float64{b, w, 0, h/2 - w/2}),
			(2*h + b) * w * w * w / 3, w * h * h * h / 12 * b * b / 2, h / 2},
		"I": {of([4]float64{b, w, 0, 0}, [4]float64{b, w, 0, h}, [4]float64{w, h - w, 0, w}),
			(2*b + h) * w * w * w / 3, w * b * b * b * h * h / 24, (h + w) / 2},
		"two bare walls": {of([4]float64{w, h, -b / 2, 0}, [4]float64{w, h, b / 2, 0}), 2 * h * w * w * w / 3, w * h * h * h / 12 * b * b / 2, h / 2},
	} {
		c := mustOf(t, k.plates)
		near(t, name+": J", c.Torsion, k.torsion, 1e-2)
		near(t, name+": I_ω", c.Warping, k.warp, 1e-2)
		near(t, name+": shear centre", c.ShearHeight, k.high, 1e-2)
		if math.Abs(c.ShearCentre) > 1e-9 || c.Cells != 0 || c.Error > 0.02 {
			t.Errorf("%s: %+v", name, c)
		}
	}
	// The double T of a deck 1.0 × 0.030 m on webs 0.6 × 0.040 m, 0.5 m apart (sectorial integration).
	c := mustOf(t, of([4]float64{1, 0.03, 0, 0.585}, [4]float64{0.04, 0.585, -0.25, 0}, [4]float64{0.04, 0.585, 0.25, 0}))
	near(t, "double T: I_ω", c.Warping, 2.127273e-4, 3e-2) // walls are a fifteenth of the depth
	near(t, "double T: shear centre over the deck", c.ShearHeight-0.6, 0.163636, 3e-2)
	near(t, "double T: J", c.Torsion, 3.46e-5, 5e-2)
	near(t, "two walls' A_ω", mustOf(t, of([4]float64{w, h, -b / 2, 0}, [4]float64{w, h, b / 2, 0})).WarpingShear, 2*5./6*h*w*b*b/4, 1e-2)
}

// UPN 200, 75 × 200 × 8.5 × 11.5 without its fillets: shear centre 26.63 mm from the web's midline, I_w
// 1.0499·10¹⁰ mm⁶ in midline theory; and 8 × 2.5 × 0.075 in, plain channel of the cold-formed design manual: 6.386 in⁶.
func TestRolledChannels(t *testing.T) {
	c := mustOf(t, of([4]float64{8.5, 200, 0, 0}, [4]float64{66.5, 11.5, 37.5, 0}, [4]float64{66.5, 11.5, 37.5, 188.5}))
	near(t, "UPN 200: shear centre", -c.ShearCentre, 26.63, 2e-2)
	near(t, "UPN 200: I_w", c.Warping, 1.0499e10, 2e-2)
	c = mustOf(t, of([4]float64{0.075, 8.075, 0, 0}, [4]float64{2.4625, 0.075, 1.26875, 0}, [4]float64{2.4625, 0.075, 1.26875, 8}))
	near(t, "8 in channel: I_w", c.Warping, 6.385870, 1e-2)
}

// Bredt, J = 4A²/∮ds/t (Johnson, Advanced Structural Mechanics, 2000, eq. 2.40), and two cells: the same twist
// of both. Walls of a hundredth of the width, so that midlines serve.
func TestClosedSections(t *testing.T) {
	const b, h, w = 0.4, 0.5, 0.004
	box := of([4]float64{b + w, w, 0, 0}, [4]float64{b + w, w, 0, h}, [4]float64{w, h, -b / 2, 0}, [4]float64{w, h, b / 2, 0})
	c := mustOf(t, box)
	bredt := 4 * b * h * b * h / (2 * (b + h) / w)
	near(t, "box", c.Torsion, bredt, 1e-2)
	web := mustOf(t, append(box, of([4]float64{w, h, 0, 0})...))
	near(t, "a middle web carries no flow", web.Torsion, c.Torsion, 3e-3)
	// Cells of 0.1 and 0.3 m: q₁, q₂ from ∮q ds/t = 2GA φ′ of each, J = 2ΣAq/Gφ′.
	a1, a2 := 0.1*h, 0.3*h
	d1, d2, m := (0.2+2*h)/w, (0.6+2*h)/w, h/w
	det := d1*d2 - m*m
	q1, q2 := 2*(a1*d2+a2*m)/det, 2*(a2*d1+a1*m)/det
	uneven := mustOf(t, append(box, of([4]float64{w, h, -0.1, 0})...))
	near(t, "unequal cells", uneven.Torsion, 2*(a1*q1+a2*q2), 1e-2)
	if c.Cells != 1 || web.Cells != 2 || uneven.Cells != 2 {
		t.Errorf("%d, %d and %d cells", c.Cells, web.Cells, uneven.Cells)
	}
	// A plate that does not reach the far wall leaves the cell open: hundreds of times weaker.
	slit := mustOf(t, of([4]float64{b + w, w, 0, 0}, [4]float64{b - 0.02, w, -0.01, h}, [4]float64{w, h, -b / 2, 0}, [4]float64{w, h, b / 2, 0}))
	near(t, "open cell", slit.Torsion, (2*b+2*h)*w*w*w/3, 3e-2)
	if slit.Cells != 0 || len(slit.Doubtful) != 0 {
		t.Errorf("open cell: %+v", slit)
	}
}

// Raised strips, overlaps and plates that only share a corner make the same box; a crack is told.
func TestOneBoxDrawnInManyWays(t *testing.T) {
	const w = 0.02
	want := mustOf(t, of([4]float64{0.4, w, 0, 0}, [4]float64{0.4, w, 0, 0.48}, [4]float64{w, 0.46, -0.19, w}, [4]float64{w, 0.46, 0.19, w}))
	same := mustOf(t, of([4]float64{0.4, w, 0, 0}, [4]float64{0.4, w, 0, 0.48}, [4]float64{w, 0.5, -0.19, 0}, [4]float64{w, 0.5, 0.19, 0}))
	near(t, "overlapping: J", same.Torsion, want.Torsion, 1e-6)
	near(t, "overlapping: A", same.Area, want.Area, 1e-9)
	corners := mustOf(t, of([4]float64{0.36, w, 0, 0}, [4]float64{0.36, w, 0, 0.48}, [4]float64{w, 0.46, -0.19, w}, [4]float64{w, 0.46, 0.19, w}))
	near(t, "corners: J", corners.Torsion, want.Torsion, 5e-2)
	if len(corners.Doubtful) != 4 || corners.Cells != 1 || corners.Doubtful[0].Gap != 0 {
		t.Errorf("corners: %+v", corners)
	}
	cracked := mustOf(t, of([4]float64{0.4, w, 0, 0}, [4]float64{0.4, w, 0, 0.481}, [4]float64{w, 0.46, -0.19, w}, [4]float64{w, 0.46, 0.19, w}))
	near(t, "cracked: J", cracked.Torsion, want.Torsion, 1e-2)
	if len(cracked.Doubtful) != 2 || math.Abs(cracked.Doubtful[0].Gap-0.001) > 1e-9 {
		t.Errorf("cracked: %+v", cracked.Doubtful)
	}
	raised := mustOf(t, of([4]float64{0.4, w, 0, 0}, [4]float64{0.4, w, 0, 0.48}, [4]float64{w, 0.46, -0.19, w}, [4]float64{w, 0.46, 0.19, w},
		[4]float64{0.06, 0.03, -0.15, 0.5}, [4]float64{0.06, 0.03, 0.15, 0.5}))
	if raised.Cells != 1 || raised.Pieces != 1 || raised.Torsion < want.Torsion || raised.Torsion > 1.1*want.Torsion {
		t.Errorf("raised strips: J %g, of the box %g, %d cells", raised.Torsion, want.Torsion, raised.Cells)
	}
}

func TestSectionsThatAreNone(t *testing.T) {
	var gap *GapError
	if _, err := Of(nil); !errors.Is(err, errNoPlates) {
		t.Error(err)
	}
	if _, err := Of(of([4]float64{0.1, 1, 0, 0}, [4]float64{0, 1, 0, 0})); err == nil || !strings.HasPrefix(err.Error(), "plate 2 has no size") {
		t.Error(err)
	}
	if _, err := Of(of([4]float64{1, 0.1, 0, 0}, [4]float64{1, 0.1, 0, 0.2})); !errors.As(err, &gap) || math.Abs(gap.From-0.1)+math.Abs(gap.To-0.2) > 1e-9 {
		t.Error(err)
	}
}

// The coarser mesh is farther off, and what is told of the error covers it: J of the channel and the square.
func TestErrorFallsAndIsTold(t *testing.T) {
	for name, k := range map[string]struct {
		plates []Plate
		want   float64
	}{"square": {of([4]float64{1, 1, 0, 0}), rectangle(1, 1)}, "strip": {of([4]float64{1, 8, 0, 0}), rectangle(8, 1)}} {
		boxes, _ := joined(k.plates)
		last := math.Inf(1)
		for _, m := range []int{3, 6, 12, 24} {
			off := constants(boxes, m).Torsion/k.want - 1
			if off < 0 || off > last/2.5 { // the energy is a bound from above
				t.Errorf("%s, %d across: off by %g after %g", name, m, off, last)
			}
			last = off
		}
		if c := mustOf(t, k.plates); math.Abs(c.Torsion/k.want-1) > c.Error+1e-4 {
			t.Errorf("%s: off by %g, told %g", name, c.Torsion/k.want-1, c.Error)
		}
	}
}

// Laws: the mirror image has the mirror's constants, a shift only shifts, a scale scales.
func TestLawsOfSections(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		web := [4]float64{f("web", 0.01, 0.05), f("high", 0.2, 0.5), f("at", -0.2, 0.2), 0}
		deck := [4]float64{f("deck", 0.3, 0.8), f("thick", 0.01, 0.05), f("off", -0.1, 0.1), web[1] - 0.005}
		base := mustOf(t, of(web, deck))
		s, y, z := f("scale", 0.5, 3), f("y", -1, 1), f("z", 0, 1)
		move := func(p [4]float64, side float64) [4]float64 {
			return [4]float64{s * p[0], s * p[1], s*side*p[2] + y, s*p[3] + z}
		}
		for _, side := range []float64{1, -1} {
			c := mustOf(t, of(move(web, side), move(deck, side)))
			near(t, "J", c.Torsion, math.Pow(s, 4)*base.Torsion, 1e-6)
			near(t, "I_ω", c.Warping, math.Pow(s, 6)*base.Warping, 1e-6)
			near(t, "A_ω", c.WarpingShear, math.Pow(s, 4)*base.WarpingShear, 1e-6)
			near(t, "A_s", c.ShearArea, s*s*base.ShearArea, 1e-6)
			if math.Abs(c.ShearCentre-s*side*base.ShearCentre-y) > 1e-6 || math.Abs(c.ShearHeight-s*base.ShearHeight-z) > 1e-6 {
				t.Errorf("shear centre at %g, %g", c.ShearCentre, c.ShearHeight)
			}
		}
	})
}

func BenchmarkSection(b *testing.B) {
	p := of([4]float64{0.1, 0.03, -0.4, 0}, [4]float64{0.025, 0.375, -0.4, 0.03}, [4]float64{0.1, 0.045, -0.4, 0.405},
		[4]float64{0.1, 0.03, 0.4, 0}, [4]float64{0.025, 0.375, 0.4, 0.03}, [4]float64{0.1, 0.045, 0.4, 0.405}, [4]float64{0.8, 0.02, 0, 0.2}, [4]float64{0.025, 0.405, 0, 0})
	for b.Loop() {
		clear(known.of)
		if _, err := Of(p); err != nil {
			b.Fatal(err)
		}
	}
}

// A thin angle of equal legs has I_y = I_z = 5ta³/24 and I_yz = ta³/8: I_yz²/I_yI_z = 0.36 (any table of sections); its own
// mirror image has none, nor have walls that only ribs join.
func TestSkew(t *testing.T) {
	const a, w = 0.4, 0.004
	angle := of([4]float64{w, a, 0, 0}, [4]float64{a, w, a / 2, -w / 2})
	near(t, "angle", mustOf(t, angle).Skew, 0.36, 0.02)
	for _, even := range [][]Plate{of([4]float64{0.02, 0.4, 0, 0}), of([4]float64{0.02, 0.4, -0.2, 0}, [4]float64{0.02, 0.4, 0.2, 0}, [4]float64{0.42, 0.02, 0, -0.02})} {
		if s := mustOf(t, even).Skew; s > 1e-20 {
			t.Errorf("skew %g of a mirror image", s)
		}
	}
	if s := mustOf(t, append(angle, of([4]float64{0.02, 0.4, -0.4, 0})...)).Skew; s != 0 {
		t.Errorf("skew %g in two pieces", s)
	}
}
