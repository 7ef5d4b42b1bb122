package turn

import (
	"math"

	"gonum.org/v1/gonum/floats"

	"footwork/supports/plan"
)

// dare is how far a foot is turned at once, m, the risk of that, and how many feet fewer are light after it, on
// the average of the beds.
type dare struct{ raise, risk, fewer float64 }

// seldom is the risk up to which a turn is as planned, dared that beyond which nothing is turned; safer is the part
// of it that is worth another turn, and some by how many feet more come to carry by a turn that is made before others
// than it risks (assumed).
const seldom, dared, safer, some = 0.01, 0.1, 0.5, 0.1

// helps: more feet come to carry by it than it risks.
func (d dare) helps() bool { return d.risk <= dared && d.fewer-d.risk > some }

// before: it comes before one that is earlier in the order of the plan · who has most feet come to carry is first,
// then who risks any but seldom: light feet make all other turns risky.
func (d dare) before(first dare) bool {
	if d.helps() || first.helps() {
		return d.helps() && !(first.helps() && first.fewer-first.risk >= d.fewer-d.risk)
	}
	return first.risk > seldom && d.risk < first.risk
}

// safe puts first the step that comes before all others as far as it is turned at once. There are no steps where
// that one risks more than is dared.
func (s *Session) safe(steps []plan.Step) []plan.Step {
	first, at := dare{risk: math.Inf(1)}, 0
	for k, st := range steps {
		var d dare
		if !st.Touch {
			d = s.careful(st, st.Raise)
		} else { // what its nut then does is put right, or comes after others
			d.risk = min(dared, s.nutRisks(st.Foot))
		}
		if d.before(first) {
			first, at = d, k
		}
	}
	if s.unsafe = len(steps) > 0 && first.risk > dared; s.unsafe {
		s.held = steps[at]
		return nil
	}
	if at > 0 {
		steps[0], steps[at] = steps[at], steps[0]
	}
	return steps
}

// nutRisks is the risk of tightening the nut of a foot that just touches.
func (s *Session) nutRisks(f int) float64 {
	m := move{foot: f, touch: true, sd: s.nutMisses()}
	if s.unseen(f) {
		m.sd = s.in.ByLock
	}
	risk, _ := s.beds.lightened(m, s.loose[f], s.in.Goal.LeastLoad/2, 1)
	return risk
}

// AtOnce is how far a foot goes before a bed that has taken a set is to settle, m (common
// practice, no source); small is how far where others may come loose by it (assumed).
const AtOnce, small = 250e-6, 20e-6

// careful returns how far a foot is turned at once: as far as is wanted where that leaves no
// foot light, else part of the way, as far as the instrument shows it. Where
// going slowly is hardly safer, as far as is wanted, if that is dared. What a hand feels counts less
// where nothing can be surveyed any more, or that was just done: else a survey tells more first. Just
// after a survey a part may be less than the instrument shows: the next one tells what it did.
func (s *Session) careful(st plan.Step, raise float64) dare {
	if raise = max(-AtOnce, min(raise, AtOnce)); len(st.Feel) > 0 {
		raise = max(-small, min(raise, small))
	}
	foot, sd, parts, unfelt := st.Foot, s.slip(st.Foot, 0, false)/2, []float64{1, 2. / 3, 1. / 3}, 1.0
	if s.hangs(foot, raise) {
		sd = s.slip(foot, 0, false)
	} else if w := st.Watch; w != nil && w.Change != 0 {
		sd = math.Abs(w.Within / w.Change * st.Raise)
	}
	shown := 2 * sd
	if s.byFeel {
		if parts = append(parts, 1./6, 1./12); len(s.left) == 0 || !s.tried {
			unfelt = handWrong
		}
		if !s.tried {
			shown = 0
		}
	}
	m := move{foot: foot, sd: sd}
	if !s.vague(foot) { // else it is looked at first
		m.sd = math.Hypot(sd, s.nuts[foot].SD)
	}
	lightened := func(m move) (risk, light float64) {
		risk, each := s.beds.lightened(m, s.loose[foot], s.in.Goal.LeastLoad/2, unfelt)
		return risk, floats.Sum(each)
	}
	_, now := lightened(move{foot: foot})
	d := dare{risk: math.Inf(1)}
	for _, much := range parts {
		if m.raise = much * raise; d.raise != 0 && math.Abs(m.raise) < max(plan.LeastMove, shown) {
			break // the instrument hardly shows it, or no hand turns it
		}
		if risk, light := lightened(m); risk < safer*d.risk || d.risk > dared && risk <= dared {
			d = dare{m.raise, risk, now - light}
		}
		if d.risk <= seldom {
			break
		}
	}
	return d
}
