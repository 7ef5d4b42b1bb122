package unit

import (
	"strconv"
	"strings"
)

// longest is how many characters of a user's text a message quotes.
const longest = 60

// Quote returns a text in quotes as a message shows it: cut where it is long,
// and with nothing in it that would steer a terminal.
func Quote(text string) string { return strconv.Quote(cut(text)) }

func cut(text string) string {
	if len(text) <= longest {
		return text
	}
	if runes := []rune(text[:min(len(text), 4*longest)]); len(runes) > longest {
		return string(runes[:longest-1]) + "…"
	}
	return text
}

// Names returns what each of some things is called.
func Names[T any](all []T, of func(T) string) []string {
	out := make([]string, len(all))
	for i, v := range all {
		out[i] = of(v)
	}
	return out
}

// mostNamed is how many names a hint offers.
const mostNamed = 12

// Choices is a hint that names what the job has in place of a name.
func Choices(name string, there []string) string {
	if near := Nearest(name, there); near != "" {
		return "did you mean " + Quote(near) + "?"
	}
	var list []string
	for _, n := range there[:min(len(there), mostNamed)] {
		list = append(list, Quote(n))
	}
	if len(there) > mostNamed {
		list = append(list, "…")
	}
	if len(list) == 0 {
		return "the job has none"
	}
	return "the job has " + strings.Join(list, ", ")
}

// Nearest returns the known word with the fewest slips of the keys, "" when none
// is near.
func Nearest(word string, known []string) string {
	best, least := "", min(len(word), 1+max(1, len(word)/3))
	for _, k := range known {
		if max(len(word)-len(k), len(k)-len(word)) >= least {
			continue // a word so much longer or shorter is never near
		}
		if d := distance(strings.ToLower(word), strings.ToLower(k)); d < least {
			best, least = k, d
		}
	}
	return best
}

// distance is the number of letters added, dropped, changed, or exchanged with the
// next (Damerau and Levenshtein's, each letter touched once).
func distance(a, b string) int {
	before, last, row := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for i := range len(a) + 1 {
		before, last, row = last, row, before
		for j := range row {
			switch {
			case i == 0 || j == 0:
				row[j] = i + j
			case a[i-1] == b[j-1]:
				row[j] = last[j-1]
			case i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1]:
				row[j] = 1 + min(before[j-2], last[j-1], last[j], row[j-1])
			default:
				row[j] = 1 + min(last[j-1], last[j], row[j-1])
			}
		}
	}
	return row[len(b)]
}
