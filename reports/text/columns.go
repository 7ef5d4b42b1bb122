package text

import (
	"strings"
	"unicode"

	eastasian "golang.org/x/text/width"
)

// short returns a cleaned name cut to a number of columns.
func short(s string, most int) string {
	s = clean(s)
	if width(s) <= most {
		return s
	}
	head, _ := cut(s, most-1)
	return head + "…"
}

// width returns how many columns a terminal gives to s; colours take none.
func width(s string) int {
	n, escape := 0, false
	for _, r := range s {
		switch {
		case r == '\x1b':
			escape = true
		case escape:
			escape = r != 'm'
		default:
			n += runeWidth(r)
		}
	}
	return n
}

// runeWidth returns the columns of one character: none for marks that sit on the
// one before, two for the wide ones of Unicode Standard Annex 11.
func runeWidth(r rune) int {
	switch kind := eastasian.LookupRune(r).Kind(); {
	case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		return 0
	case kind == eastasian.EastAsianWide, kind == eastasian.EastAsianFullwidth:
		return 2
	}
	return 1
}

// cut returns the head of s that fits a number of columns (one character at
// the least), and the rest.
func cut(s string, columns int) (string, string) {
	n := 0
	for i, r := range s {
		if n += runeWidth(r); n > columns && i > 0 {
			return s[:i], s[i:]
		}
	}
	return s, ""
}

// wrap returns s in lines of at most so many columns, parted at spaces and,
// where a word is longer than a line, within it.
func wrap(s string, most int) []string {
	var lines []string
	line, n := "", 0
	for _, word := range strings.Split(s, " ") {
		w := width(word)
		if line != "" && n+1+w > most {
			lines, line, n = append(lines, line), "", 0
		}
		if line != "" {
			line, n = line+" ", n+1
		}
		for w > most {
			head, rest := cut(word, most)
			lines, word, w = append(lines, head), rest, width(rest)
		}
		line, n = line+word, n+w
	}
	return append(lines, line)
}

// figures are drawn on five rows.
var figures = map[rune][5]string{
	'0': {"███", "█ █", "█ █", "█ █", "███"}, '1': {" █ ", "██ ", " █ ", " █ ", "███"},
	'2': {"███", "  █", "███", "█  ", "███"}, '3': {"███", "  █", "███", "  █", "███"},
	'4': {"█ █", "█ █", "███", "  █", "  █"}, '5': {"███", "█  ", "███", "  █", "███"},
	'6': {"███", "█  ", "███", "█ █", "███"}, '7': {"███", "  █", "  █", " █ ", " █ "},
	'8': {"███", "█ █", "███", "█ █", "███"}, '9': {"███", "█ █", "███", "  █", "███"},
	'−': {"   ", "   ", "███", "   ", "   "}, '+': {"   ", " █ ", "███", " █ ", "   "},
	'.': {" ", " ", " ", " ", "█"}, '′': {"█", "█", " ", " ", " "}, '″': {"█ █", "█ █", "   ", "   ", "   "}, '°': {"██", "██", "  ", "  ", "  "},
}

// Block writes the figures of a text in blocks, to be read from far; what is no figure
// stands beside them as it is.
func Block(words string) string {
	var rows [5]strings.Builder
	var rest strings.Builder
	for _, r := range words {
		f, ok := figures[r]
		if !ok {
			rest.WriteRune(r)
			continue
		}
		for i := range rows {
			rows[i].WriteString(f[i] + " ")
		}
	}
	out := ""
	for i := range rows {
		line := "  " + rows[i].String()
		if i == 4 {
			line += clean(rest.String())
		}
		out += strings.TrimRight(line, " ") + "\n"
	}
	return out
}
