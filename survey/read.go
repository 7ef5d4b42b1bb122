package survey

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"footwork/internal/sheet"
)

// CellFault is one thing wrong with a survey's CSV and how to put it right.
type CellFault struct {
	Line    int    // of the file, from 1; 0: the file as a whole
	Column  int    // of the table, from 1; 0: the line as a whole
	Header  string // name of the column, "" without one
	Text    string // what the cell says
	Message string
}

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
	rows, _, bad := sheet.Read(text)
	var t table
	for _, f := range bad {
		t.fault(f.Line, 0, "", "%s", f.Message)
	}
	for i, row := range rows {
		if i == 0 {
			t.header(row.Line, row.Cells)
			continue
		}
		t.row(row.Line, row.Cells)
	}
	t.end()
	if len(t.faults) > 0 {
		slices.SortStableFunc(t.faults, func(a, b CellFault) int { return a.Line - b.Line })
		return Readings{}, t.faults
	}
	return t.readings(), nil
}

// table is a CSV on its way to readings.
type table struct {
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
			v, complaint := sheet.Number(row[i])
			if complaint != "" {
				t.fault(line, i+1, row[i], "%s", complaint)
			}
			t.columns[i] = append(t.columns[i], v)
		}
	}
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
