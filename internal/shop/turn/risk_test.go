package turn

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"footwork/internal/sample"
	"footwork/supports/plan"
	"footwork/survey/log"
)

// That a step leaves its own foot hanging counts always, and others, which a hand feels, as seldom as nobody
// feels that; what loads a foot beyond its rating counts always.
func TestRiskOfAStep(t *testing.T) {
	s := levelled(t, 0)
	m, least := move{foot: 2, raise: -80 * um}, s.in.Goal.LeastLoad/2
	for _, unfelt := range []float64{1, handWrong} {
		if risk, each := s.beds.lightened(m, false, least, unfelt); each[2] != 1 || risk < 0.99 {
			t.Errorf("F2 hangs in %.2f of the beds, at a risk of %.2f", each[2], risk)
		}
		if risk, each := s.beds.lightened(move{foot: 2, raise: 80 * um}, false, least, unfelt); each[0] != 1 || math.Abs(risk-unfelt) > 1e-9 {
			t.Errorf("%.2f of the beds hang at other feet, at a risk of %.2f: want %.2f", each, risk, unfelt)
		}
	}
	s.byFeel, s.left = true, []string{"front way"}
	hang := plan.Step{Foot: 2, Raise: 240 * um, Watch: &plan.Watch{Change: 1, Within: 0.05}}
	surveyed := s.careful(hang, hang.Raise).risk
	if s.left = nil; surveyed < 0.9 || s.safe([]plan.Step{hang}) == nil {
		t.Errorf("with a survey left the risk is %.2f, without one it is not taken: %v", surveyed, s.safe([]plan.Step{hang}) == nil)
	}
	var rated []float64
	for _, f := range s.beds.all[0].state.Feet() {
		rated = append(rated, f.Load*1.1)
	}
	for f, n := range rated {
		s.beds.Feet[f].Rated = n
	}
	if risk, _ := s.beds.lightened(m, false, least, handWrong); risk < 0.99 {
		t.Errorf("others go beyond their ratings at a risk of %.2f", risk)
	}
	for k, c := range []struct {
		steps []plan.Step
		ends  Ending
	}{{[]plan.Step{hang}, Unsafe}, {nil, NoGain}} { // and where it was the last that would gain it is said
		if s.feet = []int{2}; len(s.safe(c.steps)) > 0 {
			t.Error("a step is taken beyond ratings")
		}
		if err := s.finish(sample.Range{}, sample.Range{}); err != nil || s.Card().Ending != c.ends {
			t.Errorf("%d: %+v, %v", k, s.Card(), err)
		}
	}
}

// A turn by which a light foot comes to carry is made before those that were planned before it, and one that
// leaves more light not, however many it brings to carry.
func TestLightFeetFirst(t *testing.T) {
	s := levelled(t, 0)
	for _, one := range s.beds.all {
		by, _ := s.beds.untilTouch(one, 2)
		one.draw.Heights[2] += by
	}
	if err := s.beds.each(func(_ int, one *bed) error { return s.beds.settle(one) }); err != nil {
		t.Fatal(err)
	}
	watch := &plan.Watch{Change: 1, Within: 0.01}
	still, up, down := plan.Step{Foot: 5, Raise: 1 * um, Watch: watch}, plan.Step{Foot: 2, Raise: 15 * um, Watch: watch}, plan.Step{Foot: 2, Raise: -15 * um, Watch: watch}
	if d := s.careful(up, up.Raise); math.Abs(d.fewer-1) > 0.05 || d.risk > seldom {
		t.Errorf("F2 comes to carry: %+v", d)
	}
	for _, c := range []struct {
		steps []plan.Step
		first plan.Step
	}{{[]plan.Step{still, up}, up}, {[]plan.Step{up, still}, up}, {[]plan.Step{still, down}, still}} {
		if got := s.safe(slices.Clone(c.steps)); len(got) == 0 || got[0].Foot != c.first.Foot || got[0].Raise != c.first.Raise {
			t.Errorf("of %+v first is %+v", c.steps, got)
		}
	}
	for _, c := range []struct {
		d, first dare
		before   bool
	}{
		{dare{risk: 0.02, fewer: 0.3}, dare{risk: 0}, true},
		{dare{risk: 0.02, fewer: 0.3}, dare{risk: 0.05, fewer: 0.4}, false},
		{dare{risk: 0.2, fewer: 0.9}, dare{risk: 0.09}, false},
		{dare{risk: 0.05}, dare{risk: 0.09}, true},
		{dare{risk: 0.001}, dare{risk: 0.009}, false},
	} {
		if c.d.before(c.first) != c.before {
			t.Errorf("%+v before %+v is wrong", c.d, c.first)
		}
	}
}

