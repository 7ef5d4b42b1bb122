package log

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"footwork/internal/unit"
	"footwork/survey"
)

// shop is an invented bed for the lines of these tests.
func shop() Bed {
	feet := []Foot{{"F1", 1.5e-3}, {"F2", 1.5e-3}, {"B1", 1.5e-3}, {"B2", 0}}
	return Bed{
		Length:   3.9,
		Standing: "shop floor",
		Standings: []Place{
			{Name: "on the grinder", Over: true, Feet: []Foot{{"F1", 0}, {"P9", 0}}},
			{Name: "shop floor", Feet: feet},
			{Name: "on three", Like: "shop floor", Feet: []Foot{{"F1", 1.5e-3}, {"B1", 1.5e-3}, {"centre block", 0}}},
		},
		Ways: []Way{{Name: "front"}, {Name: "back", Vee: true}},
		Setups: []survey.Survey{
			{Name: "front way", Standing: "shop floor", Way: "front", Unit: "arcsec", Scale: unit.ArcSec, Base: 0.15, Instrument: survey.Autocollimator},
			{Name: "back way", Standing: "shop floor", Way: "back", Unit: "arcsec", Scale: unit.ArcSec, Doubled: true, Base: 0.15, Instrument: survey.Autocollimator},
			{Name: "twist", Standing: "shop floor", Unit: "div", Scale: 2e-5, Instrument: survey.CrossLevel},
			{Name: "wire", Standing: "on three", Way: "front", Unit: "µm", Scale: 1e-6, Instrument: survey.Heights},
		},
		Masters: []string{"two-metre edge", "table"}, Films: map[string]float64{"thin": 1e-6, "middling": 2.5e-6, "heavy": 6e-6},
		Table: true,
	}
}

const head = "when,what,where,value,note\n"

// one reads a log of one line.
func one(t *testing.T, line string) Act {
	t.Helper()
	acts, faults := shop().Read([]byte(head + line + "\n"))
	if len(faults) > 0 || len(acts) != 1 {
		t.Fatalf("%s: %v", line, faults)
	}
	return acts[0]
}

func swung(share, length, otherShare, otherLength float64) (a [2]struct{ Share, Length float64 }) {
	a[0].Share, a[0].Length, a[1].Share, a[1].Length = share, length, otherShare, otherLength
	return a
}

