package reports

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"math"
	"reflect"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"footwork/internal/unit"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

// textFiller fills a view at random: long and strange names, numbers of many
// sizes, curves of one length, 0 to 40 feet.
type textFiller struct {
	t        *rapid.T
	stations int
	counts   map[string]int // of the things in a list, by their type
	largest  int            // power of ten of the largest number
}

var textNames = rapid.OneOf(
	rapid.String(),
	rapid.StringMatching(`[A-Z][0-9]{1,2}`),
	rapid.SampledFrom([]string{"", "front", "床の前側の案内面", "ø\u202eé́ e\x1b[31m\n\ttab", strings.Repeat("a very long name ", 12), strings.Repeat("長", 90), strings.Repeat("x", 200)}),
)

func (f *textFiller) number() float64 {
	size := rapid.IntRange(-12, f.largest).Draw(f.t, "power")
	return rapid.Float64Range(-10, 10).Draw(f.t, "number") * math.Pow10(size)
}

// count returns how many things of a type every list of them holds.
func (f *textFiller) count(of reflect.Type) int {
	most := map[string]int{"FootLoad": 40, "FootEstimate": 40, "NamedLoad": 40, "feet": 40, "Move": 6, "Step": 9}
	name := of.Name()
	switch {
	case name == "PathPoint":
		return f.stations
	case name == "string":
		name = "feet"
	}
	if _, ok := f.counts[name]; !ok {
		f.counts[name] = rapid.IntRange(0, max(3, most[name])).Draw(f.t, name)
	}
	return f.counts[name]
}

func (f *textFiller) fill(v reflect.Value, key string) {
	switch v.Kind() {
	case reflect.Float64:
		v.SetFloat(f.number())
	case reflect.Int:
		v.SetInt(int64(rapid.IntRange(-1, 40).Draw(f.t, key)))
	case reflect.Bool:
		v.SetBool(rapid.Bool().Draw(f.t, key))
	case reflect.String:
		v.SetString(textNames.Draw(f.t, key))
	case reflect.Pointer:
		if rapid.Bool().Draw(f.t, key) {
			v.Set(reflect.New(v.Type().Elem()))
			f.fill(v.Elem(), key)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			name, _, _ := strings.Cut(v.Type().Field(i).Tag.Get("json"), ",")
			f.fill(v.Field(i), name)
		}
	case reflect.Array:
		for i := range v.Len() {
			f.fill(v.Index(i), key)
		}
	case reflect.Slice:
		f.list(v, key)
	}
}

func (f *textFiller) list(v reflect.Value, key string) {
	n := f.stations
	if v.Type().Elem().Kind() != reflect.Float64 && v.Type().Elem().Kind() != reflect.Slice {
		n = f.count(v.Type().Elem())
	}
	if n > 0 {
		v.Set(reflect.MakeSlice(v.Type(), n, n))
	}
	x := f.number()
	for i := range n {
		f.fill(v.Index(i), key)
		if key == "x" || key == "table_at" || key == "at" {
			x += rapid.Float64Range(0.01, 1).Draw(f.t, "step") * math.Max(1, math.Abs(x))
			v.Index(i).SetFloat(x)
		}
	}
}

// anyView returns an answer of any kind.
func anyView(t *rapid.T, largest int) View {
	one := rapid.SampledFrom(textViews).Draw(t, "kind")
	v := reflect.New(reflect.TypeOf(one.view))
	f := &textFiller{t, rapid.IntRange(0, 12).Draw(t, "stations"), map[string]int{}, largest}
	f.fill(v.Elem(), "")
	return v.Elem().Interface().(View)
}

func checkLines(t *rapid.T, text string, width int) {
	if !utf8.ValidString(text) {
		t.Fatal("the text is not valid UTF-8")
	}
	for _, line := range strings.Split(text, "\n") {
		if textWidth(line) > width || strings.ContainsAny(line, "\t\r\v\u202e\u00a0") || strings.HasSuffix(line, " ") {
			t.Fatalf("%d columns of %d: %q", textWidth(line), width, line)
		}
		if strings.Contains(line, "NaN") || strings.Contains(line, "Inf") {
			if !strings.ContainsAny(line, "“") {
				t.Fatalf("no number: %q", line)
			}
		}
	}
}

// A bed of which nothing was surveyed is levelled, and no zone is made up for it.
func TestTextLevelling(t *testing.T) {
	got := textOf(t, Adjust{Standing: "shop floor", Recommended: -1, Levelling: []string{"Stand it on A.", "Raise B."}}, TextOptions{})
	for _, want := range []string{"On “shop floor” nothing was surveyed", "\n1. Stand it on A.\n", "\n2. Raise B.\n", "Take care."} {
		if !strings.Contains(got, want) {
			t.Errorf("no %q in\n%s", want, got)
		}
	}
	if strings.Contains(got, "out of straight") {
		t.Error(got)
	}
}

