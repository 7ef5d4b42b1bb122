package main

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"os"
	"runtime"
	"slices"
	"strings"
	"time"
	"unicode"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"footwork/internal/unit"
	"footwork/reports"
	"footwork/reports/doc"
	"footwork/reports/text"
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
	t.warn(view.Beside(), s.Units)
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
func (t *terminal) text(w io.Writer, view any, s *opened) error {
	d, err := doc.Of(s.Blank(), view)
	if err != nil {
		return err
	}
	return t.document(w, d, s)
}

func (t *terminal) document(w io.Writer, d doc.Document, s *opened) error {
	return text.Write(w, d, text.Options{Units: s.Units, Width: columns, Colour: t.colour(), ASCII: isTerminal(t.out) && noDots(runtime.GOOS, os.Getenv)})
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

// progress returns what tells how far some work is, from its second second on:
// in one line of a terminal, elsewhere in a line every five seconds.
func (t *terminal) progress(what string) func(done, whole int) {
	began := time.Now()
	var last time.Time
	shown := isTerminal(t.err)
	pause := 5 * time.Second
	if shown {
		pause = time.Second / 5
	}
	return func(done, whole int) {
		now := time.Now()
		if now.Sub(began) < time.Second || now.Sub(last) < pause {
			return
		}
		last = now
		t.tell(fmt.Sprintf("%s: %d of %d", what, done, whole), shown)
	}
}

// tell says how far some work is; in place, over what it said before.
func (t *terminal) tell(text string, inPlace bool) {
	if !inPlace {
		fmt.Fprintln(t.err, text)
		return
	}
	t.clear()
	fmt.Fprint(t.err, text)
	t.told = len(text)
}

// clear takes back what was told in place, before something else is said.
func (t *terminal) clear() {
	if t.told > 0 {
		fmt.Fprint(t.err, "\r", strings.Repeat(" ", t.told), "\r")
		t.told = 0
	}
}

func isTerminal(w any) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}
