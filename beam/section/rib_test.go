package section

import (
	"math"
	"testing"
)

// A zigzag between two walls against a grillage of beams without shear, by finite elements (own calculation; end
// ribs present): E·I_r 8.8·10⁶ and E·I_w 2.29167·10⁷ N·m², walls 0.4 m apart. The rule is 1 to 1.5 % high.
func TestZigzagIsAGrillage(t *testing.T) {
	const e, noShear = 110e9, 1e14
	walls := of([4]float64{0.02, 0.5, -0.2, 0}, [4]float64{0.02, 0.5, 0.2, 0})
	rib := Rib{Thickness: 8.8e6 / e * 12 / math.Pow(0.4, 3), Height: 0.4}
	for pitch, want := range map[float64]float64{0.2: 12.300e6, 0.28284: 12.842e6, 0.4: 11.366e6, 0.6: 7.886e6} {
		cos := pitch / math.Hypot(0.4, pitch)
		own := noShear * math.Pow(rib.Thickness, 3) * rib.Height / 3 * math.Pow(2*cos*cos-1, 2) / cos
		near(t, "zigzag", rib.Slanting(walls, pitch, e, noShear)-own, want, 0.02)
	}
	// Walls of no give: 4EI_r·sin²α·cos α, best at tan²α = 2.
	stiff := of([4]float64{2, 50, -0.2, 0}, [4]float64{2, 50, 0.2, 0})
	for i := range stiff {
		stiff[i].Width = 0.39
	}
	near(t, "stiff walls", rib.Slanting(stiff, 0.4, e, e/2.52), 4*8.8e6/math.Pow(2, 1.5), 0.02)
	holed := rib
	holed.Hole = 0.2
	near(t, "a hole of half the height", holed.Slanting(stiff, 0.4, e, e/2.52)/rib.Slanting(stiff, 0.4, e, e/2.52), 7./8, 0.01)
}

// The ladder: two walls 500 × 20 mm and ribs 400 × 15 mm every 0.4 m. At least GJ grows by the ribs' own torsion
// G·J_r·b a pitch, J_r = 4.39·10⁻⁷ by ht³/3 less the ends (a grillage without the walls' hold on the ribs: 135.8 kN·m² in
// all over 6 panels, of which the walls have 113.5); at most by some times that.
func TestLadderOfSquareRibs(t *testing.T) {
	const e, g, b, length = 110e9, 110e9 / 2.52, 0.4, 2.4
	walls := of([4]float64{0.02, 0.5, -0.2, 0}, [4]float64{0.02, 0.5, 0.2, 0})
	c := mustOf(t, walls)
	rib := Rib{Thickness: 0.015, Height: 0.4, Bottom: 0.05}
	least, most := rib.Square(walls, e, g, c.ShearHeight)
	near(t, "grillage", g*c.Torsion+7*least/length, 135.797e3, 0.01)
	if most < 2*least || most > 6*least {
		t.Errorf("at most %g, at least %g", most, least)
	}
	if _, more := (Rib{Thickness: 0.015, Height: 0.4, Bottom: 0.05, Hole: 0.3}).Square(walls, e, g, c.ShearHeight); more > 0.6*most {
		t.Errorf("a hole leaves %g of %g", more, most)
	}
	// Through a middle wall each bay counts.
	three := append(walls, of([4]float64{0.02, 0.5, 0, 0})...)
	if l, m := rib.Square(three, e, g, c.ShearHeight); math.Abs(l/least-1) > 1e-9 || m < most {
		t.Errorf("three walls: %g to %g, two: %g to %g", l, m, least, most)
	}
}

// What a rib adds to plates that it runs into: bed a's ribs of 20 mm to 360 mm height, less walls and flanges.
func TestVolumeOfARib(t *testing.T) {
	a := of([4]float64{0.1, 0.03, -0.18, 0}, [4]float64{0.025, 0.33, -0.18, 0.03}, [4]float64{0.09, 0.04, -0.18, 0.36},
		[4]float64{0.1, 0.03, 0.18, 0}, [4]float64{0.025, 0.33, 0.18, 0.03}, [4]float64{0.09, 0.04, 0.18, 0.36})
	rib := Rib{Thickness: 0.02, Height: 0.36}
	near(t, "N", rib.Volume(a, 0)*7200*9.80665, 167.12885, 1e-6)
	near(t, "slanting", rib.Volume(a, 0.36)/rib.Volume(a, 0), math.Sqrt2, 1e-9)
	rib.Hole = 0.1
	near(t, "hole", rib.Volume(a, 0)*7200*9.80665, 167.12885-math.Pi/4*0.01*0.02*7200*9.80665, 1e-6)
	if v := rib.Volume(a[:3], 0); v != 0 {
		t.Errorf("a rib between one wall and nothing: %g", v)
	}
}

// A wall of thickness t on a pad: the force spreads by half right angles. 0.326 µm/kN of bed a; a block thicker than
// its pad works with the pad's width; beside all plates nothing is known.
func TestGive(t *testing.T) {
	wall := of([4]float64{0.1, 0.03, 0, 0}, [4]float64{0.025, 0.33, 0, 0.03}, [4]float64{0.09, 0.04, 0, 0.36})
	near(t, "wall", Give(wall, 0, 0.1, 110e9), math.Log(1+0.8/0.16)/(2*110e9*0.025), 1e-12)
	near(t, "pad as the flange", Give(wall, 0, 0, 110e9), Give(wall, 0, 0.1, 110e9), 1e-12)
	near(t, "block", Give(of([4]float64{0.4, 0.18, 0, 0}), 0.1, 0.1, 60e9), math.Log(1+0.36/0.1)/(2*60e9*0.1), 1e-12)
	if g := Give(wall, 0.2, 0.1, 110e9); g != 0 {
		t.Errorf("beside the wall %g", g)
	}
	// Against the elastic strip on a smooth base (Fourier integral): mean give λF/Et, λ = 1.32307 at H/c = 5; the
	// rule has the same to a third, as the wall over a foot bears on no base but hangs in its own shear.
	if lambda := Give(of([4]float64{0.02, 0.4, 0, 0}), 0, 0.16, 1) * 0.02; lambda < 0.6*1.32307 || lambda > 1.32307 {
		t.Errorf("λ %g", lambda)
	}
}
