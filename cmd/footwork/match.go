package main

import (
	"github.com/spf13/cobra"

	"footwork/reports"
)

func matchCommand(t *terminal) *cobra.Command {
	return t.onJob("match", "the measured profile in its parts: sag, feet, heat and metal", func(s *opened) (reports.View, []reports.Warning, error) {
		v, err := s.Match(s.Working(""))
		if err != nil {
			return nil, nil, err
		}
		return v, v.Warnings, nil
	})
}
