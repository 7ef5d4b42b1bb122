package main

import (
	"github.com/spf13/cobra"

	"footwork/reports"
)

func adjustCommand(t *terminal) *cobra.Command {
	return t.onJob("adjust", "which foot, which way, how far, in what order, and what to read after each step", func(s *opened) (reports.View, []reports.Warning, error) {
		v, err := s.Adjust(t.progress("plans tried"))
		if err != nil {
			return nil, nil, err
		}
		return v, v.Warnings, nil
	})
}
