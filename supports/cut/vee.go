package cut

import (
	"math"

	"gonum.org/v1/gonum/floats"

	"footwork/internal/convex"
)

// unit is the scale of heights in the programme, m.
const unit = 1e-6

// programme returns the depths of ways of which some are vees: least volume, with every
// depth ≥ 0.
func (in Task) programme() ([][][]float64, error) {
	p := in.setUp()
	sol, err := convex.Linear(p)
	if err != nil {
		return nil, err
	}
	depth := floats.ScaleTo(make([]float64, len(p.B)), -1, p.B) // n = In·z − B
	for i := range depth {
		for j, z := range sol.X {
			depth[i] += p.In.At(i, j) * z
		}
	}
	floats.Scale(unit, depth)
	out := make([][][]float64, len(in.Ways))
	for w, way := range in.Ways {
		for range way.faces() {
			out[w], depth = append(out[w], depth[:len(way.X):len(way.X)]), depth[len(way.X):]
		}
	}
	return out, nil
}

func (w Way) faces() int {
	if w.Vee == nil {
		return 1
	}
	return 2
}

// columns lays the unknowns out: where the plane of a way begins (A, B and, when tied, C),
// and where D and E of its line sideways stand, −1 without; parallel lines share E.
func (in Task) columns() (plane []int, sideways [][2]int, n int) {
	if in.tied() {
		n = 3
	}
	shared := -1
	for _, w := range in.Ways {
		plane = append(plane, 0)
		if !in.tied() {
			plane[len(plane)-1] = n
			n += 2
		}
		line := [2]int{-1, -1}
		if w.Vee != nil && w.Sideways != nil {
			line = [2]int{n, n + 1}
			n += 2
			if in.Parallel && shared >= 0 {
				line[1] = shared
				n--
			}
			shared = line[1]
		}
		sideways = append(sideways, line)
	}
	return plane, sideways, n
}

func (in Task) tied() bool { return in.Tied && len(in.Ways) > 1 }

// setUp returns the programme, a row for every station of every face of every way, in that
// order: In·z − B is what comes off there, in units.
func (in Task) setUp() convex.Program {
	plane, sideways, n := in.columns()
	p := convex.Program{C: make([]float64, n)}
	for w, way := range in.Ways {
		for k := range way.faces() {
			for i, x := range way.X {
				up, lean := way.normal(k)
				a := p.AtLeast(0)
				a[plane[w]], a[plane[w]+1] = -up, -up*in.along(x)
				if in.tied() {
					a[2] = -up * way.Offset
				}
				h := up * (way.Height[i] + unit) // of a way without a fault, too, there is something to be exact to
				if s := sideways[w]; s[0] >= 0 {
					a[s[0]], a[s[1]] = -lean, -lean*in.along(x)
					h += lean * way.Sideways[i]
				}
				p.B[len(p.B)-1] = -h / unit
				for j, v := range a {
					p.C[j] += way.weight(i) * max(way.width(k), leastWidth) * v
				}
			}
		}
	}
	return p
}

// leastWidth stands for the width of a way that has none given, m, so that it counts.
const leastWidth = 1e-3

// along makes x of the order of one.
func (in Task) along(x float64) float64 {
	first := in.Ways[0].X
	return (x - first[0]) / (first[len(first)-1] - first[0])
}

// normal returns the parts upwards and towards positive offset of a face's normal.
func (w Way) normal(flank int) (up, aside float64) {
	if w.Vee == nil {
		return 1, 0
	}
	n := w.Vee.Square(0, 1)
	return math.Cos(w.Vee.Flanks[flank]), n[flank]
}

// weight is how much of the way a station stands for, by straight lines between stations.
func (w Way) weight(i int) (long float64) {
	if i > 0 {
		long += (w.X[i] - w.X[i-1]) / 2
	}
	if i < len(w.X)-1 {
		long += (w.X[i+1] - w.X[i]) / 2
	}
	return long
}
