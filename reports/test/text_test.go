package test

import (
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/width"

	"footwork/internal/unit"
	"footwork/reports"
	"footwork/reports/doc"
	"footwork/reports/text"

	"pgregory.net/rapid"
)

// The first sentence of every answer says what the numbers are.
func TestAnswers(t *testing.T) {
	for i, want := range []string{
		"On “shop floor” as drawn the front way is 5.1 µm out of straight (high at 200 mm, low at 1950 mm) and the back way is 6.6 µm (high at 2500 mm, low at 0 mm); foot B3 carries nothing: it hangs 4.0 µm clear and foot B4 is light: it carries 0.29 kN.",
		"On “shop floor” as drawn the work under the tool goes 3.2 µm out of straight while the table's left end goes from -300 mm to 1800 mm (high with it at -200 mm, low with it at 800 mm); foot B1 comes down to 2.10 kN with the table at 1800 mm.",
		"From “on the grinding table” to “shop floor” as drawn the front way goes 5.1 µm out of straight (high at 200 mm, low at 1950 mm) and the back way goes 6.6 µm (high at 2500 mm, low at 0 mm), with no metal at fault.",
		"“front way, first set-up”: the front way is 9.8 µm ± 0.8 µm out of straight (high at 75 mm, low at 1275 mm).",
		"Of 11.2 µm out of straight on the back way of “shop floor” as found the surveys put 8.1 µm ± 1.2 µm from the feet, 2.2 µm ± 0.3 µm from the sag and 0.7 µm ± 1.4 µm from the metal; how much comes from heat they cannot say. Foot B3 (97 % sure) hangs free.",
		"On “shop floor” turn 2 feet to go from 12.4 µm to 4.3 µm ± 0.9 µm out of straight: F2 up 20.0 µm and B3 up 12.5 µm.",
		"Put 4 feet at 300 mm, 1400 mm, 2500 mm and 3600 mm for a table whose left end travels from -300 mm to 1800 mm (as far as it cannot tip: no stroke is given under [table]). 4 feet are worth it: 4.6 µm out of straight, 10.0 µm with one foot 10.0 µm wrong; 5 feet keep 3.1 µm but 13.0 µm with one wrong, so that little is gained.",
		"As found 5.0 ml of metal is left to cut, about 7.5 h; after turning 1.6 ml of metal is left to cut, about 2.5 h.",
		"On “shop floor” as found the two-metre edge prints 32 % of the front way and 100 % of the back way.",
	} {
		v := answers()[i]
		d, err := doc.Of(&reports.Page{}, v.View)
		if err != nil {
			t.Fatal(err)
		}
		if got := strings.NewReplacer("\u00a0", " ", "−", "-").Replace(d.Sections[0].Answer.In(unit.Metric)); !strings.HasPrefix(got, want) {
			t.Errorf("%s\n got %s\nwant %s", v.Name, got, want)
		}
	}
}

func inText(t interface{ Fatal(...any) }, v reports.View, o text.Options) string {
	d, err := doc.Of(&reports.Page{}, v)
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	if err := text.Write(&b, d, o); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

func TestGolden(t *testing.T) {
	for _, v := range answers() {
		golden(t, v.Name+"-metric.txt", inText(t, v.View, text.Options{}))
		golden(t, v.Name+"-inch.txt", inText(t, v.View, text.Options{Units: unit.Inches, ASCII: true}))
	}
}

// An inch text names no metric unit.
func TestInchTextIsInch(t *testing.T) {
	for _, v := range answers() {
		said := inText(t, v.View, text.Options{Units: unit.Inches})
		for _, foreign := range []string{" µm", " mm", " kN", " N", "°C", " ml"} {
			if strings.Contains(said, foreign+" ") || strings.Contains(said, foreign+"\n") {
				t.Errorf("%s: %q in\n%s", v.Name, foreign, said)
			}
		}
	}
}

// columns returns the columns of a line by Unicode Standard Annex 11, as golang.org/x/text has it.
func columns(line string) (n int) {
	for _, r := range line {
		switch k := width.LookupRune(r).Kind(); {
		case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		case k == width.EastAsianWide, k == width.EastAsianFullwidth:
			n += 2
		default:
			n++
		}
	}
	return n
}

func checkLines(t *rapid.T, said string, most int) {
	if !utf8.ValidString(said) {
		t.Fatal("the text is not valid UTF-8")
	}
	for _, line := range strings.Split(said, "\n") {
		if columns(line) > most || strings.ContainsAny(line, "\t\r\v\u202e\u00a0") || strings.HasSuffix(line, " ") {
			t.Fatalf("%d columns of %d: %q", columns(line), most, line)
		}
		if (strings.Contains(line, "NaN") || strings.Contains(line, "Inf")) && !strings.ContainsAny(line, "“") {
			t.Fatalf("no number: %q", line)
		}
	}
}

// Whatever the names and numbers, no line is wider than a terminal.
func TestWithin80Columns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := text.Options{Units: rapid.SampledFrom([]unit.System{unit.Metric, unit.Inches}).Draw(t, "units"), ASCII: rapid.Bool().Draw(t, "ascii")}
		checkLines(t, inText(t, anyAnswer(t, 6), o), 80)
	})
}

// The shop's own answers fit 60 columns too, and colours take no room.
func TestWithin60Columns(t *testing.T) {
	for _, v := range answers() {
		for _, units := range []unit.System{unit.Metric, unit.Inches} {
			plain := inText(t, v.View, text.Options{Units: units, Width: 60})
			colour := inText(t, v.View, text.Options{Units: units, Width: 60, Colour: true})
			for _, line := range strings.Split(plain+stripColour(colour), "\n") {
				if columns(line) > 60 {
					t.Errorf("%s: %d columns: %s", v.Name, columns(line), line)
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
	v := answers()[0].View.(reports.Sag)
	v.Standings[0].Name = "shop\x1b[2J\nfloor\u202e"
	if got := inText(t, v, text.Options{}); strings.ContainsAny(got, "\x1b\u202e") || !strings.HasPrefix(got, "On “shop [2J floor ”") {
		t.Errorf("got %q", got[:60])
	}
}
