package turn

import (
	"math"
	"testing"

	"footwork/supports/plan"
	"footwork/survey/log"
)

// touching is a bed on level feet of which F2 just touches, its nut slack and in hand: tightened, it raises
// the foot by so much, m.
func touching(t *testing.T, nut float64) *Session {
	s := levelled(t, 0)
	for _, one := range s.beds.all {
		by, ok := s.beds.untilTouch(one, 2)
		if !ok {
			t.Fatal("it cannot touch")
		}
		one.draw.Heights[2] += by
		one.nut[2] = nut
		if err := s.beds.settle(one); err != nil {
			t.Fatal(err)
		}
	}
	s.nuts[2] = LockNut{Raises: nut, SD: um}
	s.visit, s.visited, s.lights = 1, 2, make([]float64, len(s.in.Standing.Feet))
	s.lights[2] = 1 // it hung
	return s
}

// A foot that hangs is turned by the angle: no instrument sees that. It is not left alone for it.
func TestHangingFootGoesByTheAngle(t *testing.T) {
	s := touching(t, 0)
	for _, c := range []struct {
		raise float64
		kind  Kind
	}{{-12 * um, Angle}, {12 * um, Step}} {
		s.step = s.onward(*s.step, c.raise)
		s.step.Watch.Within = 0.1e-6
		s.show(*s.step, 1)
		got := s.Card()
		if got.Kind != c.kind || got.Kind == Angle && (got.Raise != c.raise || got.Survey != "") {
			t.Errorf("by %.0f µm: %+v", c.raise/um, got)
		}
	}
	s.step = s.onward(*s.step, -12*um)
	s.show(*s.step, 1)
	if err := s.Take("done", log.Moment{Day: "2026-03-05"}); err != nil {
		t.Fatal(err)
	}
	gap, wide := s.beds.gap(2, 0), s.beds.share(func(_ int, one *bed) bool { return math.Abs(one.moved+12*um) > 2*um })
	if math.Abs(gap-12*um) > 3*um || wide < 0.4 {
		t.Errorf("it hangs %.1f µm, %.2f of the beds have a slip beyond 2 µm", gap/um, wide)
	}
	if s.skipped[2] {
		t.Error("it is left alone")
	}
	s.step.Watch.Change = 1e-9 // of a reading, where it hangs
	if risk := s.careful(*s.step, s.step.Raise).risk; risk > seldom {
		t.Errorf("the instrument shows nothing of it, and that risks %.2f", risk)
	}
}

// A turn that lets others carry is made as it was found, where one of the plan would be made in parts.
func TestMendingIsNotMadeInParts(t *testing.T) {
	s, cut := levelled(t, 0), 0
	for _, raise := range []float64{-15 * um, -20 * um, -30 * um, -45 * um} {
		s.step = s.onward(*s.step, raise)
		s.step.Watch.Within = 0.01e-6
		if s.careful(*s.step, raise).raise == raise {
			continue
		}
		cut++
		for _, s.mending = range []string{"", "F3"} {
			s.show(*s.step, 1)
			if c := s.Card(); c.Part != (s.mending == "") || !c.Part && c.Raise != raise {
				t.Errorf("by %.0f µm for %q: %+v", raise/um, s.mending, c)
			}
		}
	}
	if cut == 0 {
		t.Error("none would be made in parts")
	}
}

// Where a foot stands when its nut is tight is known while it is slack.
func TestStandsByItsNut(t *testing.T) {
	const nut, went = 7 * um, 5 * um
	s := touching(t, nut)
	for _, one := range s.beds.all {
		one.went[2] = went
	}
	for slack, want := range map[bool]float64{true: went + nut, false: went} {
		if s.loose[2] = slack; math.Abs(s.stands(2)-want) > 1e-9 {
			t.Errorf("slack %v: %.1f µm", slack, s.stands(2)/um)
		}
	}
}

