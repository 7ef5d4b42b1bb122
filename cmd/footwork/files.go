package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"footwork/internal/job"
	"footwork/internal/shop"
	"footwork/survey/log"

	"github.com/spf13/cobra"
)

// fromJob returns where a file lies that the job names.
func fromJob(job, name string) string {
	if filepath.IsAbs(name) {
		return name
	}
	return filepath.Join(filepath.Dir(job), name)
}

// beside returns the content of a file that a job names, and adds its name to what was read: one
// in the job's folder or below it, wherever links lead; one elsewhere only by its whole path.
func beside(job, name string, read *[]string) ([]byte, error) {
	if filepath.IsAbs(name) {
		*read = append(*read, name)
		return readFile(os.Stat, os.Open, name)
	}
	dir := filepath.Dir(job)
	if name = filepath.FromSlash(name); !filepath.IsLocal(name) || escapes(dir, name) {
		return nil, errors.New("it lies outside the job's folder: put it there, or write its whole path")
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	defer root.Close()
	*read = append(*read, filepath.Join(dir, name))
	return readFile(root.Stat, root.Open, name)
}

// escapes tells whether links lead from a name in a folder to a file outside it.
func escapes(dir, name string) bool {
	real, err := filepath.EvalSymlinks(filepath.Join(dir, name))
	home, wrong := filepath.EvalSymlinks(dir)
	if err != nil || wrong != nil {
		return false
	}
	rel, err := filepath.Rel(home, real)
	return err != nil || !filepath.IsLocal(rel)
}

// readFile returns the content of a regular file that is no larger than any
// that a person writes. What blocks or never ends is not opened.
func readFile(stat func(string) (fs.FileInfo, error), open func(string) (*os.File, error), name string) ([]byte, error) {
	switch i, err := stat(name); {
	case err != nil:
		return nil, plainError(err)
	case i.IsDir():
		return nil, errors.New("it is a folder, no file")
	case !i.Mode().IsRegular():
		return nil, errors.New("it is no regular file")
	case i.Size() > job.MostBytes:
		return nil, fmt.Errorf("it has more than %d MB", job.MostBytes>>20)
	}
	f, err := open(name)
	if err != nil {
		return nil, plainError(err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, job.MostBytes+1))
	if len(data) > job.MostBytes { // it grew meanwhile, or has no size of its own
		return nil, fmt.Errorf("it has more than %d MB", job.MostBytes>>20)
	}
	return data, plainError(err)
}

// plainError leaves out the name of the call and of the file, which is said
// beside it.
func plainError(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	return err
}

// opened is a job read from its files.
type opened struct {
	*shop.Shop
	read []string // the files it was read from, which nothing is written over
}

// file is the job's own.
func (s *opened) file() string { return s.read[0] }

// about is a command about the job of one file.
func (t *terminal) about(name, short string, do func(*opened) error) *cobra.Command {
	return &cobra.Command{Use: name + " JOB", Short: short, Args: cobra.ExactArgs(1), RunE: func(_ *cobra.Command, args []string) error {
		s, err := t.open(args[0])
		if err != nil {
			return err
		}
		return do(s)
	}}
}

// open reads a job file and the surveys beside it.
func (t *terminal) open(file string) (*opened, error) {
	data, err := readFile(os.Stat, os.Open, file)
	if err != nil {
		return nil, usagef("the job file %s cannot be read: %w", file, err)
	}
	read := []string{file}
	j, err := job.Read(file, data, func(name string) ([]byte, error) { return beside(file, name, &read) })
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
	s := &opened{shop.Open(j), read}
	t.warn(s.Contradictions(), j.Units)
	return s, nil
}
