package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/beam/shape"
	"footwork/internal/unit"
	"footwork/supports"
)

const um = unit.UM

// someBed is an invented bed on pairs of feet, with a certain draw: heights of the feet
// and a form of each way.
func someBed(t testing.TB, seed uint64, pairs int, tied bool) Task {
	r := rand.New(rand.NewPCG(seed, 1))
	long := float64(pairs) * (0.8 + 0.3*r.Float64())
	bed := casting.Bed{Length: long, Material: casting.Material{Modulus: 100e9, ShearModulus: 40e9, Density: 7150, Expansion: 11e-6},
		Sections: []casting.Section{{To: long, Area: 0.045, Inertia: 9e-4, ShearArea: 0.02, Torsion: 3e-5, Depth: 0.45}},
		Ways:     []casting.Way{{Name: "front", Offset: -0.25}, {Name: "back", Offset: 0.25}}}
	s := beam.Standing{Name: "shop floor"}
	task := Task{Bed: bed, Tied: tied, Goal: supports.Goal{LeastLoad: 0.1, MostMove: 0.25e-3}}
	for i := range pairs {
		for side, y := range []float64{-0.24, 0.24} {
			s.Feet = append(s.Feet, beam.Foot{Name: fmt.Sprintf("%c%d", "FB"[side], i+1), At: long * (0.07 + 0.86*float64(i)/float64(pairs-1)), Offset: y, Stiffness: 6e8})
			task.Feet = append(task.Feet, supports.Adjuster{Kind: supports.Free})
		}
	}
	task.Standing = s
	var err error
	if task.Solver, err = beam.NewSolver(bed, s, beam.Options{Cells: 600}); err != nil {
		t.Fatal(err)
	}
	x := shape.Even(0.1, long-0.1, 30)
	task.Ways = []Way{{0, x}, {1, x}}
	task.Draws = []beam.Draw{drawn(r, task, 15*um)}
	return task
}

// drawn returns a draw of foot heights and forms.
func drawn(r *rand.Rand, t Task, spread float64) beam.Draw {
	var d beam.Draw
	for range t.Standing.Feet {
		d.Heights = append(d.Heights, spread*r.NormFloat64())
	}
	bow, at := 3*um*r.NormFloat64(), t.Bed.Length*(0.2+0.6*r.Float64())
	for range t.Ways {
		s := shape.Shape{X: t.Ways[0].X}
		hollow := 3 * um * r.Float64()
		for _, x := range s.X {
			u, v := 2*x/t.Bed.Length-1, (x-at)/(0.12*t.Bed.Length)
			s.Y = append(s.Y, bow*u*u-hollow*math.Exp(-v*v/2))
		}
		d.Form = append(d.Form, s)
	}
	return d
}

// about returns draws about the task's one: what a match leaves unsure.
func about(t Task, n int, heights float64) []beam.Draw {
	r := rand.New(rand.NewPCG(uint64(n), 3))
	one := t.Draws[0]
	var out []beam.Draw
	for range n {
		d := beam.Draw{Form: one.Form, Bending: math.Exp(0.1 * r.NormFloat64())}
		d.Twist = d.Bending
		k := math.Exp(0.2 * r.NormFloat64())
		for _, h := range one.Heights {
			d.Heights, d.Feet = append(d.Heights, h+heights*r.NormFloat64()), append(d.Feet, k)
		}
		out = append(out, d)
	}
	return out
}

func made(t testing.TB, task Task) Answer {
	t.Helper()
	a, err := Make(task)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// On bearings alone nothing can be moved, whatever is aimed at.
func TestBearingsAlone(t *testing.T) {
	for _, aim := range []supports.Aim{supports.Straight, supports.AtRest} {
		task := someBed(t, 1, 3, true)
		task.Goal.Aim, task.Feet, task.Standing.Feet = aim, nil, nil
		for _, y := range []float64{-0.24, 0.24} {
			task.Standing.Bearings = append(task.Standing.Bearings, beam.Bearing{To: task.Bed.Length, Offset: y, Stiffness: 1e9, Held: true})
		}
		var err error
		if task.Solver, err = beam.NewSolver(task.Bed, task.Standing, beam.Options{Cells: 600}); err != nil {
			t.Fatal(err)
		}
		for i := range task.Draws {
			task.Draws[i].Heights = nil
		}
		a, err := Make(task)
		if err != nil || len(a.Plans) != 1 || a.Recommended != 0 || !(a.Plans[0].Zone.Value > 0) {
			t.Errorf("%s: %v %+v", aim, err, a)
		}
	}
}
