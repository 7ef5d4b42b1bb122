package log

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
)

// TakeIn puts those lines of a log written elsewhere into a log that it has not,
// each at its place in time, and returns how many they were. The lines that were
// there stay as they are, and the file is whole at every moment.
func TakeIn(file string, from []byte) (taken int, faults []Fault, err error) {
	text, err := os.ReadFile(file)
	switch {
	case os.IsNotExist(err):
	case err != nil:
		return 0, nil, err
	default: // where it cannot be written to, it is not replaced either
		f, err := os.OpenFile(file, os.O_WRONLY|os.O_APPEND, 0)
		if err != nil {
			return 0, nil, &lockedError{err}
		}
		f.Close()
	}
	merged, taken, faults := inserted(text, from)
	if taken == 0 || len(faults) > 0 {
		return 0, faults, nil
	}
	return taken, nil, replace(file, merged)
}

// Waiting tells where lines wait that Append could not put into a log; "" when none
// do.
func Waiting(file string) string {
	if i, err := os.Stat(beside(file)); err != nil || !i.Mode().IsRegular() {
		return ""
	}
	return beside(file)
}

// TakeWaiting takes in the lines that wait beside a log, and the file that they
// waited in away; as long as the log cannot be written to, they wait on.
func TakeWaiting(file string) (taken int, faults []Fault, err error) {
	from := Waiting(file)
	if from == "" {
		return 0, nil, nil
	}
	text, err := os.ReadFile(from)
	if err != nil {
		return 0, nil, err
	}
	taken, faults, err = TakeIn(file, text)
	var locked *lockedError
	switch {
	case errors.As(err, &locked):
		return 0, nil, nil
	case err != nil || len(faults) > 0:
		return taken, faults, err
	}
	return taken, nil, os.Remove(from)
}

// replace writes a file beside the old one and puts it in its place.
func replace(file string, text []byte) error {
	f, err := os.CreateTemp(filepath.Dir(file), ".log-*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name()) // nothing is left of it when all goes well
	_, err = f.Write(text)
	for _, step := range []func() error{f.Sync, func() error { return f.Chmod(mode(file)) }, f.Close} {
		if e := step(); err == nil {
			err = e
		}
	}
	if err != nil {
		return err
	}
	return os.Rename(f.Name(), file)
}

func mode(file string) os.FileMode {
	if i, err := os.Stat(file); err == nil {
		return i.Mode().Perm()
	}
	return 0o644
}

// inserted returns a log with those lines of another that it has not, as often as
// it has them less, each after the last line that is not later. Faults are those
// of the other.
func inserted(text, from []byte) (merged []byte, added int, faults []Fault) {
	lines, _, faults := readLines(from)
	if len(faults) > 0 {
		return nil, 0, faults
	}
	style, end := styleOf(text), ""
	if len(text) == 0 {
		text = []byte(style.line(columns))
	} else if last := text[len(text)-1]; last != '\n' && last != '\r' {
		end = style.end
	}
	parts := physical.FindAll(append(slices.Clone(text), end...), -1)
	have, numbers, _ := readLines(text)
	missing := without(lines, have)
	for _, l := range slices.Backward(missing) {
		at := len(parts)
		when, _ := ParseMoment(l.When)
		for i := len(have) - 1; i >= 0; i-- {
			if was, ok := ParseMoment(have[i].When); !ok || !when.Before(was) {
				break
			}
			at = numbers[i] - 1
		}
		at = min(at, len(parts))
		parts = slices.Insert(parts, at, []byte(style.of(l)))
	}
	return bytes.Join(parts, nil), len(missing), nil
}

// physical finds one line of a file with its end.
var physical = regexp.MustCompile(`[^\r\n]*(?:\r\n|\r|\n)`)

// without returns the lines that are not among others, as often as they are more.
func without(lines, others []Line) (missing []Line) {
	seen := map[Line]int{}
	for _, l := range others {
		seen[l.plain()]++
	}
	for _, l := range lines {
		if seen[l.plain()] > 0 {
			seen[l.plain()]--
			continue
		}
		missing = append(missing, l)
	}
	return missing
}

// beside returns the name of the file that takes the lines of a log while it
// cannot be written to.
func beside(file string) string {
	ext := filepath.Ext(file)
	return strings.TrimSuffix(file, ext) + ".added" + ext
}
