package turn

import (
	"math"
	"slices"

	"footwork/supports/plan"
)

// lightIf is of each foot the share of the beds in which it carries less than half the least load when
// the foot in hand goes on by so much, m, and its nut is tight.
func (s *Session) lightIf(by float64) []float64 {
	m := move{foot: max(0, s.lately), raise: by}
	if by != 0 && s.hangs(m.foot, by) {
		m.sd = s.slip(m.foot, 0, false)
	}
	_, each := s.beds.lightened(m, s.loose[m.foot], s.in.Goal.LeastLoad/2, 1)
	return each
}

// stands is how far a foot is raised since the survey when its nut is tight, m.
func (s *Session) stands(f int) float64 {
	by, _ := s.beds.mean(func(_ int, one *bed) (float64, error) {
		if s.loose[f] {
			return one.went[f] + one.nut[f], nil
		}
		return one.went[f], nil
	})
	return by
}

// mendBy are how far the foot in hand is turned on, either way, for feet to carry, m, and mends after how
// many turns of a visit it is no more, but undone (assumed).
var mendBy, mends = []float64{2e-6, 3e-6, 4.5e-6, 7e-6, 10e-6, 15e-6, 22e-6, 33e-6}, 8

// beyond is how far beyond undoing a visit its foot is turned for others to carry, m (assumed).
const beyond = 5e-6

// mend asks, before the foot in hand is left, for it to be turned on or back by as little as feet need
// that went light in this visit: by the turn, by its nut, which is seen first, or itself. Where nothing
// lets a foot carry that is known to be light, the visit is undone.
func (s *Session) mend() bool {
	const often, known = 0.12, 0.5 // of the beds have one light (assumed)
	st := s.step
	if st == nil || st.Foot != s.lately || st.Watch == nil || s.slack(st.Foot) && s.hardlyKnown(st.Foot) {
		return false
	}
	f, light := s.lightest(0)
	if light <= often {
		return false
	}
	net, before := s.stands(st.Foot)-s.began, slices.Contains(s.putBack[st.Foot], s.visit)
	by := s.mendedBy(f, light, net)
	back := s.hangs(st.Foot, by)
	if undo := max(-AtOnce, min(-net, AtOnce)); by == 0 && light > known && !before && !s.slack(st.Foot) && s.may(undo) {
		by, back = undo, true
	}
	if math.Abs(by) < plan.LeastMove {
		return false
	}
	if back && !before {
		s.putBack[st.Foot] = append(s.putBack[st.Foot], s.visit)
	}
	s.step, s.mending = s.onward(*st, by), s.name(f)
	s.show(*s.step, 1)
	return true
}

// lightest is the foot that most beds have light when the foot in hand goes on by so much, m, and the
// share of them beyond that which had it so before: that is no fault of this visit.
func (s *Session) lightest(by float64) (foot int, share float64) {
	for f, light := range s.lightIf(by) {
		if light -= s.lights[f]; light > share && !s.skipped[f] {
			foot, share = f, light
		}
	}
	return foot, share
}

// mendedBy is by how much the foot in hand is to go on, m, for a foot to carry that is light in such a share
// of the beds; 0 where nothing helps, or it was turned often enough · net: m, by how much it went in this visit.
func (s *Session) mendedBy(f int, light, net float64) (by float64) {
	const enough = 0.05 // of the beds may still have one light (assumed)
	back := slices.Contains(s.putBack[s.lately], s.visit)
	tooFar := func(raise float64) bool { // one that was put back stays about there, or hangs
		if back && !s.hangs(s.lately, raise) {
			return math.Abs(net+raise) > beyond
		}
		return f != s.lately && raise*net <= 0 && math.Abs(raise) > math.Abs(net)+beyond
	}
	if s.done-s.first >= mends {
		return 0
	}
	least := light / 2
	for _, far := range mendBy {
		for _, raise := range []float64{far, -far} {
			if least <= enough || tooFar(raise) || !s.may(raise) {
				continue
			}
			if _, share := s.lightest(raise); share < least {
				by, least = raise, share
			}
		}
	}
	return by
}

// may: the foot in hand may go on by so much, m: it has the thread, and none is loaded beyond its rating.
func (s *Session) may(by float64) bool {
	left := s.threadLeft(s.lately)
	return -left.Down <= by && by <= left.Up && !s.overloads(by)
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
