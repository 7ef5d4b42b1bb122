package beam

// Shape is any run of heights along x: the common currency of the packages.
type Shape struct {
	X []float64 // m, increasing
	Y []float64 // m, or the unit that the context names
}

// At returns the height at x by straight lines between the given points,
// continued beyond the ends.
func (s Shape) At(x float64) float64 {
	if len(s.X) == 0 {
		panic("beam: At on an empty shape")
	}
	lo, hi := 0, len(s.X)-1
	for hi-lo > 1 {
		if mid := (lo + hi) / 2; s.X[mid] <= x {
			lo = mid
		} else {
			hi = mid
		}
	}
	return s.from(lo, x)
}

// from returns the height at x on the straight line that begins at a station.
func (s Shape) from(lo int, x float64) float64 {
	if len(s.X) == 1 {
		return s.Y[0]
	}
	t := (x - s.X[lo]) / (s.X[lo+1] - s.X[lo])
	return s.Y[lo] + t*(s.Y[lo+1]-s.Y[lo])
}

// Over returns the heights at places x, as At does: in one walk where they increase.
func (s Shape) Over(x []float64) []float64 {
	y, lo := make([]float64, len(x)), 0
	for i, at := range x {
		if i > 0 && at < x[i-1] {
			lo = 0
		}
		for lo+2 < len(s.X) && s.X[lo+1] <= at {
			lo++
		}
		y[i] = s.from(lo, at)
	}
	return y
}

// Minus returns s − o at the stations of s.
func (s Shape) Minus(o Shape) Shape {
	d := Shape{X: s.X, Y: o.Over(s.X)}
	for i, y := range s.Y {
		d.Y[i] = y - d.Y[i]
	}
	return d
}
