package reports

import (
	"fmt"
	"slices"
	"strings"
)

// textTable is rows under a head. Columns of words stand left and are wrapped
// where the table would be too wide; numbers stand right and stay whole.
type textTable struct {
	head  []string
	words []bool
	rows  [][]string
}

// newTextTable returns a table; the head of a column of words begins with "<".
func newTextTable(head ...string) *textTable {
	t := &textTable{}
	for _, h := range head {
		bare := strings.TrimPrefix(h, "<")
		t.head, t.words = append(t.head, bare), append(t.words, bare != h)
	}
	return t
}

// add adds a row of cleaned cells.
func (t *textTable) add(cells ...string) { t.rows = append(t.rows, cells) }

// drop takes a column out.
func (t *textTable) drop(column int) {
	t.head, t.words = slices.Delete(t.head, column, column+1), slices.Delete(t.words, column, column+1)
	for i := range t.rows {
		t.rows[i] = slices.Delete(t.rows[i], column, column+1)
	}
}

// list writes sentences with their numbers under a title.
func (s *textSheet) list(title string, sentences []string) {
	if len(sentences) == 0 {
		return
	}
	lines := textWrap(title, s.width)
	for i, one := range sentences {
		for k, l := range textWrap(textClean(one), s.width-4) {
			mark := "    "
			if k == 0 {
				mark = fmt.Sprintf("%2d. ", i+1)
			}
			lines = append(lines, mark+l)
		}
	}
	s.part(lines)
}

// table writes a table under its title, and nothing when it has no rows.
func (s *textSheet) table(title string, t *textTable) {
	if len(t.rows) == 0 {
		return
	}
	widths := t.widths(s.width)
	var lines []string
	if title != "" {
		lines = textWrap(title, s.width)
	}
	head := t.lines(t.head, widths, true)
	rule := 2 * (len(widths) - 1)
	for _, w := range widths {
		rule += w
	}
	dash := "─"
	if s.ASCII {
		dash = "-"
	}
	lines = append(append(lines, head...), strings.Repeat(dash, rule))
	for _, r := range t.rows {
		lines = append(lines, t.lines(r, widths, false)...)
	}
	s.part(lines)
}

// widths returns the columns of each column within a whole width. Heads are
// parted at their spaces, and then words wrapped, only where it must be.
func (t *textTable) widths(whole int) []int {
	widths, sum := t.natural(textWidth)
	if sum > whole {
		widths, sum = t.natural(textLongest)
	}
	for ; sum > whole; sum-- {
		widest := -1
		for i, w := range widths {
			if t.words[i] && w > 8 && (widest < 0 || w > widths[widest]) {
				widest = i
			}
		}
		if widest < 0 {
			break
		}
		widths[widest]--
	}
	return widths
}

// natural returns the columns that cells and heads need, and their sum with the gaps.
func (t *textTable) natural(head func(string) int) (widths []int, sum int) {
	sum = 2 * (len(t.head) - 1)
	for i, h := range t.head {
		w := head(h)
		for _, r := range t.rows {
			w = max(w, textWidth(r[i]))
		}
		widths, sum = append(widths, w), sum+w
	}
	return widths, sum
}

// textLongest returns the width of the longest word.
func textLongest(s string) int {
	w := 0
	for _, word := range strings.Split(s, " ") {
		w = max(w, textWidth(word))
	}
	return w
}

// lines returns one row in as many lines as its longest cell needs; a head
// stands on its lowest line.
func (t *textTable) lines(cells []string, widths []int, low bool) []string {
	wrapped := make([][]string, len(cells))
	n := 0
	for i, c := range cells {
		wrapped[i] = textWrap(c, widths[i])
		n = max(n, len(wrapped[i]))
	}
	out := make([]string, n)
	for k := range out {
		for i, cell := range wrapped {
			if i > 0 {
				out[k] += "  "
			}
			at, text := k, ""
			if low {
				at = k - (n - len(cell))
			}
			if at >= 0 && at < len(cell) {
				text = cell[at]
			}
			pad := strings.Repeat(" ", max(0, widths[i]-textWidth(text)))
			if t.words[i] {
				out[k] += text + pad
			} else {
				out[k] += pad + text
			}
		}
	}
	return out
}