func TestEveryAct(t *testing.T) {
	noon := Moment{"2026-03-02", "12:00:00"}
	floor := func(a Act) Act {
		if a.Standing == "" {
			a.Standing = "shop floor"
		}
		return a
	}
	for line, want := range map[string]Act{
		`survey,front way,front-2.csv`:                     floor(Act{Survey: "front way", Way: "front", File: "front-2.csv"}),
		`set up,twist,`:                                    floor(Act{Survey: "twist"}),
		`read,front way at 2475 mm,-2.1`:                   floor(Act{Survey: "front way", Way: "front", At: 2.475, Value: -2.1 * unit.ArcSec}),
		`read,twist at 1 m,1 1/2 div`:                      floor(Act{Survey: "twist", At: 1, Value: 3e-5}),
		`turn,F1,up 25 µm`:                                 floor(Act{Foot: "F1", Value: 25e-6}),
		`turn,F1,down 9°`:                                  floor(Act{Foot: "F1", Value: -37.5e-6}),
		`turn,F1,up 1 flat`:                                floor(Act{Foot: "F1", Value: 0.25e-3}),
		`turn,f2,to touch`:                                 floor(Act{Foot: "F2", ToTouch: true}),
		`shim,B2,out 0.02 mm`:                              floor(Act{Foot: "B2", Value: -20e-6}),
		`lock,F1,`:                                         floor(Act{Foot: "F1"}),
		`lock,centre block,`:                               {Standing: "on three", Foot: "centre block"},
		`came,F1,up 12.3 µm ± 2.1 µm`:                      floor(Act{Foot: "F1", Value: 12.3e-6, Sigma: 2.1e-6}),
		`indicator,F1,up 12.5 µm`:                          floor(Act{Foot: "F1", Value: 12.5e-6}),
		`indicator,front at 2475 mm,down 1 thou`:           {Way: "front", At: 2.475, Value: -25.4e-6},
		`feel,B1,nips`:                                     floor(Act{Foot: "B1", Feel: Nips}),
		`feel,B1,tight`:                                    floor(Act{Foot: "B1", Feel: Solid}),
		`gap,B1,20 µm`:                                     floor(Act{Foot: "B1", Value: 20e-6}),
		`load,B1,3.1 kN ± 0.3 kN`:                          floor(Act{Foot: "B1", Value: 3100, Sigma: 300}),
		`bolts,all,slack`:                                  floor(Act{}),
		`bolts,F1,tight`:                                   floor(Act{Foot: "F1"}),
		`table,,at 700 mm`:                                 {At: 0.7},
		`table,,off`:                                       {Off: true},
		`heat,,0.30 K +/- 0.05 K`:                          {Value: 0.3, Sigma: 0.05},
		`heat,,-0.9 °F`:                                    {Value: -0.5},
		`heat,,18.43/18.31 °C`:                             {Value: 0.12},
		`heat,,"18.43/18.31, 18.40/18.33 °C"`:              {Value: 0.095, Sigma: 0.03},
		`heat,,"64.9/64.0, 64.7/64.0 °F"`:                  {Value: 0.8 * 5 / 9, Sigma: 0.03},
		`scrape,front,3 passes`:                            {Way: "front", Passes: 3},
		`scrape,back negative flank,900..1500 mm 2 passes`: {Way: "back", Flank: -1, Passes: 2, From: 0.9, To: 1.5},
		`scrape,back,pad 12 µm in 4 passes`:                {Way: "back", Passes: 4, Depth: 12e-6, Pad: true},
		`scrape,back,"900..1500 mm 2 passes, 6.4 µm"`:      {Way: "back", Passes: 2, From: 0.9, To: 1.5, Depth: 6.4e-6},
		`scrape,front,"3 passes, 0.4 thou"`:                {Way: "front", Passes: 3, Depth: 0.4 * 25.4e-6},
		`print,back positive,"two-metre edge at 300 mm: 300..620 bright, 1180..1500 grey inner"`: {Way: "back", Flank: 1, Master: "two-metre edge", At: 0.3,
			Marks: []Mark{{0.3, 0.62, "full"}, {1.18, 1.5, "inner"}}},
		`print,front,table at 0 mm: 3..620`: {Way: "front", Master: "table", Marks: []Mark{{3e-3, 0.62, "full"}}},
		`print,front,table at 12 in: 12 1/2..24 bright full width`: {Way: "front", Master: "table", At: 12 * unit.Inch,
			Marks: []Mark{{12.5 * unit.Inch, 24 * unit.Inch, "full"}}},
		`print,front,"table at 300 mm, Thin, stroke 30 mm: 300..620 bright"`: {Way: "front", Master: "table", At: 0.3, Film: 1e-6, Stroke: 0.03,
			Marks: []Mark{{0.3, 0.62, "full"}}},
		`print,front,"table at 12 in, 0.2 thou: 12..24 bright"`: {Way: "front", Master: "table", At: 12 * unit.Inch, Film: 0.2 * 25.4e-6,
			Marks: []Mark{{12 * unit.Inch, 24 * unit.Inch, "full"}}},
		`hinge,front,"third, quarter"`:             {Way: "front", Swings: swung(1./3, 0, 0.25, 0)},
		`hinge,front,"table at 0 mm: end, 300 mm"`: {Way: "front", Master: "table", Swings: swung(0, 0, 0, 0.3)},
		`who,,day shift`:                           {Text: "day shift"},
		`note,,"warm, for May"`:                    {Text: "warm, for May"},
	} {
		got := one(t, "2026-03-02 12:00,"+line)
		got.Written = Line{}
		want.When, want.What, want.Line = noon, What(line[:strings.Index(line, ",")]), 2
		if diff := cmp.Diff(want, got, cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) <= 1e-12*max(1, math.Abs(a)) && (a == 0) == (b == 0) })); diff != "" {
			t.Errorf("%s\n%s", line, diff)
		}
	}
}

// What was read is taken as people write it.
func TestReadings(t *testing.T) {
	s := shop().Setups
	for _, c := range []struct {
		setup survey.Survey
		text  string
		want  float64
	}{
		{s[0], "2,1", 2.1 * unit.ArcSec}, {s[0], "−2.1", -2.1 * unit.ArcSec}, {s[0], "-1/2", -0.5 * unit.ArcSec},
		{s[0], `2′11.9″`, 131.9 * unit.ArcSec}, {s[0], `2'11,9"`, 131.9 * unit.ArcSec}, {s[0], "2.1 arcsec", 2.1 * unit.ArcSec},
		{s[1], "2.1", 1.05 * unit.ArcSec}, {s[1], `2'11.9"`, 131.9 / 2 * unit.ArcSec}, // the beam's angle, twice the tilt
		{s[2], "0.02 mm/m", 2e-5}, {s[3], "12", 12e-6}, {s[3], "0.5 thou", 12.7e-6},
	} {
		got, err := Reading(c.setup, c.text)
		if err != nil || math.Abs(got-c.want) > 1e-9*math.Abs(c.want) {
			t.Errorf("%s %q: %v %v, not %v", c.setup.Name, c.text, got, err, c.want)
		}
	}
}

