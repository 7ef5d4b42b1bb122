package doc

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"footwork/internal/unit"
	"footwork/reports"
	"footwork/supports"
	"footwork/supports/plan"
	"footwork/survey"
	"footwork/survey/agree"
	"footwork/survey/match"
)

// asciiOf returns a text with plain spaces and minus signs.
func asciiOf(t Text, u unit.System) string {
	return strings.NewReplacer("\u00a0", " ", "−", "-").Replace(t.In(u))
}

// The feet that carry nothing or little are named, one or many.
func TestCarried(t *testing.T) {
	foot := func(name string, load, gap float64) reports.FootLoad {
		return reports.FootLoad{Name: name, Load: load, Lifted: gap > 0, Gap: gap}
	}
	for want, feet := range map[string][]reports.FootLoad{
		"every foot carries, F2 least with 900 N":                                              {foot("F1", 1000, 0), foot("F2", 900, 0)},
		"foot F2 carries nothing: it hangs 4.0 µm clear":                                       {foot("F1", 1000, 0), foot("F2", 0, 4e-6)},
		"feet F2 and F3 carry nothing: they hang up to 5.5 µm clear":                           {foot("F1", 1000, 0), foot("F2", 0, 4e-6), foot("F3", 0, 5.5e-6)},
		"feet F2 and F3 are light: they carry at most 60 N":                                    {foot("F1", 2000, 0), foot("F2", 50, 0), foot("F3", 60, 0)},
		"foot F3 carries nothing: it hangs 1.0 µm clear and foot F2 is light: it carries 50 N": {foot("F1", 2000, 0), foot("F2", 50, 0), foot("F3", 0, 1e-6)},
		"1950 N lies on 1 bearing":                                                             nil,
	} {
		v := reports.SagStanding{Feet: feet, Weight: 1950, Bearings: make([]reports.BearingLoad, 1)}
		if got := asciiOf(job{&reports.Page{}}.carried(v), unit.Metric); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

// A bed of which nothing was surveyed is levelled, and no zone is made up for it.
func TestLevelling(t *testing.T) {
	d, err := Of(&reports.Page{}, reports.Adjust{Standing: "shop floor", Recommended: -1, Levelling: &reports.Levelling{On: []reports.Rest{{Foot: "A", Load: 900}, {At: 0.8, Offset: 0.2, Load: 900}, {At: 3.1, Load: 1800}}, Others: []string{"B"}}})
	if err != nil {
		t.Fatal(err)
	}
	s := d.Sections[0]
	if got := s.Answer.In(unit.Metric); !strings.HasPrefix(got, "On “shop floor” nothing was surveyed") || strings.Contains(got, "µm") {
		t.Error(got)
	}
	if l, ok := s.Blocks[0].(List); !ok || len(l.Items) != 3 || !strings.Contains(l.Items[0].In(unit.Metric), "Stand the bed on a pair, A (900\u00a0N) and a block at 800\u00a0mm, 200\u00a0mm across (900\u00a0N), and on a block or rocking bar") {
		t.Errorf("%+v", s.Blocks)
	}
}

// Turns that move the feet alike are one sentence, with what the lightest foot carries after each.
func TestLevellingInTurns(t *testing.T) {
	turn := func(raise, lightest float64) reports.LevelTurn {
		return reports.LevelTurn{Moves: []reports.Turned{{Foot: "B", Raise: raise * unit.UM}}, Lightest: lightest}
	}
	l := &reports.Levelling{Others: []string{"B"}, Turns: []reports.LevelTurn{turn(20, 300), turn(20.001, 600), turn(15, 900)}}
	var got []string
	for _, w := range sharing(l, smallForce)[1:3] {
		got = append(got, asciiOf(w, unit.Metric))
	}
	want := []string{"Share the load, turns 1 to 2 of 3, each: B up 20.0 µm. Read the levels after each; the lightest foot should then carry 300 N and 600 N.",
		"Share the load, turn 3 of 3: B up 15.0 µm. Read the levels again; the lightest foot should then carry 900 N."}
	if !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
}

// What is within the tolerance is left alone, and says so.
func TestWithinTolerance(t *testing.T) {
	v := reports.Adjust{Standing: "floor", Before: reports.Before{Zone: 0.3 * unit.Thou}, Plans: []reports.Plan{{Zone: 0.3 * unit.Thou}}}
	j := job{&reports.Page{Goal: goal(0.4 * unit.Thou)}}
	if got, want := asciiOf(j.adjustAnswer(v), unit.Inches), "On “floor” 0.30 thou out of straight is within your 0.40 thou: leave the feet alone."; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

// A reading is printed with the digits of its unit: a level read in mm/m moves
// in the fourth decimal.
func TestReadingsKeepTheirDigits(t *testing.T) {
	for of, want := range map[string]string{"mm/m": "0.0123 mm/m", "arcsec": "0.0 arcsec", "in/ft": "0.01230 in/ft", "div": "0.01 div", "mrad": "0.0123 mrad"} {
		if got := asciiOf(Text{reading(0.0123, of)}, unit.Inches); got != want {
			t.Errorf("%s: got %q", of, got)
		}
	}
}

func history() reports.WayHistory {
	um := 1e-6
	return reports.WayHistory{Subject: survey.Subject{Standing: "shop floor", Way: "front"}, Marks: []reports.Landmark{
		{Landmark: survey.Landmark{Survey: "a", Date: "2026-02-02", Zone: 14 * um, Sigma: 0.2 * um}},
		{Landmark: survey.Landmark{Survey: "b", Date: "2026-02-03", Pass: 1, Zone: 9 * um, Sigma: 0.2 * um, Change: -5 * um, Unsure: 0.3 * um, Kind: "pass"}},
		{Landmark: survey.Landmark{Survey: "c", Date: "2026-02-04", Pass: 2, Zone: 5 * um, Sigma: 0.2 * um, Change: -4 * um, Unsure: 0.3 * um, Kind: "pass"}},
		{Landmark: survey.Landmark{Survey: "d", Date: "2026-02-05", Pass: 3, Zone: 4.8 * um, Sigma: 0.2 * um, Change: -0.2 * um, Unsure: 0.3 * um, Kind: "pass"}},
		{Landmark: survey.Landmark{Survey: "e", Date: "2026-03-05", Pass: 3, Zone: 7 * um, Sigma: 0.2 * um, Change: 2.2 * um, Unsure: 0.3 * um, Kind: "drift"}},
	}}
}

// An arc second, a degree Celsius as Fahrenheit, and a cubic inch of 16.387 ml are what they are.
func TestKinds(t *testing.T) {
	for _, c := range []struct {
		k     Kind
		value float64
		want  [2]string
	}{
		{slope, 4.848137e-6, [2]string{"1.0\u00a0arcsec", "1.0\u00a0arcsec"}},
		{kelvin, 0.5, [2]string{"0.50\u00a0°C", "0.90\u00a0°F"}},
		{volume, 3.4e-6, [2]string{"3.4\u00a0ml", "0.21\u00a0in³"}},
	} {
		for i, u := range []unit.System{unit.Metric, unit.Inches} {
			if got := q(c.k, c.value).In(u); got != c.want[i] {
				t.Errorf("%s: %q, not %q", c.k, got, c.want[i])
			}
		}
	}
}

// Cutting stopped paying after pass 2, and 28 days on (February 2026 has 28) the
// bed has moved.
func TestHistoryIsSaid(t *testing.T) {
	want := "The front way went from 14.0 µm to 7.0 µm out of straight in 5 surveys; cutting stopped paying after pass 2, from there it takes off no more than the surveys can tell (± 0.6 µm): look at the feet" +
		"; within 28 days it went from 4.8 µm to 7.0 µm (± 0.6 µm) though nothing was cut or moved: the feet have settled or the heat differs."
	if got := asciiOf(historyWords(history()), unit.Metric); got != want {
		t.Errorf("%q\nwant %q", got, want)
	}
}

// While every pass still takes off more than the surveys' doubt, nothing has stopped.
func TestCuttingStillPays(t *testing.T) {
	h := history()
	h.Marks = h.Marks[:3]
	if w := stoppedWords(h); w != nil {
		t.Errorf("said %q", w.In(unit.Metric))
	}
	h.Marks = append(h.Marks, history().Marks[3], reports.Landmark{Landmark: survey.Landmark{Pass: 4, Change: -3e-6, Unsure: 0.3e-6, Kind: "pass"}})
	if w := stoppedWords(h); w != nil {
		t.Errorf("a pass that paid after one that did not: said %q", w.In(unit.Metric))
	}
}

func goal(tolerance float64) *supports.Goal { return &supports.Goal{Tolerance: tolerance} }

// What was done before a survey: passes, and each foot by how much.
func TestWhatWasDoneBeforeASurvey(t *testing.T) {
	before := reports.Landmark{Landmark: survey.Landmark{Pass: 1}}
	moved := []reports.Moved{{Foot: "F2", Raise: 20e-6}, {Foot: "B1", ToTouch: true, Raise: -4e-6}, {Foot: "F3", Locked: true}, {Foot: "B2", Again: true}, {Foot: "B3", Again: true}}
	for want, m := range map[string]reports.Landmark{
		"nothing":                            {Landmark: survey.Landmark{Pass: 1, Kind: "drift"}},
		"feet touched":                       {Landmark: survey.Landmark{Pass: 1, Kind: "move"}},
		"3 passes":                           {Landmark: survey.Landmark{Pass: 4, Kind: "pass"}},
		"1 pass, F2 up 20.0 µm":              {Landmark: survey.Landmark{Pass: 2, Kind: "pass"}, Moved: moved[:1]},
		"B1 to touch down 4.0 µm, F3 locked": {Landmark: survey.Landmark{Pass: 1, Kind: "move"}, Moved: moved[1:3]},
		"F3 locked, B2 and B3 let down and raised again": {Landmark: survey.Landmark{Pass: 1, Kind: "move"}, Moved: moved[2:]},
	} {
		if got := asciiOf(didWords(before, m), unit.Metric); got != want {
			t.Errorf("%q, not %q", got, want)
		}
	}
	if got := asciiOf(didWords(before, reports.Landmark{Landmark: survey.Landmark{Kind: "move"}, Moved: moved[:1]}), unit.Inches); !strings.Contains(got, "thou") {
		t.Errorf("in an inch shop: %s", got)
	}
}

// Where no move helps, what is left is called metal only when the surveys tell it from feet;
// else what settles that comes before anything is scraped. Where metal may be a third of it both
// aims are set beside one another, and nowhere else.
func TestWhatIsLeftIsMetalOnlyWhereTold(t *testing.T) {
	v := reports.Adjust{Standing: "shop", Before: reports.Before{Zone: 20e-6}, Plans: []reports.Plan{{Zone: 20e-6, ZoneSigma: 1e-6}}}
	words := func() string {
		d, err := Of(&reports.Page{}, v)
		if err != nil {
			t.Fatal(err)
		}
		return fmt.Sprint(d.Sections[0].Answer.In(unit.Metric), " ", d.Sections[0].Blocks)
	}
	if got := words(); strings.Contains(got, "is metal") || strings.Contains(got, "Before the first pass") {
		t.Error(got)
	}
	v.Warnings = []reports.Warning{reports.LoadsShared{Feet: []string{"F1"}}, reports.RestIsMetal{}}
	if got := words(); !strings.Contains(got, "what is left is metal") {
		t.Error(got)
	}
	v.Warnings = nil
	v.First = []reports.Advice{{Do: "stand on three", Minutes: 40}}
	if got := words(); strings.Contains(got, "is left is metal") || !strings.Contains(got, "Before the first pass") {
		t.Error(got)
	}
	if aimsTable(v) != nil {
		t.Error("aims where there are none")
	}
	v.Aims = []reports.AimPlan{{Aim: supports.Straight, Moves: []reports.Move{{Foot: "F1", Raise: 9e-6}}}, {Aim: supports.AtRest}}
	if got := aimsTable(v).Rows; len(got) != 2 || asciiOf(got[0][4].(Text), unit.Metric) != "F1 up 9.0 µm" || asciiOf(got[1][4].(Text), unit.Metric) != "nothing" {
		t.Error(got)
	}
}

// Nothing more is asked for where the metal is known well enough, but of who wants the feet closer.
func TestEnoughIsKnown(t *testing.T) {
	again := reports.Advice{Do: "survey again", Minutes: 20, Before: 0.39, After: 0.39, OfFeet: true, Heights: [2]float64{12e-6, 8e-6}}
	if got := nextWords(reports.Match{Zone: 20e-6, Advice: []reports.Advice{again}}).In(unit.Metric); !strings.Contains(got, "enough to go on") || !strings.HasSuffix(got, "known to ±\u00a04.0\u00a0µm, now to ±\u00a06.0\u00a0µm.") {
		t.Errorf("said %q", got)
	}
	three := reports.Advice{Do: "stand on three", Minutes: 40, Before: 0.8, After: 0.2, Settles: true, Three: &reports.OnThree{}}
	if got := nextWords(reports.Match{Zone: 20e-6, Advice: []reports.Advice{three}}).In(unit.Metric); !strings.HasPrefix(got, "Next, stand the bed on a pair") || onThree("", []reports.Advice{three}) == nil {
		t.Errorf("said %q, and not how", got)
	}
	quick := []reports.Advice{{Do: "load", Foot: "F4", Minutes: 6, Before: 9, After: 2.2}, {Do: "gap", Foot: "B1"}, three}
	want := "Next, weigh foot F4 with a jack and a gauge (about 6 min): how much of it is metal is then known to ± 22.0 µm, now to ± 90.0 µm. That alone does not settle it: stand the bed on a pair and a block and survey it there (about 40 min), then it is known to ± 2.0 µm."
	if got := asciiOf(nextWords(reports.Match{Zone: 20e-6, Advice: quick}), unit.Metric); got != want || onThree("", quick) == nil {
		t.Errorf("what does not settle it: %q", got)
	}
	open := reports.Match{Zone: 20e-6, Advice: quick, Feet: []reports.FootEstimate{{Name: "F1", Carries: 0.97}, {Name: "F2", Carries: 0.4}}}
	if got := asciiOf(nextWords(open), unit.Metric); !strings.Contains(got, "± 22.0 µm at best, now") || !strings.Contains(got, "known to ± 2.0 µm.") {
		t.Errorf("with a foot that may hang: %q", got)
	}
}

// The first sentence names who cannot say, a foot that hangs by the toss of a coin is not said to
// hang, and what the job says of the metal stands beside what follows from it.
func TestCannotSay(t *testing.T) {
	v := reports.Match{Standing: "floor", Zone: 8e-6, ZoneWay: "front", Shares: []reports.Share{{Part: "feet", Value: 1e-6, Wide: 9e-6}, {Part: "metal", Wide: 9e-6}},
		Feet: []reports.FootEstimate{{Name: "F1", Carries: 0.03}, {Name: "F2", Carries: 0.46}, {Name: "F3", Carries: 0.8}}, Ways: []reports.WayParts{{Name: "front", FinishedTo: 6e-6}}}
	said := func() string {
		return asciiOf(append(job{&reports.Page{}}.shareAnswer(v), hangingWords(v)...), unit.Metric)
	}
	if got, want := said(), "Of 8.0 µm out of straight on the front way of “floor” as found the surveys cannot say how much comes from the feet and the metal. Foot F1 (97 % sure) hangs free. Foot F2 (54 % likely) may hang free: feel it."; got != want {
		t.Errorf("%q", got)
	}
	if v.Shares[0].Value = 9.5e-6; !strings.Contains(said(), "cannot say how much comes from the feet and") {
		t.Errorf("more unsure than all that was measured: %q", said())
	}
	v.Shares[0], v.Feet = reports.Share{Part: "feet", Value: 7e-6, Wide: 1e-6, Told: true}, nil
	if got, want := said(), "Of 8.0 µm out of straight on the front way of “floor” as found the surveys put 7.0 µm ± 1.0 µm from the feet; how much comes from the metal they cannot say. That rests on its metal being straight to 6.0 µm, as the job says. Every foot most likely carries."; got != want {
		t.Errorf("%q", got)
	}
}

// Every sentence has as many places as there is to fill them, each of a kind that there is.
func TestSentencesAreFilled(t *testing.T) {
	place := regexp.MustCompile(`\{(?:±|bare|fine|unit)? ?([^}]*)\}`)
	names, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	inspect := func(n ast.Node) bool {
		call, ok := n.(*ast.CallExpr)
		if !ok {
			return true
		}
		args := call.Args
		switch of := call.Fun.(type) {
		case *ast.Ident:
			if of.Name == "also" {
				args = args[1:]
			} else if of.Name != "say" {
				return true
			}
		case *ast.SelectorExpr:
			if of.Sel.Name != "say" {
				return true
			}
		default:
			return true
		}
		sentence, places := literal(args[0]), 0
		if sentence == "" {
			return true
		}
		found++
		for _, m := range place.FindAllStringSubmatch(sentence, -1) {
			if !strings.HasPrefix(m[0], "{unit ") {
				places++
			}
			if _, known := kinds[Kind(m[1])]; !known && m[1] != "" && m[1][0] != '%' {
				t.Errorf("%q: there is no kind %s", sentence, m[1])
			}
		}
		if places != len(args)-1 {
			t.Errorf("%q has %d places and %d to fill them", sentence, places, len(args)-1)
		}
		return true
	}
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, inspect)
	}
	if found < 300 {
		t.Errorf("%d sentences were found", found)
	}
}

// literal is what a string in the source says, "" of what is none.
func literal(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.BasicLit:
		text, _ := strconv.Unquote(e.Value)
		return text
	case *ast.BinaryExpr:
		return literal(e.X) + literal(e.Y)
	}
	return ""
}

