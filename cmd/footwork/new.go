package main

import (
	"bufio"
	"fmt"
	"io"
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
			sys, err := t.system(unit.Metric)
			if err != nil {
				return err
			}
			if args[0] == "" {
				return usagef("the name of the file is empty; write it as: footwork %s", c.Use)
			}
			flags := c.Flags().Changed("length") || c.Flags().Changed("pairs")
			if sys == unit.Inches && !c.Flags().Changed("length") {
				length = "12 ft"
			}
			s, err := start.New(length, pairs, sys)
			if err != nil {
				return usageError{err}
			}
			if s.Stem = strings.TrimSuffix(filepath.Base(args[0]), filepath.Ext(args[0])); schema {
				s.Schema = "./" + schemaName
			}
			if !flags && isTerminal(os.Stdin) && isTerminal(t.out) {
				if s, err = ask(bufio.NewScanner(os.Stdin), t.out, s, t.units == ""); err != nil {
					return err
				}
			}
			return t.writeNew(args[0], s)
		},
	}
	c.Flags().StringVar(&length, "length", length, "of the bed, with its unit")
	c.Flags().IntVar(&pairs, "pairs", pairs, "of feet that it stands on")
	c.Flags().BoolVar(&schema, "schema", false, "name a JSON Schema in the first line, for editors, and write it beside")
	return c
}

// writeNew writes a job, the sheets of its surveys and its schema, none of them
// over anything.
func (t *terminal) writeNew(file string, s start.Sketch) error {
	dir, names := filepath.Dir(file), []string{file}
	content := map[string]string{file: s.Job()}
	if s.Instrument != "" {
		for _, u := range s.SetUps() {
			name := filepath.Join(dir, u.File)
			names, content[name] = append(names, name), s.Sheet(u)
		}
	}
	if name := filepath.Join(dir, schemaName); s.Schema != "" {
		if old, err := readFile(os.Stat, os.Open, name); err != nil || string(old) != string(job.Schema()) {
			names, content[name] = append(names, name), string(job.Schema())
		}
	}
	for _, name := range names {
		if _, err := os.Lstat(name); err == nil {
			return usagef("%s is there already and is not written over", name)
		}
	}
	for _, name := range names {
		err := writeWhole(name, func(w io.Writer) error {
			_, err := io.WriteString(w, content[name])
			return err
		})
		if err != nil {
			return err
		}
	}
	if len(names) > 1 {
		for _, name := range names[1:] {
			fmt.Fprintf(t.out, "%s is written.\n", shown(name))
		}
	}
	_, err := fmt.Fprintf(t.out, "%s is ready to be filled in; then: footwork check %s\n", shown(file), shown(file))
	return err
}
