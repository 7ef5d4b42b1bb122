package main

import (
	"footwork/internal/job"
	"footwork/reports"
)

// pageSurveys fills in what was measured and what to do about it.
func (s *shop) pageSurveys(t *terminal, p *reports.Page, st job.Standing) (err error) {
	if len(s.Surveys) == 0 {
		return nil
	}
	if p.Survey, err = s.survey(); err != nil {
		return err
	}
	if p.Adjust, err = s.adjust(); err != nil {
		return err
	}
	if p.Adjust.Recommended < 0 {
		return nil
	}
	if p.Cut, err = s.cut(p.Adjust); err != nil {
		return err
	}
	return s.pageMatch(t, p, st.Name)
}

// pageMatch fills in feet and metal. Surveys that cannot be matched are no
// reason to go without a page.
func (s *shop) pageMatch(t *terminal, p *reports.Page, standing string) error {
	m, err := s.match(standing)
	if err != nil {
		t.note(err.Error())
		return nil
	}
	p.Match = s.matchView(m)
	p.Found, err = s.foundView(standing)
	return err
}

// pagePlace fills in where feet would be better, by the quick search. It runs
// beside the other parts and touches nothing of theirs.
func (s *shop) pagePlace(p *reports.Page) (err error) {
	if s.Place != nil && len(s.Bed.Ways) > 0 {
		quietly := func(string) func(done, whole int) { return nil }
		p.Place, err = s.place(quick, quietly)
	}
	return err
}
