package reports

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"unicode"

	"footwork/beam"
	"footwork/internal/unit"
)

// View is an answer that people and programs read.
type View interface {
	textOn(*textSheet)
	curves() csvTable
}

// TextOptions says how an answer is shown to a person.
type TextOptions struct {
	Units  unit.System
	Width  int  // columns, kept between 60 and 80; 0: 80
	Colour bool // ANSI colours
	ASCII  bool // plots in ASCII marks, for fonts without braille dots
}

// WriteText writes an answer for people: what it says in a sentence, a plot, the
// tables. Warnings are not among it. Errors are those of WriteJSON.
func WriteText(w io.Writer, v View, o TextOptions) error {
	if err := checkFinite(v); err != nil {
		return err
	}
	if o.Width == 0 {
		o.Width = 80
	}
	s := &textSheet{TextOptions: o, width: min(max(o.Width, 60), 80)}
	v.textOn(s)
	_, err := io.WriteString(w, textSpaces(s.b.String()))
	return err
}

// textSpaces returns finished text with plain spaces for the no-break ones: they
// are for wrapping, and nobody finds "4 µm" by them.
func textSpaces(s string) string { return strings.ReplaceAll(s, "\u00a0", " ") }

// Wrap returns a text in lines of at most width columns, as WriteText would.
func Wrap(s string, width int) []string {
	lines := textWrap(s, width)
	for i := range lines {
		lines[i] = textSpaces(lines[i])
	}
	return lines
}

// textSheet is text being written, in parts with an empty line between them.
type textSheet struct {
	TextOptions
	width int
	b     strings.Builder
}

func (s *textSheet) part(lines []string) {
	if len(lines) == 0 {
		return
	}
	if s.b.Len() > 0 {
		s.b.WriteByte('\n')
	}
	for _, l := range lines {
		s.b.WriteString(strings.TrimRight(l, " ") + "\n")
	}
}

// say writes a paragraph.
func (s *textSheet) say(format string, a ...any) {
	s.part(textWrap(fmt.Sprintf(format, a...), s.width))
}

// answer writes the sentence that answers the question.
func (s *textSheet) answer(format string, a ...any) {
	lines := textWrap(fmt.Sprintf(format, a...), s.width)
	if s.Colour {
		for i := range lines {
			lines[i] = "\x1b[1m" + lines[i] + "\x1b[0m"
		}
	}
	s.part(lines)
}

// plot draws curves of heights along the bed, with the feet under them.
func (s *textSheet) plot(p plot) {
	p.ascii, p.colour = s.ASCII, s.Colour
	if p.y == (unit.Display{}) {
		p.y = s.Units.Height()
	}
	p.x = s.Units.Length()
	s.part(p.lines(s.width))
}

// height and the others return quantities with their units, as in a sentence.
func (s *textSheet) height(v float64) string { return textQuantity(s.Units.Height(), v) }
func (s *textSheet) length(v float64) string { return textQuantity(s.Units.Length(), v) }
func (s *textSheet) force(v float64) string  { return textQuantity(s.Units.Force(v), v) }

// give returns twice a standard uncertainty with its sign, "± 0.8 µm": about 95 %.
func (s *textSheet) give(sigma float64) string {
	return "±\u00a0" + textQuantity(s.Units.Height().Fine(2*sigma), 2*sigma)
}

// textSpread returns twice a standard uncertainty for a column.
func textSpread(d unit.Display, sigma float64) string { return textNumber(d.Fine(2*sigma), 2*sigma) }

// where returns about where a shape is highest and lowest above the line through
// its ends, and nothing for one that is straight to the digits shown.
func (s *textSheet) where(x, y []float64) string {
	var high, low int
	d := beam.Shape{X: x, Y: y}.AboutEnds()
	for i := range d.Y {
		if d.Y[i] > d.Y[high] {
			high = i
		}
		if d.Y[i] < d.Y[low] {
			low = i
		}
	}
	if len(x) == 0 || d.Y[high]-d.Y[low] < 2*textDigit(s.Units.Height()) {
		return ""
	}
	place := s.Units.Length()
	place.Decimals--
	return fmt.Sprintf(" (high at %s, low at %s)", textQuantity(place, x[high]), textQuantity(place, x[low]))
}

