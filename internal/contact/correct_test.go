package contact

import (
	"math"
	"math/rand/v2"
	"testing"
)

// An answer that is a little off is mended by one correction, on either body; and what heights under load
// differ in scale from heights without is the determinant of H bordered by the balance, set against set.
func TestCorrectionMends(t *testing.T) {
	choose := rand.New(rand.NewPCG(11, 12))
	points, h, l := riding(choose, 20, false)
	var p Problem
	copy(p.Reset(points), h)
	p.prepare()
	p.fit(&p.more)
	var a Answer
	p.fit(&a)
	f := p.factorOf(a.On)
	p.glue(f, l, &a)
	p.gaps(l, &a)
	want := append([]float64(nil), a.Force...)
	for i := range a.Force {
		a.Force[i] += 1e-3 * choose.NormFloat64()
	}
	a.Rigid[0][1] += 1e-7
	a.Rigid[1][2] -= 1e-7
	p.gaps(l, &a)
	p.correct(f, l, &a)
	p.gaps(l, &a)
	for i, v := range want {
		if math.Abs(a.Force[i]-v) > 1e-9*(1+math.Abs(v)) || math.Abs(a.Gap[i]) > 1e-11*p.height {
			t.Errorf("point %d: %g N and %g m, want %g N and 0", i, a.Force[i], a.Gap[i], v)
		}
	}
}

// Of three points and a fourth the determinants of the bordered compliance, by hand: det [H E; Eᵀ 0] is −(det E)² for
// three; a fourth of compliance h that nothing else ties multiplies it by h + Σ over the three of h·(share)².
func TestLogDetOfAFourthFoot(t *testing.T) {
	var p Problem
	const h = 3e-9
	copy(p.Reset([]Point{{X: 0}, {X: 2, Y: -0.5}, {X: 2, Y: 0.5}, {X: 3, Y: 0}}), []float64{h, 0, 0, 0, 0, h, 0, 0, 0, 0, h, 0, 0, 0, 0, h})
	// at (3, 0): −1/2 of the first, 3/4 of each of the others
	want := math.Log(h * (1 + 0.25 + 2*0.5625))
	if got := p.LogDet([]bool{true, true, true, true}) - p.LogDet([]bool{true, true, true, false}); math.Abs(got-want) > 1e-9 {
		t.Errorf("%g, want %g", got, want)
	}
}

// Two rows of feet five millimetres apart still hold a bed upright; on one line nothing does.
func TestNarrowFeetHold(t *testing.T) {
	for wide, stands := range map[float64]bool{5e-3: true, 1e-10: false} {
		var p Problem
		points, h := []Point{{Y: -wide / 2}, {Y: wide / 2}, {X: 1, Y: -wide / 2}, {X: 1, Y: wide / 2}}, make([]float64, 16)
		for i := range points {
			h[5*i] = 1e-9
		}
		copy(p.Reset(points), h)
		var a Answer
		if err := p.Solve(Load{Built: make([]float64, 4), Resultant: [2][3]float64{{1000, 500, 1}}}, &a); (err == nil) != stands {
			t.Errorf("%g m apart: %v", wide, err)
		}
	}
}
