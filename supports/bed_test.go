package supports

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// rails is a made-up bed: each way is a rail of its own with rigid feet right under it,
// so that raised feet bend it to a natural cubic spline, straight beyond the outer feet.
type rails struct {
	at      []float64 // m, feet of each rail
	bending float64   // EI, N·m²
	load    float64   // N on each foot before any move
}

// spline returns heights at x and foot loads of a rail whose feet are raised by h.
func (b rails) spline(h, x []float64) (heights, loads []float64) {
	n := len(b.at)
	a, rhs := mat.NewDense(n, n, nil), mat.NewVecDense(n, nil)
	a.Set(0, 0, 1)
	a.Set(n-1, n-1, 1)
	for i := 1; i < n-1; i++ { // three-moment equation in w″
		l, r := b.at[i]-b.at[i-1], b.at[i+1]-b.at[i]
		a.Set(i, i-1, l/6)
		a.Set(i, i, (l+r)/3)
		a.Set(i, i+1, r/6)
		rhs.SetVec(i, (h[i+1]-h[i])/r-(h[i]-h[i-1])/l)
	}
	var m mat.VecDense
	if m.SolveVec(a, rhs) != nil {
		panic("spline")
	}
	for _, s := range x {
		i := 0
		for i < n-2 && s > b.at[i+1] {
			i++
		}
		l := b.at[i+1] - b.at[i]
		u, v := (b.at[i+1]-s)/l, (s-b.at[i])/l
		y := u*h[i] + v*h[i+1]
		if s >= b.at[0] && s <= b.at[n-1] {
			y += l * l / 6 * ((u*u*u-u)*m.AtVec(i) + (v*v*v-v)*m.AtVec(i+1))
		} else if s < b.at[0] {
			y += -l / 6 * m.AtVec(1) * (s - b.at[0])
		} else {
			y += l / 6 * m.AtVec(n-2) * (s - b.at[n-1])
		}
		heights = append(heights, y)
	}
	shear := func(i int) float64 { // EI·w‴ right of foot i
		if i < 0 || i >= n-1 {
			return 0
		}
		return b.bending * (m.AtVec(i+1) - m.AtVec(i)) / (b.at[i+1] - b.at[i])
	}
	for i := range n { // downward load on the foot: a foot raised alone gains
		loads = append(loads, b.load+shear(i)-shear(i-1))
	}
	return heights, loads
}

// task returns an adjustment of two rails whose measured heights are given: feet 0 … n−1
// under the first way, n … 2n−1 under the second.
func (b rails) task(x []float64, measured [2][]float64, tied bool) Task {
	n := len(b.at)
	t := Task{Tied: tied, Goal: Goal{Allow: Either, MostMove: math.Inf(1)}}
	t.Influence.Load = make([][]float64, 2*n)
	for w := range 2 {
		name := []string{"front", "back"}[w]
		t.Ways = append(t.Ways, Measured{Name: name, Offset: float64(w)*0.5 - 0.25, X: x, Height: measured[w]})
		t.Influence.Ways = append(t.Influence.Ways, WayInfluence{Name: name, X: x, Height: make([][]float64, 2*n)})
	}
	for f := range 2 * n {
		t.Influence.Feet = append(t.Influence.Feet, []string{"F", "B"}[f/n]+string(rune('1'+f%n)))
		t.Influence.Loads = append(t.Influence.Loads, b.load)
		t.Adjusters = append(t.Adjusters, Adjuster{})
		raise := make([]float64, n)
		raise[f%n] = 1
		h, l := b.spline(raise, x)
		t.Influence.Ways[f/n].Height[f] = h
		t.Influence.Ways[1-f/n].Height[f] = make([]float64, len(x))
		t.Influence.Load[f] = make([]float64, 2*n)
		for i := range n {
			t.Influence.Load[f][f/n*n+i] = l[i] - b.load
		}
	}
	t.Settle = func(raise []float64) (s Settled, err error) {
		for w := range 2 {
			h, l := b.spline(raise[w*n:(w+1)*n], x)
			s.Ways, s.Loads = append(s.Ways, h), append(s.Loads, l...)
		}
		for _, l := range s.Loads {
			s.Lifted = append(s.Lifted, l <= 0)
		}
		return s, nil
	}
	return t
}

func stations(n int, long float64) []float64 {
	x := make([]float64, n)
	for i := range x {
		x[i] = long * float64(i) / float64(n-1)
	}
	return x
}

// wavy returns smooth random heights of some micrometres.
func wavy(r *rand.Rand, x []float64) []float64 {
	h := make([]float64, len(x))
	for k := 1; k <= 5; k++ {
		a, p := 4e-6*r.NormFloat64()/float64(k), 6*r.Float64()
		for i := range x {
			h[i] += a * math.Sin(float64(k)*x[i]*1.1+p)
		}
	}
	return h
}

var bay = rails{at: []float64{0.3, 1.4, 2.5, 3.6}, bending: 4e6, load: 5000}

// A foot raised alone gains load and the loads sum to the weight; the moments balance.
func TestRails(t *testing.T) {
	for f := range bay.at {
		raise := make([]float64, len(bay.at))
		raise[f] = 1e-5
		h, l := bay.spline(raise, bay.at)
		sum, moment := 0.0, 0.0
		for i := range l {
			if math.Abs(h[i]-raise[i]) > 1e-18 {
				t.Errorf("foot %d stands at %g", i, h[i])
			}
			sum, moment = sum+l[i]-bay.load, moment+(l[i]-bay.load)*bay.at[i]
		}
		if l[f] <= bay.load || math.Abs(sum) > 1e-6 || math.Abs(moment) > 1e-6 {
			t.Errorf("foot %d: loads %v", f, l)
		}
	}
}