// Whatever the names and numbers, no line is wider than a terminal.
func TestTextWithin80Columns(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := TextOptions{Units: rapid.SampledFrom([]unit.System{unit.Metric, unit.Inches}).Draw(t, "units"), ASCII: rapid.Bool().Draw(t, "ascii")}
		checkLines(t, textOf(t, anyView(t, 6), o), 80)
	})
}

// The shop's own answers fit 60 columns too, and colours take no room.
func TestTextWithin60Columns(t *testing.T) {
	for _, v := range textViews {
		for _, units := range []unit.System{unit.Metric, unit.Inches} {
			plain := textOf(t, v.view, TextOptions{Units: units, Width: 60})
			colour := textOf(t, v.view, TextOptions{Units: units, Width: 60, Colour: true})
			for _, line := range strings.Split(plain+colour, "\n") {
				if textWidth(line) > 60 {
					t.Errorf("%s: %d columns: %s", v.name, textWidth(line), line)
				}
			}
			if strings.Contains(plain, "\x1b") || !strings.Contains(colour, "\x1b[1m") || stripColour(colour) != plain {
				t.Errorf("%s: colour changes more than colour", v.name)
			}
		}
	}
}

func stripColour(s string) string {
	return strings.NewReplacer("\x1b[0m", "", "\x1b[1m", "", "\x1b[36m", "", "\x1b[33m", "").Replace(s)
}

// Names from a job can neither steer the terminal nor break a line.
func TestTextNamesAreHarmless(t *testing.T) {
	v := textSag()
	v.Standings[0].Name = "shop\x1b[2J\nfloor\u202e"
	if got := textOf(t, v, TextOptions{}); strings.ContainsAny(got, "\x1b\u202e") || !strings.HasPrefix(got, "On “shop [2J floor ”") {
		t.Errorf("got %q", got[:60])
	}
}

// The answers say what the numbers are.
func TestTextAnswers(t *testing.T) {
	for i, want := range []string{
		"On “shop floor” the front way is 5.1 µm out of straight (high at 200 mm, low at 1950 mm) and the back way is 6.6 µm (high at 2500 mm, low at 0 mm); foot B3 carries nothing: it stands 4.0 µm clear; foot B4 is light: it carries 290 N.",
		"On “shop floor” the work under the tool goes 3.2 µm out of straight over the journey of the table's left end (high at -200 mm, low at 800 mm); foot B1 comes down to 2.10 kN at 1800 mm.",
		"From “on the grinding table” to “shop floor” the front way goes 5.1 µm out of straight",
		"“front way, first set-up”: the front way is 9.8 µm ± 0.8 µm out of straight (high at 75 mm, low at 1275 mm).",
		"On “shop floor”, of 11.2 µm out of straight on the back way, feet explain 8.1 ± 1.2, sag 2.2 ± 0.3, heat is not told, metal 0.7 ± 1.4. Foot B3 (97 % sure) hangs free.",
		"On “shop floor” move 2 feet to go from 12.4 µm to 4.3 µm ± 0.9 µm out of straight: F2 up 20.0 µm and B3 up 12.5 µm.",
		"4 feet stand best at 300 mm, 1400 mm, 2500 mm and 3600 mm. 8 feet are worth it: 4.6 µm over the whole travel, 10 µm with one foot 10 µm wrong.",
		"As it stands 5.0 ml of metal is left to cut, about 7.5 h; after the moves 1.6 ml of metal is left to cut, about 2.5 h.",
	} {
		text, _, _ := strings.Cut(textOf(t, textViews[i].view, TextOptions{}), "\n\n")
		got := strings.ReplaceAll(text, "\n", " ")
		if !strings.HasPrefix(got, want) {
			t.Errorf("%s\n got %s\nwant %s", textViews[i].name, got, want)
		}
	}
}

// Unicode Standard Annex 11: ideographs and kana are wide; combining marks sit
// on the letter before.
func TestTextWidth(t *testing.T) {
	for s, want := range map[string]int{"": 0, "way": 3, "床": 2, "かな": 4, "e\u0301": 1, "µm": 2, "\x1b[36mab\x1b[0m": 2, "⠒": 1, "한": 2, "ｗ": 2} {
		if got := textWidth(s); got != want {
			t.Errorf("%q: %d columns, want %d", s, got, want)
		}
	}
}

// Wrapping loses nothing but spaces at the ends of lines.
func TestTextWrapKeepsEverything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, width := textClean(textNames.Draw(t, "s")), rapid.IntRange(2, 80).Draw(t, "width")
		lines := textWrap(s, width)
		if got := strings.ReplaceAll(strings.Join(lines, ""), " ", ""); got != strings.ReplaceAll(s, " ", "") {
			t.Fatalf("%q became %q", s, lines)
		}
		for _, l := range lines {
			if textWidth(l) > width {
				t.Fatalf("%q is wider than %d", l, width)
			}
		}
	})
}

