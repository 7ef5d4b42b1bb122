package main

import (
	"github.com/spf13/cobra"

	"footwork/reports"
)

func changeCommand(t *terminal) *cobra.Command {
	var from, to, state, tableAt string
	c := t.onJob("change", "what moving the bed from one standing to another does to its ways", func(s *opened) (reports.View, []reports.Warning, error) {
		place, err := optionalLength("--table-at", tableAt)
		if err != nil {
			return nil, nil, err
		}
		a, b, err := s.Between(from, to)
		if err != nil {
			return nil, nil, err
		}
		v, err := s.Change(a, b, reports.State(state), place)
		if err != nil {
			return nil, nil, err
		}
		return v, v.Warnings, nil
	})
	c.Flags().StringVar(&from, "from", "", "the standing the bed was made straight in (default: what --to comes after)")
	c.Flags().StringVar(&to, "to", "", "the standing it was moved to (default: the one worked in)")
	c.Flags().StringVar(&tableAt, "table-at", "", `the table parked in the standing moved to, "700 mm"`)
	return stated(c, &state)
}
