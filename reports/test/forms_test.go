package test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"footwork/reports"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// contract lists the keys that programs rely on; more may be added, none may go.
var contract = map[string][]string{
	"sag": {"standings[].name", "standings[].x[]", "standings[].ways[].name", "standings[].ways[].offset", "standings[].ways[].height[]",
		"standings[].ways[].straightness.ends", "standings[].ways[].straightness.least_squares", "standings[].ways[].straightness.minimum_zone",
		"standings[].twist[]", "standings[].weight", "standings[].feet[].name", "standings[].feet[].at", "standings[].feet[].offset",
		"standings[].feet[].load", "standings[].feet[].lifted", "standings[].feet[].gap", "standings[].bearings", "standings[].warnings"},
	"travel": {"standing", "table_at[]", "path[].height", "path[].pitch", "path[].roll", "path[].at_tool", "at_tool_straightness", "foot_loads[][]", "warnings"},
	"change": {"from", "to", "x[]", "ways[].name", "ways[].height[]", "ways[].straightness.ends", "warnings"},
	"survey": {"surveys[].name", "surveys[].standing", "surveys[].way", "surveys[].x[]", "surveys[].height[]", "surveys[].sigma[]",
		"surveys[].straightness.ends", "surveys[].straightness.sigma", "surveys[].warnings"},
	"match": {"standing", "stiffness.factor", "stiffness.low", "stiffness.high", "stiffness.told", "foot_stiffness.factor", "gradient.factor",
		"feet[].name", "feet[].height", "feet[].low", "feet[].high", "feet[].told", "ways[].name", "ways[].x[]", "ways[].measured[]",
		"ways[].sag[]", "ways[].feet[]", "ways[].heat[]", "ways[].form[]", "ways[].form_sigma[]", "ways[].rest[]", "warnings"},
	"adjust": {"standing", "before.zone", "recommended", "plans[].feet_moved", "plans[].moves", "plans[].zone", "plans[].zone_sigma",
		"plans[].ways[].name", "plans[].ways[].x[]", "plans[].ways[].height[]", "plans[].ways[].sigma[]", "plans[].loads[].foot", "plans[].loads[].load",
		"plans[].steps", "warnings"},
	"place": {"placements[].pairs", "placements[].at[]", "placements[].zone", "placements[].sensitivity", "placements[].loads[]", "warnings"},
	"cut":   {"ways[].name", "ways[].x[]", "ways[].depth[]", "ways[].volume", "ways[].passes", "ways[].hours", "after_moves.ways[].name", "warnings"},
}

// has reports whether a path of keys leads somewhere; [] steps into the first entry.
func has(tree any, path string) bool {
	for _, key := range strings.Split(path, ".") {
		name, depth := strings.TrimRight(key, "[]"), strings.Count(key, "[]")
		object, _ := tree.(map[string]any)
		next, ok := object[name]
		if !ok {
			return false
		}
		for range depth {
			list, _ := next.([]any)
			if len(list) == 0 {
				return false
			}
			next = list[0]
		}
		tree = next
	}
	return true
}

// plainly returns JSON without what is empty, its keys in small letters and spans as two numbers.
func plainly(v any) any {
	switch v := v.(type) {
	case []any:
		for i := range v {
			v[i] = plainly(v[i])
		}
	case map[string]any:
		out := map[string]any{}
		for k, one := range v {
			one = plainly(one)
			if list, ok := one.([]any); one != nil && !(ok && len(list) == 0) {
				out[strings.ToLower(strings.ReplaceAll(k, "_", ""))] = one
			}
		}
		if out["from"] != nil && out["to"] != nil && len(out) == 2 {
			return []any{out["from"], out["to"]}
		}
		return out
	}
	return v
}

