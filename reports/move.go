package reports

import (
	"fmt"
	"math"
	"strings"

	"footwork/internal/unit"
	"footwork/supports"
)

// Indicator is the name of the instrument that can stand beside a foot.
const Indicator = "indicator"

// MoveText writes a move as the log has it: "up 9°", "in 0.05 + 0.02 mm", "up 20.0 µm",
// and "to touch, then up 9°".
func MoveText(a supports.Adjuster, touch bool, raise float64, leaves []float64) string {
	text := amountText(a, raise, leaves)
	switch {
	case !touch:
		return text
	case raise == 0:
		return "to touch"
	}
	return "to touch, then " + text
}

func amountText(a supports.Adjuster, raise float64, leaves []float64) string {
	way, in := "up", "in"
	if raise < 0 {
		way, in = "down", "out"
	}
	switch {
	case a.Kind == supports.Screw && a.Rise > 0:
		return fmt.Sprintf("%s %.0f°", way, math.Abs(raise)/a.Rise*360)
	case a.Kind == supports.Shim && len(leaves) > 0:
		var list []string
		for _, l := range leaves {
			list = append(list, fmt.Sprintf("%.2f", l/unit.MM))
		}
		return in + " " + strings.Join(list, " + ") + " mm"
	}
	return way + " " + unit.Metric.Height().Text(math.Abs(raise))
}
