package main

import (
	"fmt"
	"math"
	"strings"

	"footwork/beam/section"
)

// drawSection draws plates as seen from the end of the bed, a sign of a terminal
// being twice as high as wide, with the sizes of all beside · show writes a length.
func drawSection(plates []section.Plate, show func(float64) string) []string {
	const columns, mostRows = 56, 24
	left, right, top := math.Inf(1), math.Inf(-1), 0.0
	for _, p := range plates {
		left, right, top = min(left, p.Offset-p.Width/2), max(right, p.Offset+p.Width/2), max(top, p.Bottom+p.Height)
	}
	cell := max((right-left)/columns, top/2/mostRows) // m across one sign
	wide, high := max(1, int(math.Round((right-left)/cell))), max(1, int(math.Round(top/cell/2)))
	lines := make([]string, 0, high+2)
	for row := high - 1; row >= 0; row-- {
		line := []byte(strings.Repeat(" ", wide))
		for _, p := range plates {
			if lo, hi := signs(p.Bottom, p.Bottom+p.Height, 2*cell, high); lo <= row && row < hi {
				from, to := signs(p.Offset-p.Width/2-left, p.Offset+p.Width/2-left, cell, wide)
				copy(line[from:to], strings.Repeat("#", to-from))
			}
		}
		lines = append(lines, "  "+strings.TrimRight(string(line), " "))
	}
	return append(lines, "", fmt.Sprintf("  the section from its end: %s wide, %s high", show(right-left), show(top)))
}

// signs returns which of n signs a stretch takes up: one at least.
func signs(from, to, cell float64, n int) (lo, hi int) {
	lo = min(max(0, int(math.Round(from/cell))), n-1)
	return lo, min(n, max(lo+1, int(math.Round(to/cell))))
}
