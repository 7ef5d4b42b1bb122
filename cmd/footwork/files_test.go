package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"footwork/internal/job"
)

// A file appears whole or not at all, whatever becomes of what writes it.
func TestNoHalfFileStays(t *testing.T) {
	half := strings.Repeat("half of it ", 1e5)
	for what, write := range map[string]func(io.Writer) error{
		"an error": func(w io.Writer) error { fmt.Fprint(w, half); return errFull },
		"a panic":  func(w io.Writer) error { fmt.Fprint(w, half); panic("the roof fell in") },
		"":         func(w io.Writer) error { fmt.Fprint(w, "page"); return nil },
	} {
		for _, before := range []string{"", "older page"} {
			dir := t.TempDir()
			name := filepath.Join(dir, "page.html")
			if before != "" {
				os.WriteFile(name, []byte(before), 0o644)
			}
			func() {
				defer func() { recover() }()
				switch err := writeWhole(name, write); {
				case what == "" && err != nil:
					t.Fatal(err)
				case what != "" && (!errors.Is(err, errFull) || !strings.Contains(err.Error(), "page.html was not written")):
					t.Errorf("%s ends with %v", what, err)
				}
			}()
			want, files := before, 1
			if what == "" {
				want = "page"
			}
			if want == "" {
				files = 0
			}
			now, _ := os.ReadFile(name)
			left, _ := os.ReadDir(dir)
			if string(now) != want || len(left) != files {
				t.Errorf("%s leaves %v, and %.20q of %q", what, left, now, before)
			}
			if info, err := os.Stat(name); err == nil && os.PathSeparator == '/' && info.Mode().Perm() != 0o644 {
				t.Errorf("the file has the rights %v", info.Mode())
			}
		}
	}
}

