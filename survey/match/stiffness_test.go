package match

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// TestSoften holds draws of the factor of all feet, on an ellipse that lies otherwise than they do, against quadrature along
// the beds that lie alike under load.
func TestSoften(t *testing.T) {
	m := example(t, false)
	c := m.newChain(m.sumUp(m.blocks), 1, 0)
	c.toMode(40)
	f := m.bend + 2
	c.mid[f], c.wide[f] = c.z[f]+0.5, 0.6
	at := slices.Clone(c.z)
	c.log = c.evaluate(at)
	const draws, n = 4000, 400
	var mean, square float64
	lo, hi := math.Inf(1), math.Inf(-1)
	for range draws {
		c.stiffen(f, f+1)
		x := c.z[f]
		mean, square = mean+x/draws, square+x*x/draws
		lo, hi = min(lo, x), max(hi, x)
	}
	top := c.evaluate(at)
	for _, k := range m.pivots {
		c.stands[k].note(m, at, c.soft)
	}
	soft := slices.Clone(c.soft)
	var sum, first, second float64
	for i := range n {
		z := slices.Clone(at)
		z[f] = lo + (hi-lo)*(1.4*float64(i)/(n-1)-0.2)
		m.soften(z, soft)
		for _, k := range m.pivots {
			c.stands[k].rise(m, soft, z)
		}
		w := math.Exp(c.evaluate(z) - top + c.scale())
		sum, first, second = sum+w, first+w*z[f], second+w*z[f]*z[f]
	}
	first /= sum
	v := second/sum - first*first
	t.Logf("%.3f ± %.3f, by quadrature %.3f ± %.3f", mean, math.Sqrt(square-mean*mean), first, math.Sqrt(v))
	if r := (square - mean*mean) / v; math.Abs(mean-first) > 0.1*math.Sqrt(v) || r < 0.85 || r > 1.18 {
		t.Errorf("a mean of %g, by quadrature %g ± %g; variance %g times that", mean, first, math.Sqrt(v), r)
	}
}

// TestScale holds the volume that heights have for one of heights under load against the
// determinant of differences, for feet of different give and for a bed of other stiffness, which lies as it did.
func TestScale(t *testing.T) {
	m := example(t, false)
	c := m.newChain(m.sumUp(m.blocks), 1, 0)
	c.toMode(40)
	d := c.stands[m.pivots[0]]
	feet := len(m.home[d.standing])
	under := func(z []float64) []float64 { // heights less what the feet give, but for G₀
		c.evaluate(z)
		u := make([]float64, feet)
		for i, p := range d.linear.Points {
			u[p.Foot] = m.value(z, m.home[d.standing][p.Foot]) - (d.give(m, c.soft, i)-notAll*p.Give)*d.at.Force[i]
		}
		return u
	}
	differ := func(z []float64) float64 {
		a := mat.NewDense(feet, feet, nil)
		for k := range feet {
			const step = 1e-6 // a twentieth of a nanometre: no foot lets go
			h := m.home[d.standing][k]
			up, down := append([]float64(nil), z...), append([]float64(nil), z...)
			up[h], down[h] = up[h]+step, down[h]-step
			column := minus(under(up), under(down))
			floats.Scale(1/(2*step*m.sd[h]), column)
			a.SetCol(k, column)
		}
		log, _ := mat.LogDet(a)
		return -log // of heights for heights under load
	}
	for name, change := range map[string][3]float64{"softer feet": {0, 0, -1.4}, "a stiffer bed": {1, 1.2, 0}, "all": {-0.7, 1, 0.6}} {
		z := append([]float64(nil), c.z...)
		was, lay := differ(z), under(z)
		c.evaluate(z)
		d.note(m, z, c.soft)
		d.lie(m, z)
		first := c.scale()
		floats.Add(z[m.bend:m.bend+3], change[:])
		z[m.bend+4] += 0.5
		soft := slices.Clone(c.soft)
		m.soften(z, soft)
		if !d.lie(m, z) {
			t.Fatal(name)
		}
		d.rise(m, soft, z)
		if far := minus(under(z), lay); floats.Norm(far, math.Inf(1)) > 1e-10 {
			t.Errorf("%s: under load feet stand %v m off", name, far)
		}
		is := differ(z)
		c.evaluate(z)
		if got, want := c.scale()-first, is-was; math.Abs(got-want) > 1e-4*math.Abs(want) || math.Abs(want) < 0.005 {
			t.Errorf("%s scale heights by exp %.6f, by differences %.6f", name, got, want)
		}
	}
}
