package plan

import (
	"math"
	"slices"
	"testing"

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
