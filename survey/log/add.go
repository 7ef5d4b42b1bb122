package log

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"

	"footwork/internal/sheet"
)

// Append adds lines to the end of a log, each in one write of a whole line that
// is on the disk before the next begins; it writes nothing else, and begins a
// new file with the header row. The marks between cells and the line ends are
// those of the file; a last line without an end gets one first. Where the file
// cannot be opened for writing, as when a spreadsheet holds it, the lines go to
// beside(file). It returns the file that they went to, and how many are in it.
func Append(file string, lines ...Line) (to string, written int, err error) {
	written, err = appendTo(file, file, lines)
	var locked *lockedError
	if !errors.As(err, &locked) {
		return file, written, err
	}
	beside := beside(file)
	written, err = appendTo(beside, file, lines)
	return beside, written, err
}

// lockedError is a file that is there and cannot be opened for writing.
type lockedError struct{ error }

// appendTo adds lines to a file that looks like another, which may be the same.
func appendTo(file, like string, lines []Line) (written int, err error) {
	if i, err := os.Stat(file); err == nil && !i.Mode().IsRegular() {
		return 0, fmt.Errorf("%s is no file", file)
	}
	f, err := os.OpenFile(file, os.O_RDWR|os.O_CREATE|os.O_APPEND, 0o644)
	if err != nil {
		if _, there := os.Stat(file); there == nil {
			return 0, &lockedError{err}
		}
		return 0, err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	text, err := io.ReadAll(f)
	if err != nil {
		return 0, err
	}
	model := text
	if len(text) == 0 && file != like {
		model, _ = os.ReadFile(like) // without it, as a new log
	}
	style := styleOf(model)
	if len(text) == 0 {
		err = put(f, style.line(columns))
	} else if last := text[len(text)-1]; last != '\n' && last != '\r' {
		err = put(f, style.end)
	}
	for i := 0; i < len(lines) && err == nil; i++ {
		if err = put(f, style.of(lines[i])); err == nil {
			written++
		}
	}
	return written, err
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
