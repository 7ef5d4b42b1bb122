package main

import (
	"bufio"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"footwork/internal/job"
	"footwork/internal/job/start"
	"footwork/internal/unit"
)

// schemaName is the file that a job's first line names for editors.
const schemaName = "footwork.schema.json"

func newCommand(t *terminal) *cobra.Command {
	length, pairs, schema := "4000 mm", 4, false
	c := &cobra.Command{
		Use:   "new FILE",
		Short: "start a commented job file",
		Long: `starts a commented job file. On a terminal, without --length and --pairs, it asks
what a tape measure and a look tell, shows the section as it understood it, and
writes the job and a sheet for each survey.`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			return t.start(args[0], length, pairs, schema, c.Flags().Changed)
		},
	}
	c.Flags().StringVar(&length, "length", length, "of the bed, with its unit")
	c.Flags().IntVar(&pairs, "pairs", pairs, "of feet that it stands on")
	c.Flags().BoolVar(&schema, "schema", false, "name a JSON Schema in the first line, for editors, and write it beside")
	return c
}

// start begins a job in a file by flags, of which given tells whether one was, or by asking.
func (t *terminal) start(file, length string, pairs int, schema bool, given func(flag string) bool) error {
	sys, err := t.system(unit.Metric)
	if err != nil {
		return err
	}
	if file == "" {
		return usagef("the name of the file is empty; write it as: footwork new FILE")
	}
	flags := given("length") || given("pairs")
	if sys == unit.Inches && !given("length") {
		length = "12 ft"
	}
	s, err := start.New(length, pairs, sys)
	if err != nil {
		return usageError{err}
	}
	if s.Stem = strings.TrimSuffix(filepath.Base(file), filepath.Ext(file)); schema {
		s.Schema = "./" + schemaName
	}
	if !flags && isTerminal(os.Stdin) && isTerminal(t.out) {
		if s, err = ask(bufio.NewScanner(os.Stdin), t.out, s, t.units == ""); err != nil {
			return err
		}
	}
	return t.writeNew(file, s)
}

// writeNew writes a job, the sheets of its surveys and its schema.
func (t *terminal) writeNew(file string, s start.Sketch) error {
	dir, files := filepath.Dir(file), []content{{file, []byte(s.Job())}}
	if s.Instrument != "" {
		for _, u := range s.SetUps() {
			files = append(files, content{filepath.Join(dir, u.File), []byte(s.Sheet(u))})
		}
	}
	if s.Schema != "" {
		files = append(files, content{filepath.Join(dir, schemaName), job.Schema()})
	}
	if err := writeAll(files); err != nil {
		return err
	}
	for _, f := range files[1:] {
		fmt.Fprintf(t.out, "%s is written.\n", shown(f.name))
	}
	_, err := fmt.Fprintf(t.out, "%s is ready to be filled in; then: footwork check %s\n", shown(file), shown(file))
	return err
}
