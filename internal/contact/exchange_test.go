package contact

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// A factor that points were dropped from and added to is that of its set made anew.
func TestExchangedFactorIsItsSets(t *testing.T) {
	choose := rand.New(rand.NewPCG(4, 4))
	points, h, l := riding(choose, 60, false)
	n := len(points)
	var p Problem
	copy(p.Reset(points), h)
	p.prepare()
	on := make([]bool, n)
	for i := range on {
		on[i] = i%3 > 0
	}
	for f := p.factorOf(on); !t.Failed(); {
		p.wrong = p.wrong[:0]
		for _, i := range choose.Perm(n)[:1+choose.IntN(6)] {
			on[i] = !on[i]
			p.wrong = append(p.wrong, i)
		}
		if choose.IntN(200) == 0 {
			break
		}
		f = p.exchanged(f, on)
		var fresh, updated Answer
		p.fit(&fresh)
		p.fit(&updated)
		p.glue(f, l, &updated)
		p.glue(p.factorOf(on), l, &fresh)
		for i, want := range fresh.Force {
			if got := updated.Force[i]; math.Abs(got-want) > 1e-6*(1+math.Abs(want)) {
				t.Errorf("point %d carries %g, with a factor made anew %g", i, got, want)
			}
		}
	}
}

// riding returns n points at random, the latter half of them of a rider; with twins every
// fifth is one with the point before it.
func riding(choose *rand.Rand, n int, twins bool) (points []Point, h []float64, l Load) {
	h, root := make([]float64, n*n), make([]float64, n*n)
	for i := range root {
		root[i] = choose.NormFloat64() * 1e-5
	}
	l = Load{Built: make([]float64, n), Resultant: [2][3]float64{{5, 10, 2}, {3, 6, 1}}}
	for i := range n {
		points = append(points, Point{X: choose.Float64() * 4, Y: choose.Float64(), Body: i * 2 / n})
		if twins && i%5 == 1 {
			points[i] = points[i-1]
			copy(root[i*n:(i+1)*n], root[(i-1)*n:])
		}
		l.Built[i] = choose.NormFloat64() * 1e-6
		for j := range n {
			h[i*n+j] = dot(root[i*n:(i+1)*n], root[j*n:])
		}
	}
	return points, h, l
}

// A rider laid down after another rests, to the last bit, as one laid down first.
func TestRideIsReset(t *testing.T) {
	for _, twins := range []bool{false, true} {
		rideIsReset(t, twins)
	}
}

func rideIsReset(t *testing.T, twins bool) {
	points, h, l := riding(rand.New(rand.NewPCG(4, 5)), 60, twins)
	n := len(points)
	var after Problem
	for _, cells := range []int{20, 30, 10} { // of the rider
		var first Problem
		var answers [2]Answer
		m := n/2 + cells
		for k, to := range [][]float64{first.Reset(points[:m]), after.Ride(points[:m])} {
			for i := range m {
				copy(to[i*m:(i+1)*m], h[i*n:])
			}
			on := make([]bool, m)
			for i := range on {
				on[i] = i%7 > 0
			}
			answers[k].On = on
			if err := []*Problem{&first, &after}[k].Glue(Load{l.Built[:m], l.Resultant}, &answers[k]); err != nil {
				t.Fatal(err)
			}
			if twins != (len(answers[k].Shared) > 0) {
				t.Errorf("%d points share forces", len(answers[k].Shared))
			}
		}
		if !slices.Equal(answers[0].Force, answers[1].Force) {
			t.Errorf("%d cells press otherwise after others", cells)
		}
	}
}
