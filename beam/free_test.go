package beam

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// A bed put together from its free parts stands as the solver says.
func TestFreeBedOnItsFeet(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBed(t)
		s := drawStanding(t, b.Length)
		for i := range s.Feet {
			s.Feet[i].Length = 0
		}
		v, err := NewSolver(b, s, coarse())
		if err != nil {
			t.Fatal(err)
		}
		st, err := v.Solve(Case{})
		if err != nil {
			t.Fatal(err)
		}
		f, err := NewFree(b, Draw{}, Options{Cells: 400, At: v.xs()})
		if err != nil {
			t.Fatal(err)
		}
		l := f.Under(nil, nil, s.Gradient)
		height := func(x, y float64) float64 {
			h := l.At(f.Spot(x), y) + st.rest.Rigid[0][0] + st.rest.Rigid[0][1]*x + st.rest.Rigid[0][2]*y
			for _, foot := range st.Feet() {
				h += foot.Load * f.Between(f.Spot(x), y, f.Spot(foot.At), foot.Offset)
			}
			return h
		}
		way := st.Way(0.3)
		for _, i := range []int{0, 7, 150, 300, len(way.X) - 1} {
			if d := height(way.X[i], 0.3) - way.Y[i]; math.Abs(d) > 1e-11 {
				t.Fatalf("at %g m off by %g m", way.X[i], d)
			}
		}
		x, u := 0.31*b.Length, 0.7*b.Length
		p, r := f.Arm(x)
		want, _ := f.sums.between(f.sums.pose(x), 0, f.sums.pose(u), 0)
		if got := p*u + r; math.Abs(got-want) > 1e-12*math.Abs(want) {
			t.Fatalf("arm %g, want %g", got, want)
		}
	})
}

func (v *Solver) xs() (x []float64) {
	for _, p := range v.points {
		x = append(x, p.x)
	}
	return x
}

// Whatever stands off a stretch, its heights by twist there are a sum of what Twisting says.
func TestTwistingSpansAllThatForcesDo(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBed(t)
		f, err := NewFree(b, Draw{}, Options{Cells: 400})
		if err != nil {
			t.Fatal(err)
		}
		lo := rapid.Float64Range(0.1, 0.5).Draw(t, "from") * b.Length
		hi := lo + rapid.Float64Range(0.1, 0.4).Draw(t, "long")*b.Length
		var at []Spot
		for _, x := range Even(lo, hi, 23) {
			at = append(at, f.Spot(x))
		}
		const y = 0.1
		rows := f.Twisting(at, y)
		basis := mat.NewDense(len(at), len(rows)+1, nil)
		for i := range at {
			basis.Set(i, 0, 1)
			for k, r := range rows {
				basis.Set(i, k+1, r[i]/max(floats.Norm(r, math.Inf(1)), 1e-300))
			}
		}
		var svd mat.SVD
		svd.Factorize(basis, mat.SVDThin)
		for _, x := range []float64{0, 0.5 * lo, lo, hi, (hi + b.Length) / 2, b.Length} {
			h := mat.NewVecDense(len(at), nil)
			for i, p := range at {
				_, twisted := f.sums.between(p.pose, y, f.sums.pose(x), -0.2)
				h.SetVec(i, twisted)
			}
			var c, left mat.VecDense
			svd.SolveVecTo(&c, h, svd.Rank(1e-13))
			left.MulVec(basis, &c)
			left.SubVec(&left, h)
			if off := mat.Norm(&left, math.Inf(1)); off > 1e-10*mat.Norm(h, math.Inf(1))+1e-20 {
				t.Fatalf("a force at %g m does %g m/N that is none of it, of %g", x, off, mat.Norm(h, math.Inf(1)))
			}
		}
	})
}
