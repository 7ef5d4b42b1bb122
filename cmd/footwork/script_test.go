package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"runtime"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"footwork": main})
}

// The command line as its users meet it: one script for each thing they do.
func TestScripts(t *testing.T) {
	if testing.Short() {
		t.Skip("a script for each thing people do")
	}
	if signal.Ignored(os.Interrupt) { // as behind nohup: the commands would ignore it too
		signal.Notify(make(chan os.Signal, 1), os.Interrupt)
	}
	testscript.Run(t, testscript.Params{
		Dir: "../../testdata/scripts",
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"append":  appendTo,
			"example": example,
			"exits":   exits,
			"jsonhas": jsonhas,
			"replace": replace,
			"windows": windows,
		},
		Condition: func(cond string) (bool, error) {
			if cond == "bound" { // by the rights of files
				return runtime.GOOS != "windows" && os.Geteuid() != 0, nil
			}
			return false, fmt.Errorf("unknown condition %q", cond)
		},
	})
}

// exits runs a command that must end with a given code: exits CODE COMMAND…
// What fails prints no result.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	var code int
	var ended *exec.ExitError
	if err := ts.Exec(args[1], args[2:]...); errors.As(err, &ended) {
		code = ended.ExitCode()
	} else {
		ts.Check(err)
	}
	if code != want || neg {
		ts.Fatalf("%s ended with %d, not %d", strings.Join(args[1:], " "), code, want)
	}
	if out := ts.ReadFile("stdout"); code != 0 && out != "" {
		ts.Fatalf("a failure printed a result: %s", out)
	}
}

// jsonhas holds a JSON object against paths of keys: jsonhas FILE PATH… In a
// path a[].b every element of a list, which must not be empty, has the rest.
func jsonhas(ts *testscript.TestScript, neg bool, args []string) {
	var v any
	ts.Check(json.Unmarshal([]byte(ts.ReadFile(args[0])), &v))
	for _, path := range args[1:] {
		if err := hasPath(v, strings.Split(path, ".")); (err == nil) == neg {
			ts.Fatalf("%s: %v", path, err)
		}
	}
}

func hasPath(v any, path []string) error {
	if len(path) == 0 {
		return nil
	}
	key, lists := strings.TrimRight(path[0], "[]"), strings.Count(path[0], "[]")
	object, _ := v.(map[string]any) // of anything else no key is found
	v, ok := object[key]
	if !ok {
		return fmt.Errorf("no key %q", key)
	}
	here := []any{v}
	for range lists {
		var within []any
		for _, v := range here {
			list, ok := v.([]any)
			if !ok || len(list) == 0 {
				return fmt.Errorf("%q is no list with something in it", key)
			}
			within = append(within, list...)
		}
		here = within
	}
	for _, v := range here {
		if err := hasPath(v, path[1:]); err != nil {
			return err
		}
	}
	return nil
}

// appendTo writes one file's text at the end of another's: append FILE OTHER.
func appendTo(ts *testscript.TestScript, neg bool, args []string) {
	if len(args) != 2 || neg {
		ts.Fatalf("append FILE OTHER: %q", args)
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(ts.ReadFile(args[0])+"\n"+ts.ReadFile(args[1])), 0o644))
}

// example writes the demo's job and surveys into a folder, or another of the jobs for
// tests: example DIR [JOB]. Nothing is worked out.
func example(ts *testscript.TestScript, neg bool, args []string) {
	switch {
	case len(args) == 1 && !neg:
		ts.Check(writeDemo(ts.MkAbs(args[0])))
	case len(args) == 2 && !neg:
		ts.Check(os.CopyFS(ts.MkAbs(args[0]), os.DirFS("../../testdata/jobs/"+args[1])))
	default:
		ts.Fatalf("example DIR [JOB]: %q", args)
	}
}

// replace writes other text into a file: replace FILE OLD NEW. The old text
// must be there.
func replace(ts *testscript.TestScript, neg bool, args []string) {
	text := ts.ReadFile(args[0])
	if len(args) != 3 || neg || !strings.Contains(text, args[1]) {
		ts.Fatalf("replace FILE OLD NEW: %q", args)
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(strings.ReplaceAll(text, args[1], args[2])), 0o644))
}

// windows saves files as a Windows editor does: with a byte-order mark and two
// signs at the end of a line.
func windows(ts *testscript.TestScript, neg bool, args []string) {
	for _, file := range args {
		text := bytes.ReplaceAll([]byte(ts.ReadFile(file)), []byte("\n"), []byte("\r\n"))
		ts.Check(os.WriteFile(ts.MkAbs(file), append([]byte("\uFEFF"), text...), 0o644))
	}
}
