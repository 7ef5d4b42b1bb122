package main

import (
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"footwork/beam"
)

// A foot moved after the last survey: what the plan sets out from is the invented
// bed as it then stands, and the user is told that it was not measured.
func TestMovesSinceTheSurvey(t *testing.T) {
	const raise = 20e-6
	dir := t.TempDir()
	if err := writeDemo(dir); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(dir, demoName)
	move := "\n[[move]]\ndate = \"2026-03-05\"\nstanding = \"shop floor\"\nfoot = \"F2\"\nraise = \"20 µm\"\n"
	if err := os.WriteFile(file, []byte(string(demoJob)+move), 0o644); err != nil {
		t.Fatal(err)
	}
	s, err := (&terminal{out: io.Discard, err: io.Discard}).open(file)
	if err != nil {
		t.Fatal(err)
	}
	m, err := s.measured("shop floor")
	if err != nil {
		t.Fatal(err)
	}
	j, v := demoBed(t)
	inv := inventedBed()
	worst := func(heights []float64) (most float64) {
		st, err := v.Solve(inv.at(heights))
		if err != nil {
			t.Fatal(err)
		}
		for i, w := range m.ways {
			way, x := st.Way(w.Offset), m.readings[i].X
			truth := beam.Shape{X: x}
			for _, at := range x {
				truth.Y = append(truth.Y, way.At(at)+inv.form(w.Name, at, j.Bed.Length))
			}
			for _, d := range minus(truth.AboutEnds().Y, m.readings[i].AboutEnds().Height) {
				most = max(most, math.Abs(d))
			}
		}
		return most
	}
	moved := slices.Clone(inv.heights)
	moved[slices.IndexFunc(m.standing.Feet, func(f beam.Foot) bool { return f.Name == "F2" })] += raise
	if is, was := worst(moved), worst(inv.heights); is > 3e-6 || was < 2*is {
		t.Errorf("off by %.1f µm of the bed as it stands, %.1f of the bed as surveyed", is*1e6, was*1e6)
	}
	a, err := s.adjust()
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(strings.Join(a.Warnings, " "), "F2 moved since") {
		t.Errorf("warnings are %q", a.Warnings)
	}
}

// Where dates and passes do not tell whether a move came before a survey there is
// still a plan and a page, without the move, and a word about it.
func TestMovesOfUnknownDay(t *testing.T) {
	dir := t.TempDir()
	if err := writeDemo(dir); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(dir, demoName)
	text := strings.ReplaceAll(string(demoJob), "date = \"2026-03-02\"\n", "") +
		"\n[[move]]\ndate = \"2026-03-05\"\nstanding = \"shop floor\"\nfoot = \"F2\"\nraise = \"20 µm\"\n"
	if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	term := &terminal{out: io.Discard, err: io.Discard}
	s, err := term.open(file)
	if err != nil {
		t.Fatal(err)
	}
	p, err := s.page(term)
	if err != nil {
		t.Fatal(err)
	}
	if all := strings.Join(p.Adjust.Warnings, " "); !strings.Contains(all, "cannot be told what came first") || !strings.Contains(all, "moves are left out") {
		t.Errorf("warnings are %q", all)
	}
}
