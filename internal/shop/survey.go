package shop

import (
	"footwork/beam"
	"footwork/reports"
	"footwork/survey"
)

// Survey answers with every survey of the job reduced.
func (s *Shop) Survey() (*reports.Survey, error) {
	if len(s.Surveys) == 0 {
		return nil, askf("the job has no [[survey]]")
	}
	v := &reports.Survey{}
	records, err := s.Records()
	if err != nil {
		return nil, err
	}
	for _, r := range records {
		sv, p := r.Survey, r.Profile
		one := reports.SurveyProfile{Name: sv.Name, Standing: sv.Standing, Way: sv.Way, Instrument: string(sv.Instrument), Date: sv.Date, Pass: sv.Pass, Remarks: sv.Readings.Remarks}
		for _, w := range p.Warnings {
			one.Warnings = append(one.Warnings, reports.SurveyDoubt{Of: sv, Doubt: w})
		}
		for _, run := range p.Spread {
			one.Runs = append(one.Runs, reports.RunSpread{Name: run.Name, X: p.ReadingX, Value: run.Values, Unit: sv.Unit})
		}
		if sv.Instrument != survey.CrossLevel {
			sigma := p.ZoneSigma()
			one.Straightness = straightness([]beam.Straightness{p.Shape().Straightness()})
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
