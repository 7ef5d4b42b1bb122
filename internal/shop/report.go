package shop

import (
	"footwork/beam"
	"footwork/internal/job"
	"footwork/reports"
	"footwork/supports"
)

// Report works the whole job through. What the job has no data for stays empty; what
// could not be worked out is among the errors that skipped is told of.
func (s *Shop) Report(skipped func(error)) (*reports.Page, error) {
	work := s.Working("")
	st, err := s.standing(work)
	if err != nil {
		return nil, err
	}
	p := &reports.Page{Title: s.Title, Units: s.Units, Bed: s.Bed, Table: s.Table,
		Standing: work, Adjusters: map[string]supports.Adjuster{}, Goal: s.Goal}
	if spread, ok := job.Published(s.Bed.Material.Name); ok {
		p.Published = &reports.Published{Source: spread.Source, Ranges: spread.Ranges}
	}
	for i, f := range st.Feet {
		p.Adjusters[f.Name] = st.Adjusters[i]
	}
	for _, one := range s.Standings {
		p.Standings = append(p.Standings, one.Standing)
	}
	placed := make(chan error, 1)
	go func() { placed <- s.reportPlace(p) }()
	for _, part := range []func(*reports.Page, job.Standing, func(error)) error{s.reportSurveys, s.reportStanding, s.reportTry} {
		if err := part(p, st, skipped); err != nil {
			<-placed
			return nil, err
		}
	}
	if err := <-placed; err != nil {
		skipped(err)
		p.Place = nil
	}
	return p, nil
}

// reportSurveys fills in what was measured and what to do about it.
func (s *Shop) reportSurveys(p *reports.Page, st job.Standing, skipped func(error)) (err error) {
	if len(s.Surveys) == 0 {
		return nil
	}
	if p.Survey, err = s.Survey(); err != nil {
		return err
	}
	if p.Contradictions, err = s.Contradictions(); err != nil {
		return err
	}
	if p.Adjust, err = s.Adjust(nil); err != nil {
		return err
	}
	if p.Adjust.Recommended < 0 {
		return nil
	}
	if p.Cut, err = s.Cut(""); err != nil {
		return err
	}
	if p.Match, err = s.Match(st.Name); err != nil { // no reason to go without a page
		skipped(err)
		p.Match = nil
	}
	return nil
}

// reportStanding fills in how the bed stands in each state, and what that does.
func (s *Shop) reportStanding(p *reports.Page, st job.Standing, skipped func(error)) (err error) {
	if p.Sag, err = s.Sag(s.StandingNames(), reports.Given, nil); err != nil {
		return err
	}
	if p.Heat, err = s.heat(st.Name); err != nil {
		return err
	}
	if st.After != "" {
		if p.Change, err = s.Change(st.After, st.Name, "", nil); err != nil {
			return err
		}
	}
	for _, state := range s.states(p) {
		one, err := s.reportState(st.Name, state, skipped)
		if err != nil {
			return err
		}
		p.States = append(p.States, one)
	}
	return nil
}

// states are those that the page can show of the working standing.
func (s *Shop) states(p *reports.Page) []reports.State {
	list := []reports.State{reports.Given}
	if s.surveyed(p.Standing) {
		list = append(list, reports.Found)
	}
	if p.Adjust != nil && p.Adjust.Recommended > 0 {
		list = append(list, reports.Planned)
	}
	return list
}

func (s *Shop) reportState(standing string, state reports.State, skipped func(error)) (one reports.PageState, err error) {
	one.State = state
	if len(s.Masters) > 0 {
		if one.Blue, err = s.Blue(standing, state, ""); err != nil { // a master that fits no way is no reason to go without a page
			skipped(err)
			one.Blue = nil
		}
	}
	if one.Bare, err = s.sagOf(standing, state, nil); err != nil || s.Table == nil || len(s.Bed.Ways) == 0 {
		return one, err
	}
	middle := s.midStroke()
	if under, err := s.sagOf(standing, state, &middle); err == nil {
		one.Under = &under
	} else {
		skipped(err)
	}
	if one.Travel, err = s.Travel(standing, state); err != nil { // a table that tips is no reason to go without a page
		skipped(err)
		one.Travel = nil
	}
	return one, nil
}

// reportPlace fills in where feet would be better. It runs
// beside the other parts and touches nothing of theirs.
func (s *Shop) reportPlace(p *reports.Page) (err error) {
	if s.Job.Place != nil && len(s.Bed.Ways) > 0 {
		p.Place, err = s.Place(func(string) func(done, whole int) { return nil })
	}
	return err
}

// heat is the change of the ways for a top one kelvin warmer.
func (s *Shop) heat(standing string) (*reports.Heat, error) {
	st, err := s.standing(standing)
	if err != nil {
		return nil, err
	}
	warmer := st.Gradient + 1
	all, err := s.standAll(standing, []beam.Draw{{}, {Gradient: &warmer}}, nil)
	if err != nil {
		return nil, err
	}
	x := s.stations(fine, standing)
	return &reports.Heat{X: x, Ways: s.moved(x, all[1:], all[:1])}, nil
}
