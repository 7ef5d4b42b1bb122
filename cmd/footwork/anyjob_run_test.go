package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// Whatever the job, no command panics, prints what is no number, ends with another
// code than 0, 1 or 2, changes a file that it reads or leaves one that nobody asked
// for. In every run fifteen jobs are asked two things: what is quick, and of small jobs
// anything. FOOTWORK_TRIAL=jobs asks ten thousand jobs anything, each command a
// process of its own that must keep within mostWork and mostHeld, a session at the bed aside, and is
// ended after a minute of work; FOOTWORK_TRIAL=jobs:N,M asks those from N to M.
func TestAnyJob(t *testing.T) {
	if testing.Short() {
		t.Skip("random jobs take their time")
	}
	from, to, trial := uint64(0), uint64(15), false
	if which, ok := strings.CutPrefix(os.Getenv("FOOTWORK_TRIAL"), "jobs"); ok {
		from, to, trial = 0, 10_000, true
		if first, last, given := strings.Cut(strings.TrimPrefix(which, ":"), ","); given {
			from, _ = strconv.ParseUint(first, 10, 64)
			to, _ = strconv.ParseUint(last, 10, 64)
		}
	}
	t.Parallel()
	for seed := from; seed < to; seed++ {
		t.Run(fmt.Sprint("job ", seed), func(t *testing.T) {
			t.Parallel()
			tryJob(t, seed, trial)
		})
	}
}

// tryJob asks one job two things.
func tryJob(t *testing.T, seed uint64, trial bool) {
	dir, files := t.TempDir(), jobOf(seed)
	for name, text := range files {
		write(t, filepath.Join(dir, name), text)
	}
	of := [2][]string{quick, quick}
	if job := files["job.toml"]; trial || strings.Count(job, "[[survey]]") < 3 && strings.Count(job, "[[standing.foot]]") < 11 {
		of[1] = slow
	}
	if trial {
		of[0] = slow
	}
	choose := rand.New(rand.NewPCG(seed, 8))
	for _, of := range of {
		args := anyCommand(choose, of, filepath.Join(dir, "job.toml"))
		told := asked(t, args, trial, anyWords(choose))
		for _, wrong := range told.wrong(args) {
			t.Errorf("%v %s", args, wrong)
		}
		t.Log(args[0], told.code, told.work.Round(time.Second/100))
	}
	kept(t, dir, files)
}

// kept holds a folder against the files that were written into it, a page beside them.
func kept(t *testing.T, dir string, files map[string]string) {
	for name, text := range files {
		if now, err := os.ReadFile(filepath.Join(dir, name)); err != nil || string(now) != text {
			t.Errorf("%s was changed", name)
		}
	}
	there, _ := os.ReadDir(dir)
	for _, f := range there {
		if _, ours := files[f.Name()]; !ours && f.Name() != "job.html" {
			t.Errorf("%s is left behind", f.Name())
		}
	}
}

// quick are the commands that outcome at once of a bed as drawn; slow are all of them.
var (
	quick = []string{"check", "survey", "sag --state given", "travel --state given", "change --state given"}
	slow  = []string{"check", "sag", "travel", "change", "survey", "match", "adjust", "place", "cut", "blue", "report", "turn"}
)

func anyCommand(choose *rand.Rand, of []string, file string) []string {
	name, state, _ := strings.Cut(of[choose.IntN(len(of))], " ")
	args := append([]string{name, file}, strings.Fields(state)...)
	if name == "change" {
		args = append(args, "--from", "standing 1", "--to", "standing 2")
	}
	if name == "turn" {
		return append(args, "--dry-run", []string{"--next", "--large"}[choose.IntN(2)])
	}
	if name != "check" && name != "report" {
		args = append(args, [][]string{nil, {"--json"}, {"--csv"}, {"--units", "inch"}}[choose.IntN(4)]...)
	}
	return args
}

