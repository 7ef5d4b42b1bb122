package job

import (
	"embed"
	"fmt"
	"slices"
	"strings"

	"footwork/internal/unit"
	"footwork/survey/log"
)

//go:embed help
var helpTexts embed.FS

// Topics are what Help tells about.
func Topics() []string { return []string{"job", "log", "survey", "signs", "blue"} }

// Help returns the lines of a topic, which are wrapped where they are printed:
// text indented by four is shown as it stands, and what stands behind a tab hangs
// under it. A part, such as bed.rib, leaves only that table of the job file.
// Examples are in the units of sys. It is an error when there is no such topic
// or part.
func Help(topic, part string, sys unit.System) ([]string, error) {
	if !slices.Contains(Topics(), topic) {
		return nil, fmt.Errorf("there is no topic %s; there are %s", unit.Quote(topic), strings.Join(Topics(), ", "))
	}
	if part != "" {
		return helpPart(topic, part, sys)
	}
	prose, err := helpTexts.ReadFile("help/" + topic + ".txt")
	if err != nil {
		panic(err)
	}
	lines := strings.Split(strings.TrimSpace(string(prose)), "\n")
	switch topic {
	case "job":
		lines = append(append(lines, "", "Units:"), helpUnits()...)
		lines = append(lines, helpTable(&jobTable, "", sys)...)
	case "log":
		lines = append(append(lines, ""), unit.Names(log.Help(), func(line string) string { return inSystem(line, sys) })...)
	case "survey":
		lines = append(lines, helpTable(&surveyTables, "survey", sys)...)
	case "blue":
		lines = append(lines, helpTable(&masterTables, "master", sys)...)
	}
	return lines, nil
}

func helpPart(topic, part string, sys unit.System) ([]string, error) {
	k := &jobTable
	for name := range strings.SplitSeq(part, ".") {
		if k = k.below(name); k == nil || !k.isTable() || topic != "job" {
			return nil, fmt.Errorf(`there is no table %s in the job file; "footwork help job" shows them all`, unit.Quote(part))
		}
	}
	return helpTable(k, part, sys), nil
}

// helpTable tells of a table, and of those within it.
func helpTable(k *key, path string, sys unit.System) (lines []string) {
	if path != "" {
		head := k.header(path) + "  " + k.help
		if k.needed {
			head += "; must be there"
		}
		if k.old {
			head += "; of version 1: write a log"
		}
		lines = []string{"", head}
	}
	var within []string
	for i := range k.keys {
		below := &k.keys[i]
		if below.isTable() && !below.oneLine {
			within = append(within, helpTable(below, strings.TrimPrefix(path+"."+below.name, "."), sys)...)
			continue
		}
		lines = append(lines, inSystem("  "+below.assignment(), sys), inSystem("\t      "+below.says(), sys))
	}
	return append(lines, within...)
}

// says puts into words what there is to know of a key.
func (k *key) says() string {
	parts := []string{k.help}
	if is := k.is(); is != "" {
		parts = append(parts, is)
	}
	if k.by != nil {
		parts = append(parts, "only with "+strings.Join(k.by, ", "))
	}
	switch {
	case k.needed:
		parts = append(parts, "must be there")
	case k.needs != "":
		parts = append(parts, "must be there "+k.needs)
	}
	if k.absent != "" {
		parts = append(parts, "without it: "+k.absent)
	}
	if k.old {
		parts = append(parts, "of version 1")
	}
	if k.since > 1 {
		parts = append(parts, fmt.Sprintf("since version %d", k.since))
	}
	return strings.Join(parts, "; ")
}

// is puts into words what a key's value may be.
func (k *key) is() string {
	switch k.form {
	case formChoice:
		return `one of "` + strings.Join(k.options, `", "`) + `"`
	case formCount:
		return fmt.Sprintf("whole number, %.0f to %.0f", k.lo, k.hi)
	case formCounts:
		return fmt.Sprintf("list of whole numbers, %.0f to %.0f each", k.lo, k.hi)
	case formNumber:
		return fmt.Sprintf("number, %v to %v", k.lo, k.hi)
	case formList:
		return fmt.Sprintf("list, each: %s, %s to %s", k.want.kind, k.want.least, k.want.most)
	case formQuantity:
		return k.span()
	}
	return ""
}

// span puts the range of a quantity into words.
func (k *key) span() string {
	text := fmt.Sprintf("%s, %s to %s", k.want.kind, k.want.least, k.want.most)
	for _, m := range k.marks {
		text += fmt.Sprintf(", or %q: %s", m.word, m.means)
	}
	if k.measured {
		text += ", may carry ±"
	}
	if lo, hi := k.usual[0], k.usual[1]; lo+hi != "" {
		text += fmt.Sprintf(", asked about beyond %s to %s", lo, hi)
	}
	return text
}

// helpUnits lists the units of every kind of quantity that the table has.
func helpUnits() (lines []string) {
	var seen []*unit.Kind
	var visit func(k *key)
	visit = func(k *key) {
		if kind := k.want.kind; kind != nil && !slices.Contains(seen, kind) {
			seen = append(seen, kind)
			lines = append(lines, "\t  "+kind.String()+": "+strings.Join(kind.Names(), ", "))
		}
		for i := range k.keys {
			visit(&k.keys[i])
		}
	}
	visit(&jobTable)
	return lines
}
