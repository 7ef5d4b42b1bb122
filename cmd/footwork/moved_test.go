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
	"footwork/beam/shape"
	"footwork/internal/unit"
	"footwork/reports"
	"footwork/reports/doc"
)

// A foot moved after the last survey: what the plan sets out from is the invented
// bed as it then stands, and the user is told that it was not measured.
func TestMovesSinceTheSurvey(t *testing.T) {
	t.Parallel()
	const raise = 20e-6
	file, err := writeSmall(t.TempDir(), "[[move]]\ndate = \"2026-03-05\"\nstanding = \"floor\"\nfoot = \"F2\"\nraise = \"20 µm\"\n")
	if err != nil {
		t.Fatal(err)
	}
	s := opens(t, file)
	sag, err := s.Sag([]string{"floor"}, reports.Found, nil)
	if err != nil {
		t.Fatal(err)
	}
	v, err := beam.NewSolver(s.Bed, s.Standings[0].Standing, beam.Options{})
	if err != nil {
		t.Fatal(err)
	}
	inv, x := smallBed(), shape.Even(0.075, 2.925, 20)
	worst := func(heights []float64) (most float64) {
		st, err := v.Solve(inv.at(heights))
		if err != nil {
			t.Fatal(err)
		}
		for _, w := range sag.Standings[0].Ways {
			way, told := wayOf(st, w.Offset), shape.Shape{X: sag.Standings[0].X, Y: w.Height}
			truth, found := shape.Shape{X: x}, shape.Shape{X: x}
			for _, at := range x {
				truth.Y = append(truth.Y, way.At(at)+inv.form(w.Name, at, s.Bed.Length))
				found.Y = append(found.Y, told.At(at))
			}
			for i, y := range truth.AboutEnds().Y {
				most = max(most, math.Abs(y-found.AboutEnds().Y[i]))
			}
		}
		return most
	}
	moved := slices.Clone(inv.heights)
	moved[slices.IndexFunc(sag.Standings[0].Feet, func(f reports.FootLoad) bool { return f.Name == "F2" })] += raise
	if is, was := worst(moved), worst(inv.heights); is > 6e-6 || was < 3*is {
		t.Errorf("off by %.1f µm of the bed as it stands, %.1f of the bed as surveyed", is*1e6, was*1e6)
	}
	a, err := s.Adjust(nil)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(inWords(a.Warnings), "F2 moved since") {
		t.Errorf("warnings are %q", inWords(a.Warnings))
	}
}

// Where dates and passes do not tell whether a move came before a survey it is asked
// about; the order of the file is taken, and there is a plan.
func TestMovesOfUnknownDay(t *testing.T) {
	t.Parallel()
	file := filepath.Join(jobFolder(t, "small"), "job.toml")
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	write(t, file, string(data)+"\n[[move]]\ndate = \"2026-03-05\"\nstanding = \"floor\"\nfoot = \"F2\"\nraise = \"20 µm\"\n")
	var said strings.Builder
	term := &terminal{out: io.Discard, err: &said}
	s, err := term.open(file)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(strings.Join(strings.Fields(said.String()), " "), "nothing of when") {
		t.Errorf("notes are %q", said.String())
	}
	a, err := s.Adjust(nil)
	if err != nil {
		t.Fatal(err)
	}
	if all := inWords(a.Warnings); !strings.Contains(all, "F2 moved since") {
		t.Errorf("warnings are %q", all)
	}
}

// inWords returns warnings as they are read.
func inWords(list []reports.Warning) string {
	var all []string
	for _, w := range list {
		all = append(all, doc.Warning(w).In(unit.Metric))
	}
	return strings.Join(all, " ")
}