// JSON reads back as the same answer, says the same as encoding/json, and has
// no null in it.
func TestJSONReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := anyView(t, 300)
		var b bytes.Buffer
		if err := WriteJSON(&b, v); err != nil {
			t.Fatal(err)
		}
		back := reflect.New(reflect.TypeOf(v))
		if err := json.Unmarshal(b.Bytes(), back.Interface()); err != nil {
			t.Fatal(err, b.String())
		}
		plain, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		again := reflect.New(reflect.TypeOf(v))
		if err := json.Unmarshal(plain, again.Interface()); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(again.Interface(), back.Interface(), cmpopts.EquateEmpty()); diff != "" {
			t.Fatal(diff)
		}
		var tree any
		if err := json.Unmarshal(b.Bytes(), &tree); err != nil || hasNull(tree) {
			t.Fatalf("null in %s", b.String())
		}
	})
}

func hasNull(tree any) bool {
	switch v := tree.(type) {
	case nil:
		return true
	case []any:
		for _, e := range v {
			if hasNull(e) {
				return true
			}
		}
	case map[string]any:
		for _, e := range v {
			if hasNull(e) {
				return true
			}
		}
	}
	return false
}

// What is no number is refused with its key, in every form, and nothing is written.
func TestNoNumberIsRefused(t *testing.T) {
	sag, adjust := textSag(), textAdjust()
	sag.Standings[0].Ways[1].Height = append([]float64{}, textX...)
	sag.Standings[0].Ways[1].Height[3] = math.NaN()
	adjust.Plans[2].Steps[1].Readings[1].Value = []float64{0, math.Inf(-1), 0}
	for want, v := range map[string]View{
		"standings[0].ways[1].height[3] came out as NaN":            sag,
		"plans[2].steps[1].readings[1].value[1] came out as -Inf":   adjust,
		"before.zone came out as +Inf":                              Adjust{Before: Before{math.Inf(1)}},
		"surveys[0].straightness.sigma came out as NaN":             Survey{Surveys: []SurveyProfile{{Straightness: Straightness{Sigma: ptr(math.NaN())}}}},
		"after_moves.ways[0].range.hours[1] came out as NaN":        Cut{AfterMoves: &CutAfter{[]CutWay{{Range: &CutRange{Hours: [2]float64{0, math.NaN()}}}}}},
		"foot_loads[0][1] came out as NaN, which is no number: ple": Travel{FootLoads: [][]float64{{1, math.NaN()}}},
	} {
		var b bytes.Buffer
		for _, err := range []error{WriteJSON(&b, v), WriteCSV(&b, v), WriteText(&b, v, TextOptions{})} {
			if err == nil || !strings.HasPrefix(err.Error(), want) || b.Len() > 0 {
				t.Errorf("got %v and %d bytes, want %s", err, b.Len(), want)
			}
		}
	}
}

func ptr(v float64) *float64 { return &v }

// Every row of a CSV has as many cells as its head, and heads name their unit.
func TestCSVIsATable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := anyView(t, 300)
		var b bytes.Buffer
		if err := WriteCSV(&b, v); err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(&b).ReadAll()
		if err != nil || len(rows) != 1+len(v.curves().rows) {
			t.Fatalf("%d rows, %v", len(rows), err)
		}
		for _, r := range rows[1:] {
			for i, cell := range r {
				if _, err := strconv.ParseFloat(cell, 64); err != nil && strings.HasSuffix(rows[0][i], ")") && cell != "" {
					t.Fatalf("%q under %q", cell, rows[0][i])
				}
			}
		}
	})
}

func TestCSVGolden(t *testing.T) {
	for _, v := range textViews {
		var b strings.Builder
		if err := WriteCSV(&b, v.view); err != nil {
			t.Fatal(err)
		}
		lines := strings.SplitAfter(b.String(), "\n")
		textGolden(t, v.name+".csv", strings.Join(lines[:min(6, len(lines))], ""))
	}
}

// The feet that carry nothing or little are named, one or many.
func TestTextCarried(t *testing.T) {
	foot := func(name string, load, gap float64) FootLoad {
		return FootLoad{Name: name, Load: load, Lifted: gap > 0, Gap: gap}
	}
	for want, feet := range map[string][]FootLoad{
		"every foot carries, F2 least with 900 N":                                            {foot("F1", 1000, 0), foot("F2", 900, 0)},
		"foot F2 carries nothing: it stands 4.0 µm clear":                                    {foot("F1", 1000, 0), foot("F2", 0, 4e-6)},
		"feet F2 and F3 carry nothing: they stand up to 5.5 µm clear":                        {foot("F1", 1000, 0), foot("F2", 0, 4e-6), foot("F3", 0, 5.5e-6)},
		"feet F2 and F3 are light: they carry at most 60 N":                                  {foot("F1", 2000, 0), foot("F2", 50, 0), foot("F3", 60, 0)},
		"foot F3 carries nothing: it stands 1.0 µm clear; foot F2 is light: it carries 50 N": {foot("F1", 2000, 0), foot("F2", 50, 0), foot("F3", 0, 1e-6)},
		"1.95 kN lies on 1 bearing":                                                          nil,
	} {
		v := SagStanding{Feet: feet, Weight: 1950, Bearings: make([]BearingLoad, 1)}
		if got := strings.ReplaceAll(v.carried(&textSheet{}), "\u00a0", " "); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}
