package main

import (
	"github.com/spf13/cobra"

	"footwork/reports"
)

func placeCommand(t *terminal) *cobra.Command {
	return t.onJob("place", "where the feet should go, and how many", func(s *opened) (reports.View, []reports.Warning, error) {
		v, err := s.Place(t.progress)
		if err != nil {
			return nil, nil, err
		}
		return v, v.Warnings, nil
	})
}
