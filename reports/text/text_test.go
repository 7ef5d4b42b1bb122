package text

import (
	"strings"
	"testing"
	"unicode/utf8"

	"footwork/internal/unit"
	"footwork/reports"
	"footwork/reports/doc"
	"footwork/reports/internal/example"

	"pgregory.net/rapid"
)

func written(t interface{ Fatal(...any) }, v reports.View, o Options) string {
	d, err := doc.Job{}.Of(v)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	if err := Write(&b, d, o); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestGolden(t *testing.T) {
	for _, v := range example.Answers() {
		example.Golden(t, v.Name+"-metric.txt", written(t, v.View, Options{}))
		example.Golden(t, v.Name+"-inch.txt", written(t, v.View, Options{Units: unit.Inches, ASCII: true}))
	}
}

// An inch text names no metric unit.
func TestInchTextIsInch(t *testing.T) {
	for _, v := range example.Answers() {
		text := written(t, v.View, Options{Units: unit.Inches})
		for _, foreign := range []string{" µm", " mm", " kN", " N", "°C", " ml"} {
			if strings.Contains(text, foreign+" ") || strings.Contains(text, foreign+"\n") {
				t.Errorf("%s: %q in\n%s", v.Name, foreign, text)
			}
		}
	}
}

func checkLines(t *rapid.T, text string, most int) {
	if !utf8.ValidString(text) {
		t.Fatal("the text is not valid UTF-8")
	}
	for _, line := range strings.Split(text, "\n") {
		if width(line) > most || strings.ContainsAny(line, "\t\r\v\u202e\u00a0") || strings.HasSuffix(line, " ") {
			t.Fatalf("%d columns of %d: %q", width(line), most, line)
		}
		if (strings.Contains(line, "NaN") || strings.Contains(line, "Inf")) && !strings.ContainsAny(line, "“") {
			t.Fatalf("no number: %q", line)
		}
	}
}

// Whatever the names and numbers, no line is wider than a terminal.
func TestWithin80Columns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := Options{Units: rapid.SampledFrom([]unit.System{unit.Metric, unit.Inches}).Draw(t, "units"), ASCII: rapid.Bool().Draw(t, "ascii")}
		checkLines(t, written(t, example.Any(t, 6), o), 80)
	})
}

// The shop's own answers fit 60 columns too, and colours take no room.
func TestWithin60Columns(t *testing.T) {
	for _, v := range example.Answers() {
		for _, units := range []unit.System{unit.Metric, unit.Inches} {
			plain := written(t, v.View, Options{Units: units, Width: 60})
			colour := written(t, v.View, Options{Units: units, Width: 60, Colour: true})
			for _, line := range strings.Split(plain+colour, "\n") {
				if width(line) > 60 {
					t.Errorf("%s: %d columns: %s", v.Name, width(line), line)
				}
			}
			if strings.Contains(plain, "\x1b") || !strings.Contains(colour, "\x1b[1m") || stripColour(colour) != plain {
				t.Errorf("%s: colour changes more than colour", v.Name)
			}
		}
	}
}

func stripColour(s string) string {
	return strings.NewReplacer("\x1b[0m", "", "\x1b[1m", "", "\x1b[36m", "", "\x1b[33m", "").Replace(s)
}

// Names from a job can neither steer the terminal nor break a line.
func TestNamesAreHarmless(t *testing.T) {
	v := example.Answers()[0].View.(reports.Sag)
	v.Standings[0].Name = "shop\x1b[2J\nfloor\u202e"
	if got := written(t, v, Options{}); strings.ContainsAny(got, "\x1b\u202e") || !strings.HasPrefix(got, "On “shop [2J floor ”") {
		t.Errorf("got %q", got[:60])
	}
}

// Unicode Standard Annex 11: ideographs and kana are wide; combining marks sit
// on the letter before.
func TestWidth(t *testing.T) {
	for s, want := range map[string]int{"": 0, "way": 3, "床": 2, "かな": 4, "e\u0301": 1, "µm": 2, "\x1b[36mab\x1b[0m": 2, "⠒": 1, "한": 2, "ｗ": 2} {
		if got := width(s); got != want {
			t.Errorf("%q: %d columns, want %d", s, got, want)
		}
	}
}

// Wrapping loses nothing but spaces at the ends of lines.
func TestWrapKeepsEverything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, most := clean(example.Names.Draw(t, "s")), rapid.IntRange(2, 80).Draw(t, "width")
		lines := wrap(s, most)
		if got := strings.ReplaceAll(strings.Join(lines, ""), " ", ""); got != strings.ReplaceAll(s, " ", "") {
			t.Fatalf("%q became %q", s, lines)
		}
		for _, l := range lines {
			if width(l) > most {
				t.Fatalf("%q is wider than %d", l, most)
			}
		}
	})
}
