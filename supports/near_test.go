package supports

import (
	"math"
	"testing"
)

func parabola(x []float64, c float64) []float64 {
	return lessCrown(x, make([]float64, len(x)), -c)
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > within {
		t.Errorf("%s: %g, want %g", what, got, want)
	}
}
