package supports

import (
	"math"
	"testing"

	"footwork/beam"
)

// levelBed is a bed on three or four pairs of soft feet.
func levelBed(t *testing.T, pairs int) (*beam.Solver, beam.Standing) {
	b := beam.Bed{Length: 4, Material: beam.Material{Modulus: 1e11, ShearModulus: 4e10, Density: 7200},
		Sections: []beam.Section{{To: 4, Area: 0.06, Inertia: 8e-4, ShearArea: 0.02, Torsion: 5e-5, Depth: 0.4}}}
	s := beam.Standing{Name: "floor"}
	for i := range pairs {
		for _, y := range []float64{-0.25, 0.25} {
			s.Feet = append(s.Feet, beam.Foot{At: 0.3 + 3.4*float64(i)/float64(pairs-1), Offset: y, Stiffness: 1e9})
		}
	}
	v, err := beam.NewSolver(b, s, beam.Options{Cells: 800})
	if err != nil {
		t.Fatal(err)
	}
	return v, s
}

func TestLevelFromScratch(t *testing.T) {
	v, s := levelBed(t, 4)
	l, err := Level(v, s)
	if err != nil {
		t.Fatal(err)
	}
	level, err := v.Solve(beam.Case{})
	if err != nil {
		t.Fatal(err)
	}
	weight := level.Weight()
	// On three feet statics alone tell the loads: moments about the centre vanish.
	var sum, mx, my float64
	for i, f := range s.Feet {
		sum, mx, my = sum+l.Loads[i], mx+l.Loads[i]*(f.At-2), my+l.Loads[i]*f.Offset
		if three := i == l.Three[0] || i == l.Three[1] || i == l.Three[2]; three != (l.Loads[i] > 0) {
			t.Errorf("foot %d carries %g N while the bed stands on %v", i, l.Loads[i], l.Three)
		}
	}
	for _, m := range []float64{sum - weight, mx, my} {
		if math.Abs(m) > 1e-6*weight {
			t.Errorf("on three feet the balance is off by %g", m)
		}
	}
	// Just touching, the others carry nothing yet; at the end the bed stands as if
	// all feet had been level from the beginning.
	touch := make([]float64, len(s.Feet))
	for i := range touch {
		touch[i] = -l.Drop[i]
	}
	st, err := v.Solve(beam.Case{Draw: beam.Draw{Heights: touch}})
	if err != nil {
		t.Fatal(err)
	}
	for i, f := range st.Feet() {
		if math.Abs(f.Load-l.Loads[i]) > 1e-3 {
			t.Errorf("just touching, foot %d carries %g N", i, f.Load)
		}
	}
	last := l.Turns[len(l.Turns)-1]
	for i, f := range level.Feet() {
		if math.Abs(last.Loads[i]-f.Load) > 1e-3 {
			t.Errorf("at the end foot %d carries %g N, level %g N", i, last.Loads[i], f.Load)
		}
	}
}

// By trying every three: none that stands safely hangs less out of shape.
func TestLevelHangsLeastOutOfShape(t *testing.T) {
	v, s := levelBed(t, 3)
	l, err := Level(v, s)
	if err != nil {
		t.Fatal(err)
	}
	weight := v.Linear(beam.Case{}).Resultant[0]
	for a := range s.Feet {
		for b := range a {
			for c := range b {
				three := [3]int{c, b, a}
				feet, err := standOnThree(v, s, three)
				if err != nil || min(feet[a].Load, feet[b].Load, feet[c].Load) < 0.06*weight {
					continue
				}
				var other Levelling
				other.take(feet, three)
				if farthest(other.Drop) < farthest(l.Drop)*(1-1e-9) {
					t.Errorf("on %v the others hang %.1f µm, on %v %.1f µm", three, 1e6*farthest(other.Drop), l.Three, 1e6*farthest(l.Drop))
				}
			}
		}
	}
}

// Three of four corners balance a uniform bed on a diagonal: nobody stands it so.
func TestLevelRefusesTheCorners(t *testing.T) {
	v, s := levelBed(t, 2)
	if l, err := Level(v, s); err == nil {
		t.Errorf("stood on %v with %v", l.Three, l.Loads)
	}
}
