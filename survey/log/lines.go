package log

import (
	"slices"
	"strings"

	"footwork/internal/sheet"
	"footwork/internal/unit"
)

// Line is one line of the log as written.
type Line struct {
	When, What, Where, Value, Note string
}

var columns = []string{"when", "what", "where", "value", "note"}

const headerHint = "begin with the header row when,what,where,value,note"

// readLines returns the lines of a log as written and where in the file each stands,
// counted from 1.
func readLines(text []byte) (lines []Line, numbers []int, faults []unit.Fault) {
	rows, _, faults := sheet.Read(text)
	if len(rows) == 0 {
		if len(faults) == 0 {
			faults = []unit.Fault{{Message: "has no header row", Hint: headerHint}}
		}
		return nil, nil, faults
	}
	of, wrong := header(rows[0])
	if len(wrong) > 0 {
		return nil, nil, append(faults, wrong...)
	}
	for _, row := range rows[1:] {
		if n := len(rows[0].Cells); len(row.Cells) > n {
			faults = append(faults, unit.Fault{Line: row.Line, Message: unit.Quote(row.Cells[n]) + " stands beyond the last column",
				Hint: "put quotes around a text that holds the mark between cells"})
			continue
		}
		var c [5]string
		for k, i := range of {
			if i >= 0 && i < len(row.Cells) {
				c[k] = sheet.Bare(row.Cells[i])
			}
		}
		lines, numbers = append(lines, Line{c[0], c[1], c[2], c[3], c[4]}), append(numbers, row.Line)
	}
	return lines, numbers, faults
}

// header returns for each of our columns where it stands in the file, −1 for one
// that is absent.
func header(row sheet.Row) (of []int, faults []unit.Fault) {
	of = []int{-1, -1, -1, -1, -1}
	fault := func(column, message string) {
		faults = append(faults, unit.Fault{Line: row.Line, Key: column, Message: message, Hint: headerHint})
	}
	for i, text := range row.Cells {
		k := slices.Index(columns, strings.ToLower(text))
		switch {
		case k < 0:
			fault(text, "is no column of a log")
		case of[k] >= 0:
			fault(text, "is there twice")
		default:
			of[k] = i
		}
	}
	for k, name := range columns[:4] {
		if of[k] < 0 && len(faults) == 0 {
			fault(name, "is missing")
		}
	}
	return of, faults
}

// plain is a line without what a spreadsheet changes in passing.
func (l Line) plain() Line {
	if m, ok := ParseMoment(l.When); ok {
		l.When = m.String()
	}
	for _, cell := range []*string{&l.When, &l.What, &l.Where, &l.Value, &l.Note} {
		*cell = strings.ToLower(strings.Join(strings.Fields(*cell), " "))
	}
	return l
}
