package log

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"footwork/survey"
)

// A bed that stood on three between two surveys of its floor has its feet set anew, those that
// stayed and those whose turns are written left out; rows in the order of the ways say nothing of it.
func TestStoodAgain(t *testing.T) {
	bed := Bed{Standing: "floor", Standings: []Place{
		{Name: "floor", Feet: []Foot{{Name: "F1"}, {Name: "B1"}, {Name: "F2"}, {Name: "B2"}}},
		{Name: "three", Like: "floor", Feet: []Foot{{Name: "F1"}, {Name: "B1"}, {Name: "block"}}},
		{Name: "grinder"},
		{Name: "with the table", Feet: []Foot{{Name: "F1"}, {Name: "B1"}, {Name: "F2"}, {Name: "B2"}}},
	}, Ways: []Way{{Name: "front"}, {Name: "back"}}}
	at := func(standing, way, day string) Act {
		name := standing + way
		if _, ok := bed.setup(name); !ok {
			bed.Setups = append(bed.Setups, survey.Survey{Name: name, Standing: standing, Way: way, OfTable: way == "table"})
		}
		none := 0
		return Act{What: Survey, Survey: name, Standing: standing, Way: way, When: Moment{Day: day}, Pass: &none}
	}
	turn := func(foot string, by float64, day string) Act {
		return Act{What: Turn, Standing: "floor", Foot: foot, Value: by, When: Moment{Day: day}}
	}
	pass := func(n int, a Act) Act { a.Pass = &n; return a }
	const mon, tue, wed = "2026-03-02", "2026-03-03", "2026-03-04"
	for name, c := range map[string]struct {
		acts []Act
		want string // feet set anew, before the act with this index
	}{
		"by days":             {[]Act{at("floor", "front", mon), at("three", "front", tue), at("floor", "back", wed)}, "2 F2 B2"},
		"by passes":           {[]Act{pass(0, at("floor", "front", "")), pass(1, at("three", "front", "")), pass(2, at("floor", "back", ""))}, "2 F2 B2"},
		"once":                {[]Act{at("floor", "front", mon), at("three", "front", tue), at("floor", "front", wed), at("floor", "back", wed)}, "2 F2 B2"},
		"twice":               {[]Act{at("floor", "front", mon), at("three", "front", tue), at("floor", "front", wed), at("three", "back", ""), at("floor", "front", "")}, "2 F2 B2 4 F2 B2"},
		"off it altogether":   {[]Act{at("floor", "front", mon), at("grinder", "front", tue), at("floor", "front", wed)}, "2 F1 B1 F2 B2"},
		"one day, way again":  {[]Act{at("floor", "front", mon), at("floor", "back", mon), at("three", "front", mon), at("floor", "front", mon)}, "3 F2 B2"},
		"order of the ways":   {[]Act{at("floor", "front", ""), at("three", "front", ""), at("floor", "back", ""), at("three", "back", "")}, ""},
		"aside":               {[]Act{at("floor", "table", ""), at("three", "front", ""), at("floor", "table", "")}, ""},
		"the same feet":       {[]Act{at("floor", "front", mon), at("with the table", "front", tue), at("floor", "front", wed)}, ""},
		"never left":          {[]Act{at("floor", "front", mon), at("floor", "front", tue)}, ""},
		"never there before":  {[]Act{at("three", "front", mon), at("floor", "front", tue)}, ""},
		"its turn is written": {[]Act{at("floor", "front", mon), at("three", "front", tue), turn("F2", 40e-6, tue), at("floor", "front", wed)}, "3 B2"},
		"let down by a line":  {[]Act{at("floor", "front", mon), turn("F2", -2e-4, mon), at("three", "front", tue), at("floor", "front", wed)}, "3 F2 B2"},
	} {
		got, k := "", 0
		followed, _ := bed.History(nil, c.acts)
		for _, a := range followed.Entries {
			switch {
			case a.What != StoodAgain:
				k++
			case strings.Contains(got, fmt.Sprint(k, " ")):
				got += " " + a.Foot
			default:
				got += fmt.Sprint(" ", k, " ", a.Foot)
			}
			if a.What == StoodAgain && (a.Standing != "floor" || a.When != c.acts[k].When) {
				t.Errorf("%s: %+v", name, a)
			}
		}
		if got = strings.TrimSpace(got); got != c.want {
			t.Errorf("%s: %q, want %q", name, got, c.want)
		}
	}
	for want, acts := range map[string][]Act{
		"[F2 B2]": {at("floor", "front", mon), at("three", "front", tue)},
		"[B2]":    {at("floor", "front", mon), at("three", "front", tue), {What: Turn, Standing: "floor", Foot: "F2", Value: -1e-4, When: Moment{Day: tue}}},
		"[]":      {at("floor", "front", mon), at("three", "front", tue), at("floor", "back", wed)},
	} {
		h, _ := bed.History(acts, nil)
		if got := fmt.Sprint(h.LetDown("floor")); got != want {
			t.Errorf("let down %s, want %s", got, want)
		}
	}
	if h, _ := bed.History([]Act{at("floor", "front", ""), at("three", "front", "")}, nil); h.LetDown("floor") != nil {
		t.Error("what nobody dated is taken as in order")
	}
	h, _ := bed.History([]Act{at("floor", "front", mon), at("three", "front", tue), at("floor", "front", wed)}, nil)
	if touched := h.Touched(h.Entries[0].Epoch, h.Entries[len(h.Entries)-1].Epoch); len(touched) != 2 || !slices.Contains([]string{"F2", "B2"}, touched[0].Foot) {
		t.Errorf("touched %+v", touched)
	}
}
