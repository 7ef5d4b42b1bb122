package contact

import "gonum.org/v1/gonum/floats"

// mostShort is how long vectors are that are worked on sooner without a call.
const mostShort = 24

// dot is floats.Dot, short of short vectors.
func dot(a, b []float64) float64 {
	if len(a) > mostShort {
		return floats.Dot(a, b[:len(a)])
	}
	return short(a, b)
}

func short(a, b []float64) (sum float64) {
	b = b[:len(a)]
	for i, v := range a {
		sum += v * b[i]
	}
	return sum
}

// less takes so many times another vector from one.
func less(a []float64, by float64, b []float64) {
	if len(a) > mostShort {
		floats.AddScaled(a, -by, b[:len(a)])
		return
	}
	b = b[:len(a)]
	for i := range a {
		a[i] -= by * b[i]
	}
}
