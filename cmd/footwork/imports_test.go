package main

import (
	"os"
	"os/exec"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// rooms reads the code map of DEVELOPERS.md: which of our packages each may import.
func rooms(t *testing.T) map[string][]string {
	data, err := os.ReadFile("../../DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(data), "## Code map")
	table, _, _ := strings.Cut(rest, "\n## ")
	may := map[string][]string{}
	for line := range strings.Lines(table) {
		cells := strings.Split(line, "|")
		if len(cells) != 5 || !strings.HasPrefix(strings.TrimSpace(cells[1]), "`") {
			continue
		}
		room := strings.Trim(cells[1], " `")
		may[room] = strings.FieldsFunc(cells[3], func(r rune) bool { return strings.ContainsRune(" ,`", r) })
	}
	return may
}

// Every file of Go that DEVELOPERS.md names is there, those named alone beside others of the same step.
func TestFilesNamed(t *testing.T) {
	data, err := os.ReadFile("../../DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range regexp.MustCompile("`[a-z_/]+\\.go`").FindAllString(string(data), -1) {
		name = strings.Trim(name, "`")
		there := slices.ContainsFunc([]string{"", "cmd/footwork/", "internal/shop/"}, func(dir string) bool {
			_, err := os.Stat("../../" + dir + name)
			return err == nil
		})
		if !there {
			t.Errorf("there is no %s", name)
		}
	}
}

// The arrows between packages are those of DEVELOPERS.md.
func TestImportTable(t *testing.T) {
	may := rooms(t)
	out, err := exec.Command("go", "list", "-f", `{{.ImportPath}} {{join .Imports " "}}`, "footwork/...").Output()
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(out)) {
		fields := strings.Fields(line)
		from := strings.TrimPrefix(fields[0], "footwork/")
		allowed, known := may[from]
		if !known {
			t.Errorf("package %s is not in the code map", from)
		}
		for _, to := range fields[1:] {
			if own, is := strings.CutPrefix(to, "footwork/"); is && !slices.Contains(allowed, own) && !slices.Contains(allowed, "all") {
				t.Errorf("%s imports %s", from, own)
			}
		}
		for _, own := range allowed {
			if own != "all" && !slices.Contains(fields[1:], "footwork/"+own) {
				t.Errorf("%s may import %s, but does not", from, own)
			}
		}
		delete(may, from)
	}
	for room := range may {
		t.Errorf("the code map has %s, which is no package", room)
	}
	for _, pair := range [][2]string{{"survey", "supports"}, {"supports", "survey"}} {
		for line := range strings.Lines(string(out)) {
			if from, to, _ := strings.Cut(line, " "); strings.HasPrefix(from, "footwork/"+pair[0]) && strings.Contains(to, "footwork/"+pair[1]) {
				t.Errorf("%s and %s never meet, but %s", pair[0], pair[1], line)
			}
		}
	}
}
