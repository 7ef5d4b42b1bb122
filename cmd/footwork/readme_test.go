package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// The README's commands are run, in order and in one empty folder; what a session
// shows must be what is printed. A line of a session that is only … stands for any
// lines.
func TestReadme(t *testing.T) {
	if testing.Short() {
		t.Skip("every command of the README takes its time")
	}
	root, err := filepath.Abs("../..")
	if err != nil {
		t.Fatal(err)
	}
	readme, err := os.ReadFile(filepath.Join(root, "README.md"))
	if err != nil {
		t.Fatal(err)
	}
	here := folder{dir: t.TempDir(), done: map[string]string{}}
	for _, block := range regexp.MustCompile("(?ms)^```(sh|console)\n(.*?)^```$").FindAllStringSubmatch(string(readme), -1) {
		if block[1] == "console" {
			here.session(t, block[2])
			continue
		}
		for line := range strings.Lines(block[2]) {
			command, says, _ := strings.Cut(line, " # ")
			here.run(t, command)
			for _, page := range regexp.MustCompile(`[\w/.-]+\.html`).FindAllString(says, -1) {
				if _, err := os.Stat(filepath.Join(here.dir, page)); err != nil {
					t.Errorf("%s did not leave %s", command, page)
				}
			}
		}
	}
}

// The README's table of commands names commands that there are.
func TestReadmeNamesCommands(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	rows := regexp.MustCompile("(?m)^\\| `(\\w+)` \\|").FindAllStringSubmatch(string(readme), -1)
	if len(rows) == 0 {
		t.Fatal("no table of commands")
	}
	for _, row := range rows {
		if c, _, err := commands(&terminal{}).Find([]string{row[1]}); err != nil || c.Name() != row[1] {
			t.Errorf("there is no command %s", row[1])
		}
	}
}

// folder is where a reader of the README sits.
type folder struct {
	dir  string
	done map[string]string // what each command has printed
}

// run carries out one line of the README and returns what it prints.
func (f folder) run(t *testing.T, line string) string {
	t.Helper()
	words := splitLine(line)
	switch text := strings.Join(words, " "); {
	case text == "go test ./...", text == "go build ./cmd/footwork": // this is the one; the other was done
		return ""
	case strings.HasPrefix(text, "go run ./cmd/footwork "):
		words = words[2:]
	case words[0] != "footwork" && words[0] != "./footwork":
		t.Errorf("the README has a command that is not checked: %s", text)
		return ""
	}
	args := strings.Join(words[1:], " ")
	if out, ok := f.done[args]; ok {
		return out
	}
	t.Chdir(f.dir)
	var out, notes bytes.Buffer
	if code := run(words[1:], &out, &notes); code != exitDone {
		t.Errorf("%s: %s", line, &notes)
	}
	f.done[args] = out.String()
	return out.String()
}

// session runs the lines that begin with $ and holds the rest against what they print.
func (f folder) session(t *testing.T, text string) {
	t.Helper()
	for _, one := range strings.Split("\n"+text, "\n$ ")[1:] {
		command, shown, _ := strings.Cut(one, "\n")
		shown = f.typed(t, shown)
		out := f.run(t, command)
		if !elided(shown).MatchString(out) {
			t.Errorf("%s prints\n%s\nand not\n%s", command, out, shown)
		}
	}
}

// typed puts what a person types after a prompt where the command reads it, and returns
// what is shown without: neither that nor its line's end comes back from a pipe.
func (f folder) typed(t *testing.T, shown string) string {
	prompt := regexp.MustCompile(`(?m)^([a-z, ]+> )(.+)\n\n`)
	var keys strings.Builder
	for _, m := range prompt.FindAllStringSubmatch(shown, -1) {
		keys.WriteString(m[2] + "\n")
	}
	file := filepath.Join(t.TempDir(), "keys")
	if err := os.WriteFile(file, []byte(keys.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	in, err := os.Open(file)
	if err != nil {
		t.Fatal(err)
	}
	keyboard := os.Stdin
	os.Stdin = in
	t.Cleanup(func() { os.Stdin = keyboard; in.Close() })
	return prompt.ReplaceAllString(shown, "$1\n")
}

// elided turns the lines of a session into what they allow.
func elided(shown string) *regexp.Regexp {
	var p strings.Builder
	p.WriteString(`\A`)
	for line := range strings.Lines(shown) {
		if strings.TrimSpace(line) == "…" {
			p.WriteString(`(?:.*\n)*?`)
			continue
		}
		p.WriteString(regexp.QuoteMeta(strings.TrimRight(line, " \n")) + ` *\n`)
	}
	return regexp.MustCompile(p.String() + `\z`)
}

// splitLine parts a command line into words; blanks in double quotes part none.
func splitLine(line string) (words []string) {
	for i, part := range strings.Split(strings.TrimSpace(line), `"`) {
		if i%2 == 1 {
			words = append(words, part)
		} else {
			words = append(words, strings.Fields(part)...)
		}
	}
	return words
}
