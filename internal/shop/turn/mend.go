package turn

import (
	"math"
	"slices"

	"footwork/supports/plan"
)

// lightIf is of each foot the share of the beds in which it carries less than half the least load when
// the foot in hand goes on by so much, m, and its nut is tight.
func (s *Session) lightIf(by float64) []float64 {
	f := max(0, s.lately)
	_, each := s.beds.lightened(move{foot: f, raise: by}, s.loose[f], s.in.Goal.LeastLoad/2, 1)
	return each
}

// mended are how far the foot in hand is turned on, either way, for feet to carry, m, and mends how
// often in one visit.
var mended, mends = []float64{2e-6, 3e-6, 4.5e-6, 7e-6, 10e-6, 15e-6, 22e-6, 33e-6}, 3

// undone is how far beyond undoing a visit its foot is turned for others to carry, m (assumed).
const undone = 5e-6

// mend asks, before the foot in hand is left, for it to be turned on or back by as little as feet need
// that went light in this visit: by the turn, by its nut, or itself.
func (s *Session) mend() bool {
	const often, enough = 0.12, 0.05 // of the beds have one light, may still have it so (assumed)
	st := s.step
	if st == nil || st.Foot != s.lately || st.Watch == nil || s.mends == mends {
		return false
	}
	worst := func(by float64) (foot int, share float64) {
		for f, light := range s.lightIf(by) {
			light -= s.lights[f] // what was light before is no fault of this visit
			if light > share && !s.skipped[f] {
				foot, share = f, light
			}
		}
		return foot, share
	}
	f, light := worst(0)
	if light <= often {
		return false
	}
	by, least, left := 0.0, light/2, s.threadLeft(st.Foot)
	net := s.went[st.Foot] - s.began
	tooFar := func(raise float64) bool {
		return f != st.Foot && raise*net <= 0 && math.Abs(raise) > math.Abs(net)+undone
	}
	for _, far := range mended {
		for _, raise := range []float64{far, -far} {
			if _, share := worst(raise); least > enough && share < least && !tooFar(raise) && -left.Down <= raise && raise <= left.Up && !s.overloads(raise) {
				by, least = raise, share
			}
		}
	}
	if by == 0 {
		return false
	}
	s.step = s.onward(*st, by)
	s.mends, s.mending = s.mends+1, s.name(f)
	s.show(*s.step, 1)
	return true
}

// overloads: that the foot in hand goes on by so much, m, loads one beyond its rating.
func (s *Session) overloads(by float64) bool {
	risk, _ := s.beds.lightened(move{foot: s.lately, raise: by}, s.loose[s.lately], math.Inf(-1), 1)
	return risk > dared
}

// onward is a step of the same foot, seen from the same place, by another raise.
func (s *Session) onward(st plan.Step, raise float64) *plan.Step {
	st.Touch = false
	if p, ok := s.watched(st); ok {
		w := *st.Watch
		rate, _ := s.beds.rate(p, st.Foot, math.Copysign(max(math.Abs(raise), plan.LeastMove), raise))
		w.Change, st.Watch = rate*raise, &w
	}
	st.Raise = raise
	return &st
}

// fallen are the feet that carried and are light now, other than the one in hand.
func (s *Session) fallen() (feet []int) {
	for f, light := range s.lightIf(0) {
		switch {
		case light < 0.5:
			s.carried[f] = true
		case s.carried[f] && f != s.lately && !s.skipped[f]:
			feet = append(feet, f)
		}
	}
	return slices.Clip(feet)
}
