package turn

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"footwork/supports"
	"footwork/supports/plan"
	"footwork/survey"
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
		Setups: []survey.Survey{{Name: "front way", Way: "front", Unit: "µm/m", Scale: 1e-6, Base: 0.15}}}
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

// A reading that was asked for to turn a foot by is followed by that foot's turn, whatever the
// planner would say to a tenth of a micrometre.
func TestReadingKeepsItsStep(t *testing.T) {
	s, err := Begin(lowPair(t, 100*um))
	if err != nil {
		t.Fatal(err)
	}
	reads := 0
	for range 30 {
		c := s.Card()
		text, asked := "0", c.Kind == Read
		switch c.Kind {
		case Solid:
			text = "yes"
		case Touch:
			text = "nips"
		case Step, Trial, Angle:
			if text = fmt.Sprintf("%.2f", c.Until/1e-6); c.Kind == Angle {
				text = "done"
			}
		case Misfit:
			text = "yes"
		case Over, Resurvey:
			if reads == 0 {
				t.Error("nothing was read")
			}
			return
		}
		if err := s.Take(text, log.Moment{Day: "2026-03-05"}); err != nil {
			t.Fatalf("%+v: %q: %v", c, text, err)
		}
		if asked {
			if reads++; s.Card().Foot != c.Foot || s.Card().Kind == Read {
				t.Fatalf("read for %s, then asked %+v", c.Foot, s.Card())
			}
		}
	}
}

// at puts a session before a card of a foot, with an instrument that read nought there.
func at(t *testing.T, s *Session, c Card, foot int, p Place) {
	s.beds.note(p, 0)
	s.read[p], s.place, s.at, s.last = 0, p, p, nil
	s.step, s.card = &plan.Step{Foot: foot, Watch: &plan.Watch{Instrument: p.Instrument, At: p.At}}, c
}

// An indicator reads on from where it stood: what goes into the log is by how much it moved.
func TestIndicatorReadsOn(t *testing.T) {
	in := lowPair(t, 100*um)
	in.Instruments = append(in.Instruments, plan.Instrument{Noise: 0.3 * um})
	in.Setups = append(in.Setups, survey.Survey{Unit: "µm", Scale: 1e-6, Instrument: survey.Heights})
	s, err := Begin(in)
	if err != nil {
		t.Fatal(err)
	}
	p := Place{len(in.Setups) - 1, 4}
	at(t, s, Card{Kind: Step, Foot: "F3", Gauge: true, Raise: 10 * um, Before: 0, Until: 9 * um, Within: 2 * um}, 4, p)
	_ = s.Lines()
	for _, text := range []string{"9 µm", "9.6 µm"} {
		if err := s.Take(text, log.Moment{Day: "2026-03-05"}); err != nil {
			t.Fatal(err)
		}
		s.card, s.at, s.place = Card{Kind: Locked, Foot: "F3", Gauge: true}, p, p
	}
	var saw []string
	for _, l := range s.Lines() {
		if l.What == string(log.Indicator) {
			saw = append(saw, l.Value)
		}
	}
	if fmt.Sprint(saw) != "[up 9.0 µm up 0.6 µm]" {
		t.Errorf("the log has %v", saw)
	}
}

// A foot that was brought to touch is turned on from there, before any other.
func TestTouchIsTurnedOn(t *testing.T) {
	s, err := Begin(lowPair(t, 100*um))
	if err != nil {
		t.Fatal(err)
	}
	touched := ""
	for range 20 {
		c := s.Card()
		text := "0"
		switch c.Kind {
		case Solid:
			text = "free " + c.Feel[0]
		case Touch:
			text, touched = "nips", c.Foot
		case Step, Trial, Angle:
			if touched == "" || c.Foot != touched || c.Raise <= 0 {
				t.Errorf("%s was brought to touch, then asked %+v", touched, c)
			}
			return
		}
		if err := s.Take(text, log.Moment{Day: "2026-03-05"}); err != nil {
			t.Fatalf("%+v: %q: %v", c, text, err)
		}
	}
	t.Error("no foot was turned")
}

// Steps stay in the order that keeps loads, whichever foot is in hand: only one that leaves a foot
// light waits for one that does not, and where there is no other nothing is turned.
func TestStepsKeepTheirOrder(t *testing.T) {
	in := lowPair(t, 100*um)
	for i := range in.Draws { // all on level feet: all carry
		in.Draws[i].Heights = make([]float64, len(in.Standing.Feet))
	}
	s, err := Begin(in)
	if err != nil {
		t.Fatal(err)
	}
	s.byFeel, s.in.Locks, s.lately, s.loose[4] = false, true, 4, true
	order := func(steps ...plan.Step) (feet []int) {
		for _, st := range s.safe(s.worth(steps)) {
			feet = append(feet, st.Foot)
		}
		return feet
	}
	small, watch := 8*um, &plan.Watch{}
	if got := order(plan.Step{Foot: 2, Raise: small, Watch: watch}, plan.Step{Foot: 4, Raise: small, Watch: watch}); fmt.Sprint(got) != "[2 4]" {
		t.Errorf("turned in the order %v", got)
	}
	if got := order(plan.Step{Foot: 2, Raise: -80 * um, Watch: watch}, plan.Step{Foot: 4, Raise: small, Watch: watch}); fmt.Sprint(got) != "[4 2]" {
		t.Errorf("turned in the order %v", got)
	}
	if got := order(plan.Step{Foot: 2, Raise: -80 * um, Watch: watch}); got != nil {
		t.Errorf("turned is %v, though a foot goes light by it", got)
	}
}

// No foot goes by more than a quarter of a millimetre at once, however far it is wanted.
func TestAtOnce(t *testing.T) {
	s, err := Begin(lowPair(t, 2e-3))
	if err != nil {
		t.Fatal(err)
	}
	for _, raise := range []float64{600 * um, -600 * um} {
		st := plan.Step{Foot: 4, Raise: raise}
		s.show(st, 1)
		if c := s.Card(); c.Kind != Angle || c.Raise != raise*250/600 || !c.Part || !c.Settle {
			t.Errorf("%.0f µm is asked for as %+v", raise/um, c)
		}
	}
	if s.step = (&plan.Step{Foot: 4}); s.rest == nil || s.Take("done", log.Moment{Day: "2026-03-05"}) != nil || s.rest != nil {
		t.Error("the bed is not left to settle")
	}
	if part := s.careful(plan.Step{Foot: 4}, 600*um).raise; part <= 0 || part > 250*um {
		t.Errorf("turned by %.0f µm at once", part/um)
	}
}
