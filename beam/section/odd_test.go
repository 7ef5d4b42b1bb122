package section

import (
	"math"
	"testing"
)

// The shear centre of an angle is where the middles of its legs meet (Timoshenko, thin sections); a gap of a third of a
// wall is an opening.
func TestAngleAndOpening(t *testing.T) {
	c := mustOf(t, of([4]float64{0.2, 0.01, 0, 0}, [4]float64{0.01, 0.19, -0.095, 0.01}))
	if math.Abs(c.ShearCentre+0.095) > 0.002 || math.Abs(c.ShearHeight-0.005) > 0.002 {
		t.Errorf("shear centre at %g, %g", c.ShearCentre, c.ShearHeight)
	}
	if c := mustOf(t, of([4]float64{0.02, 0.3, -0.013, 0}, [4]float64{0.02, 0.3, 0.013, 0})); c.Pieces != 2 {
		t.Errorf("%d pieces", c.Pieces)
	}
}

// A rib of half the height braces a quarter as much; a hole takes from bending as its height cubed; of bars a zigzag
// closes by its share of the length across, cubed.
func TestRibsInPart(t *testing.T) {
	box := Plates(of([4]float64{0.6, 0.02, 0, 0}, [4]float64{0.6, 0.02, 0, 0.4}, [4]float64{0.02, 0.38, -0.29, 0.02}, [4]float64{0.02, 0.38, 0.29, 0.02}))
	d, _ := box.Distort()
	near(t, "brace", d.Brace(Rib{Thickness: 0.02, Height: 0.2}, 1)/d.Brace(Rib{Thickness: 0.02, Height: 0.4}, 1), 0.25, 1e-9)
	whole, holed := Rib{Thickness: 0.02, Height: 0.3}, Rib{Thickness: 0.02, Height: 0.3, Hole: 0.2}
	near(t, "hold", 1/holed.Hold(0.5, 0, 1, math.Inf(1))*whole.Hold(0.5, 0, 1, math.Inf(1)), 27./19, 1e-9)
	bar := Rib{Thickness: 0.08, Height: 0.02}
	plate, _ := bar.Closing(box, 0.58, true)
	near(t, "closing", plate.Height, 0.02*math.Cbrt(0.08/0.58/math.Pow(2, 1.5)), 1e-9)
}
