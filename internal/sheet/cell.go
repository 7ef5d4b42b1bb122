package sheet

import (
	"math"
	"strconv"
	"strings"
)

// most is more than any instrument reads in any unit; beyond it a cell is a slip
// of the hand.
const most = 1e9

// minus turns the marks that people write for it into one.
var minus = strings.NewReplacer("−", "-", "–", "-")

// Number returns the value of a cell that holds a figure with a decimal point or
// comma, or what is wrong with it.
func Number(text string) (v float64, complaint string) {
	s := minus.Replace(text)
	switch {
	case strings.Trim(s, "+-.,eE0123456789") != "":
		return 0, "is not a number: write the figure alone, without unit"
	case strings.Count(s, ",") > 1 || strings.Contains(s, ",") && strings.Contains(s, "."):
		return 0, "has two kinds of mark: write it without a mark between thousands"
	}
	v, err := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64)
	switch {
	case math.Abs(v) > most:
		return 0, "is too large for a reading"
	case err != nil:
		return 0, "is not a number"
	}
	return v, ""
}

// Plain returns a cell that no spreadsheet takes for a formula: one that would be
// gets an apostrophe before it, which Bare takes away.
func Plain(cell string) string {
	if _, complaint := Number(cell); complaint != "" && cell != "" && strings.ContainsRune("=+-@\t\r", rune(cell[0])) {
		return "'" + cell
	}
	return cell
}

// Line returns a row as text with one line end, of plain cells, quoted where needed;
// what no text file holds is left out.
func Line(cells []string, separator rune, end string) string {
	out := make([]string, len(cells))
	for i, cell := range cells {
		cell = strings.ToValidUTF8(strings.ReplaceAll(cell, "\x00", ""), "")
		cell = Plain(strings.Join(strings.Fields(cell), " "))
		if strings.ContainsAny(cell, "\"#") || strings.ContainsRune(cell, separator) {
			cell = `"` + strings.ReplaceAll(cell, `"`, `""`) + `"`
		}
		out[i] = cell
	}
	return strings.Join(out, string(separator)) + end
}

// Bare returns a cell as it was before Line kept it from being a formula.
func Bare(cell string) string {
	if len(cell) > 1 && cell[0] == '\'' && strings.ContainsRune("=+-@", rune(cell[1])) {
		return cell[1:]
	}
	return cell
}
