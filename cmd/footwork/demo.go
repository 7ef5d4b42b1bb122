package main

import (
	"embed"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"
)

//go:embed demo
var demoFiles embed.FS

const demoName = "grinder.toml"

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
			return t.demo(dir)
		},
	}
}

// demo writes the example, prints its plan and writes its page.
func (t *terminal) demo(dir string) error {
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
	if err := t.show(plan, s); err != nil {
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
}

// writeDemo writes the example's files into a folder. Files of an earlier demo
// may be there; a file that a person has changed is not written over.
func writeDemo(dir string) error {
	names, err := demoFiles.ReadDir("demo")
	if err != nil {
		return err
	}
	var files []content
	for _, n := range names {
		data, err := demoFiles.ReadFile("demo/" + n.Name())
		if err != nil {
			return err
		}
		files = append(files, content{filepath.Join(dir, n.Name()), data})
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	return writeAll(files)
}
