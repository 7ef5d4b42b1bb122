package plan

import (
	"math"
	"slices"
	"testing"

	"footwork/supports"

	"gonum.org/v1/gonum/floats"
)

// Among many feet those without which programmes hold when checked are still planned with, though
// one with all of them does not.
func TestStepwiseGoesOn(t *testing.T) {
	task := someBed(t, 1, 8, true)
	p, err := newPlanner(&task, nil)
	if err != nil {
		t.Fatal(err)
	}
	const odd = 3
	feet := p.movable()
	l, err := p.carrying(feet)
	if err != nil || len(feet) <= mostExhaustive {
		t.Fatal(len(feet), err)
	}
	floats.Scale(1e-3, l.by[odd])
	l.loadBy[odd][0] = math.NaN()
	list := p.stepwise(feet)
	best := list[len(list)-1]
	if best == nil || !(best.value < p.zone(p.choose[0], l.height)/2) || slices.Contains(best.feet, odd) {
		t.Errorf("of %d feet: %+v", len(feet), best)
	}
}

// A raise goes to the nearest that its adjuster makes: a screw of 2 µm a notch its even ones, leaves of 50 and 80 µm 100, 130 and 160
// besides, and where the next stack is too thick the last one is.
func TestNearestNotch(t *testing.T) {
	shims := notchesOf(supports.Adjuster{Kind: supports.Shim}, supports.Goal{Shims: []float64{50 * um, 80 * um}, MostMove: 170 * um})
	screw := notches{step: 2 * um}
	for _, c := range []struct {
		n       notches
		v, want float64
	}{{shims, 70, 80}, {shims, -64, -50}, {shims, 117, 130}, {shims, 400, 160}, {shims, 20, 0}, {screw, 4.9, 4}, {screw, -5.1, -6}} {
		if got := c.n.nearest(c.v * um); math.Abs(got-c.want*um) > 1e-12 {
			t.Errorf("%g µm go to %g, want %g", c.v, got/um, c.want)
		}
	}
}

// Where nothing moves, doubts about loads count only when some foot is more likely too light than not.
func TestMayStay(t *testing.T) {
	task := someBed(t, 1, 4, true)
	p, err := newPlanner(&task, nil)
	if err != nil {
		t.Fatal(err)
	}
	for light, want := range map[int]bool{0: true, 1: true, 2: false, 3: false} { // of three draws
		var ends []state
		for i := range 3 {
			s := state{load: slices.Repeat([]float64{p.mean}, p.feet)}
			if i < light {
				s.load[5] = 0
			}
			ends = append(ends, s)
		}
		if got := p.mayStay(p.still(), ends); got != want {
			t.Errorf("light in %d of three draws: may stay %v", light, got)
		}
		moved := p.still()
		moved.raise[0] = um
		if p.mayStay(moved, ends) {
			t.Error("what moves may stay")
		}
	}
}
