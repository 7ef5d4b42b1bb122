package turn

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"footwork/supports/plan"
	"footwork/survey"
	"footwork/survey/log"
)

// nutsSeenWell is a bed with nuts, a place that shows F1 well, and by how much for each metre of such a raise.
func nutsSeenWell(t *testing.T, raise float64) (s *Session, p Place, rate float64) {
	in := lowPair(t, 100*um)
	in.Locks, in.ByLock = true, 6*um
	in.Instruments[0].Noise = 0.2e-6
	s, err := Begin(in)
	if err != nil {
		t.Fatal(err)
	}
	p = Place{0, 0.5}
	if rate, err = s.beds.rate(p, 0, raise); err != nil {
		t.Fatal(err)
	}
	return s, p, rate
}

// What slackening a nut takes off a foot, tightening it puts back; the foot's own turn stays undone.
func TestSlackenedNut(t *testing.T) {
	const shift = 7 * um
	s, p, rate := nutsSeenWell(t, -shift)
	at(t, s, Card{Kind: Slacken, Foot: "F1", Survey: "front way"}, 0, p)
	if err := s.Take(fmt.Sprintf("%.3f", -shift*rate/1e-6), log.Moment{Day: "2026-03-05"}); err != nil {
		t.Fatal(err)
	}
	near := s.beds.share(func(_ int, one *bed) bool { return math.Abs(one.nut[0]-shift) < 2*um }) // in others a reading was misread
	if n := s.nuts[0]; math.Abs(n.Raises-shift) > um || near < 0.8 {
		t.Errorf("it raises by %.1f ± %.1f µm, of %.2f of the beds by as much as %.1f", n.Raises/um, n.SD/um, near, shift/um)
	}
	if s.went[0] != 0 || !s.loose[0] {
		t.Errorf("its screw went %.1f µm, slack: %v", s.went[0]/um, s.loose[0])
	}
}

// A foot that is solid as soon as its nut is slack is turned on once that was read.
func TestSolidWithItsNutSlack(t *testing.T) {
	in := lowPair(t, 100*um)
	in.Locks, in.ByLock, in.Nuts = true, 6*um, map[int]LockNut{2: {SD: um}}
	for i := range in.Draws { // all on level feet: all carry
		in.Draws[i].Heights = make([]float64, len(in.Standing.Feet))
	}
	s, err := Begin(in)
	if err != nil {
		t.Fatal(err)
	}
	p := Place{0, 0.8}
	at(t, s, Card{Kind: Touch, Foot: "F2", Survey: "front way", At: 0.8}, 2, p)
	s.step.Touch, s.step.Raise = true, 3*um
	for _, text := range []string{"solid", "0"} {
		if err := s.Take(text, log.Moment{Day: "2026-03-05"}); err != nil {
			t.Fatal(err)
		}
	}
	if c := s.Card(); c.Foot != "F2" || c.Kind != Step && c.Kind != Trial {
		t.Errorf("solid with its nut slack, it is not turned on: %+v", c)
	}
}

// The planner has a foot whose nut is slack stand where it will when that is tight.
func TestSlackNutCounts(t *testing.T) {
	s, err := Begin(lowPair(t, 100*um))
	if err != nil {
		t.Fatal(err)
	}
	height := func() float64 {
		a, err := s.ask(nil)
		if err != nil {
			t.Fatal(err)
		}
		return a.Plans[0].Draws[0].Heights[2]
	}
	s.know(2, LockNut{Raises: -5 * um})
	tight := height()
	s.loose[2] = true
	if off := height() - tight; math.Abs(off+5*um) > 1e-12 {
		t.Errorf("slack it stands %.2f µm off, want -5", off/um)
	}
}

