package main

import (
	"bufio"
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"footwork/internal/job"
	"footwork/internal/job/start"
	"footwork/internal/unit"
)

// interviewed lets a person answer, and returns what was written where.
func interviewed(t *testing.T, answers string) (dir, told string) {
	t.Helper()
	var out bytes.Buffer
	first, err := start.New("4000 mm", 4, unit.Metric)
	if err != nil {
		t.Fatal(err)
	}
	s, err := ask(bufio.NewScanner(strings.NewReader(answers)), &out, first, true)
	if err != nil {
		t.Fatalf("%v\n%s", err, out.String())
	}
	dir, s.Stem = t.TempDir(), "bed"
	if err := (&terminal{out: &out, err: &out}).writeNew(filepath.Join(dir, "bed.toml"), s); err != nil {
		t.Fatal(err)
	}
	return dir, out.String()
}

// A bed of an inch shop, asked with slips on the way, becomes a job that check
// takes without a note, and sheets for its readings.
func TestAskedInInches(t *testing.T) {
	dir, told := interviewed(t, strings.Join([]string{
		"inch", "168", `14' 0"`, "21 in", "18 in", "2", "1-1/4 in", "3/4 in", "", "1 1/2 in", "6 in", // sizes and plates
		"slanting", "", "24 in", "3/4 in", "", // ribs, weight
		"2", "19 in", "4 in", "left", "84 in", "3000 lb", "-10 in", "90 in", // ways and table
		"3", "", "M20", "screw 1-8", // feet
		"level", "6 in", "yes"}, "\n")+"\n")
	for _, want := range []string{`"168" has no unit`, `"M20" is no way to move a foot`, "25 in wide, 18 in high", "######", "bed-front.csv is written"} {
		if !strings.Contains(told, want) {
			t.Errorf("it is not told %s:\n%s", want, told)
		}
	}
	text, err := os.ReadFile(filepath.Join(dir, "bed.toml"))
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`length   = "168 in"`, `kind = "diagonal"`, `every = "24 in"`, `adjust = "screw 1-8"`, "\nstroke = { from = \"-10 in\", to = \"90 in\" }", `base = "6 in"`, "\ndatum = \"0 in to 16.8 in\"", `units = "inch"`} {
		if !strings.Contains(string(text), want) {
			t.Errorf("the job has no %s:\n%s", want, text)
		}
	}
	var out, errs bytes.Buffer
	if code := run([]string{"check", filepath.Join(dir, "bed.toml")}, &out, &errs); code != exitDone || errs.Len() > 0 {
		t.Errorf("check ends with %d: %s", code, errs.String())
	}
	sheet, err := os.ReadFile(filepath.Join(dir, "bed-front.csv"))
	if err != nil || strings.Count(string(sheet), "\n") != 2+28 || !strings.Contains(string(sheet), "\n162,,\n") {
		t.Errorf("%v\n%s", err, sheet)
	}
}

// Bars that lie flat and feet that stand beside the walls are asked for, and understood.
func TestAskedOfBarsAndFeet(t *testing.T) {
	dir, told := interviewed(t, strings.Join([]string{"metric", "3 m", "500 mm", "400 mm", "2", "25 mm", "30 mm", "", "none",
		"square", "flat", "300 mm", "80 mm", "20 mm", "0 mm", "", "2", "450 mm", "60 mm", "", "", "3", "620 mm", "shim", "", "yes"}, "\n")+"\n")
	text, err := os.ReadFile(filepath.Join(dir, "bed.toml"))
	if err != nil {
		t.Fatal(err, told)
	}
	for _, want := range []string{"bars that lie flat", `thickness = "80 mm"`, "\nheight = \"20 mm\"", "\nbottom = \"0 mm\"", `offset = "-310 mm"`, `offsets = ["-310 mm", "310 mm"]`} {
		if !strings.Contains(string(text), want) {
			t.Errorf("the job has no %s:\n%s", want, text)
		}
	}
}

// What is doubted may be meant; what is to be put right is asked again alone.
func TestAskedInPart(t *testing.T) {
	answers := append(make([]string, 21), "casting") // all questions of one round
	answers = append(append(answers, make([]string, 10)...), "3 t", "feet", "3", "", "", "yes")
	dir, told := interviewed(t, strings.Join(answers, "\n")+"\n")
	text, err := os.ReadFile(filepath.Join(dir, "bed.toml"))
	if err != nil || !strings.Contains(string(text), "\nweighed = \"3000 kg\"") || strings.Contains(string(text), `name = "F4"`) {
		t.Errorf("%v\n%s\n%s", err, told, text)
	}
	if !strings.Contains(told, "  bed.weighed: is") || !strings.Contains(told, "the weighed one is taken") {
		t.Errorf("the weight is not doubted:\n%s", told)
	}
}

// Who only presses Enter gets the bed that is offered; who stops gets none.
func TestAskedShortly(t *testing.T) {
	dir, _ := interviewed(t, strings.Repeat("\n", 40))
	var out, errs bytes.Buffer
	if code := run([]string{"check", filepath.Join(dir, "bed.toml")}, &out, &errs); code != exitDone || errs.Len() > 0 {
		t.Errorf("check ends with %d: %s", code, errs.String())
	}
	first, _ := start.New("4000 mm", 4, unit.Metric)
	if _, err := ask(bufio.NewScanner(strings.NewReader("\n\n")), &out, first, true); err == nil {
		t.Error("half an interview was taken")
	}
}

// Whatever is answered, the questions end, and what is written is right.
func TestAskedAnything(t *testing.T) {
	words := []string{"", "", "", "yes", "no", "metric", "inch", "2", "3", "20", "1 m", "600 mm", "12 in", "0 mm", "-1 in", "30 mm", "none", "open", "square", "slanting", "flat", "1e9 m",
		"shim", "screw", "5 t", "300 kg", "level", "heights", "autocollimator", "nothing yet", "ends", "right end", "\x1b[2J", strings.Repeat("x", 5000)}
	rapid.Check(t, func(t *rapid.T) {
		answers := rapid.SliceOfN(rapid.SampledFrom(words), 0, 80).Draw(t, "answers")
		first, err := start.New("4000 mm", 4, unit.Metric)
		if err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		s, err := ask(bufio.NewScanner(strings.NewReader(strings.Join(answers, "\n"))), &out, first, true)
		if strings.Contains(out.String(), "\x1b") {
			t.Fatal("an answer steers the terminal")
		}
		if err != nil {
			return
		}
		if _, err := job.Read("bed.toml", []byte(s.Job()), noFiles); err != nil {
			t.Fatalf("%v\n%s", err, s.Job())
		}
	})
}
