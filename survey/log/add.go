package log

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"footwork/internal/sheet"
	"footwork/internal/unit"
)

// File is the name of a log on the disk.
type File string

// Append adds lines to the end of a log, each in one write of a whole line that
// is on the disk before the next begins; it writes nothing else, and begins a
// new file with the header row. The marks between cells and the line ends are
// those of the file; a last line without an end gets one first. Where the file
// cannot be opened for writing, as when a spreadsheet holds it, the lines go
// beside it. It returns the file that they went to, and how many are in it.
func (f File) Append(lines ...Line) (to File, written int, err error) {
	to, file, err := f.open()
	if err != nil {
		return to, 0, err
	}
	defer func() { err = errors.Join(err, file.Close()) }()
	text, err := io.ReadAll(file)
	if err != nil {
		return to, 0, err
	}
	model := text
	if len(text) == 0 && to != f {
		model, _ = os.ReadFile(string(f)) // without it, as a new log
	}
	style := styleOf(model)
	if begin := style.begin(text); begin != "" {
		err = put(file, begin)
	}
	for ; written < len(lines) && err == nil; written++ {
		if err = put(file, style.of(lines[written])); err != nil {
			break
		}
	}
	return to, written, err
}

// open opens a log to add to it, or what is beside it where it is there and cannot be.
func (f File) open() (to File, file *os.File, err error) {
	for _, to = range []File{f, f.beside()} {
		if i, err := os.Stat(string(to)); err == nil && !i.Mode().IsRegular() {
			return to, nil, fmt.Errorf("%s is no file", to)
		}
		file, err = os.OpenFile(string(to), os.O_RDWR|os.O_CREATE|os.O_APPEND, 0o644)
		if _, lost := os.Stat(string(to)); err == nil || lost != nil {
			break
		}
	}
	return to, file, err
}

// beside is the file that takes the lines of a log while it cannot be written to.
func (f File) beside() File {
	ext := filepath.Ext(string(f))
	return File(strings.TrimSuffix(string(f), ext) + ".added" + ext)
}

// put writes a whole line and waits until it is on the disk. What part of a line
// was written when the disk was full is taken back.
func put(f *os.File, text string) error {
	size, err := f.Seek(0, io.SeekEnd)
	if err != nil {
		return err
	}
	if n, err := f.WriteString(text); err != nil {
		if n > 0 {
			err = errors.Join(err, f.Truncate(size))
		}
		return err
	}
	return f.Sync()
}

// style is how a log's lines are written.
type style struct {
	separator rune
	end       string
	order     []int // where each of our columns stands
	width     int
}

// styleOf returns the style of a log; without a header that can be read, ours.
func styleOf(text []byte) style {
	s := style{',', "\n", []int{0, 1, 2, 3, 4}, 5}
	rows, separator, _ := sheet.Read(text)
	if len(rows) == 0 {
		return s
	}
	switch {
	case bytes.Contains(text, []byte("\r\n")):
		s.end = "\r\n"
	case bytes.Contains(text, []byte("\r")):
		s.end = "\r"
	}
	if of, faults := header(rows[0]); len(faults) == 0 {
		s.separator, s.order, s.width = separator, of, len(rows[0].Cells)
	}
	return s
}

func (s style) line(cells []string) string { return sheet.Line(cells, s.separator, s.end) }

func (s style) of(l Line) string {
	cells := make([]string, s.width)
	for k, text := range []string{l.When, l.What, l.Where, l.Value, l.Note} {
		if i := s.order[k]; i >= 0 {
			cells[i] = text
		}
	}
	return s.line(cells)
}

// begin returns what a log lacks before a line can be added: the header row, or
// the end of its last line.
func (s style) begin(text []byte) string {
	switch n := len(text); {
	case n == 0:
		return s.line(columns)
	case text[n-1] != '\n' && text[n-1] != '\r':
		return s.end
	}
	return ""
}

// Text is a log of such lines alone.
func Text(lines ...Line) []byte {
	style := styleOf(nil)
	text := style.begin(nil)
	for _, l := range lines {
		text += style.of(l)
	}
	return []byte(text)
}

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
func Merged(text, from []byte) (merged []byte, added int, faults []unit.Fault) {
	lines, _, faults := readLines(from)
	if len(faults) > 0 {
		return nil, 0, faults
	}
	style := styleOf(text)
	text = append(slices.Clone(text), style.begin(text)...)
	parts := physical.FindAll(text, -1)
	have, numbers, _ := readLines(text)
	missing, end := without(lines, have), len(parts)
	for _, l := range slices.Backward(missing) { // so each stands before those that came after it
		at := end
		when, _ := ParseMoment(l.When)
		for i := len(have) - 1; i >= 0; i-- {
			if was, ok := ParseMoment(have[i].When); !ok || !when.before(was) {
				break
			}
			at = numbers[i] - 1
		}
		parts = slices.Insert(parts, min(at, end), []byte(style.of(l)))
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
