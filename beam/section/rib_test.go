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
		near(t, "zigzag", slanting(rib, walls, pitch, e, noShear)-own, want, 0.02)
	}
	// Walls of no give: 4EI_r·sin²α·cos α, best at tan²α = 2.
	stiff := of([4]float64{2, 50, -0.2, 0}, [4]float64{2, 50, 0.2, 0})
	for i := range stiff {
		stiff[i].Width = 0.39
	}
	near(t, "stiff walls", slanting(rib, stiff, 0.4, e, e/2.52), 4*8.8e6/math.Pow(2, 1.5), 0.02)
	holed := rib
	holed.Hole = 0.2
	near(t, "a hole of half the height", slanting(holed, stiff, 0.4, e, e/2.52)/slanting(rib, stiff, 0.4, e, e/2.52), 7./8, 0.01)
}

// The ladder: two walls 500 × 20 mm and ribs 400 × 15 mm every 0.4 m. A grillage without the walls' hold on the ribs has
// 135.8 kN·m² over 6 panels, 113.5 of it the walls': each rib at least G·J_r·b, J_r = 4.39·10⁻⁷ by ht³/3 less the ends.
// Held square, 1.8 times that and 4Et³b²·h³/12b_c³ of bending about the middle of the rib, b_c = 380 mm.
func TestLadderOfSquareRibs(t *testing.T) {
	const e, g, b, length = 110e9, 110e9 / 2.52, 0.4, 2.4
	walls := of([4]float64{0.02, 0.5, -0.2, 0}, [4]float64{0.02, 0.5, 0.2, 0})
	c := mustOf(t, walls)
	rib := Rib{Thickness: 0.015, Height: 0.4, Bottom: 0.05}
	free := (135.797e3 - g*c.Torsion) * length / 7
	bent := 4 * e * math.Pow(0.015, 3) * b * b * math.Pow(0.4, 3) / 12 / math.Pow(0.38, 3)
	k := rib.Square(walls, e, g, 0)
	near(t, "square", k, 1.8*free+bent, 0.03)
	near(t, "where they meet nothing twists", rib.Square(walls, e, g, c.Torsion)-k, g*c.Torsion*0.035*0.8, 1e-9)
	if holed := (Rib{Thickness: 0.015, Height: 0.4, Bottom: 0.05, Hole: 0.3}); holed.Square(walls, e, g, 0) > 0.8*k {
		t.Errorf("a hole leaves %g of %g", holed.Square(walls, e, g, 0), k)
	}
	// Through a middle wall each bay counts, twice as wide and eight times as stiff.
	three := append(walls, of([4]float64{0.02, 0.5, 0, 0})...)
	near(t, "three walls", rib.Square(three, e, g, 0), 1.8*free+2*bent/4*math.Pow(0.38/0.18, 3), 0.03)
	// A floor keeps the walls from sliding past each other: the bending is about it, (h+δ)³−δ³ for h³/4.
	floor := append(walls, of([4]float64{0.4, 0.02, 0, 0})...)
	near(t, "with a floor", rib.Square(floor, e, g, 0)-1.8*free, bent*4*(math.Pow(0.44, 3)-math.Pow(0.04, 3))/math.Pow(0.4, 3), 0.03)
}

