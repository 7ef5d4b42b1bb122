package shop

import (
	"slices"

	"footwork/reports"
	"footwork/survey"
	"footwork/survey/agree"
)

// grave are the warnings of one survey that every command repeats: with them its
// profile is most likely wrong.
var grave = []survey.WarningKind{survey.TurnedSign, survey.OtherScale, survey.WalkedOrder, survey.Overstated, survey.Misread, survey.Knocked, survey.CopiedRun, survey.StepUnlikeBase}

// understated is how many times the uncertainty given the runs must scatter to be
// told of by every command: ten times is a slip of the unit.
const understated = 10

// Contradictions returns what surveys say against themselves and one another, before
// anything is inferred from them.
func (s *Shop) Contradictions() (list []reports.Warning) {
	records := s.Records()
	for _, r := range records {
		for _, w := range r.Profile.Warnings {
			if slices.Contains(grave, w.Kind) || w.Kind == survey.Scattered && w.Size > understated*w.Other {
				list = append(list, reports.Named{Of: r.Survey.Name, Warning: reports.SurveyDoubt{Of: r.Survey, Doubt: w}})
			}
		}
	}
	list = append(list, each(agree.Check(s.Bed.Ways, records), func(f agree.Finding) reports.Warning { return f })...)
	return list
}