// A way that is told to be straight, as at the few stations of its survey, has no high and no low
// place, whatever it does between them; one that is out of straight has both.
func TestNoPlaceOfNothing(t *testing.T) {
	w := reports.WayShape{Name: "front", Height: []float64{0, -5e-6, 0, 5e-6, 0}}
	for zone, want := range map[float64]string{0.04e-6: "the front way is 0.0\u00a0µm out of straight", 8e-6: "the front way is 8.0\u00a0µm out of straight (high at 3000\u00a0mm, low at 1000\u00a0mm)"} {
		w.Straightness.MinimumZone = zone
		if got := joined(waysOut("is", []float64{0, 1, 2, 3, 4}, []reports.WayShape{w})).In(unit.Metric); got != want {
			t.Errorf("%g: %s", zone, got)
		}
	}
}

// What a sentence of a fact asks for, the fact has; and there is one for every kind that a planner,
// a match or surveys held against one another may tell of.
func TestFactsFillTheirSentences(t *testing.T) {
	for fact, words := range warningWords {
		if got := tell(words, reflect.Zero(fact).Interface()).In(unit.Metric); strings.ContainsAny(got, "{}") {
			t.Errorf("%s: %q", fact, got)
		}
	}
	for kind := range planWords {
		if got := planDoubt(reports.PlanDoubt{What: kind, Feet: []string{"F1", "B2"}, Value: 0.5, Of: 700}).In(unit.Metric); strings.ContainsAny(got, "{}") {
			t.Error(got)
		}
	}
	for slip := range remedyWords {
		if got := remedy(agree.Remedy{Slip: slip, Survey: "front", With: "back", Times: 2, Bow: 4e-6}).In(unit.Metric); !strings.Contains(got, "front") && slip != agree.Warmed {
			t.Error(got)
		}
	}
	for parted, want := range map[reports.PairsLeftOut]string{{Pairs: 1}: "1 pair is left out", {Pairs: 3}: "3 pairs are left out"} {
		if got := Warning(parted).In(unit.Metric); !strings.HasPrefix(got, want) {
			t.Error(got)
		}
	}
	for other, want := range map[string]string{"": "wrote down: was it", "B2": "wrote down, or as well one of B2: was it"} {
		if got := Warning(reports.MatchDoubt{What: match.MoveNotWritten, Other: other}).In(unit.Metric); !strings.Contains(got, want) {
			t.Error(got)
		}
	}
	light := reports.PlanDoubt{What: plan.Overloaded, Feet: []string{"F1", "B2"}, Value: 400, Of: 450}
	const dear = "F1 and B2 may carry 400\u00a0N, more than the 450\u00a0N it is rated for"
	if got := planDoubt(light).In(unit.Metric); got != dear {
		t.Error(got)
	}
}