// A trough of 400 × 500 mm between the middles, 20 mm thick, whose open side bars 15 mm high close, every 0.4 m: a Warren
// lattice 60 mm wide is a plate of ab²E/GD, D = d³/A_d + (a³/3)(1/A_o + 1/A_u), 1.84 mm with chords 60 × 40 mm and J
// 5.57·10⁻⁴ m⁴ by Bredt (Kollbrunner and Basler, 1969; in a plane grillage within 0.3 %); battens 100 mm wide with
// chords of no give are one of 0.5906 mm and J 2.141·10⁻⁴. Here the walls are the chords, which give a tenth as much as bars.
func TestLatticeAndBattens(t *testing.T) {
	const e, g = 110e9, 110e9 / 2.52
	trough := of([4]float64{0.02, 0.51, -0.2, -0.01}, [4]float64{0.02, 0.51, 0.2, -0.01}, [4]float64{0.42, 0.02, 0, -0.01})
	gj, slip := Rib{Thickness: 0.06, Height: 0.015, Bottom: 0.4925}.Slanting(trough, 0.4, e, g)
	near(t, "lattice", gj/g, 5.57155e-4, 0.03)
	near(t, "slip", slip, (0.4/0.00184185)/(0.4/0.00184185+1.4/0.02), 0.03)
	battens := Rib{Thickness: 0.1, Height: 0.015, Bottom: 0.4925}
	k := battens.Square(trough, e, g, 0) - 1.8*g*1e-3*0.015/3*0.4
	near(t, "battens", 1/(1/k*0.4*g+1.4/0.02/4/0.04), 2.14119e-4, 0.01) // with the cell's walls in series
	if bar, ok := battens.Closing(trough, 0.4, false); !ok || math.Abs(bar.Height-0.015*math.Cbrt(0.25)) > 1e-9 {
		t.Errorf("as a plate %+v", bar)
	}
	if _, ok := (Rib{Thickness: 0.015, Height: 0.1}).Closing(trough, 0.4, false); ok {
		t.Error("a rib that stands closes nothing")
	}
	// Between three walls the lattices of both bays close one cell, whose middle wall has no shear: 4A²/Σ(s/t) of it all.
	three := append(trough[:3:3], of([4]float64{0.02, 0.51, 0, -0.01})...)
	bay := Rib{Thickness: 0.06, Height: 0.015, Bottom: 0.4925, Between: [2]float64{-0.2, 0}}
	half, slip := bay.Slanting(three, 0.2, e, g)
	lattice := 4 * 0.2 * 0.2 * 0.25 * (1/half - (0.2/0.02+0.5/0.02)/(4*g*0.2*0.2*0.25)) // s/t of one bay, over G
	near(t, "two bays", 2*half, 4*0.16*0.25/(2*lattice+2*(0.2/0.02)/g+2*(0.5/0.02)/g), 0.01)
	near(t, "their slip", slip, lattice/(lattice+(0.2/0.02+0.5/0.02)/g), 0.01)
	box := append(trough, of([4]float64{0.42, 0.02, 0, 0.49})...)
	if _, slip := (Rib{Thickness: 0.06, Height: 0.015, Bottom: 0.4}).Slanting(box, 0.4, e, g); slip != 1 {
		t.Errorf("slip %g of a box", slip)
	}
}

