package main

import (
	"github.com/spf13/cobra"

	"footwork/reports"
)

func cutCommand(t *terminal) *cobra.Command {
	var state string
	c := t.onJob("cut", "what is left for the scraper, now and after the recommended moves", func(s *opened) (reports.View, []reports.Warning, error) {
		v, err := s.Cut(reports.State(state))
		if err != nil {
			return nil, nil, err
		}
		return v, v.Warnings, nil
	})
	return stated(c, &state)
}