// anyWords are what somebody may type at the bed, and what nobody should.
func anyWords(choose *rand.Rand) string {
	text := []string{"yes\nyes\nyes\nno\nno\n", "none\nyes\nyes\nyes\nyes\n"}[choose.IntN(2)]
	for range 20 {
		words := []string{"yes", "no", "done", "lock", "skip", "nips", "solid", "free", "lock F2", "free B1", "solid F1", "nips B2", "F1", "B2",
			"knocked", "strike out", "turn back", "two", "responses", "survey 1 survey 1.csv", "survey survey 1 survey 1.csv", "", "1e400", "note \"", "0"}
		if choose.IntN(2) == 0 {
			words = []string{fmt.Sprintf("%.1f", 3*choose.NormFloat64())}
		}
		text += words[choose.IntN(len(words))] + "\n"
	}
	return text
}

// What a command may take of a machine like that of a shop.
const (
	mostWork = 10 * time.Second // of one processor
	mostHeld = 200 << 20        // bytes
)

// outcome is how a command went.
type outcome struct {
	code      int
	out, told bytes.Buffer
	panicked  string
	work      time.Duration // of a process of its own
	held      int64         // bytes, the same; 0 where the system does not tell
}

// asked runs one command, here or as a process of its own, into which something is typed.
func asked(t *testing.T, args []string, apart bool, typed string) (a *outcome) {
	a = &outcome{}
	if !apart {
		defer func() {
			if r := recover(); r != nil {
				a.panicked = fmt.Sprintf("%v\n%s", r, debug.Stack())
			}
		}()
		a.code = run(args, &a.out, &a.told)
		return a
	}
	c := exec.Command("sh", append([]string{"-c", `ulimit -t 60; exec "$0" "$@"`, program(t)}, args...)...)
	c.Stdin, c.Stdout, c.Stderr = strings.NewReader(typed), &a.out, &a.told
	c.Run() // its code tells, −1 where the system ended it
	p := c.ProcessState
	a.code, a.work = p.ExitCode(), p.UserTime()+p.SystemTime()
	if usage := reflect.ValueOf(p.SysUsage()); usage.Kind() == reflect.Pointer {
		if most := usage.Elem().FieldByName("Maxrss"); most.IsValid() {
			a.held = most.Int() << 10
		}
	}
	if strings.Contains(a.told.String(), "goroutine ") {
		a.panicked = a.told.String()
	}
	return a
}

// program returns the program's name: this binary, which does what its name says.
func program(t *testing.T) string {
	binary, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	name := filepath.Join(t.TempDir(), "footwork")
	if err := os.Symlink(binary, name); err != nil {
		t.Fatal(err)
	}
	return name
}

// wrong says what is wrong with how a command went.
func (a *outcome) wrong(args []string) (list []string) {
	text, session := a.out.String()+a.told.String(), slices.Contains(args, "--large") // many answers in one
	for what, is := range map[string]bool{
		"panics: " + a.panicked:                                           a.panicked != "",
		fmt.Sprintf("ends with %d", a.code):                               a.code < 0 || a.code > 2,
		"prints what is no number: " + text:                               strings.Contains(text, "NaN") || strings.Contains(text, "Inf") || strings.Contains(text, "%!"),
		fmt.Sprintf("fails with %d bytes printed: %s", a.out.Len(), text): a.code != 0 && (a.out.Len() > 0 && !session || a.told.Len() == 0),
		"prints nothing":                                                  a.code == 0 && a.out.Len() == 0,
		"prints no JSON":                                                  a.code == 0 && args[len(args)-1] == "--json" && !json.Valid(a.out.Bytes()),
		fmt.Sprintf("takes %v", a.work.Round(time.Second/10)):             !session && a.work > mostWork,
		fmt.Sprintf("holds %d MB", a.held>>20):                            !session && a.held > mostHeld,
	} {
		if is {
			list = append(list, what)
		}
	}
	return list
}
