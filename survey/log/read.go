package log

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"footwork/internal/sheet"
	"footwork/internal/unit"
)

// Read returns the acts of a log in the order of its lines, void ones and those
// that void them among them. With faults, which are all listed, the acts are
// those of the lines that could be read.
func (b Bed) Read(text []byte) (acts []Act, faults []sheet.Fault) {
	lines, numbers, faults := readLines(text)
	r := reader{bed: b, standing: b.Standing, faults: faults}
	for i, l := range lines {
		r.line(numbers[i], l)
	}
	slices.SortStableFunc(r.faults, func(a, b sheet.Fault) int { return a.Line - b.Line })
	return r.acts, r.faults
}

// reader reads line by line.
type reader struct {
	bed      Bed
	standing string // in force
	by       string // who was named last
	acts     []Act
	faults   []sheet.Fault
	latest   Moment // of the lines so far
}

// line reads one line into an act.
func (r *reader) line(number int, l Line) {
	a := Act{Line: number, Written: l}
	had := len(r.faults)
	fault := func(column, hint, message string, args ...any) {
		r.faults = append(r.faults, sheet.Fault{Line: number, Column: column, Message: fmt.Sprintf(message, args...), Hint: hint})
	}
	r.moment(&a, l.When, fault)
	a.What = What(strings.ToLower(strings.Join(strings.Fields(l.What), " ")))
	known := slices.IndexFunc(grammar, func(g rule) bool { return g.what == a.What })
	if known < 0 {
		fault("what", "acts are "+strings.Join(unit.Names(grammar, func(g rule) string { return string(g.what) }), ", "), "%s is no act", unit.Quote(l.What))
		return
	}
	g := grammar[known]
	r.cell(&a, g, g.where, "where", l.Where, "write "+g.place, fault)
	r.cell(&a, g, g.value, "value", l.Value, "for example "+strings.Join(g.values, ", or "), fault)
	if len(r.faults) > had {
		return
	}
	r.standing = r.bed.next(r.standing, a)
	switch a.What {
	case Who:
		r.by = a.Text
	case Print:
		a.By = r.by
	}
	r.acts = append(r.acts, a)
}

// moment reads when an act was done: not before the lines above.
func (r *reader) moment(a *Act, text string, fault complain) {
	var ok bool
	a.When, ok = ParseMoment(text)
	switch {
	case !ok:
		fault("when", `write year, month and day, with or without a time: "2026-03-02 14:05"`, "%s is no moment", unit.Quote(text))
	case a.When.before(r.latest):
		fault("when", "lines stand in the order of time: put it where it belongs", "%s is before the line above, %s", a.When, r.latest)
	case r.latest.before(a.When), r.latest.Day == "":
		r.latest = a.When
	}
}

// complain reports what is wrong with a cell of a line.
type complain func(column, hint, message string, args ...any)

// cell reads a cell by what its act says of it.
func (r *reader) cell(a *Act, g rule, read func(*reader, *Act, string) error, column, text, example string, fault complain) {
	switch {
	case text != "" && strings.ContainsRune("=@", rune(text[0])):
		fault(column, "write it without the mark", "%s begins like a formula", unit.Quote(text))
	case read == nil && text != "":
		fault(column, "leave it empty, or write it into note", "%s means nothing in a line %q", unit.Quote(text), g.what)
	case read != nil:
		if err := read(r, a, text); err != nil {
			var e *unit.Error
			if !errors.As(err, &e) {
				panic(err) // ours are no others
			}
			fault(column, cmp.Or(e.Hint, example), "%s", e.Message)
		}
	}
}
