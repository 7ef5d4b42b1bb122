package section

import (
	"math"
	"testing"
)

// A box with all plates alike, b by h between the middles: k_d = 96D/(b+h), D = Et³/12, and ω = bh/4 at the corners, so
// that I_d = (bh/4)²·2t(b+h)/3; a middle wall makes the frame stiffer, a second plate on the deck the deck's corners.
func TestDistortionOfABox(t *testing.T) {
	const b, h, th = 0.6, 0.4, 0.02
	box := of([4]float64{b + th, th, 0, 0}, [4]float64{b + th, th, 0, h}, [4]float64{th, h - th, -b / 2, th}, [4]float64{th, h - th, b / 2, th})
	d, ok := Plates(box).Distort()
	if !ok {
		t.Fatal("not a box")
	}
	near(t, "frame", d.Frame, 96*th*th*th/12/(b+h), 1e-9)
	near(t, "warping", d.Warping, math.Pow(b*h/4, 2)*2*th*(b+h)/3, 1e-9)
	near(t, "shear", d.Shear, 5./6*2*th*b*b*h*h/(b+h), 1e-9)
	near(t, "both", d.Both, (h-b)/(2*th*b*b*h*h), 1e-9)
	middle, _ := Plates(append(box, of([4]float64{th, h - th, 0, th})...)).Distort()
	near(t, "three walls", middle.Frame, 48*th*th*th/12*(2/(h+b/2)+1/(h+b/4)), 1e-9)
	strips, _ := Plates(append(box, of([4]float64{0.1, 0.03, -b / 2, h + th}, [4]float64{0.1, 0.03, b / 2, h + th})...)).Distort()
	if strips.Warping < 1.05*d.Warping || strips.Warping > 1.5*d.Warping || strips.Frame != d.Frame {
		t.Errorf("way strips make I_d %.2f times", strips.Warping/d.Warping)
	}
	near(t, "a rib in shear", d.Brace(Rib{Thickness: 0.02, Height: h}, 40e9), 4*40e9*0.02*b*h, 1e-9)
	if d.Brace(Rib{Thickness: 0.02, Height: h / 2}, 40e9) > d.Brace(Rib{Thickness: 0.02, Height: h, Hole: 0.2}, 40e9) {
		t.Error("half a rib braces more than one with a hole")
	}
	for name, open := range map[string][]Plate{"no deck": append(box[:1:1], box[2:]...), "one wall": box[:3], "no floor": box[1:],
		"a deck of two plates": append(box[1:2:2], append(box[2:], of([4]float64{b, th, 0, h - th})...)...)} {
		if _, ok := Plates(open).Distort(); ok {
			t.Error(name, "is a box")
		}
	}
}
