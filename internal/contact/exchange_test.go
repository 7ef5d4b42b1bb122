package contact

import (
	"math"
	"math/rand/v2"
	"testing"
)

// A factor that points were dropped from and added to is that of its set made anew.
func TestExchangedFactorIsItsSets(t *testing.T) {
	choose := rand.New(rand.NewPCG(4, 4))
	const n = 60
	points := make([]Point, n)
	for i := range points {
		points[i] = Point{X: choose.Float64() * 4, Y: choose.Float64(), Body: i * 2 / n} // half of them of a rider
	}
	var p Problem
	h, root := p.Reset(points), make([]float64, n*n)
	for i := range root {
		root[i] = choose.NormFloat64() * 1e-5
	}
	for i := range n {
		for j := range n {
			h[i*n+j] = dot(root[i*n:(i+1)*n], root[j*n:])
		}
	}
	p.prepare()
	on := make([]bool, n)
	for i := range on {
		on[i] = i%3 > 0
	}
	l := Load{Built: make([]float64, n), Resultant: [2][3]float64{{5, 10, 2}, {3, 6, 1}}}
	for i := range l.Built {
		l.Built[i] = choose.NormFloat64() * 1e-6
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
