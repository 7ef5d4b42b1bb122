package main

import (
	"bytes"
	"errors"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var errFull = errors.New("no space left on device")

// A disk that fills up half way leaves what was there before, and no other file.
func TestHalfWrittenFileIsTakenBack(t *testing.T) {
	for _, before := range []string{"", "older page"} {
		dir := t.TempDir()
		name := filepath.Join(dir, "page.html")
		files := 0
		if before != "" {
			write(t, name, before)
			files = 1
		}
		err := writeWhole(name, func(w io.Writer) error {
			if _, err := io.WriteString(w, strings.Repeat("half of it ", 1e5)); err != nil {
				return err
			}
			return errFull
		})
		if !errors.Is(err, errFull) || !strings.Contains(err.Error(), "page.html was not written") {
			t.Errorf("error %v", err)
		}
		if left, _ := os.ReadDir(dir); len(left) != files {
			t.Errorf("left behind: %v", left)
		}
		if now, _ := os.ReadFile(name); string(now) != before {
			t.Errorf("the older file became %.20q", now)
		}
	}
}

func TestWrittenFileCanBeReadByOthers(t *testing.T) {
	name := filepath.Join(t.TempDir(), "page.html")
	err := writeWhole(name, func(w io.Writer) error { _, err := io.WriteString(w, "page"); return err })
	if err != nil {
		t.Fatal(err)
	}
	info, err := os.Stat(name)
	if err != nil || info.Size() != 4 || os.PathSeparator == '/' && info.Mode().Perm() != 0o644 {
		t.Errorf("%v %v", info, err)
	}
}

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
	file := filepath.Join(t.TempDir(), "bed.toml")
	var out, notes bytes.Buffer
	if code := run([]string{"new", file}, &out, &notes); code != exitDone {
		t.Fatal(&notes)
	}
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
