package main

import (
	"bytes"
	_ "embed"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"footwork/internal/job"
)

//go:embed demo/grinder.toml
var demoJob []byte

const demoName = "grinder.toml"

// demoFiles are the demo's surveys, in the job's order.
var demoFiles = []string{"front-first.csv", "back-first.csv", "cross-first.csv"}

func demoCommand(t *terminal) *cobra.Command {
	return &cobra.Command{
		Use:   "demo [DIR]",
		Short: "write an example job, work it through, write its page and print the plan",
		Args:  cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			dir := "footwork-demo"
			if len(args) == 1 {
				dir = args[0]
			}
			if dir == "" {
				return usagef("the name of the folder is empty; write it as: footwork demo [DIR]")
			}
			if err := writeDemo(dir); err != nil {
				return err
			}
			file := filepath.Join(dir, demoName)
			s, err := t.open(file)
			if err != nil {
				return err
			}
			plan, err := s.Adjust(t.progress("plans tried"))
			if err != nil {
				return err
			}
			if err := t.show(plan, plan.Warnings, s); err != nil {
				return err
			}
			page := pageName(file)
			made, err := madeOn("", os.Getenv("SOURCE_DATE_EPOCH"))
			if err != nil {
				return err
			}
			if err := s.writePage(t, page, false, made); err != nil {
				return err
			}
			_, err = fmt.Fprintf(t.out, "\nThe job is %s, the page %s.\n", shown(file), shown(page))
			return err
		},
	}
}

// writeDemo writes the example's files into a folder. Files of an earlier demo
// may be there; a file that a person has changed is not written over.
func writeDemo(dir string) error {
	files, err := demoContent()
	if err != nil {
		return err
	}
	for name, data := range files {
		path := filepath.Join(dir, name)
		if old, err := readFile(os.Stat, os.Open, path); err == nil && !bytes.Equal(old, data) {
			return fmt.Errorf("%s is there already and differs from the demo's own; name another folder", path)
		}
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	for name, data := range files {
		err := writeWhole(filepath.Join(dir, name), func(w io.Writer) error {
			_, err := w.Write(data)
			return err
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// demoContent returns the example's files by name.
func demoContent() (map[string][]byte, error) {
	blank := func(file string) ([]byte, error) { return blankReadings(file), nil }
	j, err := job.Read(demoName, demoJob, blank)
	if err != nil {
		return nil, err
	}
	files, err := inventedBed().readings(j)
	if err != nil {
		return nil, err
	}
	files[demoName] = demoJob
	return files, nil
}
