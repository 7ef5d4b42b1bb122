package turn

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"
)

// A bed that gives way far more than most of its draws shows it in three turns that go as far as was
// meant: what a raise does to the reading is told nearer to what it does on that bed, and narrower. Of
// feet that were not turned, nothing is told.
func TestResponsesAreLearnt(t *testing.T) {
	in := lowPair(t, 250*um)
	in.Slip = make([]float64, len(in.Standing.Feet))
	r := rand.New(rand.NewPCG(3, 5))
	for i := range in.Draws {
		softer := math.Exp2(r.NormFloat64())
		if i == 0 {
			softer = 0.25
		}
		in.Draws[i].Heights = make([]float64, len(in.Standing.Feet)) // all carry
		in.Draws[i].Feet = slices.Repeat([]float64{softer}, len(in.Standing.Feet))
	}
	in.Instruments[0].Noise = 0.2e-6
	s, err := Begin(in)
	if err != nil {
		t.Fatal(err)
	}
	if told := s.Responses(); told != nil {
		t.Errorf("before any turn: %+v", told)
	}
	p, bed := Place{0, 0.8}, in.Draws[0]
	bed.Heights = append([]float64{}, bed.Heights...)
	reads := func() float64 { return s.beds.shows(stand(t, in, bed), p) }
	if err := s.take(p, reads()); err != nil {
		t.Fatal(err)
	}
	for _, raise := range []float64{30 * um, -25 * um, 30 * um} {
		bed.Heights[2] += raise
		if err := s.move(move{foot: 2, raise: raise, sd: s.slip(2, raise, false)}); err != nil {
			t.Fatal(err)
		}
		if err := s.take(p, reads()); err != nil {
			t.Fatal(err)
		}
	}
	told := s.Responses()
	if len(told) != 1 || told[0].Foot != "F2" || told[0].Survey != "front way" || told[0].At != p.At {
		t.Fatalf("%+v", told)
	}
	const step = 10 * um
	before := s.beds.shows(stand(t, in, bed), p)
	bed.Heights[2] += step
	does, is := (s.beds.shows(stand(t, in, bed), p)-before)/step, told[0]
	t.Logf("%.3f of the bed; %.3f ± %.3f after the survey, %.3f ± %.3f after three turns", does, is.Then, is.Was, is.Now, is.SD)
	if is.SD > 0.7*is.Was || math.Abs(is.Now-does) > math.Abs(is.Then-does)/2 || math.Abs(is.Now-does) > 3*is.SD {
		t.Errorf("%.3f of the bed; %.3f ± %.3f after the survey, %.3f ± %.3f after three turns", does, is.Then, is.Was, is.Now, is.SD)
	}
}
