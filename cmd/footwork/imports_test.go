package main

import (
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// allowed is which of our packages each of them may import.
var allowed = map[string][]string{
	"beam":             {"beam/section", "internal/contact", "internal/convex"},
	"survey":           {"beam", "internal/contact"},
	"survey/agree":     {"beam", "survey"},
	"survey/match":     {"beam", "survey", "internal/contact"},
	"survey/log":       {"internal/sheet", "internal/unit"},
	"supports":         {"beam", "internal/contact", "internal/convex"},
	"supports/plan":    {"beam", "supports", "internal/contact", "internal/convex"},
	"supports/blue":    {"beam"},
	"supports/place":   {"beam", "internal/contact"},
	"supports/cut":     {"beam", "internal/convex"},
	"reports":          {"internal/sheet", "beam", "survey", "survey/agree", "supports", "supports/plan", "internal/unit"},
	"internal/shop":    {"internal/shop/turn", "beam", "survey", "survey/agree", "survey/log", "survey/match", "supports", "supports/plan", "supports/place", "supports/blue", "reports", "internal/unit", "internal/job", "supports/cut"},
	"internal/unit":    {},
	"internal/sheet":   {},
	"internal/convex":  {},
	"internal/contact": {"internal/convex"},
	"beam/section":     {},
	"internal/job":     {"beam", "beam/section", "survey", "survey/log", "supports", "supports/place", "internal/sheet", "internal/unit", "supports/cut"},
	"reports/doc":      {"survey/log", "internal/shop/turn", "beam", "survey", "survey/agree", "supports", "supports/plan", "reports", "internal/unit"},
	"reports/page":     {"reports", "reports/doc", "internal/unit"},
	"reports/text":     {"reports/doc", "internal/unit"},
	"cmd/footwork": {"beam", "beam/section", "survey", "survey/log", "supports", "reports", "reports/doc", "reports/page", "reports/text",
		"internal/unit", "internal/job", "internal/shop", "internal/shop/turn"},

	"internal/shop/turn":       {"beam", "supports", "supports/plan", "survey/log"},
	"reports/internal/example": {"beam", "supports", "reports"}, // for tests
}

// The arrows between packages are those of DEVELOPERS.md.
func TestImportTable(t *testing.T) {
	out, err := exec.Command("go", "list", "-f", `{{.ImportPath}} {{join .Imports " "}}`, "footwork/...").Output()
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(out)) {
		fields := strings.Fields(line)
		from := strings.TrimPrefix(fields[0], "footwork/")
		may, known := allowed[from]
		if !known {
			t.Errorf("package %s is not in the table", from)
		}
		for _, to := range fields[1:] {
			if own, is := strings.CutPrefix(to, "footwork/"); is && !slices.Contains(may, own) {
				t.Errorf("%s imports %s", from, own)
			}
		}
	}
}