// What is too large is refused before it is read or worked through, with few words.
func TestTooLargeIsRefusedEarly(t *testing.T) {
	dir := t.TempDir()
	write := func(name string, data []byte) string {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, data, 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	var alloc runtime.MemStats
	runtime.ReadMemStats(&alloc)
	before := alloc.TotalAlloc
	for what, file := range map[string]string{
		"it has more than 4 MB":               write("large.toml", bytes.Repeat([]byte("#\n"), 3<<20)),
		"further faults are not listed":       write("keys.toml", manyKeys(60000)),
		"brackets are opened":                 write("deep.toml", append([]byte("a = "), bytes.Repeat([]byte("["), 2<<20)...)),
		"with CR alone":                       write("mac.toml", []byte("title = \"x\"\r[bed]\r")),
		"it is a folder":                      dir,
		"no such file":                        filepath.Join(dir, "nothere.toml"),
		"the file is not UTF-8 text":          write("latin.toml", []byte("title = \"Fr\xe4se\"")),
		`unknown key`:                         write("long.toml", []byte(strings.Repeat("k", 1<<20)+" = 1\n")),
		"more than zero":                      write("none.toml", []byte("[bed]\nlength = \"0 mm\"\n")),
		`100 m or less`:                       write("huge.toml", []byte("[bed]\nlength = \"1000 km\"\n[[way]]\noffset = \"1 km\"\n[bed.x]\n")),
		"10 cm or more; check the unit":       write("tiny.toml", []byte("[bed]\nlength = \"1 µm\"\n")),
		"write it with its unit, for example": write("bare.toml", []byte("[bed]\nlength = 1e-300\n")),
	} {
		var out, told bytes.Buffer
		if code := run([]string{"check", file}, &out, &told); code != exitUsage || out.Len() > 0 {
			t.Errorf("%s ended with %d", filepath.Base(file), code)
		}
		if what == `100 m or less` {
			what = `unknown unit "km"`
		}
		if text := told.String(); !strings.Contains(text, what) || len(text) > 60_000 || strings.Contains(text, "NaN") {
			t.Errorf("%s: %d bytes are told, without %q:\n%.1500s", filepath.Base(file), len(text), what, text)
		}
	}
	if runtime.ReadMemStats(&alloc); alloc.TotalAlloc-before > 600<<20 {
		t.Errorf("%d MB were used", (alloc.TotalAlloc-before)>>20)
	}
}

func manyKeys(n int) []byte {
	var b bytes.Buffer
	b.WriteString("[bed]\n")
	for i := range n {
		fmt.Fprintf(&b, "lengt%d = 3\n", i)
	}
	return b.Bytes()
}

// A survey of a million bad rows is refused by its size, one of many bad cells by
// the first of them.
func TestLongSurveysAreRefused(t *testing.T) {
	data, err := os.ReadFile("demo/grinder.toml")
	if err != nil {
		t.Fatal(err)
	}
	for want, csv := range map[string]string{
		"has 1000001 lines; 5000 rows at most can be taken":     "run 1\n" + strings.Repeat("x\n", 1e6),
		"further faults are not listed":                         "run 1\n" + strings.Repeat("x\n", 5000),
		"the number of stations is 5001; a survey needs":        "run 1\n" + strings.Repeat("1\n", 5001),
		"has 1000 columns; 64 at most can be taken":             "x" + strings.Repeat(",run 1", 999) + "\n",
		`front-first.csv:2: run 1: "` + strings.Repeat("x", 59): "run 1\n" + strings.Repeat("x", 1e6),
	} {
		_, err := job.Read("grinder.toml", data, func(file string) ([]byte, error) {
			if file == demoSheets[0] {
				return []byte(csv), nil
			}
			return blankReadings(file), nil
		})
		if err == nil || !strings.Contains(err.Error(), want) || len(err.Error()) > 60_000 {
			t.Errorf("%.200v\nwant %s", err, want)
		}
	}
}

// A name of a file that would steer a terminal does not.
func TestFileNamesDoNotSteer(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("such names cannot be there")
	}
	t.Chdir(t.TempDir())
	const name = "bed\x1b[31m\n\u202e.toml"
	for _, args := range [][]string{{"new", name}, {"check", name}, {"sag", name}, {"check", "no" + name}, {"report", name, "-o", name + ".html"}} {
		var out, told bytes.Buffer
		run(args, &out, &told)
		if text := out.String() + told.String(); strings.ContainsAny(text, "\x1b\u202e") || text == "" {
			t.Errorf("%v prints %q", args, text)
		}
	}
}

// Lines that wait beside a log that another program holds wait on, and those of --from are
// refused; once it is free both are taken in, and nothing of theirs is left.
func TestLinesWaitForTheLog(t *testing.T) {
	const head, one, two = "when,what,where,value,note\n", "2026-03-02 12:05,note,,one,\n", "2026-03-02 13:00,note,,two,\n"
	dir := t.TempDir()
	diary, waiting, from := filepath.Join(dir, "log.csv"), filepath.Join(dir, "log.added.csv"), filepath.Join(dir, "from.csv")
	if err := os.Link(os.Args[0], diary); err != nil || runtime.GOOS != "linux" {
		t.Skip(err)
	}
	write(t, waiting, head+two)
	write(t, from, head+one)
	holds := func(name, want string) bool {
		got, err := os.ReadFile(name)
		return err == nil && string(got) == want
	}
	file, err := writeSmall(t.TempDir(), "")
	if err != nil {
		t.Fatal(err)
	}
	r := &turning{terminal: &terminal{out: io.Discard, err: io.Discard}, job: file, log: "log.csv"}
	if err := r.takeIn(diary); err != nil || !holds(waiting, head+two) {
		t.Errorf("of a log that is held: %v", err)
	}
	if r.from = from; r.takeIn(diary) == nil {
		t.Error("lines were put into a log that is held")
	}
	if err := os.Remove(diary); err != nil {
		t.Fatal(err)
	}
	if err := r.takeIn(diary); err != nil || !holds(diary, head+one+two) {
		t.Error(err)
	}
	if there, _ := os.ReadDir(dir); len(there) != 2 {
		t.Errorf("left are %v", there)
	}
}