// textQuantity returns a number and its unit, never parted at the end of a line.
func textQuantity(d unit.Display, v float64) string { return textNumber(d, v) + "\u00a0" + d.Unit }

// textDigit returns the SI value of the last digit shown.
func textDigit(d unit.Display) float64 { return d.One * math.Pow10(-d.Decimals) }

// textNumber returns a number that fits a column, however large it is.
func textNumber(d unit.Display, v float64) string {
	if n := d.Number(v); len(n) <= 9 {
		return n
	}
	return strconv.FormatFloat(d.Value(v), 'g', 3, 64)
}

// textEven returns d with as many decimals for all of a column as its longest
// number needs, so that the points stand under one another.
func textEven(d unit.Display, column []float64) unit.Display {
	most := 0
	for _, v := range column {
		if _, decimals, ok := strings.Cut(d.Number(v), "."); ok {
			most = max(most, len(decimals))
		}
	}
	d.Decimals, d.Trim = most, false
	return d
}

// textLoads goes with loads of feet; common practice, no source.
const textLoads = "The loads are estimates: a competent person checks foot and floor loads under the local rules."

// textName returns a name from the job in quotes.
func textName(s string) string { return "“" + textClean(s) + "”" }

// textClean returns a name from the job in one line without control characters.
func textClean(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || !unicode.IsPrint(r) {
			return ' '
		}
		return r
	}, s)
}

// textShort returns a cleaned name cut to a number of columns.
func textShort(s string, most int) string {
	s = textClean(s)
	if textWidth(s) <= most {
		return s
	}
	head, _ := textCut(s, most-1)
	return head + "…"
}

// textWidth returns how many columns a terminal gives to s; colours take none.
func textWidth(s string) int {
	n, escape := 0, false
	for _, r := range s {
		switch {
		case r == '\x1b':
			escape = true
		case escape:
			escape = r != 'm'
		default:
			n += textRune(r)
		}
	}
	return n
}

// textRune returns the columns of one character: none for marks that sit on the
// one before, two for the wide ones of Unicode Standard Annex 11 (the blocks
// that are wide as a whole).
func textRune(r rune) int {
	switch {
	case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		return 0
	case r >= 0x1100 && r <= 0x115f, r >= 0x2e80 && r <= 0x303e, r >= 0x3041 && r <= 0xa4cf,
		r >= 0xac00 && r <= 0xd7a3, r >= 0xf900 && r <= 0xfaff, r >= 0xfe30 && r <= 0xfe6f,
		r >= 0xff00 && r <= 0xff60, r >= 0xffe0 && r <= 0xffe6, r >= 0x1f300 && r <= 0x1faff, r >= 0x20000:
		return 2
	}
	return 1
}

// textCut returns the head of s that fits a number of columns (one character at
// the least), and the rest.
func textCut(s string, columns int) (string, string) {
	n := 0
	for i, r := range s {
		if n += textRune(r); n > columns && i > 0 {
			return s[:i], s[i:]
		}
	}
	return s, ""
}

// textWrap returns s in lines of at most width columns, parted at spaces and,
// where a word is longer than a line, within it.
func textWrap(s string, width int) []string {
	var lines []string
	line, n := "", 0
	for _, word := range strings.Split(s, " ") {
		w := textWidth(word)
		if line != "" && n+1+w > width {
			lines, line, n = append(lines, line), "", 0
		}
		if line != "" {
			line, n = line+" ", n+1
		}
		for w > width {
			head, rest := textCut(word, width)
			lines, word, w = append(lines, head), rest, textWidth(rest)
		}
		line, n = line+word, n+w
	}
	return append(lines, line)
}

// textShare returns a ratio in percent.
func textShare(v float64) string {
	if math.Abs(v) > 1e4 {
		return strconv.FormatFloat(100*v, 'g', 3, 64) + "\u00a0%"
	}
	return fmt.Sprintf("%.0f\u00a0%%", 100*v)
}
