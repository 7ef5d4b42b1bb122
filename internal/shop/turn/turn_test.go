package turn

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"footwork/supports"
	"footwork/survey/log"
)

// A foot is never turned beyond the thread that it has left, however often it is asked
// for in one session: what was turned before counts.
func TestThreadIsNeverCrossed(t *testing.T) {
	const left = 12 * um
	s, err := Begin(lowPair(t, left))
	if err != nil {
		t.Fatal(err)
	}
	went, turns := map[string]float64{}, 0
	for range 60 {
		c := s.Card()
		if c.Kind == Over || c.Kind == Resurvey {
			break
		}
		text := fmt.Sprintf("%.2f", c.Until/1e-6)
		switch c.Kind {
		case Touch, Solid:
			text = "solid"
		case Angle:
			text, went[c.Foot], turns = "done", went[c.Foot]+c.Raise, turns+1
		case Step, Trial:
			went[c.Foot], turns = went[c.Foot]+c.Raise, turns+1
		case Misfit:
			text = "yes"
		case Two:
			text = "two"
		case Read:
			text = "0"
		}
		if err := s.Take(text, log.Moment{Day: "2026-03-05"}); err != nil {
			t.Fatalf("%+v: %q: %v", c, text, err)
		}
	}
	most := 0.0
	for f, raise := range went {
		if most = max(most, math.Abs(raise)); math.Abs(raise) > left+1e-9 {
			t.Errorf("%s went %.1f µm, with %.1f left", f, raise/um, left/um)
		}
	}
	if turns < 2 || most < left/2 {
		t.Errorf("%d turns, by %.1f µm at most", turns, most/um)
	}
}

// lowPair is a bed one pair of which stands 40 µm low, every foot with so much thread left.
func lowPair(t *testing.T, left float64) Input {
	k := task(t, rand.New(rand.NewPCG(4, 4)), 40)
	k.Goal = supports.Goal{LeastLoad: 0.05, MostMove: 250 * um}
	for range k.Standing.Feet {
		k.Feet = append(k.Feet, supports.Adjuster{Kind: supports.Screw, Rise: 1.5e-3, Left: &supports.Thread{Up: left, Down: left}})
		k.Slip = append(k.Slip, 4.8*um)
	}
	k.Ways[0].X = []float64{0.1, 0.5, 0.9, 1.4, 1.9, 2.4, 2.9, 3.4, 3.9}
	k.Ways[1].X, k.Tied = k.Ways[0].X, true
	for i := range k.Draws { // one pair stands 40 µm low
		k.Draws[i].Heights[2] -= 40 * um
		k.Draws[i].Heights[3] -= 40 * um
	}
	return Input{Task: k, Asked: true, Feet: []int{2, 3, 4, 5},
		Setups: []log.Setup{{Name: "front way", Way: "front", Unit: "µm/m", One: 1e-6, Base: 0.15}}}
}

// What the planner would do is known before anything else was asked, too.
func TestPlanBeforeQuestions(t *testing.T) {
	in := lowPair(t, 100*um)
	in.Asked = false
	s, err := Begin(in)
	if err != nil {
		t.Fatal(err)
	}
	if p, err := s.Plan(); s.Card().Kind != Question || err != nil || len(p.Steps) == 0 {
		t.Errorf("card %v, plan %+v: %v", s.Card().Kind, p, err)
	}
}
