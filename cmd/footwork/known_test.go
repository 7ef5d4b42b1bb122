package main

import (
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// A standing with more contact points than the match can tell apart is planned
// with the feet as the job gives them, and says so.
func TestManyContactPoints(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	if err := writeDemo(dir); err != nil {
		t.Fatal(err)
	}
	const foot = "[[standing.foot]]\nname = \"F1\""
	bearing := "[[standing.bearing]]\nfrom = \"1 m\"\nto = \"3 m\"\noffset = \"0 mm\"\nstiffness = \"0.05 kN/µm/m\"\n"
	file := filepath.Join(dir, demoName)
	if err := os.WriteFile(file, []byte(strings.ReplaceAll(string(demoJob), foot, bearing+foot)), 0o644); err != nil {
		t.Fatal(err)
	}
	s := opens(t, file)
	a, err := s.Adjust(nil)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(inWords(a.Warnings), "as the job gives them") || a.Plans[0].Zone < 10e-6 {
		t.Errorf("%s; %d plans from %.1f µm", inWords(a.Warnings), len(a.Plans), 1e6*a.Before.Zone)
	}
}

// Surveys taken on bearings alone, with the table on its way, still make a page.
func TestPageOnBearings(t *testing.T) {
	t.Parallel()
	dir := jobFolder(t, "small")
	file := filepath.Join(dir, "job.toml")
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	text := strings.ReplaceAll(string(data), `standing = "floor"`, `standing = "grinder"`) + `
[[standing]]
name = "grinder"
[[standing.bearing]]
from = "1.4 m"
to = "1.6 m"
offset = "-100 mm"
stiffness = "1 kN/µm/m"
[[standing.bearing]]
from = "1.4 m"
to = "1.6 m"
offset = "100 mm"
stiffness = "rigid"
[table]
length = "1.5 m"
weight = "2 kN"
stroke = { from = "0.7 m", to = "0.8 m" }
`
	head, rest, _ := strings.Cut(text, "[adjust]")
	_, rest, _ = strings.Cut(rest, "[[survey]]")
	write(t, file, head+"[[survey]]"+rest)
	term := &terminal{out: io.Discard, err: io.Discard}
	s, err := term.open(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.writePage(term, filepath.Join(dir, "page.html"), false, time.Now()); err != nil {
		t.Fatal(err)
	}
}

// jobFolder returns a folder with one of the jobs for tests.
func jobFolder(t *testing.T, name string) string {
	dir := t.TempDir()
	if err := os.CopyFS(dir, os.DirFS("../../testdata/jobs/"+name)); err != nil {
		t.Fatal(err)
	}
	return dir
}

// opens returns the job of a file that has no fault.
func opens(t testing.TB, file string) *opened {
	t.Helper()
	s, err := (&terminal{out: io.Discard, err: io.Discard}).open(file)
	if err != nil {
		t.Fatal(err)
	}
	return s
}