// Every kind of slip is refused on its line, with how to write it.
func TestFaults(t *testing.T) {
	for line, want := range map[string]string{
		"2.3.2026,note,,x":                                              `when: "2.3.2026" is no moment; write year`,
		"2026-02-30,note,,x":                                            `when: "2026-02-30" is no moment`,
		"2026-03-02,twist,,x":                                           `what: "twist" is no act; acts are survey, set up, read`,
		"2026-03-02,turn,F9,up 1 mm":                                    `where: there is no foot "F9"; did you mean "F1"?`,
		"2026-03-02,turn,F1,25 µm":                                      `value: "25 µm" begins with neither up nor down; for example up 25 µm`,
		"2026-03-02,turn,F1,up 25":                                      `value: "25" has no unit`,
		"2026-03-02,turn,B2,up 9°":                                      `value: the rise of B2 for a turn is not known`,
		"2026-03-02,turn,F1,up 3 ft":                                    `value: "3 ft" is too much`,
		"2026-03-02,lock,F1,tight":                                      `value: "tight" means nothing in a line "lock"`,
		"2026-03-02,read,front way,2":                                   `where: "front way" names no place; for example front way at 2475 mm`,
		"2026-03-02,read,side way at 1 m,2":                             `where: there is no survey "side way"; the job has "front way"`,
		"2026-03-02,read,front way at 3.8 m,2":                          `where: "front way at 3.8 m" lies off the bed`,
		"2026-03-02,read,front way at 1 m,2e9":                          `value: "2e9" is too large for a reading`,
		"2026-03-02,read,front way at 1 m,90000":                        `value: "90000" is too much`,
		"2026-03-02,read,wire at 1 m,1.01e6":                            `value: "1.01e6" is too much`,
		"2026-03-02,feel,F1,wobbly":                                     `value: "wobbly" is no feel of a screw; write free, nips or solid`,
		"2026-03-02,gap,F1,-20 µm":                                      `value: "-20 µm" is below zero; write zero or more`,
		`2026-03-02,table,,"at 1,950 mm"`:                               `value: "1,950 mm" may mean thousands`,
		"2026-03-02,table,,700 mm":                                      `value: "700 mm" is no place of a table`,
		"2026-03-02,heat,,18.4/18.3":                                    `value: "18.4/18.3" names no °C or °F`,
		"2026-03-02,heat,,50 °F":                                        `value: "50 °F" is a temperature, not a difference`,
		"2026-03-02,scrape,front negative,1 pass":                       `where: "front" is flat and has no flanks`,
		"2026-03-02,scrape,front,some":                                  `value: "some" says no number of passes`,
		"2026-03-02,scrape,front,900..900 mm 2 passes":                  `value: "900..900 mm" is no part of a way`,
		"2026-03-02,scrape,front,3..5 m 2 passes":                       `value: "3..5 m" is no part of a way`,
		"2026-03-02,print,front,300..620 bright":                        `value: "300..620 bright" names no master`,
		"2026-03-02,hinge,front,third":                                  `value: "third" does not say where it swings for two ends`,
		"2026-03-02,void,2026-03-01 turn,":                              `where: there is no line "2026-03-01 turn" above`,
		"2026-03-02,note,,=HYPERLINK(1)":                                `value: "=HYPERLINK(1)" begins like a formula`,
		"2026-03-02,bolts,F1,stuck":                                     `value: "stuck" is no state of bolts; write slack or tight`,
		"2026-03-02,survey,front way,":                                  `value: names no file of readings; for example front-2.csv`,
		"2026-03-02,turn,,up 1 mm":                                      `where: names no foot; write a foot`,
		"2026-03-02,turn,F2 of shop flor,up 1 mm":                       `where: there is no foot "F2" in a standing "shop flor"; for example F2 of shop floor`,
		"2026-03-02,shim,F1,3 mm":                                       `value: "3 mm" begins with neither in nor out; for example in 0.05 mm`,
		"2026-03-02,scrape,middle,1 pass":                               `where: there is no way "middle"; the job has "front", "back"`,
		"2026-03-02,indicator,front at 9 m,up 1 µm":                     `where: "front at 9 m" lies off the bed`,
		"2026-03-02,read,front way at 1 m,-90000":                       `value: "-90000" is too small`,
		`2026-03-02,heat,,"18/17, 18/17, 18/17 °C"`:                     `value: "18/17, 18/17, 18/17 °C" has more than two pairs`,
		"2026-03-02,heat,,x/18 °C":                                      `value: "x/18" is no pair top/bottom`,
		"2026-03-02,heat,,300/299 °C":                                   `value: "300/299" is no temperature of a bed`,
		"2026-03-02,scrape,front,pad 2 cm in 4 passes":                  `value: "2 cm" is too much`,
		"2026-03-02,scrape,front,0 passes":                              `value: "0 passes" says that nothing was cut`,
		"2026-03-02,scrape,front,9..15 parsec 2 passes":                 `value: unknown unit "parsec"`,
		"2026-03-02,print,front,table at 0 mm: 3 bright":                `value: "3" is no length of a way`,
		"2026-03-02,print,front,table at 0 mm: bright":                  `value: "" is no length of a way`,
		"2026-03-02,print,front,edge at 0 mm: 3..5 mm bright":           `value: there is no master "edge"; the job has "two-metre edge", "table"`,
		"2026-03-02,hinge,front,\"table: third, third\"":                `value: "table" names no place`,
		`2026-03-02,print,front,"table at 0 mm, thick: 3..5 mm bright"`: `value: "thick" is neither film nor stroke`,
		`2026-03-02,hinge,front,"third, fifth"`:                         `value: "fifth" is no place where a master swings`,
		`2026-03-02,hinge,front,"third, 9 m"`:                           `value: "9 m" is too much`,
		"2026-03-02,note,,a,b,c":                                        `"c" stands beyond the last column`,
		`2026-03-02,note,,a"b`:                                          `has a stray quotation mark`,
	} {
		_, faults := shop().Read([]byte(head + line + "\n"))
		if len(faults) != 1 || !strings.HasPrefix(said(faults[0]), want) || faults[0].Line != 2 {
			t.Errorf("%s\n got %+v\nwant %s", line, faults, want)
		}
	}
	for text, want := range map[string]string{
		"":                      "has no header row",
		"when,what,where,datum": `datum: is no column of a log`,
		"when,what,what,value":  `what: is there twice`,
		"when,what,where":       `value: is missing`,
	} {
		if _, faults := shop().Read([]byte(text)); len(faults) == 0 || !strings.HasPrefix(said(faults[0]), want) {
			t.Errorf("%q: %+v", text, faults)
		}
	}
}

