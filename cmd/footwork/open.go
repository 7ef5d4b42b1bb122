package main

import (
	"github.com/spf13/cobra"

	"footwork/internal/job"
	"footwork/internal/shop"
	"footwork/internal/unit"
	"footwork/reports"
	"footwork/survey/log"
)

// opened is a job read from its files.
type opened struct {
	*shop.Shop
	read []string // the files it was read from, which nothing is written over
}

// open reads a job file and the surveys beside it.
func (t *terminal) open(file string) (*opened, error) {
	in := inputs{job: file}
	data, err := in.own()
	if err != nil {
		return nil, usagef("the job file %s cannot be read: %w", file, err)
	}
	j, err := job.Read(file, data, in.beside)
	if err != nil {
		return nil, err
	}
	if waiting := log.File(fromJob(file, j.LogFile)).Waiting(); j.LogFile != "" && waiting != "" {
		t.note("lines of the log wait in " + string(waiting) + " and are not counted: footwork turn takes them in")
	}
	for _, n := range j.Notes {
		t.note(n.Error())
	}
	if j.Units, err = t.system(j.Units); err != nil {
		return nil, err
	}
	t.shown = j.Units
	s := &opened{shop.Open(j), in.read}
	doubts, err := s.Contradictions()
	t.warn(doubts, j.Units)
	return s, err
}

// answering is what a command prints of a job: a view and the warnings beside it.
type answering func(*opened) (reports.View, []reports.Warning, error)

// onJob builds a command that opens its job and prints one answer.
func (t *terminal) onJob(use, short string, give answering) *cobra.Command {
	return t.forms(&cobra.Command{Use: use + " JOB", Short: short, Args: cobra.ExactArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			s, err := t.open(args[0])
			if err != nil {
				return err
			}
			view, warnings, err := give(s)
			if err != nil {
				return err
			}
			return t.show(view, warnings, s)
		}})
}

// stated adds the flag that says which bed is meant.
func stated(c *cobra.Command, state *string) *cobra.Command {
	c.Flags().StringVar(state, "state", "", `the bed as "given" by the job, as "found" by surveys and hand, or as "planned" (default: found where anything was measured)`)
	return c
}

// optionalLength reads a flag that is a length; nil when it was not given.
func optionalLength(flag, text string) (*float64, error) {
	if text == "" {
		return nil, nil
	}
	v, err := unit.Length.Parse(text)
	if err != nil {
		return nil, usagef("%s: %w", flag, err)
	}
	return &v, nil
}
