package main

import (
	"github.com/spf13/cobra"

	"footwork/reports"
	"footwork/survey"
)

func surveyCommand(t *terminal) *cobra.Command {
	return t.onJob("survey", "readings to profiles and straightness", func(s *shop) (reports.View, []string, error) {
		v, err := s.survey()
		if err != nil {
			return nil, nil, err
		}
		var notes []string
		for _, p := range v.Surveys {
			notes = append(notes, prefixed(p.Name, p.Warnings)...)
		}
		return v, notes, nil
	})
}

// survey reduces every survey of the job.
func (s *shop) survey() (*reports.Survey, error) {
	if len(s.Surveys) == 0 {
		return nil, usagef("the job has no [[survey]]")
	}
	v := &reports.Survey{}
	records, err := s.Records()
	if err != nil {
		return nil, err
	}
	for _, r := range records {
		sv, p := r.Survey, r.Profile
		one := reports.SurveyProfile{Name: sv.Name, Standing: sv.Standing, Way: sv.Way, Instrument: string(sv.Instrument), Date: sv.Date, Pass: sv.Pass}
		for _, w := range p.Warnings {
			one.Warnings = append(one.Warnings, reports.SurveyWarning(sv, w, s.units))
		}
		for _, run := range p.Spread {
			one.Runs = append(one.Runs, reports.RunSpread{Name: run.Name, X: p.ReadingX, Value: run.Values, Unit: sv.Unit})
		}
		if sv.Instrument != survey.CrossLevel {
			sigma := p.ZoneSigma()
			one.Straightness = straightness(p.Shape())
			one.Straightness.Sigma = &sigma
			p = p.AboutEnds()
		}
		one.X, one.Height, one.Sigma = p.X, p.Height, p.Sigma()
		v.Surveys = append(v.Surveys, one)
	}
	for _, r := range survey.History(records) {
		one := reports.WayHistory{Standing: r.Standing, Way: r.Way}
		for _, m := range r.Marks {
			one.Marks = append(one.Marks, reports.Landmark(m))
		}
		v.History = append(v.History, one)
	}
	return v, nil
}
