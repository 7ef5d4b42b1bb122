package log

import (
	"bufio"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"testing"
)

var line = Line{"2026-03-02 12:05", "turn", "F1", "up 12.5 µm", ""}

func file(t *testing.T, text string) File {
	t.Helper()
	name := filepath.Join(t.TempDir(), "bay-log.csv")
	if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return File(name)
}

func content(t *testing.T, name File) string {
	t.Helper()
	text, err := os.ReadFile(string(name))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// A line is added in the way of the file: its marks, its line ends, its columns.
func TestAppend(t *testing.T) {
	for text, want := range map[string]string{
		"":                           head + "2026-03-02 12:05,turn,F1,up 12.5 µm,\n",
		"when,what,where,value,note": head + "2026-03-02 12:05,turn,F1,up 12.5 µm,\n",
		head + "2026-03-01,note,,x,": head + "2026-03-01,note,,x,\n2026-03-02 12:05,turn,F1,up 12.5 µm,\n",
		"what;when;where;value\r\n":  "what;when;where;value\r\nturn;2026-03-02 12:05;F1;up 12.5 µm\r\n",
		"when\twhat\twhere\tvalue\r": "when\twhat\twhere\tvalue\r2026-03-02 12:05\tturn\tF1\tup 12.5 µm\r",
	} {
		name := file(t, text)
		to, n, err := name.Append(line)
		if got := content(t, name); got != want || to != name || n != 1 || err != nil {
			t.Errorf("%q: %v\n got %q\nwant %q", text, err, got, want)
		}
		if acts, faults := shop().Read([]byte(want)); len(faults) > 0 || math.Abs(acts[len(acts)-1].Value-12.5e-6) > 1e-15 {
			t.Errorf("%q reads as %+v %+v", want, acts, faults)
		}
	}
}

// What is written is read back, whatever a person types, and is no formula to a
// spreadsheet.
func TestAppendedTextComesBack(t *testing.T) {
	for _, text := range []string{`say "hot", 3; 4`, "=1+1", "-x", "@me", "+cmd", "-2.1", "'quoted'", "# no remark", "two\nlines\ttabbed"} {
		name := file(t, "")
		if _, _, err := File(name).Append(Line{"2026-03-02", "note", "", text, text}); err != nil {
			t.Fatal(err)
		}
		got := content(t, name)
		lines, _, faults := readLines([]byte(got))
		want := strings.Join(strings.Fields(text), " ")
		if len(faults) > 0 || len(lines) != 1 || lines[0].Value != want || lines[0].Note != want {
			t.Errorf("%q was written as %q and read as %+v %+v", text, got, lines, faults)
		}
		if strings.Contains(got, ",=") || strings.Contains(got, ",@") || strings.Contains(got, ",+cmd") {
			t.Errorf("%q begins a formula: %q", text, got)
		}
	}
}

// A file that runs cannot be opened for writing by anybody, root included.
func TestBusyLog(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("files that run can be written here")
	}
	name := File(filepath.Join(t.TempDir(), "bay-log.csv"))
	if err := os.Link(os.Args[0], string(name)); err != nil {
		t.Skip(err)
	}
	to, n, err := name.Append(line)
	if err != nil || to != name.beside() || n != 1 || content(t, to) != head+"2026-03-02 12:05,turn,F1,up 12.5 µm,\n" {
		t.Errorf("%s %d %v", to, n, err)
	}
}

// A log that cannot be opened for writing keeps its bytes; the lines wait beside.
func TestLockedLog(t *testing.T) {
	if os.Getuid() == 0 || runtime.GOOS == "windows" {
		t.Skip("nothing is locked for this user")
	}
	name := file(t, "when;what;where;value;note\r\n")
	if err := os.Chmod(string(name), 0o444); err != nil {
		t.Fatal(err)
	}
	to, n, err := name.Append(line)
	if err != nil || to != name.beside() || n != 1 || content(t, name) != "when;what;where;value;note\r\n" {
		t.Fatalf("%s %d %v", to, n, err)
	}
	if got := content(t, to); got != "when;what;where;value;note\r\n2026-03-02 12:05;turn;F1;up 12.5 µm;\r\n" {
		t.Errorf("%q", got)
	}
}

func TestNoFile(t *testing.T) {
	dir := t.TempDir()
	for _, name := range []File{File(dir), File(filepath.Join(dir, "no", "where.csv"))} {
		if _, n, err := name.Append(line); err == nil || n != 0 {
			t.Errorf("%s: %d lines, %v", name, n, err)
		}
	}
}