// J that ribs add in solids of open beds (three-dimensional finite elements of 20-node hexahedra, as testdata/solid has
// them; from how four or six corner feet twist the bed): the bed's is right within 16 %, within 8 % where two girders
// are ribbed over their whole height and nothing joins them.
func TestSquareRibsOfSolids(t *testing.T) {
	const e, g = 110e9, 110e9 / 2.52
	girders := func(b, h, wall, flange, flangeHigh, way, wayHigh float64) (p []Plate) {
		for _, y := range []float64{-b / 2, b / 2} {
			p = append(p, of([4]float64{flange, flangeHigh, y, 0}, [4]float64{wall, h - flangeHigh, y, flangeHigh}, [4]float64{way, wayHigh, y, h})...)
		}
		return p
	}
	usual := girders(0.36, 0.36, 0.025, 0.1, 0.03, 0.09, 0.04)
	ways := of([4]float64{0.09, 0.04, -0.2, 0.4}, [4]float64{0.09, 0.04, 0.2, 0.4})
	for name, c := range map[string]struct {
		plates   []Plate
		rib      Rib
		perMetre float64
		solid    float64 // m⁴
		within   float64
	}{
		"bed a":       {usual, Rib{Thickness: 0.02, Height: 0.36}, 2.5, 6.77e-6, 0.08},
		"half ribs":   {usual, Rib{Thickness: 0.02, Height: 0.18}, 7 / 3.6, 0.25e-6, 0.16},
		"tall":        {girders(0.5, 0.6, 0.03, 0.12, 0.04, 0.11, 0.05), Rib{Thickness: 0.025, Height: 0.6}, 1.2, 15.4e-6, 0.08},
		"low":         {girders(0.7, 0.2, 0.03, 0.12, 0.03, 0.1, 0.04), Rib{Thickness: 0.02, Height: 0.2}, 2.25, 2.54e-6, 0.08},
		"dense":       {girders(0.4, 0.4, 0.02, 0.1, 0.025, 0.09, 0.04), Rib{Thickness: 0.018, Height: 0.4}, 16. / 3, 12.4e-6, 0.08},
		"wide flange": {girders(0.36, 0.36, 0.025, 0.24, 0.03, 0.09, 0.04), Rib{Thickness: 0.02, Height: 0.36}, 2.5, 11.0e-6, 0.08},
		"no flange": {append(of([4]float64{0.03, 0.4, -0.2, 0}, [4]float64{0.03, 0.4, 0.2, 0}), ways...),
			Rib{Thickness: 0.02, Height: 0.4}, 2.5, 5.95e-6, 0.08},
		"deck": {append(girders(0.4, 0.38, 0.025, 0.1, 0.03, 0.09, 0.05), of([4]float64{0.5, 0.03, 0, 0.38})...),
			Rib{Thickness: 0.02, Height: 0.38}, 7 / 3.6, 14.2e-6, 0.16},
		"floor": {of([4]float64{0.44, 0.025, 0, 0}, [4]float64{0.025, 0.36, -0.2, 0.025}, [4]float64{0.025, 0.36, 0.2, 0.025},
			[4]float64{0.09, 0.04, -0.2, 0.385}, [4]float64{0.09, 0.04, 0.2, 0.385}),
			Rib{Thickness: 0.02, Height: 0.3, Bottom: 0.025}, 7 / 3.6, 4.6e-6, 0.16},
		"three walls": {append(girders(0.6, 0.4, 0.025, 0.1, 0.03, 0.09, 0.04), of([4]float64{0.025, 0.4, 0, 0})...),
			Rib{Thickness: 0.02, Height: 0.4}, 10 / 4.5, 10.7e-6, 0.16},
	} {
		j := mustOf(t, c.plates).Torsion
		near(t, name, j+c.rib.Square(c.plates, e, g, j)*c.perMetre/g, j+c.solid, c.within)
	}
}

// A rib with a hole is that without less a rib of the hole's height there, for where plates join the walls it bends about them alike.
func TestSquareRibWithAHole(t *testing.T) {
	floor := of([4]float64{0.44, 0.025, 0, 0}, [4]float64{0.025, 0.36, -0.2, 0.025}, [4]float64{0.025, 0.36, 0.2, 0.025})
	k := func(r Rib) float64 { return r.Square(floor, 110e9, 44e9, 0) }
	rib, piece := Rib{Thickness: 0.02, Height: 0.3, Bottom: 0.025}, Rib{Thickness: 0.02, Height: 0.1, Bottom: 0.125}
	want := k(rib) - k(piece)
	rib.Hole = 0.1
	near(t, "K, N·m³", k(rib), want, 1e-9)
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
	Give := func(plates []Plate, offset, pad, e float64, over []Rib) float64 {
		give, _ := Plates(plates).Give(offset, pad, e, over)
		return give
	}
	wall := of([4]float64{0.1, 0.03, 0, 0}, [4]float64{0.025, 0.33, 0, 0.03}, [4]float64{0.09, 0.04, 0, 0.36})
	near(t, "wall", Give(wall, 0, 0.1, 110e9, nil), math.Log(1+0.8/0.16)/(2*110e9*0.025), 1e-12)
	near(t, "pad as the flange", Give(wall, 0, 0, 110e9, nil), Give(wall, 0, 0.1, 110e9, nil), 1e-12)
	near(t, "block", Give(of([4]float64{0.4, 0.18, 0, 0}), 0.1, 0.1, 60e9, nil), math.Log(1+0.36/0.1)/(2*60e9*0.1), 1e-12)
	if g := Give(wall, 0.2, 0.1, 110e9, nil); g != 0 {
		t.Errorf("beside the wall %g", g)
	}
	// Against the elastic strip on a smooth base (Fourier integral): mean give λF/Et, λ = 1.32307 at H/c = 5; the
	// rule has the same to a third, as the wall over a foot bears on no base but hangs in its own shear.
	if lambda := Give(of([4]float64{0.02, 0.4, 0, 0}), 0, 0.16, 1, nil) * 0.02; lambda < 0.6*1.32307 || lambda > 1.32307 {
		t.Errorf("λ %g", lambda)
	}
}

