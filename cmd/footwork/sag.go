package main

import (
	"github.com/spf13/cobra"

	"footwork/reports"
)

func sagCommand(t *terminal) *cobra.Command {
	var standing, state, tableAt string
	c := t.onJob("sag", "the shape of each way, foot loads and light feet", func(s *opened) (reports.View, []reports.Warning, error) {
		place, err := optionalLength("--table-at", tableAt)
		if err != nil {
			return nil, nil, err
		}
		names := s.StandingNames()
		if standing != "" {
			names = []string{standing}
		}
		v, err := s.Sag(names, reports.State(state), place)
		if err != nil {
			return nil, nil, err
		}
		var warnings []reports.Warning
		for _, st := range v.Standings {
			warnings = append(warnings, reports.About(st.Name, st.Warnings)...)
		}
		return v, warnings, nil
	})
	c.Flags().StringVar(&standing, "standing", "", "only this standing")
	c.Flags().StringVar(&tableAt, "table-at", "", `the table parked with its left end here, "700 mm"`)
	return stated(c, &state)
}