// A nut that seems to have done what no nut does was read against a reading that was wrong: nothing
// is learnt of it, nor of the bed, and the instrument goes on from there.
func TestNutAgainstAMisreading(t *testing.T) {
	in := lowPair(t, 100*um)
	in.Locks, in.ByLock = true, 5*um
	s, err := Begin(in)
	if err != nil {
		t.Fatal(err)
	}
	p := Place{0, 0.5}
	at(t, s, Card{Kind: Slacken, Foot: "F1", Survey: "front way"}, 0, p)
	for _, text := range []string{"60", "yes"} {
		if err := s.Take(text, log.Moment{Day: "2026-03-05"}); err != nil {
			t.Fatalf("%q: %v", text, err)
		}
	}
	if _, sd := s.beds.came(lately); sd > 2*in.ByLock || !s.unseen(0) || math.Abs(s.read[p]-60*um) > 1e-12 {
		t.Errorf("came ± %.1f µm, its nut %v, read %v", sd/um, s.nuts, s.read)
	}
}

// A nut that was learnt from a wrong reading is learnt anew where it is read again and again to do what nuts do.
func TestNutLearntWrongly(t *testing.T) {
	s, p, rate := nutsSeenWell(t, plan.LeastMove)
	s.know(0, LockNut{Raises: 5 * um, SD: 0.5 * um})
	s.loose[0] = true
	at(t, s, Card{Kind: Nut, Foot: "F1", Survey: "front way"}, 0, p)
	s.lately = 0
	for _, text := range []string{"lock", fmt.Sprint(-8 * um * rate / s.in.Setups[0].Scale), "yes"} {
		if err := s.Take(text, log.Moment{Day: "2026-03-05"}); err != nil {
			t.Fatalf("%q: %v", text, err)
		}
	}
	if n := s.nuts[0]; math.Abs(n.Raises+8*um) > 3*um {
		t.Errorf("read to lower its foot by 8 µm, it is taken to raise it by %.1f ± %.1f", n.Raises/um, n.SD/um)
	}
}

// What a nut did is no turn: another foot that is named for it does not strike out the turn before.
func TestNutIsNoTurn(t *testing.T) {
	s, p, _ := nutsSeenWell(t, plan.LeastMove)
	s.loose[0], s.turnedAt = true, "2026-03-05 08:00"
	s.undo = &undo{unmoved: s.beds.copy()} // of the turn before
	at(t, s, Card{Kind: Nut, Foot: "F1", Survey: "front way"}, 0, p)
	s.lately = 0
	for _, text := range []string{"lock", "4000"} {
		if err := s.Take(text, log.Moment{Day: "2026-03-05"}); err != nil {
			t.Fatalf("%q: %v", text, err)
		}
	}
	err := s.Take("F3", log.Moment{Day: "2026-03-05"})
	if voided := slices.ContainsFunc(s.Lines(), func(l log.Line) bool { return l.What == string(log.Void) }); err == nil || voided || s.card.Kind != Misfit {
		t.Errorf("%v, a turn struck out: %v, then %+v", err, voided, s.card)
	}
}

// What a nut did before the last survey is learnt from the readings before and after it was
// tightened, where nothing else was done between them.
func TestNutsOfTheLog(t *testing.T) {
	const shift = 8 * um
	k := task(t, rand.New(rand.NewPCG(8, 9)), 40)
	k.Instruments[0].Noise = 0.3e-6
	s := &Session{in: Input{Task: k, ByLock: 5 * um, Setups: []survey.Survey{{Name: "front way"}}}, nuts: map[int]LockNut{}}
	var err error
	if s.beds, err = newBeds(k); err != nil {
		t.Fatal(err)
	}
	rate, err := s.beds.rate(Place{0, 0.8}, 2, um)
	if err != nil {
		t.Fatal(err)
	}
	act := func(a log.Act) log.Entry { return log.Entry{Act: a} }
	read := func(v float64) log.Entry {
		return act(log.Act{What: log.Read, Survey: "front way", At: 0.8, Value: v})
	}
	lock, turn := act(log.Act{What: log.Lock, Foot: "F2"}), act(log.Act{What: log.Turn, Foot: "F3"})
	s.in.Earlier = []log.Entry{read(1e-5), act(log.Act{What: log.Feel, Foot: "F3", Feel: log.Solid}), lock, read(1e-5 + shift*rate), turn, read(0), lock, turn, read(1e-4)}
	if err := s.replay(); err != nil || math.Abs(s.nuts[2].Raises-shift) > 1e-9 || len(s.nuts) != 1 {
		t.Errorf("%v, want %g of F2: %v", s.nuts, shift, err)
	}
}