// What a casting gives besides over a foot beside its wall, µm/kN, in solids of an open bed with flanges of 240 mm and ribs
// of 20 mm (three-dimensional finite elements, mean of alike and opposite loads on both sides): beside the rib, between
// ribs, inward, with a thinner flange, a thicker wall, a higher one.
func TestGiveBesideTheWall(t *testing.T) {
	Give := func(plates []Plate, offset, pad, e float64, over []Rib) float64 {
		give, _ := Plates(plates).Give(offset, pad, e, over)
		return give
	}
	for _, c := range []struct {
		flange, wall, high, out float64
		rib                     bool
		solid                   float64
	}{
		{0.03, 0.025, 0.36, 0.03, false, 0.50}, {0.03, 0.025, 0.36, 0.07, false, 3.38}, {0.03, 0.025, 0.36, -0.07, false, 3.49},
		{0.03, 0.025, 0.36, 0.03, true, 0.42}, {0.03, 0.025, 0.36, 0.07, true, 2.65}, {0.03, 0.025, 0.36, -0.07, true, 0.25},
		{0.02, 0.025, 0.36, 0.07, false, 8.15}, {0.03, 0.04, 0.36, 0.07, false, 2.2}, {0.03, 0.025, 0.6, 0.07, false, 3.43},
	} {
		var plates []Plate
		for _, y := range []float64{-0.18, 0.18} {
			plates = append(plates, of([4]float64{0.24, c.flange, y, 0}, [4]float64{c.wall, c.high - c.flange, y, c.flange}, [4]float64{0.09, 0.04, y, c.high})...)
		}
		var over []Rib
		if c.rib {
			over = append(over, Rib{Thickness: 0.02, Height: c.high})
		}
		more := (Give(plates, 0.18+c.out, 0.1, 110e9, over) - Give(plates, 0.18, 0.1, 110e9, over)) * 1e9
		if math.Abs(more-c.solid) > max(0.26, 0.15*c.solid) {
			t.Errorf("%+v: %.2f µm/kN", c, more)
		}
		if left := (Give(plates, -0.18-c.out, 0.1, 110e9, over) - Give(plates, -0.18, 0.1, 110e9, over)) * 1e9; math.Abs(left-more) > 1e-9 {
			t.Errorf("%+v: on the other side %.2f", c, left)
		}
	}
	// A floor between two walls is held at both: built in, F·L³/192EI under its middle, I of the whole width that bends.
	floor := of([4]float64{2.02, 0.1, 0, 0}, [4]float64{0.02, 9, -1, 0.1}, [4]float64{0.02, 9, 1, 0.1})
	arm := 0.99
	bent := math.Pow(2*arm, 3) / (192 * 110e9 * (0.1 + 2*arm) * 1e-3 / 12)
	got := Give(floor, 0, 0.1, 110e9, nil) - Give(floor, -1, 0.1, 110e9, nil) - 0.25/(110e9*math.Pow(0.1*0.02, 1.5))
	near(t, "floor", got, bent, 0.03)
}

func slanting(r Rib, plates []Plate, pitch, e, g float64) float64 {
	gj, _ := r.Slanting(plates, pitch, e, g)
	return gj
}
