package test

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// bench is a folder with a job in it, and the program that a person starts there · more ends the job.
type bench struct {
	tb           testing.TB
	dir, program string
}

func newBench(tb testing.TB, job, more string) *bench {
	tb.Helper()
	s := &bench{tb, tb.TempDir(), filepath.Join(tb.TempDir(), "footwork")}
	if out, err := exec.Command("go", "build", "-o", s.program, "../../cmd/footwork").CombinedOutput(); err != nil {
		tb.Fatalf("%v: %s", err, out)
	}
	if err := os.CopyFS(s.dir, os.DirFS(filepath.Join("..", "..", "testdata", "jobs", job))); err != nil {
		tb.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(s.dir, "job.toml"), []byte(s.read("job.toml")+more), 0o644); err != nil {
		tb.Fatal(err)
	}
	return s
}

// run runs a command in the folder and returns what it printed.
func (s *bench) run(args ...string) (out, notes string) {
	s.tb.Helper()
	var o, e bytes.Buffer
	c := exec.Command(s.program, args...)
	c.Dir, c.Stdout, c.Stderr = s.dir, &o, &e
	if err := c.Run(); err != nil {
		s.tb.Fatalf("%v: %v\n%s%s", args, err, &o, &e)
	}
	return o.String(), e.String()
}

func (s *bench) read(name string) string {
	s.tb.Helper()
	text, err := os.ReadFile(filepath.Join(s.dir, name))
	if err != nil {
		s.tb.Fatal(err)
	}
	return string(text)
}

// saved presses the button and moves what the browser saved to a name of its own.
func (s *bench) saved(tab *tab, as string) string {
	s.tb.Helper()
	tab.check(chromedp.Do(tab.ctx, chromedp.Click("#save-read")))
	for range 100 {
		if os.Rename(filepath.Join(tab.downloads, "read-at-the-bed.csv"), filepath.Join(s.dir, as)) == nil {
			return as
		}
		time.Sleep(100 * time.Millisecond)
	}
	s.tb.Fatal("nothing was saved")
	return ""
}

// The sheet all the way round: the program's page in a browser, what is typed there saved as
// a browser saves it, and the file taken into the log, the second time without what was taken
// in before. The level was set up anew, five divisions off; a step was ticked before another was read.
func TestSheetAllTheWayRound(t *testing.T) {
	t.Parallel()
	browserName(t)
	s := newBench(t, "small", "\n[log]\nfile = \"log.csv\"\n")
	s.run("report", "job.toml")
	tab := open(t, []byte(s.read("job.html")), window{width: 390, height: 800})
	at := func(clock string) {
		eval[bool](tab, fmt.Sprintf(`(() => { const D = Date.real ?? Date; Date = class extends D { constructor() { super("2030-03-02T%s"); } }; Date.real = D; return true; })()`, clock))
	}
	says := func(field string, figure float64) string {
		return eval[string](tab, fmt.Sprintf(`(() => { const f = document.querySelector('[data-%s="0"]'); f.value = "%.2f"; f.dispatchEvent(new Event("change")); return document.getElementById("verdict-0").textContent; })()`, field, figure))
	}
	steps := eval[[]struct{ Before, Until float64 }](tab, `JSON.parse(document.getElementById("data").textContent).sheet`)
	if len(steps) < 2 {
		t.Fatalf("%d steps: too few to try", len(steps))
	}
	at("08:05")
	eval[bool](tab, `(document.querySelector('[data-step="1"]').click(), true)`)
	at("08:10")
	if got, want := says("now", steps[0].Before+5), fmt.Sprintf("Stop at %.2f div.", steps[0].Until+5); got != want {
		t.Errorf("set up anew: %q, want %q", got, want)
	}
	if got := says("read", steps[0].Until+5.02); got != "Good: go on." {
		t.Errorf("read as far on as it was to be: %q", got)
	}
	at("09:00")
	s.run("turn", "job.toml", "--next", "--from", s.saved(tab, "first.csv"))
	logged := s.read("log.csv")
	order := regexp.MustCompile(`^when,what,where,value,note
2030-03-02 08:05,turn,\w+,.*,
2030-03-02 08:10,read,front way at \d+ mm,[-\d.]+,
2030-03-02 08:10,turn,\w+,.*,
2030-03-02 08:10,read,front way at \d+ mm,[-\d.]+,
$`)
	if !order.MatchString(logged) {
		t.Errorf("the log:\n%s", logged)
	}
	at("10:00")
	if _, notes := s.run("turn", "job.toml", "--next", "--from", s.saved(tab, "again.csv")); !strings.Contains(notes, "0 lines taken into the log") || s.read("log.csv") != logged {
		t.Errorf("the same taken in again: %s\n%s", notes, s.read("log.csv"))
	}
	s.run("check", "job.toml")
	tab.quiet()
}
