// Package text lays documents out for a terminal: paragraphs, aligned tables and
// plots in at most eighty columns.
package text

import (
	"fmt"
	"io"
	"strings"
	"unicode"

	"footwork/internal/unit"
	"footwork/reports/doc"
)

// Options says how a document is shown.
type Options struct {
	Units  unit.System
	Width  int  // columns, kept between 60 and 80; 0: 80
	Colour bool // ANSI colours
	ASCII  bool // plots in ASCII marks, for fonts without braille dots
}

// Write writes a document: of each section its answer in a sentence, then its
// plots, tables and paragraphs.
func Write(w io.Writer, d doc.Document, o Options) error {
	if o.Width == 0 {
		o.Width = 80
	}
	s := &sheet{Options: o, width: min(max(o.Width, 60), 80)}
	for _, section := range d.Sections {
		s.answer(section.Answer)
		for _, b := range section.Blocks {
			s.block(b)
		}
	}
	_, err := io.WriteString(w, spaces(s.b.String()))
	return err
}

// spaces returns finished text with plain spaces for the no-break ones, which
// are for wrapping, and plain minus signs: nobody finds "−4 µm" by "-4 µm".
func spaces(s string) string { return strings.NewReplacer("\u00a0", " ", "−", "-").Replace(s) }

// Wrap returns a text in lines of at most width columns, as Write would.
func Wrap(s string, width int) []string {
	lines := wrap(s, width)
	for i := range lines {
		lines[i] = spaces(lines[i])
	}
	return lines
}

// sheet is text being written, in parts with an empty line between them.
type sheet struct {
	Options
	width int
	b     strings.Builder
}

func (s *sheet) part(lines []string) {
	if len(lines) == 0 {
		return
	}
	if s.b.Len() > 0 {
		s.b.WriteByte('\n')
	}
	for _, l := range lines {
		s.b.WriteString(strings.TrimRight(l, " \u00a0") + "\n")
	}
}

// block writes a part of a section; what can only be drawn is left out.
func (s *sheet) block(b doc.Block) {
	switch v := b.(type) {
	case doc.Text:
		s.part(wrap(s.words(v), s.width))
	case doc.Caution:
		s.part(wrap("Take care. "+v.Words, s.width))
	case doc.List:
		s.list(v)
	case doc.Lines:
		s.copied(v)
	case *doc.Table:
		s.table(v)
	case *doc.Curves:
		s.plot(v)
	}
}

// copied writes lines of a file, whole where they have room.
func (s *sheet) copied(l doc.Lines) {
	var lines []string
	for _, line := range l {
		for _, part := range wrap(clean(line), s.width-4) {
			lines = append(lines, "    "+part)
		}
	}
	s.part(lines)
}

// answer writes the sentence that answers the question.
func (s *sheet) answer(t doc.Text) {
	lines := wrap(s.words(t), s.width)
	if s.Colour {
		for i := range lines {
			lines[i] = "\x1b[1m" + lines[i] + "\x1b[0m"
		}
	}
	s.part(lines)
}

// words returns a text as one line.
func (s *sheet) words(t doc.Text) string { return clean(t.In(s.Units)) }

func (s *sheet) list(l doc.List) {
	lines := wrap(clean(l.Title), s.width)
	if l.Title == "" {
		lines = nil
	}
	for i, item := range l.Items {
		mark := "  - "
		if l.Numbered {
			mark = fmt.Sprintf("%2d. ", i+1)
		}
		for _, line := range wrap(s.words(item), s.width-4) {
			lines, mark = append(lines, mark+line), "    "
		}
	}
	s.part(lines)
}

// clean returns a text in one line without control characters: names come from
// files.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) && r != '\u00a0' || !unicode.IsPrint(r) && r != '\u00a0' {
			return ' '
		}
		return r
	}, s)
}
