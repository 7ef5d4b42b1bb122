package text

import (
	"strings"

	"footwork/internal/unit"
	"footwork/reports/doc"
)

// grid is a table as words. Columns of words stand left, numbers stand right;
// where the table would be too wide all but single numbers are wrapped.
type grid struct {
	head  []string
	words []bool
	whole []bool
	rows  [][]string
}

// table writes a table under its title.
func (s *sheet) table(t *doc.Table) {
	g := s.grid(t)
	widths := g.widths(s.width)
	lines := wrap(s.words(t.Title), s.width)
	rule := 2 * (len(widths) - 1)
	for _, w := range widths {
		rule += w
	}
	dash := "─"
	if s.ASCII {
		dash = "-"
	}
	lines = append(append(lines, g.lines(g.head, widths, true)...), strings.Repeat(dash, rule))
	for _, r := range g.rows {
		lines = append(lines, g.lines(r, widths, false)...)
	}
	s.part(lines)
}

func (s *sheet) grid(t *doc.Table) *grid {
	g := &grid{}
	even := make([]int, len(t.Head))
	for i, h := range t.Head {
		g.head, g.words = append(g.head, s.words(h)), append(g.words, !t.Numeric(i))
		even[i] = s.decimals(t, i)
		g.whole = append(g.whole, !g.words[i])
	}
	for _, r := range t.Rows {
		cells := make([]string, len(t.Head))
		for i, c := range r {
			cells[i] = s.cell(c, even[i])
			if _, text := c.(doc.Text); text {
				g.whole[i] = false
			}
		}
		g.rows = append(g.rows, cells)
	}
	return g
}

// cell returns what stands in a table; a bare quantity has as many decimals as
// all of its column, so that the points stand under one another.
func (s *sheet) cell(c any, decimals int) string {
	switch v := c.(type) {
	case doc.Quantity:
		if v.Bare && decimals >= 0 {
			d := v.Display(s.Units)
			d.Decimals, d.Trim = decimals, false
			return v.Digits(d)
		}
		return s.words(doc.Text{v})
	case doc.Text:
		return s.words(v)
	}
	return s.words(doc.Text{c})
}

// decimals returns how many decimals the longest number of a column needs, and
// −1 for a column that is not of one kind of number.
func (s *sheet) decimals(t *doc.Table, column int) int {
	var d unit.Display
	most := -1
	for _, r := range t.Rows {
		q, ok := r[column].(doc.Quantity)
		switch {
		case r[column] == "":
			continue
		case !ok || !q.Bare || q.Fine || most >= 0 && q.Display(s.Units) != d:
			return -1
		}
		d = q.Display(s.Units)
		_, decimals, _ := strings.Cut(q.Digits(d), ".")
		most = max(most, len(decimals))
	}
	return most
}

// widths returns the columns of each column within a whole width. Heads are
// parted at their spaces, and then words wrapped, only where it must be.
func (t *grid) widths(whole int) []int {
	widths, sum := t.natural(width)
	if sum > whole {
		widths, sum = t.natural(longest)
	}
	for ; sum > whole; sum-- {
		widest := -1
		for i, w := range widths {
			if !t.whole[i] && w > 6 && (widest < 0 || w > widths[widest]) {
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
func (t *grid) natural(head func(string) int) (widths []int, sum int) {
	sum = 2 * (len(t.head) - 1)
	for i, h := range t.head {
		w := head(h)
		for _, r := range t.rows {
			w = max(w, width(r[i]))
		}
		widths, sum = append(widths, w), sum+w
	}
	return widths, sum
}

// longest returns the width of the longest word.
func longest(s string) int {
	w := 0
	for _, word := range strings.Split(s, " ") {
		w = max(w, width(word))
	}
	return w
}

// lines returns one row in as many lines as its longest cell needs; a head
// stands on its lowest line.
func (t *grid) lines(cells []string, widths []int, low bool) []string {
	wrapped := make([][]string, len(cells))
	n := 0
	for i, c := range cells {
		wrapped[i] = wrap(c, widths[i])
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
			pad := strings.Repeat(" ", max(0, widths[i]-width(text)))
			if t.words[i] {
				out[k] += text + pad
			} else {
				out[k] += pad + text
			}
		}
		out[k] = strings.TrimRight(out[k], " ")
	}
	return out
}
