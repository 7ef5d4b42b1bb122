package shop

import (
	"math"
	"slices"

	"footwork/beam"
	"footwork/internal/job"
	"footwork/reports"
	"footwork/supports"
)

// levelling tells how a bed that was just set down is brought onto all its feet; nil
// of one that has none or lies on bearings.
func (s *Shop) levelling(st job.Standing) *reports.Levelling {
	if len(st.Bearings) > 0 || len(st.Feet) == 0 {
		return nil
	}
	l, err := supports.Level(s.Bed, st.Standing, beam.Options{})
	if err != nil {
		return &reports.Levelling{Unsafe: true}
	}
	out := &reports.Levelling{Clear: l.Clear}
	own := map[string]bool{}
	for _, r := range l.On {
		one := reports.Rest{At: r.At, Offset: r.Offset, Load: r.Load}
		if r.Foot >= 0 && r.Load <= st.Limits[r.Foot].Rated { // else a block beside it
			one.Foot = st.Feet[r.Foot].Name
			own[one.Foot] = true
		}
		out.On = append(out.On, one)
	}
	others := those(st.Feet, func(f beam.Foot) bool { return !own[f.Name] })
	out.Others = each(others, func(f beam.Foot) string { return f.Name })
	out.Short = s.shortThreads(st, l.Drop)
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

// shortThreads returns the feet whose thread is less than what they are raised by, m.
func (s *Shop) shortThreads(st job.Standing, raised []float64) (feet []string) {
	for i, a := range s.adjusters(st) {
		if t := a.Left; t != nil && t.Up+t.Down < raised[i] {
			feet = append(feet, st.Feet[i].Name)
		}
	}
	return feet
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
