package main

import (
	"github.com/spf13/cobra"

	"footwork/reports"
)

func travelCommand(t *terminal) *cobra.Command {
	var standing, state string
	c := t.onJob("travel", "the table's journey: the bed, the feet and the work under the tool", func(s *opened) (reports.View, []reports.Warning, error) {
		v, err := s.Travel(s.Working(standing), reports.State(state))
		if err != nil {
			return nil, nil, err
		}
		return v, v.Warnings, nil
	})
	c.Flags().StringVar(&standing, "standing", "", "in this standing (default: the one worked in)")
	return stated(c, &state)
}
