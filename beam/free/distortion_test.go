package free

import (
	"math"
	"testing"

	"footwork/beam/casting"
	"footwork/beam/section"
)

// A long beam on an elastic foundation that bends and shears, under a unit torque far from its ends,
// and by b twists besides: φ = (1/π)∫cos(qx)·(c + 2b − kb²/q²)/(q² + kc)dq, c = a + 1/EIq² (Fourier), at the torque and
// beside it.
func TestDistortionIsABeamOnAFoundation(t *testing.T) {
	bed := boxBed(t, 24)
	d := newDistortion(bed)
	box, _ := bed.Sections[0].Plates.Distort()
	k, ei, a, b := 110e9*box.Frame, 110e9*box.Warping, 1/(44e9*box.Shear), box.Both/44e9
	for _, x := range []float64{0, 0.5, 1.5} {
		sum, step := 0.0, 2e-3
		for i := range 400_000 {
			q := (float64(i) + 0.5) * step
			c := a + 1/(ei*q*q)
			sum += math.Cos(q*x) * (c + 2*b - k*b*b/q/q) / (q*q + k*c) * step
		}
		near(t, "φ_d", x, d.between(12+x, 12), sum/math.Pi, 0.02)
	}
	near(t, "reciprocal", 3, d.between(3, 20)/d.between(12, 12), d.between(20, 3)/d.between(12, 12), 1e-9)
	// Torques all along, as loads or one by one.
	at, torque := []float64{0, 3.3, 24}, []float64{1, -2, 3}
	for i, v := range d.under(at, torque) {
		near(t, "superposed", at[i], v, d.between(at[i], 0)-2*d.between(at[i], 3.3)+3*d.between(at[i], 24), 1e-9)
	}
}

// Where ribs stand a box hardly goes out of square: what it does there is what they give in shear; an open bed has no
// distortion, nor has one whose twist was measured.
func TestRibsKeepABoxSquare(t *testing.T) {
	rib := section.Rib{Thickness: 0.02, Height: 0.36, Bottom: 0.02}
	free, held := newDistortion(boxBed(t, 6)), newDistortion(boxBed(t, 6, casting.Rib{Rib: rib, From: 0, To: 6, Every: 0.5}))
	if a, b := held.between(3, 3), free.between(3, 3); a > 0.05*b {
		t.Errorf("held at a rib φ_d is %g of the free one", a/b)
	}
	if a, b := held.between(3, 3), held.between(3.25, 3.25); a > b {
		t.Errorf("at a rib %g, between ribs %g", a, b)
	}
	measured := boxBed(t, 6)
	measured.Sections[0].TwistGiven = true
	if newDistortion(measured) != nil || newDistortion(shopBed(4)) != nil {
		t.Error("no box, or one that was measured, goes out of square")
	}
}

// How far a box stands without a rib, between ribs and ends; nothing is said where no rib is given, or of an open bed.
func TestBareBox(t *testing.T) {
	rib := section.Rib{Thickness: 0.02, Height: 0.36, Bottom: 0.02}
	for _, c := range []struct {
		bed  casting.Bed
		want float64
	}{
		{boxBed(t, 6), 0}, {boxBed(t, 6, casting.Rib{Rib: rib, From: 1, To: 1}), 5}, {boxBed(t, 6, casting.Rib{Rib: rib, From: 0.5, To: 5.5, Every: 1}), 1}, {shopBed(4), 0},
	} {
		got, err := c.bed.Stretches()
		if err != nil {
			t.Fatal(err)
		}
		long := 0.0
		for _, s := range got {
			long = max(long, s.Bare)
		}
		near(t, "bare", c.want, long, c.want, 1e-9)
	}
}
