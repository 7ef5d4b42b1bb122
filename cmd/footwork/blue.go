package main

import (
	"github.com/spf13/cobra"

	"footwork/reports"
)

func blueCommand(t *terminal) *cobra.Command {
	var standing, state, with string
	c := t.onJob("blue", "what a straightedge, a prism or the table prints on each way, and where it hinges", func(s *opened) (reports.View, []reports.Warning, error) {
		v, err := s.Blue(s.Working(standing), reports.State(state), with)
		if err != nil {
			return nil, nil, err
		}
		return v, v.Warnings, nil
	})
	c.Flags().StringVar(&standing, "standing", "", "in this standing")
	c.Flags().StringVar(&with, "with", "", `only this master, or "table"; without it all of them, or else the table`)
	return stated(c, &state)
}
