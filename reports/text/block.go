package text

import "strings"

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
