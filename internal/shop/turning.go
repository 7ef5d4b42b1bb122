package shop

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"footwork/beam"
	"footwork/internal/job"
	"footwork/internal/shop/turn"
	"footwork/reports"
	"footwork/supports"
	"footwork/survey"
	"footwork/survey/log"
)

// byLock is how far a lock nut shifts a foot, m, one standard deviation: 5 to 20 µm are
// seen (common practice, no source).
const byLock = 5e-6

// Turn begins a session at the bed for the standing worked in: with the beds that it may
// have been when it was surveyed last, and all that the log has since · before: the
// session that a survey has just ended, nil without.
func (s *Shop) Turn(before *turn.Session) (*turn.Session, error) {
	var in turn.Input
	if before != nil {
		in = turn.Input{Asked: true, Nuts: before.Nuts()}
	}
	session, _, err := s.begin(s.standing(s.Working("")), in)
	return session, err
}

// NextStep answers what is to be turned next.
func (s *Shop) NextStep() (*reports.NextStep, error) {
	session, t, err := s.begin(s.standing(s.Working("")), turn.Input{Asked: true})
	if err != nil {
		return nil, err
	}
	p, err := session.Plan()
	if err != nil {
		return nil, err
	}
	v := &reports.NextStep{State: reports.Found, Of: len(p.Steps), Expected: reports.Before{Zone: p.Zone.Value, Low: p.Zone.Low, High: p.Zone.High}, Done: len(p.Steps) == 0}
	if !v.Done {
		step := t.stepView(p.Steps[0], p.Moves)
		v.Step, v.Foot, v.Touch, v.Raise, v.Watch, v.Feel, v.Loads = 1, step.Foot, step.Touch, step.Raise, step.Watch, step.Feel, step.Loads
	}
	return v, nil
}

func (s *Shop) begin(st job.Standing, in turn.Input) (*turn.Session, *task, error) {
	if len(st.Feet) == 0 {
		return nil, nil, askf("the standing %q has no feet to turn", st.Name)
	}
	if !s.surveyed(st.Name) {
		return nil, nil, askf("nothing was surveyed in the standing %q: level the bed, then survey each way", st.Name)
	}
	if down := s.History().LetDown(st.Name); len(down) > 0 {
		return nil, nil, askf("the bed was stood without %s since it was surveyed in the standing %q: stand it on its feet, survey each way, then turn", strings.Join(down, ", "), st.Name)
	}
	then, earlier, since := s.asSurveyed(st.Name)
	p, err := then.planned(nil)
	if err != nil {
		return nil, nil, err
	}
	in.Locks, in.AskLocks = s.lockNuts(st)
	in.Earlier = earlier
	in.Task, in.Plan, in.Since, in.Bolts, in.Table, in.Retighten, in.ByLock, in.Wanted = p.Task, p.Answer, since, true, s.Table != nil, crosswise(st), byLock, p.Goal.Tolerance
	if k, err := then.knownOf(st.Name); err == nil && k.unmatched == nil {
		in.Beds = k.matched.Draws
	}
	in.Instruments = slices.Clone(in.Instruments)
	for i, u := range p.setups {
		in.Instruments[i].Drift = 0 // one place is watched while a foot is turned
		gauge := s.Units.Height()
		setup := survey.Survey{Scale: gauge.One, Unit: gauge.Unit, Instrument: survey.Heights}
		if u.Name != "" {
			setup = s.LogBed.Setups[slices.IndexFunc(s.LogBed.Setups, func(v survey.Survey) bool { return v.Name == setUpOf(u) })]
			in.SurveyWith = append(in.SurveyWith, setup.Name)
		}
		in.Setups = append(in.Setups, setup)
	}
	for _, m := range p.Plans[p.Recommended].Moves {
		in.Feet = append(in.Feet, m.Foot)
	}
	session, err := turn.Begin(in)
	return session, p.task, err
}

// lockNuts tells whether the feet of a standing have lock nuts, as the log has it, or that it is to
// be asked: of feet on screws of which nobody has said it.
func (s *Shop) lockNuts(st job.Standing) (has, ask bool) {
	ask = slices.ContainsFunc(st.Adjusters, func(a supports.Adjuster) bool { return a.Kind == supports.Screw })
	for _, e := range s.History().Entries {
		switch {
		case e.What == log.Lock && e.Standing == st.Name, e.What == log.Note && e.Text == turn.WithNuts:
			has, ask = true, false
		case e.What == log.Note && e.Text == turn.WithoutNuts:
			has, ask = false, false
		}
	}
	return has, ask
}

// asSurveyed returns the job as it was known when the standing was surveyed last and its feet were
// felt with that, and what was done until then and since.
func (s *Shop) asSurveyed(standing string) (then *Shop, earlier, since []log.Entry) {
	all := s.History().Entries
	last := -1
	for i, e := range all {
		if e.What == log.Survey && e.Standing == standing {
			last = i
		}
	}
	for last+1 < len(all) && all[last+1].What == log.Feel {
		last++
	}
	earlier, since = all[:last+1], all[last+1:]
	if !slices.ContainsFunc(since, func(e log.Entry) bool { return e.What.Touching() || e.What == log.Feel || e.What == log.Came }) {
		return s, earlier, since
	}
	j := *s.Job
	then = Open(&j)
	then.until = last + 1
	return then, earlier, since
}

// crosswise returns the feet from the middle outwards, each across from the one before.
func crosswise(st job.Standing) []int {
	order := make([]int, len(st.Feet))
	mid := 0.0
	for i, f := range st.Feet {
		order[i] = i
		mid += f.At / float64(len(st.Feet))
	}
	side := func(f beam.Foot) float64 { return math.Copysign(1, f.Offset) * math.Copysign(1, f.At-mid) }
	slices.SortStableFunc(order, func(a, b int) int {
		f, g := st.Feet[a], st.Feet[b]
		return cmp.Or(cmp.Compare(math.Round(1e3*math.Abs(f.At-mid)), math.Round(1e3*math.Abs(g.At-mid))), cmp.Compare(side(f), side(g)))
	})
	return order
}
