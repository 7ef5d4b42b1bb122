package shop

import (
	"cmp"
	"math"
	"slices"

	"footwork/beam"
	"footwork/internal/job"
	"footwork/reports"
	"footwork/supports"
	"footwork/supports/plan"
	"footwork/survey"
)

// touchSD is how well a person sees a foot begin to take load, m: the screw
// stops turning freely, or the instrument begins to move. Common practice, no
// source.
const touchSD = 4e-6

// task is what a plan for a standing is made for: all that is known of it, what can be
// moved, and what was last read.
type task struct {
	plan.Task
	read   *measured
	setups []survey.Survey // how each of Instruments is set up; nil for the indicator
}

// taskOf puts a surveyed standing before the planner.
func (s *Shop) taskOf(standing string) (*task, error) {
	m, err := s.measured(standing)
	if err != nil {
		return nil, err
	}
	k, err := s.knownOf(standing)
	if err != nil {
		return nil, err
	}
	v, err := s.solver(standing)
	if err != nil {
		return nil, err
	}
	load, err := s.parked(m.readings[0].TableAt)
	if err != nil {
		return nil, err
	}
	t := &task{read: m, Task: plan.Task{Bed: s.Bed, Standing: m.standing.Standing, Solver: v, Loads: load, Tied: m.tied, Draws: k.draws,
		Feet: s.adjusters(m.standing), Goal: s.goal(), TouchSD: touchSD}}
	for i, w := range m.framed {
		t.Ways = append(t.Ways, plan.Way{Of: m.of[i], X: w.X})
	}
	t.Slip = each(t.Feet, moveSD)
	s.instruments(t)
	return t, nil
}

// goal returns the job's goal, or what it is without one.
func (s *Shop) goal() supports.Goal {
	if s.Goal != nil {
		return *s.Goal
	}
	return supports.Goal{Allow: supports.Either, LeastLoad: supports.LightShare, MostMove: math.Inf(1)}
}

// adjusters returns the means by which the feet of a standing are moved, with the
// thread that the log has left of each.
func (s *Shop) adjusters(st job.Standing) []supports.Adjuster {
	history := s.History()
	out := slices.Clone(st.Adjusters)
	for i, f := range st.Feet {
		if left := out[i].Left; left != nil {
			raised := history.Raised(st.Name, f.Name)
			out[i].Left = &supports.Thread{Up: max(0, left.Up-raised), Down: max(0, left.Down+raised)}
		}
	}
	return out
}

// moveSD is how far a move may miss what was meant, m: anything within two
// degrees of a screw (so 2°/√3, JCGM 100, 4.3.7), two micrometres of a shim.
func moveSD(a supports.Adjuster) float64 {
	if a.Kind == supports.Screw {
		return 2. / 360 / math.Sqrt(3) * a.Rise
	}
	return 2e-6
}

// instruments puts what the standing's surveys were read with before the planner, and
// the indicator that can stand beside a foot.
func (s *Shop) instruments(t *task) {
	add := func(r survey.Record, way int) {
		if r.OnBed { // it tilts with the bed: left standing, it does not show what a foot does
			return
		}
		in := plan.Instrument{Name: setUpOf(r.Survey), Way: way, Noise: r.ReadingSigma}
		if r.Instrument == survey.Autocollimator || r.Instrument == survey.Level {
			in.Base = r.Base
		}
		if r.Instrument == survey.Autocollimator { // assumed: in the minutes of a step its zero creeps by what one reading scatters
			in.Drift = r.ReadingSigma
		}
		for _, x := range r.ReadingX {
			if !s.underTable(x, x+in.Base, r.TableAt) {
				in.At = append(in.At, x)
			}
		}
		if len(in.At) > 0 {
			t.Instruments, t.setups = append(t.Instruments, in), append(t.setups, r.Survey)
		}
	}
	for i, r := range t.read.readings {
		add(r, i)
	}
	if t.read.cross != nil && len(t.read.ways) > 1 {
		add(*t.read.cross, plan.Across)
	}
	if t.Goal.Indicator > 0 { // a resolution: anywhere within a half either way (JCGM 100, F.2.2.1)
		t.Instruments, t.setups = append(t.Instruments, plan.Instrument{Name: reports.Indicator, Noise: t.Goal.Indicator / math.Sqrt(12)}), append(t.setups, survey.Survey{})
	}
}

// setUpOf names how a survey is set up, as the log calls it.
func setUpOf(s survey.Survey) string { return cmp.Or(s.SetUp, s.Name) }

// underTable tells whether the parked table covers any of a length.
func (s *Shop) underTable(from, to float64, tableAt *float64) bool {
	return tableAt != nil && s.Table != nil && to > *tableAt && from < *tableAt+s.Table.Length
}

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
		if r.Foot >= 0 && (st.Adjusters[r.Foot].Rated == 0 || r.Load <= st.Adjusters[r.Foot].Rated) { // else a block beside it
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
