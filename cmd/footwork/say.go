package main

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"unicode"

	"github.com/spf13/cobra"

	"footwork/internal/unit"
	"footwork/reports"
	"footwork/reports/doc"
	"footwork/reports/text"
	"footwork/supports"
)

// Rules of the terminal: results go to out, and nothing else does; progress and
// warnings go to err. Colour only on a terminal and never with NO_COLOR. A file
// appears whole or not at all.

// terminal is where one command line speaks, and in which form.
type terminal struct {
	said      []string // notes, none of which is given twice
	out, err  io.Writer
	units     string
	shown     unit.System // of the job that is open
	json, csv bool
	told      int // columns of progress that stand in the terminal's last line
}

// forms adds the flags that choose the form of a result.
func (t *terminal) forms(c *cobra.Command) *cobra.Command {
	c.Flags().BoolVar(&t.json, "json", false, "print one JSON object, SI units")
	c.Flags().BoolVar(&t.csv, "csv", false, "print the curves as CSV, SI units")
	c.PreRunE = func(*cobra.Command, []string) error {
		if t.json && t.csv {
			return usagef("--json and --csv are two forms of one answer; give one of them")
		}
		return nil
	}
	return c
}

// show prints a result in the form asked for, and its warnings beside it.
func (t *terminal) show(view reports.View, s *opened) error {
	t.warn(warningsOf(view), s.Units)
	var page bytes.Buffer
	var err error
	switch {
	case t.json:
		err = reports.WriteJSON(&page, view, func(w reports.Warning) string { return doc.Warning(w).In(s.Units) })
	case t.csv:
		err = reports.WriteCSV(&page, view)
	default:
		err = t.text(&page, view, s)
	}
	if err != nil {
		return err
	}
	t.clear()
	_, err = page.WriteTo(t.out)
	return err
}

// text writes a result for people.
func (t *terminal) text(w io.Writer, view reports.View, s *opened) error {
	d, err := s.words().Of(view)
	if err != nil {
		return err
	}
	return text.Write(w, d, text.Options{Units: s.Units, Width: columns, Colour: t.colour(), ASCII: isTerminal(t.out) && noDots(runtime.GOOS, os.Getenv)})
}

// words is what sentences need to know of the job.
func (s *opened) words() doc.Job {
	j := doc.Job{Length: s.Bed.Length, Goal: s.Goal, Adjusters: map[string]supports.Adjuster{}}
	for _, st := range s.Standings {
		j.Standings = append(j.Standings, st.Standing)
		if st.Name == s.Working("") {
			for i, f := range st.Feet {
				j.Adjusters[f.Name] = st.Adjusters[i]
			}
		}
	}
	return j
}

// warn says warnings beside the result.
func (t *terminal) warn(warnings []reports.Warning, sys unit.System) {
	for _, w := range warnings {
		t.note(doc.Warning(w).In(sys))
	}
}

// columns is the width of a terminal as it comes out of the box.
const columns = 80

// note says something beside the result.
func (t *terminal) note(words string) {
	if slices.Contains(t.said, words) {
		return
	}
	t.said = append(t.said, words)
	t.clear()
	const head = "note: "
	lines := text.Wrap(strings.ReplaceAll(plain(words), "\n", " "), columns-len(head))
	fmt.Fprintln(t.err, head+strings.Join(lines, "\n"+strings.Repeat(" ", len(head))))
}

// plain takes out of a text what would steer a terminal: names come from files.
func plain(words string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) && r != '\n' || unicode.Is(unicode.Bidi_Control, r) {
			return ' '
		}
		return r
	}, words)
}

// shown is a file's name as the terminal may have it.
func shown(name string) string { return strings.ReplaceAll(plain(name), "\n", " ") }

func (t *terminal) colour() bool {
	return os.Getenv("NO_COLOR") == "" && os.Getenv("TERM") != "dumb" && isTerminal(t.out)
}

// noDots tells whether the locale names a charset that has no braille dots: any
// but UTF-8. The first of the three variables that is set counts (POSIX.1-2017,
// XBD 8.2); Windows has none of them.
func noDots(system string, env func(string) string) bool {
	_, charset, named := strings.Cut(cmp.Or(env("LC_ALL"), env("LC_CTYPE"), env("LANG")), ".")
	charset, _, _ = strings.Cut(charset, "@")
	return named && system != "windows" && !strings.EqualFold(strings.ReplaceAll(charset, "-", ""), "utf8")
}

// system returns the units to print: the command line's, else the job's.
func (t *terminal) system(own unit.System) (unit.System, error) {
	switch t.units {
	case "":
		return own, nil
	case unit.Metric.String():
		return unit.Metric, nil
	case unit.Inches.String():
		return unit.Inches, nil
	}
	return own, usagef(`--units %q: write "metric" or "inch"`, t.units)
}

// writeWhole writes a file so that it appears whole or not at all.
func writeWhole(name string, write func(io.Writer) error) error {
	f, err := beginWhole(name)
	if err != nil {
		return err
	}
	defer func() { // nothing is left of it when all goes well, nor when what writes panics
		f.Close()
		os.Remove(f.Name())
	}()
	if err = write(f); err == nil {
		err = f.Chmod(0o644)
	}
	if err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err == nil {
		err = os.Rename(f.Name(), name)
	}
	if err != nil {
		return fmt.Errorf("%s was not written: %w", name, err)
	}
	return nil
}

// beginWhole opens a file beside the one that is to appear.
func beginWhole(name string) (*os.File, error) {
	if there, err := os.Stat(name); err == nil && !there.Mode().IsRegular() {
		return nil, fmt.Errorf("%s was not written: a folder or a device is there, no file", name)
	}
	f, err := os.CreateTemp(filepath.Dir(name), ".footwork-*")
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%s was not written: there is no folder %s", name, filepath.Dir(name))
	}
	if err != nil {
		return nil, fmt.Errorf("%s was not written: %w", name, err)
	}
	return f, nil
}

// canWrite tells before the work whether its file can be written after it.
func canWrite(name string) error {
	f, err := beginWhole(name)
	if err != nil {
		return err
	}
	return errors.Join(f.Close(), os.Remove(f.Name()))
}

// content is what a file is to hold.
type content struct {
	name string
	data []byte
}

// writeAll writes files, none of them over anything else.
func writeAll(files []content) error {
	for _, f := range files {
		old, err := readFile(os.Stat, os.Open, f.name)
		if _, missing := os.Lstat(f.name); missing == nil && (err != nil || !bytes.Equal(old, f.data)) {
			return usagef("%s is there already and is not written over", f.name)
		}
	}
	for _, f := range files {
		err := writeWhole(f.name, func(w io.Writer) error {
			_, err := w.Write(f.data)
			return err
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// sameFile tells whether two names are of one file that is there.
func sameFile(a, b string) bool {
	one, err := os.Stat(a)
	if err != nil {
		return false
	}
	other, err := os.Stat(b)
	return err == nil && os.SameFile(one, other)
}
