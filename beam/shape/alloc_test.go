//go:build !race

package shape

import (
	"math"
	"testing"
)

// Under the race detector pools forget what they hold, so this is not for it.
func TestZoneAllocatesNothing(t *testing.T) {
	var x, y []float64
	for i := range 500 {
		x, y = append(x, float64(i)), append(y, math.Sin(float64(i*i)))
	}
	if n := testing.AllocsPerRun(100, func() { Zone(x, y) }); n >= 1 {
		t.Errorf("%v allocations a call", n)
	}
}
