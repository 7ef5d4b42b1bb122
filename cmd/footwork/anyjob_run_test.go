package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"strconv"
	"strings"
	"testing"
	"time"
)

// Whatever the job, no command panics, prints what is no number, ends with another
// code than 0, 1 or 2, or changes a file that it reads. In every run forty jobs are
// asked what is quick, and those among them that are small anything; FOOTWORK_TRIAL=jobs
// asks ten thousand jobs anything, FOOTWORK_TRIAL=jobs:N,M those from N to M.
func TestAnyJob(t *testing.T) {
	if testing.Short() {
		t.Skip("random jobs take their time")
	}
	from, to, all := uint64(0), uint64(40), false
	if trial, ok := strings.CutPrefix(os.Getenv("FOOTWORK_TRIAL"), "jobs"); ok {
		from, to, all = 0, 10_000, true
		if first, last, given := strings.Cut(strings.TrimPrefix(trial, ":"), ","); given {
			from, _ = strconv.ParseUint(first, 10, 64)
			to, _ = strconv.ParseUint(last, 10, 64)
		}
	}
	codes := map[string]int{}
	for seed := from; seed < to; seed++ {
		dir := t.TempDir()
		files := jobOf(seed)
		for name, text := range files {
			if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		of := quick
		if job := files["job.toml"]; all || strings.Count(job, "[[survey]]") < 2 && strings.Count(job, "[[standing.foot]]") < 7 {
			of = slow
		}
		args := anyCommand(rand.New(rand.NewPCG(seed, 8)), of, filepath.Join(dir, "job.toml"))
		codes[fmt.Sprintf("%s %d", args[0], tried(t, seed, args))]++
		for name, text := range files {
			if now, err := os.ReadFile(filepath.Join(dir, name)); err != nil || string(now) != text {
				t.Errorf("job %d: %s was changed", seed, name)
			}
		}
	}
	t.Log(codes)
}

// quick are the commands that answer at once of a bed as drawn; slow are all of them.
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
		return append(args, "--next", "--dry-run")
	}
	if name != "check" && name != "report" {
		args = append(args, [][]string{nil, {"--json"}, {"--csv"}, {"--units", "inch"}}[choose.IntN(4)]...)
	}
	return args
}

// tried runs one command and says what is wrong with how it went.
func tried(t *testing.T, seed uint64, args []string) (code int) {
	defer func() {
		if r := recover(); r != nil {
			t.Errorf("job %d: %v panics: %v\n%s", seed, args, r, debug.Stack())
			code = -1
		}
	}()
	var out, told bytes.Buffer
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	start := time.Now()
	code = run(args, &out, &told)
	runtime.ReadMemStats(&after)
	if took := time.Since(start); took > 10*time.Second {
		t.Logf("job %d: %v took %v", seed, args, took.Round(time.Second))
	}
	if grown := int64(after.HeapSys) - int64(before.HeapSys); grown > 200<<20 {
		t.Logf("job %d: %v took %d MB", seed, args, grown>>20)
	}
	switch text := out.String() + told.String(); {
	case code < 0 || code > 2:
		t.Errorf("job %d: %v ends with %d", seed, args, code)
	case strings.Contains(text, "NaN"), strings.Contains(text, "Inf"), strings.Contains(text, "%!"):
		t.Errorf("job %d: %v prints what is no number:\n%s", seed, args, text)
	case code != 0 && (out.Len() > 0 || told.Len() == 0), code == 0 && out.Len() == 0:
		t.Errorf("job %d: %v ends with %d and prints %d bytes, %d beside: %.300s", seed, args, code, out.Len(), told.Len(), told.String())
	case code == 0 && args[len(args)-1] == "--json" && !json.Valid(out.Bytes()):
		t.Errorf("job %d: %v prints no JSON", seed, args)
	}
	return code
}
