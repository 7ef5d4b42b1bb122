package turn

import (
	"fmt"
	"math"
	"testing"

	"footwork/supports"
	"footwork/survey/log"
)

// levelled is a bed on level feet, all of which carry, the third in hand and raised by so much, seen
// from a place.
func levelled(t *testing.T, raise float64) *Session {
	in := lowPair(t, 100*um)
	in.Goal.LeastLoad, in.Locks, in.ByLock, in.Nuts = 0.15, true, 6*um, map[int]LockNut{2: {SD: um / 10}}
	for i := range in.Draws {
		in.Draws[i].Heights = make([]float64, len(in.Standing.Feet))
	}
	s, err := Begin(in)
	if err != nil {
		t.Fatal(err)
	}
	at(t, s, Card{Kind: Step}, 2, Place{0, 0.8})
	s.step = s.onward(*s.step, raise)
	s.lately, s.loose[2], s.tried, s.lights = 2, true, true, s.lightIf(0)
	if err := s.move(move{foot: 2, raise: raise, sd: 1e-9}); err != nil {
		t.Fatal(err)
	}
	s.last = nil
	return s
}

// A foot that went light in a visit carries again before the foot in hand is left: that is turned back
// by as much as it takes, or on where it is light itself, a few times at most and never beyond its
// thread. What was light before is no fault of the visit.
func TestLightFeetAreMended(t *testing.T) {
	for _, far := range []float64{60 * um, -45 * um} {
		s := levelled(t, far)
		lightened, was := s.lightIf(0), s.lights
		if s.lights = lightened; far > 0 && s.mend() {
			t.Errorf("what was light before is mended: %+v", s.Card())
		}
		s.lights = was
		s.in.Task.Feet[2].Left = &supports.Thread{Up: far, Down: -far}
		if s.mend() {
			t.Errorf("beyond its thread: %+v", s.Card())
		}
		s.in.Task.Feet[2].Left = nil
		for f := range s.beds.Feet {
			s.beds.Feet[f].Rated = 1 // N
		}
		if s.mend() {
			t.Errorf("beyond its rating: %+v", s.Card())
		}
		for f := range s.beds.Feet {
			s.beds.Feet[f].Rated = 0
		}
		if s.began = s.stands(2); s.mend() && far > 0 {
			t.Errorf("turned far beyond what the visit did: %+v", s.Card())
		}
		if s.began = 0; !s.mend() {
			t.Fatalf("%v went light, asked is %+v", lightened, s.Card())
		}
		c := s.Card()
		f := s.foot(c.Lightened)
		if c.Foot != "F2" || f < 0 || lightened[f] < 0.5 || c.Raise*far >= 0 || math.Abs(c.Raise) > math.Abs(far) {
			t.Errorf("raised by %.0f µm: %+v", far/um, c)
		}
		if own := f == 2; own != (far < 0) {
			t.Errorf("raised by %.0f µm, and %s went light", far/um, c.Lightened)
		}
		if left := s.lightIf(s.step.Raise)[f]; left > lightened[f]/2 {
			t.Errorf("%s is light still in %.2f of the beds", c.Lightened, left)
		}
		if s.done = s.first + mends; s.mend() {
			t.Errorf("once more: %+v", s.Card())
		}
	}
}

// A foot that carried and is felt to hang, other than the one in hand, comes before all that is planned.
func TestFallenComesFirst(t *testing.T) {
	s := levelled(t, 0)
	s.lately, s.loose[2] = 0, false
	if got := s.fallen(); got != nil {
		t.Fatalf("%v fell", got)
	}
	for _, one := range s.beds.all {
		one.draw.Heights[2] -= 40 * um
	}
	if err := s.beds.each(func(_ int, one *bed) error { return s.beds.settle(one) }); err != nil {
		t.Fatal(err)
	}
	if got := s.fallen(); fmt.Sprint(got) != "[2]" {
		t.Fatalf("%v fell", got)
	}
	s.feet, s.moved = []int{0, 1}, true
	if worth, err := s.steps(s.fallen()); err != nil || len(worth) != 1 || worth[0].Foot != 2 || !worth[0].Touch && worth[0].Raise <= 0 {
		t.Errorf("asked for %+v: %v", worth, err)
	}
	if s.skipped[2] = true; s.fallen() != nil {
		t.Error("what is left alone is to be raised")
	}
}

// A foot that touches is turned on from there only as long as no other goes light by that.
func TestTouchIsTurnedOnSafely(t *testing.T) {
	for raise, on := range map[float64]bool{10 * um: true, 240 * um: false} {
		s := levelled(t, 0)
		s.card, s.loose[2], s.byFeel = Card{Kind: Touch, Foot: "F2"}, true, false
		s.step.Raise, s.step.Touch = raise, true
		if err := s.Take("nips", log.Moment{Day: "2026-03-05"}); err != nil {
			t.Fatal(err)
		}
		if c := s.Card(); (c.Kind == Read && c.Foot == "F2") != on {
			t.Errorf("%.0f µm beyond touching: %+v", raise/um, c)
		}
	}
}
