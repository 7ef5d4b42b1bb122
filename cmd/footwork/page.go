package main

import (
	"context"

	"footwork/internal/job"
	"footwork/reports"
)

// pageSurveys fills in what was measured and what to do about it.
func (s *shop) pageSurveys(ctx context.Context, _ *terminal, p *reports.Page, st job.Standing) (err error) {
	if len(s.Surveys) == 0 {
		return nil
	}
	if p.Survey, err = s.survey(); err != nil {
		return err
	}
	if len(s.Surveyed()) == 0 || len(s.Bed.Ways) == 0 {
		return nil
	}
	m, err := s.match(st.Name)
	if err != nil {
		return err
	}
	p.Match = matchView(m)
	if p.Found, err = s.foundView(st.Name); err != nil {
		return err
	}
	if p.Adjust, err = s.adjust(ctx); err != nil {
		return err
	}
	p.Cut, err = s.cut(p.Adjust)
	return err
}

// pagePlace fills in where feet would be better, by the quick search.
func (s *shop) pagePlace(_ context.Context, t *terminal, p *reports.Page, _ job.Standing) (err error) {
	if s.Place != nil && len(s.Bed.Ways) > 0 {
		p.Place, err = s.place(quick, t.progress)
	}
	return err
}
