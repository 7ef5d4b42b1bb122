package shop

import (
	"math"
	"slices"

	"footwork/internal/job"
	"footwork/reports"
	"footwork/supports"
)

// levelling tells how a bed that was just set down is brought onto all its feet; nil
// when its feet do not allow it.
func (s *Shop) levelling(st job.Standing) *reports.Levelling {
	v, err := s.solver(st.Name)
	if err != nil || len(st.Bearings) > 0 {
		return nil
	}
	l, err := supports.Level(v, st.Standing)
	if err != nil {
		return &reports.Levelling{Hindered: err.Error()}
	}
	out := &reports.Levelling{}
	for _, i := range l.Three {
		out.First = append(out.First, reports.NamedLoad{Foot: st.Feet[i].Name, Load: l.Loads[i]})
	}
	for i, f := range st.Feet {
		if !slices.Contains(l.Three[:], i) {
			out.Others = append(out.Others, f.Name)
		}
	}
	for _, turn := range l.Turns {
		one := reports.LevelTurn{Lightest: slices.Min(turn.Loads)}
		for i, raise := range turn.Raise {
			if math.Abs(raise) > telling {
				one.Moves = append(one.Moves, reports.Turned{Foot: st.Feet[i].Name, Raise: raise, Rise: riseOf(st.Adjusters[i])})
			}
		}
		out.Turns = append(out.Turns, one)
	}
	return out
}

// telling is the least raise that a person is asked for, m.
const telling = 0.5e-6

// riseOf is that of a screw, m a turn; 0 of anything else.
func riseOf(a supports.Adjuster) float64 {
	if a.Kind == supports.Screw {
		return a.Rise
	}
	return 0
}
