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
	s, err := (&terminal{out: io.Discard, err: io.Discard}).open(file)
	if err != nil {
		t.Fatal(err)
	}
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
	if testing.Short() {
		t.Skip("a whole page")
	}
	dir := t.TempDir()
	if err := writeDemo(dir); err != nil {
		t.Fatal(err)
	}
	text := strings.ReplaceAll(string(demoJob), "standing = \"shop floor\"\nway", "standing = \"on the grinding table\"\nway")
	text = strings.ReplaceAll(text, "standing = \"shop floor\"\ninstrument", "standing = \"on the grinding table\"\ninstrument")
	head, rest, _ := strings.Cut(text, "[adjust]")
	_, rest, _ = strings.Cut(rest, "[floor]")
	file := filepath.Join(dir, demoName)
	if err := os.WriteFile(file, []byte(head+"[floor]"+rest), 0o644); err != nil {
		t.Fatal(err)
	}
	term := &terminal{out: io.Discard, err: io.Discard}
	s, err := term.open(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.writePage(term, filepath.Join(dir, "page.html"), false, time.Now()); err != nil {
		t.Fatal(err)
	}
}
