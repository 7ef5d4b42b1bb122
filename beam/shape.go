package beam

// Shape is any run of heights along x: the common currency of the packages.
type Shape struct {
	X []float64 // m, increasing
	Y []float64 // m, or the unit that the context names
}

// At returns the height at x by straight lines between the given points,
// continued beyond the ends.
func (s Shape) At(x float64) float64 {
	n := len(s.X)
	switch n {
	case 0:
		panic("beam: At on an empty shape")
	case 1:
		return s.Y[0]
	}
	lo, hi := 0, n-1
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; s.X[mid] <= x {
			lo = mid
		} else {
			hi = mid
		}
	}
	t := (x - s.X[lo]) / (s.X[hi] - s.X[lo])
	return s.Y[lo] + t*(s.Y[hi]-s.Y[lo])
}

// Minus returns s − o at the stations of s.
func (s Shape) Minus(o Shape) Shape {
	d := Shape{X: s.X, Y: make([]float64, len(s.X))}
	for i, x := range s.X {
		d.Y[i] = s.Y[i] - o.At(x)
	}
	return d
}