// A nut that was slackened while its foot carries is known; seen while the foot hung it is as good as
// never seen, so that it is looked at again before the foot is turned, and a step is not held to be
// unsafe for what it might do.
func TestVagueNut(t *testing.T) {
	p := Place{0, 0.8}
	for _, hangs := range []bool{false, true} {
		s := levelled(t, 0)
		s.in.ByLock, s.loose[2] = 6*um, false
		s.in.Instruments[0].Noise = 0.2e-6
		delete(s.nuts, 2)
		if hangs {
			for _, one := range s.beds.all {
				one.draw.Heights[2] -= 80 * um
			}
			if err := s.beds.each(func(_ int, one *bed) error { return s.beds.settle(one) }); err != nil {
				t.Fatal(err)
			}
		}
		at(t, s, Card{Kind: Slacken, Foot: "F2", Survey: "front way", At: 0.8}, 2, p)
		for _, text := range []string{"0", "lock", "0"} {
			if err := s.Take(text, log.Moment{Day: "2026-03-05"}); err != nil {
				t.Fatalf("%q: %v", text, err)
			}
			if s.loose[2] && s.vague(2) {
				t.Error("slack it has nothing left to show")
			}
		}
		if s.vague(2) != hangs {
			t.Errorf("hanging %v, its nut is known to %.2f µm", hangs, s.nuts[2].SD/um)
		}
		at(t, s, Card{}, 2, p)
		s.show(*s.onward(*s.step, 9*um), 1)
		if c := s.Card(); (c.Kind == Slacken) != hangs {
			t.Errorf("hanging %v, asked is %+v", hangs, c)
		}
	}
	s := levelled(t, 0)
	s.in.ByLock, s.loose[2] = 100*um, false
	watch := plan.Step{Foot: 2, Raise: 2 * um, Watch: &plan.Watch{Change: 1, Within: 0.1}}
	for sd, most := range map[float64]float64{s.in.ByLock / 2: 1, s.in.ByLock: seldom} {
		s.nuts[2] = LockNut{SD: sd}
		if risk := s.careful(watch, watch.Raise).risk; (most < 1) != (risk <= seldom) {
			t.Errorf("known to %.0f µm, the risk is %.3f", sd/um, risk)
		}
	}
}

// A foot that carries with its nut slack, and hangs again with that tight, is not sent for a second time to
// look for where it touches: first another turn is made.
func TestTouchIsSoughtOnce(t *testing.T) {
	s := levelled(t, 0)
	touch := []plan.Step{{Foot: 2, Touch: true, Raise: -10 * um, Watch: s.step.Watch}}
	s.card, s.step.Touch = Card{Kind: Touch, Foot: "F2"}, true
	if len(s.worth(touch)) != 1 {
		t.Fatal("where it touches is not looked for")
	}
	if err := s.Take("solid", log.Moment{Day: "2026-03-05"}); err != nil {
		t.Fatal(err)
	}
	if err := s.felt(2, log.Free); err != nil { // with its nut tight
		t.Fatal(err)
	}
	if again := s.worth(touch); len(again) > 0 {
		t.Errorf("it is looked for again: %+v", again)
	}
	if s.done++; len(s.worth(touch)) != 1 {
		t.Error("after another turn it is not looked for")
	}
}
