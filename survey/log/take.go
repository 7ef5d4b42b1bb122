package log

import (
	"bytes"
	"os"
	"regexp"
	"slices"

	"footwork/internal/sheet"
)

// Waiting tells where lines wait that Append could not put into a log; "" when none
// do.
func (f File) Waiting() File {
	if i, err := os.Stat(string(f.beside())); f == "" || err != nil || !i.Mode().IsRegular() {
		return ""
	}
	return f.beside()
}

// Merged returns a log with those lines of another that it has not, as often as
// it has them less, each after the last line that is not later. What was there keeps its bytes. Faults are
// those of the other.
func Merged(text, from []byte) (merged []byte, added int, faults []sheet.Fault) {
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
