package job

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"footwork/internal/sheet"
	"footwork/internal/unit"
	"footwork/survey"
)

const knownHeaders = "a first column x or station, then run 1, run 2, …, or out, back, and a last column note"

// grid is a survey's CSV on its way to readings.
type grid struct {
	headLine int
	headers  []string
	units    []string    // that a header gives behind its name, "" without one
	columns  [][]float64 // one a header; empty of remarks
	xScale   float64     // m for one of the survey's own unit of x
	xHead    float64     // of those for one of the unit in the head of x
	remarks  []string    // one a row; nil without such a column
	lines    []int       // of the file, one a row of readings
	faults   []unit.Fault
}

// readGrid reads the text of a survey: a header row and one row a station, columns
// as in knownHeaders · xScale: m for one of x where nothing else is written. With faults, all of
// which are listed in the order of the file, there are no readings.
func readGrid(text []byte, xScale float64) *grid {
	rows, _, faults := sheet.Read(text)
	t := &grid{faults: faults, xScale: xScale, xHead: 1}
	for i, row := range rows {
		if i == 0 {
			t.header(row.Line, row.Cells)
			continue
		}
		t.row(row.Line, row.Cells)
	}
	switch {
	case len(t.faults) > 0:
	case t.headers == nil:
		t.fault(0, 0, "", "has no header row: name the columns, %s", knownHeaders)
	case len(t.lines) == 0:
		t.fault(0, 0, "", "has no readings under its header row")
	}
	slices.SortStableFunc(t.faults, func(a, b unit.Fault) int { return a.Line - b.Line })
	return t
}

// fault notes what is wrong with a cell of a line, both counted from 1, or with 0
// for it the line or the file as a whole.
func (t *grid) fault(line, column int, text, format string, a ...any) {
	f := unit.Fault{Line: line, Message: fmt.Sprintf(format, a...)}
	if text != "" {
		f.Message = unit.Quote(text) + " " + f.Message
	}
	if 0 < column && column <= len(t.headers) {
		f.Key = t.headers[column-1]
	}
	t.faults = append(t.faults, f)
}

func (t *grid) header(line int, row []string) {
	n := len(row)
	t.headLine, t.headers, t.units, t.columns = line, make([]string, n), make([]string, n), make([][]float64, n)
	for i, text := range row {
		name, own := headerName(text)
		switch {
		case name == "":
			t.fault(line, i+1, text, "is no column: known are %s", knownHeaders)
			name = text
		case name == "x" && i > 0:
			t.fault(line, i+1, text, "must be the first column")
		case name == "note" && i < n-1:
			t.fault(line, i+1, text, "must be the last column")
		case slices.Contains(t.headers, name):
			t.fault(line, i+1, text, "is there twice: number the runs, run 1, run 2, …")
		}
		t.headers[i], t.units[i] = name, own
		if one, err := unit.Length.Unit(own); name == "x" && err == nil {
			t.xHead = one / t.xScale
		}
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

// withUnit parts a header from a unit in brackets behind it.
var withUnit = regexp.MustCompile(`^(.*?)\s*[([]\s*(.+?)\s*[)\]]$`)

// headerName returns the name of a column as the program writes it, "" for an
// unknown one, and the unit that is given with it.
func headerName(text string) (name, unit string) {
	if m := withUnit.FindStringSubmatch(text); m != nil {
		text, unit = m[1], m[2]
	}
	switch s := strings.ToLower(text); s {
	case "x", "station":
		return "x", unit
	case "out", "back":
		return s, unit
	case "note", "notes", "remark", "remarks":
		return "note", ""
	default:
		digits, ok := strings.CutPrefix(s, "run")
		n, err := strconv.ParseUint(strings.TrimSpace(digits), 10, 16)
		if !ok || err != nil {
			return "", ""
		}
		return fmt.Sprintf("run %d", n), unit
	}
}

func (t *grid) row(line int, row []string) {
	t.lines = append(t.lines, line)
	for i := range max(len(row), len(t.headers)) {
		switch {
		case i >= len(t.headers):
			t.fault(line, i+1, row[i], "stands beyond the last named column (a decimal comma needs semicolons or tabs between cells)")
			return
		case t.headers[i] == "note":
			t.remarks = append(t.remarks, "")
			if i < len(row) {
				t.remarks[len(t.remarks)-1] = row[i]
			}
		case i >= len(row) || row[i] == "":
			t.fault(line, i+1, "", "is empty: write the reading, or take the whole row out if the station is not measured in any run")
		default:
			t.cell(line, i, row[i])
		}
	}
}

// cell reads a figure; a place may have its own unit.
func (t *grid) cell(line, i int, text string) {
	v, complaint := sheet.Number(text)
	if t.headers[i] == "x" {
		v *= t.xHead
		if length, err := unit.Length.Parse(text); complaint != "" && err == nil {
			v, complaint = length/t.xScale, ""
		}
	}
	if complaint != "" {
		t.fault(line, i+1, text, "%s", complaint)
	}
	t.columns[i] = append(t.columns[i], v)
}

// readings returns what the file holds, places in the survey's own unit of x.
func (t *grid) readings() survey.Readings {
	r := survey.Readings{Lines: t.lines, Remarks: t.remarks}
	for i, name := range t.headers {
		switch name {
		case "x":
			r.X = t.columns[i]
		case "note":
		default:
			r.Runs = append(r.Runs, survey.Run{Name: name, Values: t.columns[i]})
		}
	}
	return r
}

// tellUnit has heights read in the unit that the head of a column gives, where it gives one.
func (t *grid) tellUnit(s *survey.Survey) {
	for i, name := range t.units {
		if one, err := unit.Length.Unit(name); name != "" && t.headers[i] != "x" && err == nil {
			s.Unit, s.Scale = name, one
			return
		}
	}
}

// agrees checks the units in the heads of columns: that of readings against the
// survey's, that of x for being a length.
func (t *grid) agrees(s *survey.Survey) {
	kind := unit.Slope
	if s.Instrument == survey.Heights {
		kind = unit.Length
	}
	for i, name := range t.units {
		switch {
		case name == "" || name == s.Unit:
		case t.headers[i] == "x":
			if _, err := unit.Length.Unit(name); err != nil {
				t.fault(t.headLine, i+1, name, "is no unit of length")
			}
		default:
			if one, err := kind.Unit(name); err != nil || s.Scale < one*(1-1e-9) || s.Scale > one*(1+1e-9) {
				t.fault(t.headLine, i+1, name, "is the unit of this column, and the survey's reading is %q: write the same in both", s.Unit)
			}
		}
	}
}
