// Package sheet reads and writes tables as plain text, the way spreadsheets of
// any country do: cells parted by tabs, semicolons or commas, quotes, a
// byte-order mark, lines ended in any system's way, blank lines and remarks.
package sheet

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"regexp"
	"strings"
	"unicode/utf8"
)

// Row is one line of a table that says something: its cells without the blanks
// around them and without empty ones at its end.
type Row struct {
	Line  int // of the file, from 1
	Cells []string
}

// Fault is one thing wrong with a table, and how to write it right.
type Fault struct {
	Line          int    // of the file, from 1; 0: the file as a whole
	Column        string // name of the column; "" the line as a whole
	Message, Hint string
}

// Read returns the rows of a table and the rune that parts its cells: what a
// line sep= above the header says, else the first of tab, semicolon and comma
// that the header holds; a header of one column leaves the comma to decimals.
// Blank lines and lines that begin with # are passed over.
func Read(text []byte) (rows []Row, separator rune, faults []Fault) {
	switch {
	case bytes.IndexByte(text, 0) >= 0:
		return nil, ';', []Fault{{Message: "is not plain text", Hint: "save it as CSV in UTF-8"}}
	case !utf8.Valid(text):
		return nil, ';', []Fault{{Message: "is not UTF-8 text", Hint: "save it as UTF-8"}}
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
			faults = append(faults, Fault{Line: bad.Line, Message: "has a stray quotation mark"})
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
