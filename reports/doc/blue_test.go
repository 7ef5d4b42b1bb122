package doc

import (
	"math"
	"strings"
	"testing"

	"footwork/internal/unit"
	"footwork/reports"
)

// The words of the log for where a stiff master swings: even bearing, the middle two fifths
// only, all but these, the ends only, a hump and a hollow. What it prints where it was only moved to is no
// print of that place.
func TestSwing(t *testing.T) {
	for share, want := range map[float64]string{1 - 1/math.Sqrt2: "third", 0.46: "middle", 0.16: "quarter", 0: "end", 0.39: "third", 0.5: "middle", 0.11: "end"} {
		if got := swing(share); got != want {
			t.Errorf("%g is %q, not %q", share, got, want)
		}
	}
	w := reports.BlueWay{Length: 1, Steps: []reports.BlueStep{{At: 1, Prints: []reports.BluePrint{{From: 0.98, To: 1}, {From: 1.2, To: 1.5}}}}}
	if rows := blueTable(w).Rows; len(rows) != 1 || !strings.HasPrefix(asciiOf(rows[0][1].(Text), unit.Metric), "1200 to 1500") {
		t.Errorf("prints where it was moved to, and %v", rows)
	}
}
