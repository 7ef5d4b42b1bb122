package main

import (
	"github.com/spf13/cobra"

	"footwork/internal/job"
)

func schemaCommand(t *terminal) *cobra.Command {
	return &cobra.Command{
		Use:   "schema",
		Short: "print a JSON Schema of the job file, for editors that complete keys",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			_, err := t.out.Write(job.Schema())
			return err
		},
	}
}
