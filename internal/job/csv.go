package job

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"unicode"

	"footwork/internal/unit"
	"footwork/survey"
)

// How much of a CSV is ever read: more than a person measures or writes down.
const (
	mostRows    = 5000
	mostLines   = 2 * mostRows // with blank ones and remarks
	mostColumns = 64
)

// pathHint goes with a Windows path: \U and \f are signs of their own in TOML.
const pathHint = `in "…" a \ begins a sign of its own: write paths with / or in single quotes`

// readings takes those of a survey from its CSV, which named is told of where it cannot be
// opened; false when it could not be read.
func (b *builder) readings(s *survey.Survey, file, key string, named complaint) bool {
	data, ok := b.opened(file, key, named)
	if ok {
		s.Readings, ok = b.taken(s, file, readGrid(data, s.XScale))
	}
	return ok
}

// complaint reports what is wrong at a key or column.
type complaint func(key, hint, message string, args ...any)

// inFile complains of a line of a file beside the job's, 0: of the file as a whole.
func (b *builder) inFile(file string, line int) complaint {
	return func(column, hint, message string, args ...any) {
		b.add(unit.Fault{File: file, Line: line, Key: column, Message: fmt.Sprintf(message, args...), Hint: hint})
	}
}

// opened returns the content of a file; ok is false when it cannot be read, which the
// one who names it by a key is told.
func (b *builder) opened(file, key string, named complaint) (data []byte, ok bool) {
	data, err := b.open(file)
	if err != nil {
		named(key, whereTo(file, err), "%s cannot be read: %v", unit.Quote(file), err)
		return nil, false
	}
	if line, message := tooLong(data); message != "" {
		b.inFile(file, line)("", "keep what is of this survey or log alone", "%s", message)
		return nil, false
	}
	return data, true
}

// whereTo says what to do about a file that cannot be opened.
func whereTo(file string, err error) string {
	switch {
	case strings.ContainsFunc(file, unicode.IsControl):
		return pathHint
	case errors.Is(err, fs.ErrNotExist):
		return "put the file beside the job file, or correct its name"
	}
	return ""
}

// taken takes the readings of a grid as those of a survey.
func (b *builder) taken(s *survey.Survey, file string, t *grid) (survey.Readings, bool) {
	if len(t.faults) == 0 && s.Instrument != "" && s.Scale > 0 {
		t.agrees(s)
	}
	if b.inSheet(file, t.faults); len(t.faults) > 0 {
		return survey.Readings{}, false
	}
	return t.readings(), true
}

// inSheet reports what is wrong in a CSV.
func (b *builder) inSheet(file string, faults []unit.Fault) {
	for i := range faults {
		faults[i].File = file
	}
	b.add(faults...)
}

// tooLong tells what is too much of a CSV to be read at all, before it is.
func tooLong(data []byte) (line int, message string) {
	if n := max(bytes.Count(data, []byte("\n")), bytes.Count(data, []byte("\r"))); n > mostLines {
		return 0, fmt.Sprintf("has %d lines; %d rows at most can be taken", n, mostRows)
	}
	for text := range bytes.Lines(data) {
		line++
		for _, mark := range "\t;," {
			if n := 1 + bytes.Count(text, []byte(string(mark))); n > mostColumns {
				return line, fmt.Sprintf("has %d columns; %d at most can be taken", n, mostColumns)
			}
		}
	}
	return 0, ""
}
