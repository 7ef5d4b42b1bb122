package turn

import (
	"math"

	"footwork/supports/plan"
)

// lightIf is of each foot the share of the beds in which it carries less than half the least load when
// the foot in hand goes on by so much, m, and its nut is tight.
func (s *Session) lightIf(by float64) []float64 {
	f := max(0, s.lately)
	_, each := s.beds.lightened(move{foot: f, raise: by}, s.loose[f], s.in.Goal.LeastLoad/2)
	return each
}

// takesBack asks, before the foot in hand is left, for so much of its last turn to be taken back,
// by thirds, that feet carry which went light by it: they are to be raised first. What was taken back
// stays so.
func (s *Session) takesBack() bool {
	const often, enough = 0.3, 0.1 // of the beds have one light, may still have it so (assumed)
	st, turned := s.step, s.turnedBy
	if st == nil || st.Foot != s.lately || st.Watch == nil || st.Raise == 0 || math.Abs(turned) < plan.LeastMove {
		return false
	}
	worst := func(by float64) (foot int, share float64) {
		for f, light := range s.lightIf(by) {
			if light > share && s.lights[f] <= often && f != st.Foot && !s.skipped[f] {
				foot, share = f, light
			}
		}
		return foot, share
	}
	f, share := worst(0)
	if share <= often {
		return false
	}
	by := 0.0
	for third := 1.0; third <= 3 && share > enough; third++ {
		by = -turned * third / 3
		_, share = worst(by)
	}
	if share > often { // they do not carry for that
		return false
	}
	watch := *st.Watch
	watch.Change *= by / st.Raise
	s.step = &plan.Step{Foot: st.Foot, Raise: by, Watch: &watch}
	s.show(*s.step, 1)
	s.card.Lightened, s.turnedBy, s.lights[f] = s.name(f), 0, 1
	return true
}