func said(f unit.Fault) string {
	s := f.Message
	if f.Key != "" {
		s = f.Key + ": " + s
	}
	if f.Hint != "" {
		s += "; " + f.Hint
	}
	return s
}

// All faults are told at once, in the order of the file.
func TestAllFaultsAtOnce(t *testing.T) {
	_, faults := shop().Read([]byte(head + "2026-03-05,note,,x\n2026-03-02,note,,earlier\n2026-03-05,turn,F9,up\n2026-03-05,read,twist at 1 m,x\n"))
	var lines []int
	for _, f := range faults {
		lines = append(lines, f.Line)
	}
	if diff := cmp.Diff([]int{3, 4, 4, 5}, lines); diff != "" {
		t.Errorf("%s\n%+v", diff, faults)
	}
}

// Lines of one moment count in their order; a day stands beside any time of it.
func TestTimeOrder(t *testing.T) {
	for text, good := range map[string]bool{
		"2026-03-02,note,,a\n2026-03-02 09:00,note,,b\n2026-03-02,note,,c\n2026-03-02T09:00:30,note,,d\n": true,
		"2026-03-02 09:00,note,,a\n2026-03-02,note,,b\n2026-03-02 08:59,note,,c\n":                        false,
	} {
		if _, faults := shop().Read([]byte(head + text)); (len(faults) == 0) != good {
			t.Errorf("%s%+v", text, faults)
		}
	}
}

// The file of another country's spreadsheet means the same.
func TestSpreadsheetsOfAnyCountry(t *testing.T) {
	plain := head + "2026-03-02 12:00,heat,,0.3 K ± 0.05 K,\n2026-03-02 12:05,turn,F1,up 12.5 µm,\"slow; cold\"\n"
	other := "\xef\xbb\xbfsep=;\r\nWhen;What;Where;Value;Note\r\n\r\n# remarks\r\n2026-03-02 12:00;heat;;0,3 K ± 0,05 K;\r\n2026-03-02 12:05;Turn;F1;up 12,5 µm;\"slow; cold\"\r\n"
	a, faults := shop().Read([]byte(plain))
	b, more := shop().Read([]byte(other))
	if len(faults)+len(more) > 0 {
		t.Fatal(faults, more)
	}
	for i := range b {
		b[i].Line, b[i].Written = a[i].Line, a[i].Written
	}
	if diff := cmp.Diff(a, b); diff != "" {
		t.Error(diff)
	}
}

