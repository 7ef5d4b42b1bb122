package convex

import (
	"testing"

	"gonum.org/v1/gonum/mat"
)

// No answer leaves that breaks a row, has a multiplier of the wrong sign or on a row that is not met, or whose gradient
// is no sum of the rows: min ½x² − x/2 with x ≥ 1 has x = 1 and the multiplier ½.
func TestWrongAnswersAreRefused(t *testing.T) {
	p := Program{H: mat.NewSymDense(1, []float64{1}), C: []float64{-0.5}, In: mat.NewDense(1, 1, []float64{1}), B: []float64{1}}
	s := newScaled(p, []float64{1})
	for _, c := range []struct {
		x, u float64
		ok   bool
	}{{1, 0.5, true}, {0.9, 0.4, false}, {1.1, 0.6, false}, {1, 0.6, false}, {0.5, 0, false}, {1, -0.5, false}} {
		if err := s.check(p, Solution{X: []float64{c.x}, InMult: []float64{c.u}}); (err == nil) != c.ok {
			t.Errorf("x = %g, u = %g: %v", c.x, c.u, err)
		}
	}
	p.H = nil
	p.C[0] = 1
	for value, ok := range map[float64]bool{1: true, 1.001: false} {
		if p.closed(Solution{X: []float64{1}, InMult: []float64{1}, Value: value}) != ok {
			t.Errorf("an objective of %g beside a bound of 1", value)
		}
	}
}
