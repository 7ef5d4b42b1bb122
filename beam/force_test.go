package beam

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"footwork/beam/casting"
)

// TestLinearAgreesWithRead rebuilds a state's heights from the forces of its feet.
func TestLinearAgreesWithRead(t *testing.T) {
	v, err := NewSolver(shopBed(4), pairs(4, 4, 9e8), Options{})
	if err != nil {
		t.Fatal(err)
	}
	dT := 0.7
	c := Case{Draw: Draw{Heights: []float64{0, 1e-5, -3e-5, 0, 2e-5, 0, -1e-5, 4e-5}, Bending: 1.2, Twist: 0.7, Gradient: &dT},
		Weights: []casting.Weight{{At: 1.3, Offset: 0.1, Force: 900}}}
	st, err := v.Solve(c)
	if err != nil {
		t.Fatal(err)
	}
	p := v.Probe([]float64{0.2, 1.1, 2.77, 3.9}, 0.25)
	at, l := v.LinearAt(p, c), v.Linear(c)
	want := st.Read(p)
	unit, base := at.Of(c.Draw)
	var sum float64
	for i, f := range st.Feet() {
		sum += f.Load * l.Points[i].X
	}
	if math.Abs(sum-l.Resultant[1]) > 1e-9*sum {
		t.Errorf("moment of the feet %g, of the weights %g", sum, l.Resultant[1])
	}
	for a := range want {
		h := base[a] + st.answer.Rigid[0][0] + st.answer.Rigid[0][1]*p.X[a] + st.answer.Rigid[0][2]*p.Offset
		for i, f := range st.Feet() {
			h += unit[a][i] * f.Load
		}
		if math.Abs(h-want[a]) > 1e-12 {
			t.Errorf("place %d: %g, read %g", a, h, want[a])
		}
	}
}

// A foot with length is as stiff as the same foot without: under a stiff bed all sink by load over k.
func TestFootWithLengthIsNoStiffer(t *testing.T) {
	b := shopBed(4)
	b.Material.Modulus, b.Material.ShearModulus = 1e17, 1e17
	for _, length := range []float64{0, 0.1} {
		s := pairs(4, 2, 5e8)
		for i := range s.Feet {
			s.Feet[i].Length = length
		}
		st := solve(t, b, s, Case{}, Options{})
		near(t, "sink", length, -st.Way(0).At(2), st.Weight()/4/5e8, 1e-4)
	}
}

// A draw's factors: twice the stiffness against twist halves what a torque does and leaves bending alone, and the
// other way about.
func TestFactorsOfADraw(t *testing.T) {
	b := shopBed(4)
	b.Material.Density = 1e-9
	s := pairs(4, 2, math.Inf(1))
	for i := range s.Feet {
		s.Feet[i].Held = true
	}
	turn := []casting.Weight{{At: 2, Offset: -0.25, Force: 1e4}, {At: 2, Offset: 0.25, Force: -1e4}}
	bend := []casting.Weight{{At: 2, Force: 1e4}}
	v := solverOf(t, b, s, coarse())
	at := func(d Draw, w []casting.Weight, y float64) float64 {
		st, err := v.Solve(Case{Draw: d, Weights: w})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "by sums", y, st.Read(v.Probe([]float64{2}, y))[0], st.Way(y).At(2), 1e-9)
		return st.Way(y).At(2)
	}
	near(t, "twist", 2, at(Draw{Twist: 2, Bending: 3}, turn, 0.25), at(Draw{}, turn, 0.25)/2, 1e-6)
	near(t, "bending", 2, at(Draw{Twist: 2, Bending: 3}, bend, 0.25), at(Draw{}, bend, 0.25)/3, 1e-6)
	warm := 1.0
	near(t, "heat is no stiffness", 2, at(Draw{Bending: 3, Gradient: &warm}, nil, 0), at(Draw{Gradient: &warm}, nil, 0), 1e-6)
}

// No forces in balance give energy away, by bending or by twist alone, where sections change beside wide feet: else
// contact has no answer once one of the two is soft.
func TestComplianceTakesWork(t *testing.T) {
	b := casting.Bed{Length: 0.46, Ways: []casting.Way{{Name: "front"}}, Material: casting.Material{Modulus: 1e11, ShearModulus: 4e10, Density: 7200}}
	for i, wall := range []float64{0.004, 0.012} {
		s, err := casting.FromPlates(plates([4]float64{wall, 0.09, -0.045, 0}, [4]float64{wall, 0.09, 0.045, 0}, [4]float64{0.09 + wall, wall, 0, 0.09}))
		if err != nil {
			t.Fatal(err)
		}
		s.From, s.To = []float64{0, 0.152}[i], []float64{0.152, 0.46}[i]
		b.Sections = append(b.Sections, s)
	}
	s := pairs(0.46, 12, 1e12)
	for i := range s.Feet {
		s.Feet[i].Offset *= 0.045 / 0.24
	}
	v, err := NewSolver(b, s, Options{})
	if err != nil {
		t.Fatal(err)
	}
	l, n := v.Linear(Case{}), len(v.points)
	balance := mat.NewDense(n, 3, nil)
	for i, p := range l.Points {
		balance.SetRow(i, []float64{1, p.X, p.Y})
	}
	var qr mat.QR
	qr.Factorize(balance)
	var q mat.Dense
	qr.QTo(&q)
	free := q.Slice(0, n, 3, n)
	for what, h := range map[string]*mat.SymDense{"bending": v.bent, "twist": v.twisted} {
		var within, all mat.Dense
		all.Mul(free.T(), h)
		within.Mul(&all, free)
		var e mat.EigenSym
		if !e.Factorize(mat.NewSymDense(n-3, within.RawMatrix().Data), false) {
			t.Fatal("no eigenvalues")
		}
		values := e.Values(nil)
		if values[0] < -1e-12*values[n-4] {
			t.Errorf("%s: least %g of %g m/N", what, values[0], values[n-4])
		}
	}
}
