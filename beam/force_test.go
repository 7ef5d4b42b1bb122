package beam

import (
	"math"
	"testing"
)

// TestLinearAgreesWithRead rebuilds a state's heights from the forces of its feet.
func TestLinearAgreesWithRead(t *testing.T) {
	v, err := NewSolver(shopBed(4), pairs(4, 4, 9e8), Options{})
	if err != nil {
		t.Fatal(err)
	}
	dT := 0.7
	c := Case{Draw: Draw{Heights: []float64{0, 1e-5, -3e-5, 0, 2e-5, 0, -1e-5, 4e-5}, Bending: 1.2, Twist: 0.7, Gradient: &dT},
		Weights: []Weight{{At: 1.3, Offset: 0.1, Force: 900}}}
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
		h := base[a] + st.rest.Rigid[0][0] + st.rest.Rigid[0][1]*p.x[a] + st.rest.Rigid[0][2]*p.offset
		for i, f := range st.Feet() {
			h += unit[a][i] * f.Load
		}
		if math.Abs(h-want[a]) > 1e-12 {
			t.Errorf("place %d: %g, read %g", a, h, want[a])
		}
	}
}