// A foot of two standings is the one of the standing in force; "of" says which.
func TestWhichFoot(t *testing.T) {
	acts, faults := shop().Read([]byte(head + "2026-03-02,turn,F1,up 1 mm\n2026-03-02,turn,F1 of on the grinder,up 1 mm\n2026-03-02,survey,wire,a.csv\n2026-03-02,turn,F1,up 1 mm\n2026-03-02,turn,P9,up 1 mm\n"))
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	for i, want := range []string{"shop floor", "on the grinder", "on three", "shop floor", "on the grinder"} {
		if acts[i].Standing != want {
			t.Errorf("line %d: %q, not %q", acts[i].Line, acts[i].Standing, want)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add(head + "2026-03-02 12:00,heat,,\"18.43/18.31, 18.40/18.33 °C\",\n")
	f.Add(head + "2026-03-02,print,front,\"two-metre edge at 300 mm: 300..620 bright, 1180..1500 grey inner\",\n")
	f.Add("sep=;\rwhen;what;where;value\r2026-03-02;turn;F1;up 12,5 µm\r2026-03-02;void;2026-03-02 turn;\r")
	f.Add(head + "2026-03-02,scrape,back negative flank,900..1500 mm 2 passes,\n2026-03-02,hinge,back,\"end, 3 in\"\n")
	f.Fuzz(func(t *testing.T, text string) {
		acts, faults := shop().Read([]byte(text))
		for _, a := range acts {
			for _, v := range []float64{a.At, a.Value, a.Sigma, a.From, a.To, a.Depth} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Fatalf("%q gave %+v", text, a)
				}
			}
		}
		history(acts)
		for _, f := range faults {
			if f.Message == "" || f.Line < 0 {
				t.Fatalf("%q: %+v", text, f)
			}
		}
		merged, added, bad := Merged([]byte(head), []byte(text))
		if again, more, _ := Merged(merged, []byte(text)); len(bad) == 0 && added > 0 && more > 0 {
			t.Fatalf("%q: taken in twice\n%s\n%s", text, merged, again)
		}
	})
}

// What help log shows is what the reader takes, act by act and example by example.
func TestHelpExamples(t *testing.T) {
	where := map[string]string{
		"a survey's name": "front way", "a survey and a place: front way at 225 mm": "front way at 225 mm", "a foot": "F1", "a foot, or a way and place": "F1",
		"a foot, or all": "all", "a way, or a flank of it": "front", "a way": "front", "": "",
		"the time and act of a line above: 2026-03-02 08:40 turn F2": "2026-03-02 08:00 turn F2",
	}
	for _, g := range grammar {
		place, known := where[g.place]
		if !known || (g.where == nil) != (g.place == "") || (g.value == nil) != (len(g.values) == 0) {
			t.Errorf("%s: %s is not tried", g.what, g.place)
		}
		for _, v := range append(g.values, "")[:max(1, len(g.values))] {
			text := fmt.Sprintf("2026-03-02 08:00,turn,F2,up 10 µm,\n2026-03-02 09:00,%s,%s,\"%s\",\n", g.what, place, v)
			if acts, faults := shop().Read([]byte(head + text)); len(faults) > 0 || len(acts) != 2 {
				t.Errorf("%s: %v", text, faults)
			}
		}
	}
	if text := strings.Join(Help(), "\n"); !strings.Contains(text, "value: up 25 µm, or down 9°, or up 1 flat, or to touch") {
		t.Error(text)
	}
}

// A foot is looked for where the bed may stand again, and only else where it stood once.
func TestHomesOfAFoot(t *testing.T) {
	for foot, want := range map[string]string{"F1": "[shop floor]", "P9": "[on the grinder]", "centre block": "[on three]", "X": "[]"} {
		if got := fmt.Sprint(shop().homes(foot)); got != want {
			t.Errorf("%s is at home in %s, want %s", foot, got, want)
		}
	}
	chain := Bed{Standings: []Place{{Name: "a", Feet: []Foot{{Name: "F1"}}}, {Name: "b", Like: "a", Feet: []Foot{{Name: "F1"}}}, {Name: "c", Like: "b", Feet: []Foot{{Name: "F1"}}}}}
	if home, _, _ := chain.home("c", "F1"); home != "a" {
		t.Errorf("a foot that three standings share is at home in %q", home)
	}
}
