// Package sheet reads and writes tables as plain text, the way spreadsheets of
// any country do: cells parted by tabs, semicolons or commas, quotes, a
// byte-order mark, lines ended in any system's way, blank lines and remarks.
package sheet

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"footwork/internal/unit"
)

// Row is one line of a table that says something: its cells without the blanks
// around them and without empty ones at its end.
type Row struct {
	Line  int // of the file, from 1
	Cells []string
}

// Read returns the rows of a table and the rune that parts its cells: what a
// line sep= above the header says, else the first of tab, semicolon and comma
// that the header holds; a header of one column leaves the comma to decimals.
// Blank lines and lines that begin with # are passed over.
func Read(text []byte) (rows []Row, separator rune, faults []unit.Fault) {
	switch {
	case bytes.IndexByte(text, 0) >= 0:
		return nil, ';', []unit.Fault{{Message: "is not plain text", Hint: "save it as CSV in UTF-8"}}
	case !utf8.Valid(text):
		return nil, ';', []unit.Fault{{Message: "is not UTF-8 text", Hint: "save it as UTF-8"}}
	}
	text = bytes.TrimPrefix(text, []byte("\xef\xbb\xbf"))
	text = bytes.ReplaceAll(bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n")), []byte("\r"), []byte("\n"))
	separator, text = parting(text)
	r := csv.NewReader(bytes.NewReader(text))
	r.Comma, r.FieldsPerRecord, r.TrimLeadingSpace = separator, -1, separator != '\t'
	for {
		cells, err := r.Read()
		var bad *csv.ParseError
		switch {
		case err == io.EOF:
			return rows, separator, faults
		case errors.As(err, &bad):
			faults = append(faults, unit.Fault{Line: bad.Line, Message: "has a stray quotation mark"})
			if rows == nil {
				return nil, separator, faults
			}
			continue
		case err != nil:
			panic(err) // memory cannot fail to be read
		}
		if cells = trim(cells); len(cells) > 0 && !strings.HasPrefix(cells[0], "#") {
			line, _ := r.FieldPos(0)
			rows = append(rows, Row{line, cells})
		}
	}
}

// sepLine is how spreadsheets name the separator above the header.
var sepLine = regexp.MustCompile(`(?i)\A"?sep=([\t;,])"?[ \t]*(?:\n|\z)`)

// parting returns what parts the cells, and the text with a line that says so
// made blank.
func parting(text []byte) (rune, []byte) {
	if m := sepLine.FindSubmatch(text); m != nil {
		return rune(m[1][0]), text[len(bytes.TrimRight(m[0], "\n")):]
	}
	for line := range bytes.Lines(text) {
		if bare := bytes.Trim(line, "\"\t;, \n"); len(bare) == 0 || bare[0] == '#' {
			continue
		}
		for _, sep := range "\t;," {
			if bytes.ContainsRune(line, sep) {
				return sep, text
			}
		}
		break
	}
	return ';', text
}

// trim returns cells without blanks around them and without empty ones at the end.
func trim(cells []string) []string {
	for i := range cells {
		cells[i] = strings.TrimSpace(cells[i])
	}
	for len(cells) > 0 && cells[len(cells)-1] == "" {
		cells = cells[:len(cells)-1]
	}
	return cells
}

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
