//go:build !race

package beam

import "testing"

// Under the race detector pools forget what they hold, so this is not for it.
func TestZoneAllocatesNothing(t *testing.T) {
	s := bumpyShape(500)
	if n := testing.AllocsPerRun(100, func() { Zone(s.X, s.Y) }); n >= 1 {
		t.Errorf("%v allocations a call", n)
	}
}
