package contact

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// part is a vector over all points of which few are not 0: their places, increasing, and
// values. The last is the point that depends on those before it.
type part struct {
	at []int
	of []float64
}

func (d part) dot(v []float64) (sum float64) {
	for k, i := range d.at {
		sum += d.of[k] * v[i]
	}
	return sum
}

// without takes out of v what it has of d.
func (d part) without(v []float64) {
	c := d.dot(v)
	for k, i := range d.at {
		v[i] -= c * d.of[k]
	}
}

// noise is what rounding leaves in the shares of a dependent point: on four rigid
// bearings under 1e-9, where the least true one is a third.
const noise = 1e-7

// setAside notes that point i depends on those before it: its row is Σ α of theirs.
func (f *factor) setAside(i int, alpha []float64, n int) {
	f.lowerT(alpha)
	d := make([]float64, n)
	d[i] = 1
	for b, v := range alpha {
		if math.Abs(v) > noise {
			d[f.index[b]] = -v
		}
	}
	for range 2 {
		for _, other := range f.free {
			other.without(d)
		}
		floats.Scale(1/floats.Norm(d, 2), d)
	}
	var own part
	for k, v := range d {
		if v != 0 {
			own.at, own.of = append(own.at, k), append(own.of, v)
		}
	}
	f.free = append(f.free, own)
}

// tell names the points whose forces are shared.
func (f *factor) tell(a *Answer) {
	for _, d := range f.free {
		for k, i := range d.at {
			if math.Abs(d.of[k]) > 1e-6 {
				a.Shared = append(a.Shared, i)
			}
		}
	}
	slices.Sort(a.Shared)
	a.Shared = slices.Compact(a.Shared)
}
