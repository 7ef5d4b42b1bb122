package turn

import (
	"math"

	"footwork/supports/plan"
)

// light tells of each foot whether it carries less than half the least load, more likely than not, the nut of the
// foot in hand tight.
func (s *Session) light() (feet []bool) {
	for f := range s.in.Standing.Feet {
		feet = append(feet, s.lightIf(f, 0) > 0.5)
	}
	return feet
}

// lightIf is the share of the beds in which a foot is light when the foot in hand goes on by so much
// and its nut is tight, m.
func (s *Session) lightIf(foot int, by float64) float64 {
	least := s.in.Goal.LeastLoad / 2
	if s.lately < 0 {
		return s.beds.light(foot, least)
	}
	return s.beds.share(func(_ int, one *bed) bool {
		raise := by
		if s.loose[s.lately] {
			raise += one.nut[s.lately]
		}
		there, err := s.beds.raised(one, s.lately, raise)
		return err != nil || there.state.Feet()[foot].Load < least*s.beds.meanLoad(one)
	})
}

// takesBack asks, before the foot in hand is left, for so much of its last turn to be taken back,
// by thirds, that a foot carries which went light by it: it is to be raised first.
func (s *Session) takesBack() bool {
	const enough = 0.2 // of the beds may still have it light (assumed)
	st, turned := s.step, s.turnedBy
	if st == nil || st.Foot != s.lately || st.Watch == nil || math.Abs(turned) < plan.LeastMove {
		return false
	}
	for f, light := range s.light() {
		if !light || s.lights[f] || f == st.Foot || s.skipped[f] {
			continue
		}
		by := 0.0
		for third := 1.0; third <= 3; third++ {
			if by = -turned * third / 3; s.lightIf(f, by) <= enough {
				break
			}
		}
		watch := *st.Watch
		watch.Change *= by / st.Raise
		s.step = &plan.Step{Foot: st.Foot, Raise: by, Watch: &watch}
		s.show(*s.step, 1)
		s.card.Lightened, s.turnedBy, s.lights[f] = s.name(f), 0, true
		return true
	}
	return false
}
