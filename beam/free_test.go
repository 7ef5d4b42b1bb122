package beam

import (
	"math"
	"testing"

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
		f, err := NewFree(b, Options{Cells: 400, At: v.xs()})
		if err != nil {
			t.Fatal(err)
		}
		l := f.Under(nil, nil, s.Gradient)
		height := func(x, y float64) float64 {
			bent, turned := l.At(f.Spot(x), y)
			h := bent + turned + st.answer.Rigid[0][0] + st.answer.Rigid[0][1]*x + st.answer.Rigid[0][2]*y
			for _, foot := range st.Feet() {
				bent, twisted := f.Between(f.Spot(x), y, f.Spot(foot.At), foot.Offset)
				h += foot.Load * (bent + twisted)
			}
			return h
		}
		way := st.Way(0.3)
		for _, i := range []int{0, 7, 150, 300, len(way.X) - 1} {
			if d := height(way.X[i], 0.3) - way.Y[i]; math.Abs(d) > 1e-11 {
				t.Fatalf("at %g m off by %g m", way.X[i], d)
			}
		}
	})
}

func (v *Solver) xs() (x []float64) {
	for _, p := range v.points {
		x = append(x, p.x)
	}
	return x
}