// What a nut that lifts its foot takes from others is given back by lowering the foot by the angle, far enough
// for a slip; a nut that nothing is known of is seen first. The foot comes again when nothing else is left, once.
func TestNutThatLiftsOthersFree(t *testing.T) {
	s := touching(t, 60*um)
	for f := range s.nuts {
		if s.nuts[f] = (LockNut{Raises: 60 * um, SD: s.in.ByLock}); s.mend() {
			t.Errorf("its nut is not known, and it is turned: %+v", s.Card())
		}
		s.nuts[f] = LockNut{Raises: 60 * um, SD: um}
	}
	s.loose[2] = false // tightened
	for _, one := range s.beds.all {
		one.draw.Heights[2] += 60 * um
		if err := s.beds.settle(one); err != nil {
			t.Fatal(err)
		}
	}
	lightened := s.lightIf(0)
	if !s.mend() {
		t.Fatalf("%v of the beds are light, and nothing is asked", lightened)
	}
	c := s.Card()
	f := s.foot(c.Lightened)
	if c.Kind != Angle || f < 0 || lightened[f] < 0.3 || c.Part || c.Raise != s.step.Raise || c.Raise > -14*um {
		t.Errorf("%v of the beds are light: %+v", lightened, c)
	}
	if left := s.lightIf(s.step.Raise); left[f] > 0.05 {
		t.Errorf("%s is light still in %.2f of the beds", c.Lightened, left[f])
	}
	own, other := plan.Step{Foot: 2, Raise: 10 * um, Watch: s.step.Watch}, plan.Step{Foot: 5, Raise: 10 * um, Watch: s.step.Watch}
	for _, want := range []struct {
		visited int
		visits  []int
		steps   []plan.Step
		feet    int // the first, −1 none
	}{
		{2, []int{1}, []plan.Step{own, other}, 5},
		{2, []int{1}, []plan.Step{own}, -1},
		{5, []int{1}, []plan.Step{own, other}, 5},
		{5, []int{1}, []plan.Step{own}, 2},
		{5, []int{1, 3}, []plan.Step{own}, -1},
	} {
		s.visited, s.putBack[2] = want.visited, want.visits
		got := s.worth(want.steps)
		if len(got) > 0 != (want.feet >= 0) || len(got) > 0 && got[0].Foot != want.feet {
			t.Errorf("%+v: %+v", want, got)
		}
	}
}

// A visit that leaves a foot light, and that no small turn puts right, is undone, once, when its nut is tight.
func TestVisitIsUndone(t *testing.T) {
	const far = 200 * um
	s := levelled(t, far)
	s.visit, s.visited = 1, 2
	if s.mend() {
		t.Errorf("before its nut is tight: %+v", s.Card())
	}
	s.loose[2] = false
	if !s.mend() || math.Abs(s.step.Raise+far) > um || s.Card().Lightened == "" {
		t.Errorf("raised by %.0f µm, then by %.0f: %+v", far/um, s.step.Raise/um, s.Card())
	}
	if s.mend() {
		t.Errorf("twice: %+v", s.Card())
	}
	if s.began = s.stands(2) + 1*um; s.mendedBy(0, 1, -1*um) < 0 || s.mendedBy(0, 1, -1*um) > beyond+1*um {
		t.Errorf("put back, it is turned on by %.1f µm", s.mendedBy(0, 1, -1*um)/um)
	}
	delete(s.putBack, 2)
	for f, light := range s.lightIf(0) { // in some of the beds only
		s.lights[f] = light - 0.4
	}
	if s.mend() {
		t.Errorf("though it is not known: %+v", s.Card())
	}
}

// Where a foot is to touch whose nut may lift it, what loads the others comes first; a touch by itself risks nothing.
func TestTouchAfterWhatLoadsOthers(t *testing.T) {
	s := touching(t, 0)
	s.loose[2] = false
	watch := &plan.Watch{Change: 1, Within: 0.01}
	touch, still := plan.Step{Foot: 2, Raise: 5 * um, Touch: true, Watch: watch}, plan.Step{Foot: 5, Raise: 1 * um, Watch: watch}
	for _, c := range []struct {
		nut   float64
		first int
	}{{0, 2}, {60 * um, 5}} {
		for _, one := range s.beds.all {
			one.nut[2] = c.nut
		}
		if got := s.safe([]plan.Step{touch, still}); len(got) != 2 || got[0].Foot != c.first {
			t.Errorf("a nut that raises by %.0f µm: %+v", c.nut/um, got)
		}
	}
	if s.nutRisks(2) < 0.3 {
		t.Errorf("a nut that lifts others off risks %.2f", s.nutRisks(2))
	}
	for _, one := range s.beds.all { // with its nut slack it carries: nothing is done
		one.draw.Heights[2] += 90 * um
		if err := s.beds.settle(one); err != nil {
			t.Fatal(err)
		}
	}
	if risk := s.nutRisks(2); risk > seldom {
		t.Errorf("a foot that carries is not turned, at a risk of %.2f", risk)
	}
}