func TestJSONKeepsItsKeys(t *testing.T) {
	for _, v := range answers() {
		var b bytes.Buffer
		var tree any
		if err := reports.WriteJSON(&b, v.View, plainWords); err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(b.Bytes(), &tree); err != nil {
			t.Fatal(err)
		}
		for _, path := range contract[v.Name] {
			if !has(tree, path) {
				t.Errorf("%s has no %s", v.Name, path)
			}
		}
	}
	var b bytes.Buffer
	var tree any
	second := reports.Adjust{Plans: view[reports.Adjust]("adjust").Plans[1:2]}
	if err := errors.Join(reports.WriteJSON(&b, second, plainWords), json.Unmarshal(b.Bytes(), &tree)); err != nil {
		t.Fatal(err)
	}
	plan := tree.(map[string]any)["plans"].([]any)[0]
	for _, path := range []string{"moves[].foot", "moves[].raise", "moves[].text", "steps[].foot", "steps[].raise", "steps[].loads[].foot",
		"steps[].readings[].survey", "steps[].readings[].x[]", "steps[].readings[].value[]", "steps[].readings[].unit"} {
		if !has(plan, path) {
			t.Errorf("a plan has no %s", path)
		}
	}
}

// Objects are indented, rows of numbers stay on a line, an empty list is [].
func TestJSONLayout(t *testing.T) {
	var b bytes.Buffer
	v := reports.Change{From: "<grinder> & \"table\"", State: reports.Found, Ways: []reports.WayShape{{Name: "front", Height: []float64{0, -1.5e-6}}},
		Warnings: []reports.Warning{reports.FootLight{Foot: "F1", Load: 120, Least: 300}, "in words"}}
	if err := reports.WriteJSON(&b, &v, plainWords); err != nil {
		t.Fatal(err)
	}
	golden(t, "change.json", b.String())
}

// JSON says the same as encoding/json, but for how keys without a tag and spans are written,
// and has no null in it.
func TestJSONSaysAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := anyAnswer(t, 300)
		var b bytes.Buffer
		if err := reports.WriteJSON(&b, v, plainWords); err != nil {
			t.Fatal(err)
		}
		plain, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		var own, other any
		if err := errors.Join(json.Unmarshal(b.Bytes(), &own), json.Unmarshal(plain, &other)); err != nil {
			t.Fatal(err, b.String())
		}
		if diff := cmp.Diff(plainly(other), plainly(own)); diff != "" {
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
	sag, adjust := view[reports.Sag]("sag"), view[reports.Adjust]("adjust")
	sag.Standings[0].Ways[1].Height = append([]float64{}, sag.Standings[0].X...)
	sag.Standings[0].Ways[1].Height[3] = math.NaN()
	adjust.Plans[2].Steps[1].Readings[1].Value = []float64{0, math.Inf(-1), 0}
	for want, v := range map[string]reports.View{
		"standings[0].ways[1].height[3] came out as NaN":            sag,
		"plans[2].steps[1].readings[1].value[1] came out as -Inf":   adjust,
		"before.zone came out as +Inf":                              reports.Adjust{Before: reports.Before{Zone: math.Inf(1)}},
		"surveys[0].straightness.sigma came out as NaN":             reports.Survey{Surveys: []reports.SurveyProfile{{Straightness: reports.Straightness{Sigma: ptr(math.NaN())}}}},
		"after_moves.ways[0].range.hours[1] came out as NaN":        reports.Cut{AfterMoves: &reports.CutAfter{Ways: []reports.CutWay{{Range: &reports.CutRange{Hours: [2]float64{0, math.NaN()}}}}}},
		"foot_loads[0][1] came out as NaN, which is no number: ple": reports.Travel{FootLoads: [][]float64{{1, math.NaN()}}},
	} {
		var b bytes.Buffer
		for _, err := range []error{reports.WriteJSON(&b, v, plainWords), reports.WriteCSV(&b, v)} {
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
		v := anyAnswer(t, 300)
		var b bytes.Buffer
		if err := reports.WriteCSV(&b, v); err != nil {
			t.Fatal(err)
		}
		rows, err := csv.NewReader(&b).ReadAll()
		if err != nil || len(rows) == 0 {
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
	for _, v := range answers() {
		var b strings.Builder
		if err := reports.WriteCSV(&b, v.View); err != nil {
			t.Fatal(err)
		}
		lines := strings.SplitAfter(b.String(), "\n")
		golden(t, v.Name+".csv", strings.Join(lines[:min(6, len(lines))], ""))
	}
}

// view returns the example of an answer, to be changed.
func view[V reports.View](name string) V {
	for _, v := range answers() {
		if v.Name == name {
			return v.View.(V)
		}
	}
	panic(name)
}

// plainWords prints what a warning is.
func plainWords(w reports.Warning) string { return fmt.Sprint(w) }
