package main

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

var errFull = errors.New("no space left on device")

// Only a file is replaced: neither a folder nor a device, even where the rights
// would allow it.
func TestOnlyFilesAreReplaced(t *testing.T) {
	for _, name := range []string{t.TempDir(), os.DevNull} {
		err := writeWhole(name, func(io.Writer) error { t.Errorf("%s was begun", name); return errFull })
		if err == nil || !strings.Contains(err.Error(), "was not written") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A result that cannot be printed is work not done.
func TestFullOutput(t *testing.T) {
	file, notes := filepath.Join(jobFolder(t, "plain"), "job.toml"), bytes.Buffer{}
	for _, args := range [][]string{{"check", file}, {"sag", file}, {"sag", file, "--json"}, {"report", file}} {
		notes.Reset()
		if code := run(args, fullWriter{}, &notes); code != exitWork || !strings.Contains(notes.String(), errFull.Error()) {
			t.Errorf("%v ended with %d: %s", args, code, &notes)
		}
	}
}

type fullWriter struct{}

func (fullWriter) Write([]byte) (int, error) { return 0, errFull }

// Colour is for terminals that want it.
func TestColour(t *testing.T) {
	tty, err := os.OpenFile("/dev/ptmx", os.O_RDWR, 0)
	if err != nil {
		t.Skip("no terminal to ask: ", err)
	}
	defer tty.Close()
	for _, c := range []struct {
		noColor, term string
		out           io.Writer
		want          bool
	}{
		{"", "xterm", tty, true},
		{"1", "xterm", tty, false},
		{"", "dumb", tty, false},
		{"", "xterm", &bytes.Buffer{}, false},
	} {
		t.Setenv("NO_COLOR", c.noColor)
		t.Setenv("TERM", c.term)
		if got := (&terminal{out: c.out}).colour(); got != c.want {
			t.Errorf("NO_COLOR=%q TERM=%q to %T: %v", c.noColor, c.term, c.out, got)
		}
	}
}

// Dots are left to terminals whose charset has them.
func TestNoDots(t *testing.T) {
	for _, c := range []struct {
		system, all, ctype, lang string
		want                     bool
	}{
		{"linux", "", "", "", false},
		{"linux", "", "", "de_DE.UTF-8", false},
		{"linux", "", "", "C.utf8", false},
		{"linux", "", "", "de_DE.ISO-8859-1", true},
		{"darwin", "", "", "de_DE.ISO8859-15@euro", true},
		{"windows", "", "", "de_DE.ISO8859-15", false},
		{"linux", "", "de_DE.UTF-8", "de_DE.ISO-8859-1", false},
		{"linux", "ru_RU.KOI8-R", "de_DE.UTF-8", "de_DE.UTF-8", true},
		{"linux", "C", "", "de_DE.ISO-8859-1", false}, // names no charset
	} {
		env := map[string]string{"LC_ALL": c.all, "LC_CTYPE": c.ctype, "LANG": c.lang}
		if got := noDots(c.system, func(name string) string { return env[name] }); got != c.want {
			t.Errorf("%+v: %v", c, got)
		}
	}
}

// A note stays within the terminal, and its lines stand under its text.
func TestNotesAreWrapped(t *testing.T) {
	var b bytes.Buffer
	(&terminal{err: &b}).note("foot F1 carries only 1.2\u00a0kN,\nless " + strings.Repeat("and less ", 20) + "than is asked for")
	lines := strings.Split(strings.TrimSuffix(b.String(), "\n"), "\n")
	if len(lines) != 4 || !strings.HasPrefix(lines[0], "note: foot F1 carries only 1.2 kN, less") {
		t.Errorf("%q", lines)
	}
	for i, l := range lines {
		if len(l) > columns || i > 0 && (!strings.HasPrefix(l, "      ") || l[6] == ' ') {
			t.Errorf("%d columns: %q", len(l), l)
		}
	}
}

// On a terminal progress is one line, gone before anything else is said.
func TestProgressInPlace(t *testing.T) {
	var b bytes.Buffer
	s := &terminal{err: &b}
	s.tell("feet tried: 9 of 12", true)
	s.tell("feet tried: 10 of 12", true)
	s.note("done")
	screen := ""
	for _, r := range b.String() { // what a terminal shows of it
		if r == '\r' {
			screen = ""
		} else {
			screen += string(r)
		}
	}
	if screen != "note: done\n" || strings.Count(b.String(), "\n") != 1 {
		t.Errorf("%q", &b)
	}
}

// Elsewhere it is a line now and then: quick work says nothing.
func TestProgressInLines(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		var b bytes.Buffer
		tell := (&terminal{err: &b}).progress("feet tried")
		for i := range 121 {
			tell(i, 120)
			time.Sleep(100 * time.Millisecond)
		}
		if want := "feet tried: 10 of 120\nfeet tried: 60 of 120\nfeet tried: 110 of 120\n"; b.String() != want {
			t.Errorf("%q", &b)
		}
	})
}
