package reports

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
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

func TestJSONKeepsItsKeys(t *testing.T) {
	for _, v := range textViews {
		var b bytes.Buffer
		var tree any
		if err := WriteJSON(&b, v.view); err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(b.Bytes(), &tree); err != nil {
			t.Fatal(err)
		}
		for _, path := range contract[v.name] {
			if !has(tree, path) {
				t.Errorf("%s has no %s", v.name, path)
			}
		}
	}
	steps, _ := json.Marshal(textAdjust().Plans[1])
	var plan any
	if err := json.Unmarshal(steps, &plan); err != nil {
		t.Fatal(err)
	}
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
	v := Change{From: "<grinder> & \"table\"", Ways: []WayShape{{Name: "front", Height: []float64{0, -1.5e-6}}}}
	if err := WriteJSON(&b, &v); err != nil {
		t.Fatal(err)
	}
	textGolden(t, "change.json", b.String())
}

// What is not for JSON is left out of it.
func TestJSONLeavesOut(t *testing.T) {
	var b strings.Builder
	if err := WriteJSON(&b, Place{Table: true}); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(b.String(), `"-"`) || strings.Contains(b.String(), "true") {
		t.Error(b.String())
	}
}
