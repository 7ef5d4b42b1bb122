package main

import (
	"footwork/internal/job"
	"footwork/internal/shop"
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
	t.warn(s.Contradictions(), j.Units)
	return s, nil
}
