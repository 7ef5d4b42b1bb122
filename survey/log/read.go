package log

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"footwork/internal/unit"
)

// Read returns the acts of a log in the order of its lines, void ones and those
// that void them among them. With faults, which are all listed, the acts are
// those of the lines that could be read.
func (b Bed) Read(text []byte) (acts []Act, faults []unit.Fault) {
	lines, numbers, faults := readLines(text)
	r := reader{bed: b, standing: b.Standing, faults: faults}
	for i, l := range lines {
		r.number = numbers[i]
		r.line(l)
	}
	slices.SortStableFunc(r.faults, func(a, b unit.Fault) int { return a.Line - b.Line })
	return r.acts, r.faults
}

// reader reads line by line.
type reader struct {
	bed      Bed
	number   int    // of the line in the file
	standing string // in force
	by       string // who was named last
	acts     []Act
	faults   []unit.Fault
	latest   Moment // of the lines so far
}

// fault reports what is wrong with a cell of the line.
func (r *reader) fault(column, hint, message string, args ...any) {
	r.faults = append(r.faults, unit.Fault{Line: r.number, Key: column, Message: fmt.Sprintf(message, args...), Hint: hint})
}

// line reads one line into an act.
func (r *reader) line(l Line) {
	had := len(r.faults)
	a := Act{Line: r.number, Written: l, When: r.moment(l.When)}
	a.What = What(strings.ToLower(strings.Join(strings.Fields(l.What), " ")))
	known := slices.IndexFunc(grammar, func(g rule) bool { return g.what == a.What })
	if known < 0 {
		r.fault("what", "acts are "+strings.Join(unit.Names(grammar, func(g rule) string { return string(g.what) }), ", "), "%s is no act", unit.Quote(l.What))
		return
	}
	g := grammar[known]
	r.cell(&a, g.where, "where", l.Where, "write "+g.place)
	r.cell(&a, g.value, "value", l.Value, "for example "+strings.Join(g.values, ", or "))
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
func (r *reader) moment(text string) Moment {
	when, ok := ParseMoment(text)
	switch {
	case !ok:
		r.fault("when", `write year, month and day, with or without a time: "2026-03-02 14:05"`, "%s is no moment", unit.Quote(text))
	case when.before(r.latest):
		r.fault("when", "lines stand in the order of time: put it where it belongs", "%s is before the line above, %s", when, r.latest)
	case r.latest.before(when), r.latest.Day == "":
		r.latest = when
	}
	return when
}

// cell reads a cell by what its act says of it.
func (r *reader) cell(a *Act, read func(*reader, *Act, string) error, column, text, example string) {
	switch {
	case text != "" && strings.ContainsRune("=@", rune(text[0])):
		r.fault(column, "write it without the mark", "%s begins like a formula", unit.Quote(text))
	case read == nil && text != "":
		r.fault(column, "leave it empty, or write it into note", "%s means nothing in a line %q", unit.Quote(text), a.What)
	case read != nil:
		if err := read(r, a, text); err != nil {
			var f *unit.Fault
			if !errors.As(err, &f) {
				panic(err) // ours are no others
			}
			r.fault(column, cmp.Or(f.Hint, example), "%s", f.Message)
		}
	}
}
