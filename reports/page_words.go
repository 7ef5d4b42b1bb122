package reports

import "math"

// niceStep returns the smallest of 1, 2, 5 times a power of ten that is not
// under least.
func niceStep(least float64) float64 {
	if least <= 0 {
		return 1
	}
	ten := math.Pow(10, math.Floor(math.Log10(least)))
	for _, m := range []float64{1, 2, 5} {
		if m*ten >= least*(1-1e-9) {
			return m * ten
		}
	}
	return 10 * ten
}

// count returns "8 feet", or "5 feet, one foot at the left end".
func (p Placement) count() string {
	n := plural(len(p.Feet), "foot", "feet")
	if p.Pattern == "pairs" {
		return n
	}
	return n + ", " + p.Pattern
}
