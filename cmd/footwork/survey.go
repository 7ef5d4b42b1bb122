package main

import (
	"github.com/spf13/cobra"

	"footwork/reports"
)

func surveyCommand(t *terminal) *cobra.Command {
	return t.onJob("survey", "readings to profiles and straightness", func(s *opened) (reports.View, []reports.Warning, error) {
		v, err := s.Survey()
		if err != nil {
			return nil, nil, err
		}
		var warnings []reports.Warning
		for _, p := range v.Surveys {
			warnings = append(warnings, reports.About(p.Name, p.Warnings)...)
		}
		return v, warnings, nil
	})
}
