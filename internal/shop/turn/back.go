package turn

import (
	"math"

	"footwork/supports/plan"
)

// lightIf is of each foot the share of the beds in which it carries less than half the least load when
// the foot in hand goes on by so much, m, and its nut is tight.
func (s *Session) lightIf(by float64) []float64 {
	shares, least := make([]float64, len(s.in.Standing.Feet)), s.in.Goal.LeastLoad/2
	light := make([][]bool, len(s.beds.all))
	_ = s.beds.each(func(i int, one *bed) error {
		there, raise := *one, by
		if s.lately >= 0 {
			if s.loose[s.lately] {
				raise += one.nut[s.lately]
			}
			var err error
			if there, err = s.beds.raised(one, s.lately, raise); err != nil {
				return err
			}
		}
		for _, f := range there.state.Feet() {
			light[i] = append(light[i], f.Load < least*s.beds.meanLoad(one))
		}
		return nil
	})
	for i, one := range s.beds.all {
		for f := range shares {
			if light[i] == nil || light[i][f] { // one that would tip has them all so
				shares[f] += one.weight
			}
		}
	}
	return shares
}

// takesBack asks, before the foot in hand is left, for so much of its last turn to be taken back,
// by thirds, that a foot carries which went light by it: it is to be raised first.
func (s *Session) takesBack() bool {
	const half, enough = 0.5, 0.2 // of the beds have it light, may still have it so (assumed)
	st, turned := s.step, s.turnedBy
	if st == nil || st.Foot != s.lately || st.Watch == nil || st.Raise == 0 || math.Abs(turned) < plan.LeastMove {
		return false
	}
	for f, share := range s.lightIf(0) {
		if share <= half || s.lights[f] > half || f == st.Foot || s.skipped[f] {
			continue
		}
		by := 0.0
		for third := 1.0; third <= 3; third++ {
			if by = -turned * third / 3; s.lightIf(by)[f] <= enough {
				break
			}
		}
		watch := *st.Watch
		watch.Change *= by / st.Raise
		s.step = &plan.Step{Foot: st.Foot, Raise: by, Watch: &watch}
		s.show(*s.step, 1)
		s.card.Lightened, s.turnedBy, s.lights[f] = s.name(f), 0, 1
		return true
	}
	return false
}
