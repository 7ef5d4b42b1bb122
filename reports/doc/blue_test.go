package doc

import (
	"math"
	"testing"
)

// The words of the log for where a stiff master swings: even bearing, the middle two fifths
// only, all but these, the ends only, a hump and a hollow.
func TestSwing(t *testing.T) {
	for share, want := range map[float64]string{1 - 1/math.Sqrt2: "third", 0.46: "middle", 0.16: "quarter", 0: "end", 0.39: "third", 0.5: "middle", 0.11: "end"} {
		if got := swing(share); got != want {
			t.Errorf("%g is %q, not %q", share, got, want)
		}
	}
}
