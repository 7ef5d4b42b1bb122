package log

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"

	"footwork/internal/sheet"
)

// TakeIn puts those lines of a log written elsewhere into a log that it has not,
// each at its place in time, and returns how many they were. The lines that were
// there stay as they are, and the file is whole at every moment. Faults are those
// of the other.
func (f File) TakeIn(from []byte) (taken int, faults []sheet.Fault, err error) {
	text, err := os.ReadFile(string(f))
	if err == nil { // where it cannot be written to, it is not replaced either
		file, err := os.OpenFile(string(f), os.O_WRONLY|os.O_APPEND, 0)
		if err != nil {
			return 0, nil, &lockedError{err}
		}
		file.Close()
	} else if !errors.Is(err, fs.ErrNotExist) {
		return 0, nil, err
	}
	merged, taken, faults := inserted(text, from)
	if taken == 0 || len(faults) > 0 {
		return 0, faults, nil
	}
	return taken, nil, f.replace(merged)
}

// Waiting tells where lines wait that Append could not put into a log; "" when none
// do.
func (f File) Waiting() File {
	if i, err := os.Stat(string(f.beside())); f == "" || err != nil || !i.Mode().IsRegular() {
		return ""
	}
	return f.beside()
}

// TakeWaiting takes in the lines that wait beside a log, and the file that they
// waited in away; as long as the log cannot be written to, they wait on.
func (f File) TakeWaiting() (taken int, faults []sheet.Fault, err error) {
	from := string(f.Waiting())
	if from == "" {
		return 0, nil, nil
	}
	text, err := os.ReadFile(from)
	if err != nil {
		return 0, nil, err
	}
	taken, faults, err = f.TakeIn(text)
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
func (f File) replace(text []byte) error {
	file, err := os.CreateTemp(filepath.Dir(string(f)), ".log-*")
	if err != nil {
		return err
	}
	defer os.Remove(file.Name()) // nothing is left of it when all goes well
	mode := fs.FileMode(0o644)
	if i, err := os.Stat(string(f)); err == nil {
		mode = i.Mode().Perm()
	}
	_, err = file.Write(text)
	if err = errors.Join(err, file.Sync(), file.Chmod(mode), file.Close()); err != nil {
		return err
	}
	return os.Rename(file.Name(), string(f))
}

// inserted returns a log with those lines of another that it has not, as often as
// it has them less, each after the last line that is not later. Faults are those
// of the other.
func inserted(text, from []byte) (merged []byte, added int, faults []sheet.Fault) {
	lines, _, faults := readLines(from)
	if len(faults) > 0 {
		return nil, 0, faults
	}
	style := styleOf(text)
	text = append(slices.Clone(text), style.begin(text)...)
	parts := physical.FindAll(text, -1)
	have, numbers, _ := readLines(text)
	missing := without(lines, have)
	for _, l := range slices.Backward(missing) {
		at := len(parts)
		when, _ := ParseMoment(l.When)
		for i := len(have) - 1; i >= 0; i-- {
			if was, ok := ParseMoment(have[i].When); !ok || !when.before(was) {
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
