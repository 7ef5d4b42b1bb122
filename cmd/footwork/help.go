package main

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"footwork/internal/job"
	"footwork/internal/unit"
	"footwork/reports/text"
)

// helpCommand tells of a topic, or else of a command.
func helpCommand(t *terminal) *cobra.Command {
	return &cobra.Command{
		Use:   "help [TOPIC [TABLE] | COMMAND]",
		Short: "about " + strings.Join(job.Topics(), ", ") + ", or a command",
		Long: `footwork help job         every key of the job file, its units, range and default
footwork help job bed.rib one table of it
footwork help survey      how readings are taken and written down
footwork help signs       which sign is which, and how to try it
footwork help log         what was done and read, line by line
footwork help blue        masters and prints`,
		Args: cobra.MaximumNArgs(2),
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) == 0 {
				return c.Root().Help()
			}
			sys, err := t.system(unit.Metric)
			if err != nil {
				return err
			}
			lines, err := job.Help(args[0], strings.Join(args[1:], ""), sys)
			if err == nil {
				return t.page(lines)
			}
			if about, _, wrong := c.Root().Find(args[:1]); wrong == nil && about != c.Root() && len(args) == 1 {
				return about.Help()
			}
			return usageError{err}
		},
	}
}

// page prints lines of help, wrapped but for what is indented as an example.
func (t *terminal) page(lines []string) error {
	var b bytes.Buffer
	for _, line := range lines {
		hang, words := "", line
		if rest, ok := strings.CutPrefix(line, "\t"); ok {
			words = strings.TrimLeft(rest, " ")
			hang = rest[:len(rest)-len(words)]
		} else if strings.HasPrefix(line, " ") || len(line) == 0 {
			fmt.Fprintln(&b, line)
			continue
		}
		for _, part := range text.Wrap(words, columns-len(hang)) {
			fmt.Fprintln(&b, hang+part)
		}
	}
	_, err := b.WriteTo(t.out)
	return err
}

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
