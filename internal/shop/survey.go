package shop

import (
	"cmp"
	"slices"

	"footwork/beam/shape"
	"footwork/reports"
	"footwork/survey"
	"footwork/survey/agree"
	"footwork/survey/log"
)

// Survey answers with every survey of the job reduced.
func (s *Shop) Survey() (*reports.Survey, error) {
	if len(s.Surveys) == 0 {
		return nil, askf("the job has no [[survey]]: add one of each way")
	}
	v := &reports.Survey{}
	records := s.Records()
	v.Surveys = each(records, s.profileView)
	diary := s.History()
	v.History = each(survey.History(records), func(r survey.Account) reports.WayHistory { return wayHistory(r, diary) })
	written := those(diary.Entries, func(e log.Entry) bool { return e.Line > 0 })
	v.Diary = each(written, func(e log.Entry) reports.Deed { return reports.Deed(e.Written) })
	return v, nil
}

// profileView is one survey reduced.
func (s *Shop) profileView(r survey.Record) reports.SurveyProfile {
	sv, p := r.Survey, r.Profile
	one := reports.SurveyProfile{Name: sv.Name, Subject: sv.Subject(), Instrument: string(sv.Instrument), Date: sv.Date, Pass: sv.Pass, Remarks: sv.Readings.Remarks}
	one.Warnings = each(p.Warnings, func(w survey.Warning) reports.Warning { return reports.SurveyDoubt{Of: sv, Doubt: w} })
	one.Runs = each(p.Spread, func(run survey.Run) reports.RunSpread {
		return reports.RunSpread{Name: run.Name, X: p.ReadingX, Value: run.Values, Unit: sv.Unit}
	})
	switch {
	case sv.Instrument == survey.CrossLevel && sv.Pulled != 0: // it spans the vees
		one.Gauge = s.Across()
	case sv.Instrument == survey.CrossLevel:
		one.Gauge = s.gauge()
	default:
		sigma := p.ZoneSigma()
		one.Straightness = straightness([]shape.Straightness{p.Shape().Straightness()})
		one.Straightness.Sigma = &sigma
		if sv.Against == "" { // a distance that tapers is no line of one's own
			p = p.AboutEnds()
		}
	}
	one.X, one.Height, one.Sigma = p.X, p.Height, p.Sigma()
	return one
}

// gauge is the length on which slopes across are told as heights, m.
func (s *Shop) gauge() float64 { return cmp.Or(s.goal().Gauge, s.Across()) }

// wayHistory tells how a way fared, and what was done to the feet between its surveys.
func wayHistory(a survey.Account, diary log.History) reports.WayHistory {
	out := reports.WayHistory{Subject: a.Subject}
	for k, m := range a.Marks {
		one := reports.Landmark{Landmark: m}
		if k > 0 {
			for _, c := range diary.Touched(a.Marks[k-1].Epoch, m.Epoch) {
				one.Moved = append(one.Moved, reports.Moved{Foot: c.Foot, Raise: c.Value, ToTouch: c.ToTouch, Locked: c.What == log.Lock, Again: c.What == log.StoodAgain})
			}
		}
		out.Marks = append(out.Marks, one)
	}
	return out
}

// grave are the warnings of one survey that every command repeats: with them its
// profile is most likely wrong.
var grave = []survey.WarningKind{survey.TurnedSign, survey.OtherScale, survey.WalkedOrder, survey.Overstated, survey.Misread, survey.Knocked, survey.CopiedRun, survey.StepUnlikeBase}

// understated is how many times the uncertainty given the runs must scatter to be
// told of by every command: ten times is a slip of the unit.
const understated = 10

func isGrave(w survey.Warning) bool {
	return slices.Contains(grave, w.Kind) || w.Kind == survey.Scattered && w.Size > understated*w.Other
}

// Contradictions returns what surveys say against themselves and one another, before
// anything is inferred from them.
func (s *Shop) Contradictions() (list []reports.Warning) {
	records := s.Records()
	for _, r := range records {
		for _, w := range r.Profile.Warnings {
			if isGrave(w) {
				list = append(list, reports.Named{Of: r.Survey.Name, Warning: reports.SurveyDoubt{Of: r.Survey, Doubt: w}})
			}
		}
	}
	return append(list, each(agree.Check(s.Bed.Ways, records), func(f agree.Finding) reports.Warning { return f })...)
}
