package main

import (
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"footwork/internal/job"
	"footwork/internal/unit"
)

func newCommand(t *terminal) *cobra.Command {
	length, pairs := "4000 mm", 4
	c := &cobra.Command{
		Use:   "new FILE",
		Short: "start a commented job file",
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			sys, err := t.system(unit.Metric)
			if err != nil {
				return err
			}
			if sys == unit.Inches && !c.Flags().Changed("length") {
				length = "12 ft"
			}
			text, err := job.Template(length, pairs, sys)
			if err != nil {
				return usageError{err}
			}
			if args[0] == "" {
				return usagef("the name of the file is empty; write it as: footwork %s", c.Use)
			}
			if _, err := os.Stat(args[0]); err == nil {
				return usagef("%s is there already and is not written over", args[0])
			}
			err = writeWhole(args[0], func(w io.Writer) error {
				_, err := io.WriteString(w, text)
				return err
			})
			if err == nil {
				_, err = fmt.Fprintf(t.out, "%s is ready to be filled in; then: footwork check %s\n", shown(args[0]), shown(args[0]))
			}
			return err
		},
	}
	c.Flags().StringVar(&length, "length", length, "of the bed, with its unit")
	c.Flags().IntVar(&pairs, "pairs", pairs, "of feet that it stands on")
	return c
}
