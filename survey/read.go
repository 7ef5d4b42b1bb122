package survey

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// CellFault is one thing wrong with a survey's CSV and how to put it right.
type CellFault struct {
	Line    int    // of the file, from 1; 0: the file as a whole
	Column  int    // of the table, from 1; 0: the line as a whole
	Header  string // name of the column, "" without one
	Text    string // what the cell says
	Message string
}

// maxReading is more than any instrument reads in any unit; beyond it a cell
// is a slip of the hand.
const maxReading = 1e9

const knownHeaders = "a first column x or station, then run 1, run 2, …, or out, back"

// ReadCSV returns the readings of a survey · r a header row and one row a
// station, columns as in knownHeaders, parted by tabs, semicolons or commas
// (the header decides, or a line sep=; above it); decimal point or comma; lines
// ended in any system's way. Blank lines and lines that begin with # are passed
// over. With faults, all of which are listed in the order of the file, there are
// no readings.
func ReadCSV(r io.Reader) (Readings, []CellFault) {
	text, err := io.ReadAll(r)
	if err != nil {
		return Readings{}, []CellFault{{Message: "cannot be read: " + err.Error()}}
	}
	switch {
	case bytes.IndexByte(text, 0) >= 0:
		return Readings{}, []CellFault{{Message: "is not plain text: save it as CSV in UTF-8"}}
	case !utf8.Valid(text):
		return Readings{}, []CellFault{{Message: "is not UTF-8 text: save it as UTF-8"}}
	}
	text = bytes.TrimPrefix(text, []byte("\xef\xbb\xbf"))
	text = bytes.ReplaceAll(bytes.ReplaceAll(text, []byte("\r\n"), []byte("\n")), []byte("\r"), []byte("\n"))
	sep, text := separator(text)
	t := table{csv: csv.NewReader(bytes.NewReader(text))}
	t.csv.Comma = sep
	t.csv.FieldsPerRecord = -1
	t.csv.TrimLeadingSpace = t.csv.Comma != '\t'
	t.read()
	if len(t.faults) > 0 {
		return Readings{}, t.faults
	}
	return t.readings(), nil
}

// sepLine is how spreadsheets name the separator above the header.
var sepLine = regexp.MustCompile(`(?i)\A"?sep=([\t;,])"?[ \t]*(?:\n|\z)`)

// separator returns what parts the cells, and the text with a line that says so
// made blank. Otherwise the header row decides, the first line that says
// something. A header of one column leaves the comma to decimals.
func separator(text []byte) (rune, []byte) {
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

// table is a CSV on its way to readings.
type table struct {
	csv     *csv.Reader
	headers []string
	columns [][]float64 // one a header
	lines   []int       // of the file, one a row of readings
	faults  []CellFault
}

func (t *table) fault(line, column int, text, format string, a ...any) {
	f := CellFault{Line: line, Column: column, Text: text, Message: fmt.Sprintf(format, a...)}
	if 0 < column && column <= len(t.headers) {
		f.Header = t.headers[column-1]
	}
	t.faults = append(t.faults, f)
}

func (t *table) read() {
	for {
		row, err := t.csv.Read()
		var bad *csv.ParseError
		switch {
		case err == io.EOF:
			t.end()
			return
		case errors.As(err, &bad):
			t.fault(bad.Line, 0, "", "has a stray quotation mark")
			if t.headers == nil {
				return
			}
			continue
		case err != nil:
			panic(err) // memory cannot fail to be read
		}
		line, _ := t.csv.FieldPos(0)
		for i := range row {
			row[i] = strings.TrimSpace(row[i])
		}
		switch row = trimBlank(row); {
		case len(row) == 0 || strings.HasPrefix(row[0], "#"):
		case t.headers == nil:
			t.header(line, row)
		default:
			t.row(line, row)
		}
	}
}

// end looks at the table as a whole.
func (t *table) end() {
	switch {
	case len(t.faults) > 0:
	case t.headers == nil:
		t.fault(0, 0, "", "has no header row: name the columns, %s", knownHeaders)
	case len(t.columns[0]) == 0:
		t.fault(0, 0, "", "has no readings under its header row")
	}
}

// trimBlank returns row without the empty cells at its end.
func trimBlank(row []string) []string {
	for len(row) > 0 && row[len(row)-1] == "" {
		row = row[:len(row)-1]
	}
	return row
}

func (t *table) header(line int, row []string) {
	t.headers = make([]string, len(row))
	t.columns = make([][]float64, len(row))
	for i, text := range row {
		name := headerName(text)
		switch {
		case name == "":
			t.fault(line, i+1, text, "is no column of a survey: known are %s", knownHeaders)
			name = text
		case name == "x" && i > 0:
			t.fault(line, i+1, text, "must be the first column")
		case slices.Contains(t.headers, name):
			t.fault(line, i+1, text, "is there twice: number the runs, run 1, run 2, …")
		}
		t.headers[i] = name
	}
	isTurn := func(h string) bool { return h == "out" || h == "back" }
	isRun := func(h string) bool { return strings.HasPrefix(h, "run ") }
	turn, run := slices.ContainsFunc(t.headers, isTurn), slices.ContainsFunc(t.headers, isRun)
	switch {
	case turn && run:
		t.fault(line, 0, "", "mixes run 1, run 2, … with out, back: use one or the other")
	case !turn && !run && len(t.faults) == 0:
		t.fault(line, 0, "", "has no column of readings: known are %s", knownHeaders)
	}
}

// headerName returns the name of a column as this package writes it, "" for
// an unknown one.
func headerName(text string) string {
	switch s := strings.ToLower(text); s {
	case "x", "station":
		return "x"
	case "out", "back":
		return s
	default:
		digits, ok := strings.CutPrefix(s, "run")
		n, err := strconv.ParseUint(strings.TrimSpace(digits), 10, 16)
		if !ok || err != nil {
			return ""
		}
		return fmt.Sprintf("run %d", n)
	}
}

func (t *table) row(line int, row []string) {
	t.lines = append(t.lines, line)
	for i := range max(len(row), len(t.headers)) {
		switch {
		case i >= len(t.headers):
			t.fault(line, i+1, row[i], "stands beyond the last named column (a decimal comma needs semicolons or tabs between cells)")
			return
		case i >= len(row) || row[i] == "":
			t.fault(line, i+1, "", "is empty: write the reading, or take the whole row out if the station is not measured in any run")
		default:
			v, complaint := number(row[i])
			if complaint != "" {
				t.fault(line, i+1, row[i], "%s", complaint)
			}
			t.columns[i] = append(t.columns[i], v)
		}
	}
}

// number returns the value of a cell, or what is wrong with it.
func number(text string) (v float64, complaint string) {
	s := strings.NewReplacer("−", "-", "–", "-").Replace(text)
	switch {
	case strings.Trim(s, "+-.,eE0123456789") != "":
		return 0, "is not a number: write the figure alone, without unit"
	case strings.Count(s, ",") > 1 || strings.Contains(s, ",") && strings.Contains(s, "."):
		return 0, "has two kinds of mark: write it without a mark between thousands"
	}
	v, err := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64)
	switch {
	case math.Abs(v) > maxReading:
		return 0, "is too large for a reading"
	case err != nil:
		return 0, "is not a number"
	}
	return v, ""
}

func (t *table) readings() Readings {
	r := Readings{Lines: t.lines}
	for i, name := range t.headers {
		if name == "x" {
			r.X = t.columns[i]
			continue
		}
		r.Runs = append(r.Runs, Run{Name: name, Values: t.columns[i]})
	}
	return r
}
