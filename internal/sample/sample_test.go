package sample

import (
	"math"
	"math/rand/v2"
	"testing"
)

// The quantiles of many normal numbers are those of tables: 0 and ∓1.960.
func TestSpreadOfNormal(t *testing.T) {
	r, v := rand.New(rand.NewPCG(1, 2)), make([]float64, 200_000)
	for i := range v {
		v[i] = r.NormFloat64()
	}
	s := RangeOf(v)
	for _, c := range [][2]float64{{s.Value, 0}, {s.Low, -1.95996}, {s.High, 1.95996}} {
		if math.Abs(c[0]-c[1]) > 0.02 {
			t.Errorf("%g, not %g", c[0], c[1])
		}
	}
}

// The ends of a range hold one more of the kind in 95 of 100, however few it was made of:
// for any distribution an order statistic promises that (Wilks 1941). From fewer than 39
// values no two of them hold so much: then all of them are within.
func TestRangeHoldsTheNext(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for _, n := range []int{48, 200} {
		const tries = 4000
		held := 0
		for range tries {
			v := make([]float64, n)
			for i := range v {
				v[i] = math.Exp(r.NormFloat64())
			}
			if a, next := RangeOf(v), math.Exp(r.NormFloat64()); a.Low <= next && next <= a.High {
				held++
			}
		}
		if share := float64(held) / tries; math.Abs(share-0.95) > 4*math.Sqrt(0.95*0.05/tries) {
			t.Errorf("of %d values: %.3f held", n, share)
		}
	}
	if a := RangeOf([]float64{3, 1, 2}); a != (Range{Value: 2, Low: 1, High: 3}) {
		t.Errorf("of three values: %+v", a)
	}
}