// Lines from elsewhere find their place in time, those that are there already stay
// out, and what was there keeps its bytes.
func TestMerged(t *testing.T) {
	text := "when;what;where;value;note\r\n# ours\r\n2026-03-02 09:00;turn;F1;up 1 µm;\r\n2026-03-02 11:00;turn;F1;up 1 µm;"
	from := head + "2026-03-02 09:00,turn,F1,up 1 µm,\n2026-03-02 10:00,feel,F2,solid,\n2026-03-02 10:00,feel,B1,solid,\n2026-03-02 12:00,turn,F1,up 1 µm,\n"
	want := "when;what;where;value;note\r\n# ours\r\n2026-03-02 09:00;turn;F1;up 1 µm;\r\n2026-03-02 10:00;feel;F2;solid;\r\n2026-03-02 10:00;feel;B1;solid;\r\n2026-03-02 11:00;turn;F1;up 1 µm;\r\n2026-03-02 12:00;turn;F1;up 1 µm;\r\n"
	for _, taken := range []int{3, 0} {
		merged, n, faults := Merged([]byte(text), []byte(from))
		if text = string(merged); n != taken || len(faults) > 0 || text != want {
			t.Errorf("%d %v\n got %q\nwant %q", n, faults, text, want)
		}
	}
	early, n, _ := Merged([]byte(head+"2026-03-02 09:00,turn,F1,up 1 µm,\n"), []byte(head+"2026-03-02 08:00,feel,F2,solid,\n"))
	if want := head + "2026-03-02 08:00,feel,F2,solid,\n2026-03-02 09:00,turn,F1,up 1 µm,\n"; n != 1 || string(early) != want {
		t.Errorf("before the first line: %q", early)
	}
	if _, faults := shop().Read([]byte(text)); len(faults) > 0 {
		t.Error(faults)
	}
	const first, last = "2026-03-02 08:00,note,,first,\n2026-03-02 08:00,note,,second,\n", "2026-03-02 10:00,note,,third,\n2026-03-02 10:00,note,,fourth,\n2026-03-02 11:00,note,,fifth,\n"
	const between = "2026-03-02 09:00,turn,F1,up 1 µm,\n"
	if all, n, _ := Merged([]byte(head+between), []byte(head+first+last)); n != 5 || string(all) != head+first+between+last {
		t.Errorf("%d lines, their order lost:\n%s", n, all)
	}
	if _, _, faults := Merged([]byte(text), []byte("nonsense\n")); len(faults) == 0 {
		t.Error("nonsense was taken in")
	}
}

// A line that stands twice elsewhere and once in the log lacks once.
func TestLinesAreCounted(t *testing.T) {
	other := Line{When: "2026-03-02 12:05:00", What: "Turn", Where: "F1", Value: "up  12.5 µm"} // as a spreadsheet left it
	if missing := without([]Line{line, other, {What: "note"}}, []Line{line}); len(missing) != 2 || missing[0] != other {
		t.Errorf("%+v", missing)
	}
}

// A program killed while it writes leaves whole lines: what it had said was written
// is there, and what comes after can be read.
func TestKilledWhileWriting(t *testing.T) {
	const key = "LOG_WRITTEN_UNTIL_KILLED"
	if name := os.Getenv(key); name != "" {
		for i := 0; ; i++ {
			if _, _, err := File(name).Append(Line{"2026-03-02", "note", "", fmt.Sprintf("line %d of a rather long text, so that it could be torn", i), ""}); err != nil {
				t.Fatal(err)
			}
			fmt.Fprintln(os.Stderr, i)
		}
	}
	for round := range 3 {
		name := file(t, "")
		child := exec.Command(os.Args[0], "-test.run=^TestKilledWhileWriting$")
		child.Env = append(os.Environ(), key+"="+string(name))
		said, err := child.StderrPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := child.Start(); err != nil {
			t.Fatal(err)
		}
		last, lines := -1, bufio.NewScanner(said)
		for lines.Scan() && last < 20*round+5 {
			last, _ = strconv.Atoi(lines.Text())
		}
		child.Process.Kill()
		for lines.Scan() { // what it said before it died
			last, _ = strconv.Atoi(lines.Text())
		}
		child.Wait()
		text := content(t, name)
		acts, faults := shop().Read([]byte(text))
		if len(faults) > 0 || len(acts) < last+1 || !strings.HasSuffix(text, "\n") {
			t.Errorf("it said that %d lines were written; %d can be read, %v", last+1, len(acts), faults)
		}
		for i, a := range acts {
			if want := fmt.Sprintf("line %d of a rather long text, so that it could be torn", i); a.Text != want {
				t.Fatalf("%q, not %q", a.Text, want)
			}
		}
	}
}
