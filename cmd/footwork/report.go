package main

import (
	"cmp"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"footwork/reports/page"
)

func reportCommand(t *terminal) *cobra.Command {
	var name, date string
	var force bool
	c := t.about("report", "everything on one page that works without a network", func(s *opened) error {
		name = cmp.Or(name, pageName(s.file()))
		made, err := madeOn(date, os.Getenv("SOURCE_DATE_EPOCH"))
		if err != nil {
			return err
		}
		if err := s.writePage(t, name, force, made); err != nil {
			return err
		}
		_, err = fmt.Fprintf(t.out, "%s is written: open it in any browser.\n", shown(name))
		return err
	})
	c.Flags().StringVar(&date, "date", "", "the day that the page says it was made on, 2026-03-02 (default: SOURCE_DATE_EPOCH, else today)")
	c.Flags().StringVarP(&name, "output", "o", "", "the page's file (default: beside the job, ending in .html)")
	c.Flags().BoolVar(&force, "force", false, "write the page over a file that is no page of footwork")
	return c
}

// madeOn is the day a page is made on: the one asked for, the second that
// SOURCE_DATE_EPOCH counts to (a convention of reproducible builds), or today.
func madeOn(asked, epoch string) (time.Time, error) {
	switch {
	case asked != "":
		day, err := time.Parse(time.DateOnly, asked)
		if err != nil {
			return day, usagef("--date %q: write a day as 2026-03-02", asked)
		}
		return day, nil
	case epoch != "":
		seconds, err := strconv.ParseInt(epoch, 10, 64)
		if err != nil {
			return time.Time{}, usagef("SOURCE_DATE_EPOCH %q is no whole number of seconds", epoch)
		}
		return time.Unix(seconds, 0).UTC(), nil
	}
	return time.Now(), nil
}

// pageName puts the page beside the job.
func pageName(file string) string { return strings.TrimSuffix(file, filepath.Ext(file)) + ".html" }

func (s *opened) writePage(t *terminal, name string, force bool, made time.Time) error {
	for _, own := range s.read {
		if sameFile(own, name) {
			return usagef("the page would be written over %s, which the job is read from; give another name with --output", own)
		}
	}
	if !force && !mayReplace(name) {
		return usagef("%s is there already and is no page of footwork; give another name with --output, or --force", name)
	}
	if err := canWrite(name); err != nil {
		return err
	}
	p, err := s.Report(func(err error) { t.note(err.Error()) })
	if err != nil {
		return err
	}
	p.Made = made.Format("2 January 2006")
	return writeWhole(name, func(w io.Writer) error { return page.Write(w, p) })
}