// A part that the instrument hardly shows is turned just after a survey, for the next tells what it did.
func TestPartsHardlyShown(t *testing.T) {
	s := levelled(t, 0)
	rated, err := s.beds.mean(func(_ int, one *bed) (float64, error) {
		there, err := s.beds.raised(one, 2, 25*um)
		return there.state.Feet()[2].Load, err
	})
	if s.beds.Feet[2].Rated = rated; err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		raise, part float64
		tried       bool // since it was surveyed
		dares       bool
	}{{8 * um, 8 * um, false, true}, {30 * um, 5 * um, false, true}, {30 * um, 30 * um, true, false}} {
		s.byFeel, s.tried = true, c.tried
		st := plan.Step{Foot: 2, Raise: c.raise, Watch: &plan.Watch{Change: 1, Within: 0.35}} // two thirds of it are not shown
		d := s.careful(st, c.raise)
		if dares := s.safe([]plan.Step{st}) != nil; math.Abs(d.raise-c.part) > 1e-12 || (d.risk <= dared) != c.dares || dares != c.dares {
			t.Errorf("%+v: %.1f µm at a risk of %.2f", c, d.raise/um, d.risk)
		}
	}
}

// Feet of which it is in doubt whether they are light are felt, though they hardly ever hang.
func TestLightIsFelt(t *testing.T) {
	s := levelled(t, 0)
	for i, one := range s.beds.all {
		if i%8 == 0 {
			if by, ok := s.beds.untilTouch(one, 2); ok { // carries next to nothing
				one.draw.Heights[2] += by + 0.1*um
			}
		}
	}
	if err := s.beds.each(func(_ int, one *bed) error { return s.beds.settle(one) }); err != nil {
		t.Fatal(err)
	}
	for f := range s.firm {
		s.firm[f] = s.beds.load(f)
	}
	if s.stirred = true; s.beds.light(2, 1e-6) > 0 || !s.doubtful() || fmt.Sprint(s.Card().Feel) != "[F2]" {
		t.Errorf("asked %+v", s.Card())
	}
	if err := s.Take("no", log.Moment{Day: "2026-03-05"}); err != nil { // of one foot that is enough
		t.Fatal(err)
	}
	if lines := s.Lines(); len(lines) != 1 || lines[0].Where != "F2" || lines[0].Value != string(log.Free) {
		t.Errorf("written is %+v", lines)
	}
}

// What hardly any bed of the last survey fits is not the end: it is surveyed.
func TestFewAreNotTrusted(t *testing.T) {
	for _, left := range []int{trusted - 1, trusted + 1} {
		s := levelled(t, 0)
		s.in.SurveyWith, s.left = []string{"front way"}, []string{"front way"}
		s.tried, s.byFeel = true, true
		for f := range s.in.Standing.Feet {
			s.known[f] = true
		}
		for i, one := range s.beds.all {
			one.from = i % left
		}
		if err := s.finish(sample.RangeOf([]float64{1e-6}), sample.RangeOf([]float64{1e-6})); err != nil || (s.Card().Kind == Resurvey) != (left < trusted) || s.Card().Few != (left < trusted) {
			t.Errorf("%d draws left: %+v, %v", left, s.Card(), err)
		}
	}
}

// Nothing more is turned by what hardly any bed of the last survey fits, however much it would gain: it
// is surveyed, with no nut slack.
func TestFewAreNotTurnedBy(t *testing.T) {
	for _, left := range []int{trusted - 1, trusted + 1} {
		s := levelled(t, 0)
		s.left, s.moved, s.stirred, s.loose[2], s.step = []string{"front way"}, true, false, false, nil
		for i, one := range s.beds.all {
			one.from = i % left
			one.draw.Heights[4] -= 8 * um
		}
		if err := s.beds.each(func(_ int, one *bed) error { return s.beds.settle(one) }); err != nil {
			t.Fatal(err)
		}
		for f := range s.in.Standing.Feet {
			s.known[f] = true
		}
		if err := s.next(); err != nil || (s.Card().Kind == Resurvey) != (left < trusted) {
			t.Errorf("%d draws left: %+v, %v", left, s.Card(), err)
		}
		s.lately, s.loose[4] = 4, true // the foot to be turned on
		if err := s.next(); err != nil || (s.Card().Kind == Nut) != (left < trusted) {
			t.Errorf("%d draws left, a nut slack: %+v, %v", left, s.Card(), err)
		}
	}
}

// A foot that fell is raised before a survey is asked for, however few beds are left.
func TestFallenBeforeASurvey(t *testing.T) {
	s := levelled(t, 0)
	s.lately, s.loose[2], s.step = 0, false, nil
	_ = s.fallen() // all carried
	for _, one := range s.beds.all {
		one.draw.Heights[2] -= 40 * um
	}
	if err := s.beds.each(func(_ int, one *bed) error { return s.beds.settle(one) }); err != nil {
		t.Fatal(err)
	}
	s.left, s.beds.few, s.stirred, s.moved = []string{"front way"}, true, false, true
	if err := s.next(); err != nil || s.Card().Foot != "F2" {
		t.Errorf("asked %+v: %v", s.Card(), err)
	}
}
