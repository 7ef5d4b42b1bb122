package job

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"footwork/internal/unit"

	"github.com/pelletier/go-toml/v2/unstable"
)

// source is one job file being read, and what was found wrong.
type source struct {
	file    string
	open    func(file string) ([]byte, error)
	faults  Faults
	damaged bool // a line could not be read, so what is missing may stand there
}

func (s *source) report(line int, key, message, hint string) {
	s.faults = append(s.faults, Fault{s.file, line, key, message, hint})
}

// reader reads one table. Each method takes a key, notes that it is known and
// reports what is wrong with its value. A quantity that was refused reads as
// NaN, so that no later comparison complains of it again.
type reader struct {
	*source
	path  string
	table *value
	known []string
}

func (s *source) reader(path string, table *value) *reader {
	return &reader{source: s, path: path, table: table}
}

func (r *reader) name(key string) string {
	if r.path == "" {
		return key
	}
	return r.path + "." + key
}

// fault reports what is wrong with a key, at its line or its table's.
func (r *reader) fault(key, hint, message string, args ...any) {
	line, name := r.table.line, r.path
	if key != "" {
		name = r.name(key)
	}
	if v := r.table.keys[key]; v != nil {
		line = v.line
	}
	r.report(line, name, fmt.Sprintf(message, args...), hint)
}

// has tells whether the key stands in the table.
func (r *reader) has(key string) bool {
	if !slices.Contains(r.known, key) {
		r.known = append(r.known, key)
	}
	return r.table.keys[key] != nil
}

// get returns the key's value; nil when it is absent or its line broken.
func (r *reader) get(key string) *value {
	if !r.has(key) || r.table.keys[key].kind == broken {
		return nil
	}
	return r.table.keys[key]
}

// require reports the keys that are absent, each with an example of it.
func (r *reader) require(examples ...string) {
	for _, example := range examples {
		key, _, _ := strings.Cut(example, " = ")
		if !r.has(key) && !r.damaged {
			r.fault(key, "for example "+example, "is missing")
		}
	}
}

// done reports the keys that nobody asked for, with the nearest known one.
func (r *reader) done() {
	for _, key := range r.table.names {
		if slices.Contains(r.known, key) {
			continue
		}
		hint := "known here: " + strings.Join(r.known, ", ")
		if near := nearest(key, r.known); near != "" {
			hint = "did you mean " + near + "?"
		}
		r.report(r.table.keys[key].first().line, r.name(key), "unknown key", hint)
	}
}

// first returns the value itself, or the first of the tables that it gathers.
func (v *value) first() *value {
	if v.kind == unstable.Array && len(v.items) > 0 && v.items[0].header != inline {
		return v.items[0]
	}
	return v
}

// kinds is how a value's type is called before people.
var kinds = map[unstable.Kind]string{
	unstable.String: "text", unstable.Bool: "true or false", unstable.Float: "a number", unstable.Integer: "a whole number",
	unstable.Array: "a list", unstable.InlineTable: "a table",
	unstable.LocalDate: "a date", unstable.LocalTime: "a time", unstable.LocalDateTime: "a date and time", unstable.DateTime: "a date and time",
}

// text returns the key's text, "" when absent.
func (r *reader) text(key string) string {
	v := r.get(key)
	if v == nil {
		return ""
	}
	if v.kind != unstable.String {
		r.fault(key, fmt.Sprintf("write it in quotes: %s = \"…\"", key), "is %s, not text", kinds[v.kind])
		return ""
	}
	if v.text == "" {
		r.fault(key, "write it or leave the key out", "is empty")
	}
	return strings.TrimSpace(v.text)
}

// choice returns the key's text, one of those given; the first when absent, ""
// when refused.
func (r *reader) choice(key string, options ...string) string {
	text := r.text(key)
	if text == "" {
		return options[0]
	}
	if !slices.Contains(options, text) {
		r.fault(key, `write "`+strings.Join(options, `" or "`)+`"`, "%q is none of the choices", text)
		return ""
	}
	return text
}

// flag returns the key's truth, false when absent.
func (r *reader) flag(key string) bool {
	v := r.get(key)
	if v != nil && v.kind != unstable.Bool {
		r.fault(key, fmt.Sprintf("write %s = true or %s = false, without quotes", key, key), "is %s, not true or false", kinds[v.kind])
	}
	return v != nil && v.text == "true"
}

// whole returns the key's whole number between lo and hi, nil when absent or refused.
func (r *reader) whole(key string, lo, hi int) *int {
	if v := r.get(key); v != nil {
		return r.wholeOf(key, v, lo, hi)
	}
	return nil
}

func (r *reader) wholeOf(key string, v *value, lo, hi int) *int {
	n, err := strconv.Atoi(v.text)
	if v.kind != unstable.Integer || err != nil || n < lo || n > hi {
		r.report(v.line, r.name(key), v.quoted()+" is no whole number here", fmt.Sprintf("write a whole number from %d to %d without quotes", lo, hi))
		return nil
	}
	return &n
}

// quoted shows a value as it was written.
func (v *value) quoted() string {
	switch v.kind {
	case unstable.String:
		return strconv.Quote(v.text)
	case unstable.Array, unstable.InlineTable:
		return kinds[v.kind]
	}
	return v.text
}

// factor returns the key's plain number between lo and hi, def when absent.
func (r *reader) factor(key string, lo, hi, def float64) float64 {
	v := r.get(key)
	if v == nil {
		return def
	}
	n, err := strconv.ParseFloat(v.text, 64)
	if (v.kind != unstable.Float && v.kind != unstable.Integer) || err != nil || !(n >= lo && n <= hi) {
		r.fault(key, fmt.Sprintf("write a plain number from %v to %v without quotes", lo, hi), "%s cannot be taken", v.quoted())
		return def
	}
	return n
}

// date returns the key's ISO 8601 day, "" when absent.
func (r *reader) date(key string) string {
	v := r.get(key)
	if v == nil {
		return ""
	}
	if _, err := time.Parse(time.DateOnly, v.text); err != nil || (v.kind != unstable.String && v.kind != unstable.LocalDate) {
		r.fault(key, `write year, month and day: "2026-03-02"`, "%s is no day", v.quoted())
	}
	return v.text
}

// want says which quantities are taken.
type want struct {
	kind        *unit.Kind
	least, most string // as people write them; "" leaves the side open
	zero        bool   // with no least: zero is taken, below it is not
	or          float64
}

// size wants a quantity above zero.
func size(k *unit.Kind, most string) want { return want{kind: k, most: most, or: math.NaN()} }

// between wants a quantity from least to most.
func between(k *unit.Kind, least, most string) want {
	return want{kind: k, least: least, most: most, or: math.NaN()}
}

// amount wants a quantity of zero or above; absent it is zero.
func amount(k *unit.Kind, most string) want { return want{kind: k, most: most, zero: true} }

// signed wants a quantity no further from zero than most; absent it is zero.
func signed(k *unit.Kind, most string) want { return want{kind: k, least: "-" + most, most: most} }

// ifAbsent returns the want with what the quantity is when its key is absent.
func (w want) ifAbsent(v float64) want { w.or = v; return w }

// quantity returns the key's SI value, what the want says when it is absent,
// NaN when it is refused.
func (r *reader) quantity(key string, w want) float64 {
	if !r.has(key) {
		return w.or
	}
	if v := r.get(key); v != nil {
		return r.quantityOf(key, v, w)
	}
	return math.NaN()
}

// maybe is quantity for what may be absent: then it is nil.
func (r *reader) maybe(key string, w want) *float64 {
	if !r.has(key) {
		return nil
	}
	v := r.quantity(key, w)
	return &v
}

// quantities returns the SI values of a list.
func (r *reader) quantities(key string, w want) []float64 {
	var list []float64
	for _, v := range r.list(key, `["0.02 mm", "0.05 mm"]`) {
		list = append(list, r.quantityOf(key, v, w))
	}
	return list
}

func (r *reader) list(key, example string) []*value {
	v := r.get(key)
	switch {
	case v == nil:
		return nil
	case v.kind != unstable.Array || len(v.items) == 0:
		r.fault(key, "write it in square brackets: "+key+" = "+example, "is no list with something in it")
		return nil
	}
	return v.items
}

func (r *reader) quantityOf(key string, v *value, w want) float64 {
	switch v.kind {
	case unstable.String, unstable.Integer, unstable.Float:
		got, err := w.kind.Parse(v.text)
		if err == nil {
			err = w.check(v.text, got)
		}
		if err == nil {
			return got
		}
		var e *unit.Error
		if !errors.As(err, &e) {
			panic(err)
		}
		r.report(v.line, r.name(key), e.Message, e.Hint)
	default:
		r.report(v.line, r.name(key), "is "+kinds[v.kind]+", not a quantity", fmt.Sprintf("write a number and its unit in quotes: %s = \"%s\"", key, w.kind.Example()))
	}
	return math.NaN()
}

// check refuses what lies outside the want.
func (w want) check(text string, v float64) error {
	if math.IsInf(v, 1) { // "rigid"
		return nil
	}
	switch {
	case w.least == "" && w.zero && v < 0:
		return &unit.Error{Message: fmt.Sprintf("%q is below zero", text), Hint: "write zero or more"}
	case w.least == "" && !w.zero && v <= 0:
		return &unit.Error{Message: fmt.Sprintf("%q is not above zero", text), Hint: "write more than zero"}
	case w.least != "" && v < w.must(w.least):
		return &unit.Error{Message: fmt.Sprintf("%q is too small", text), Hint: "write " + w.least + " or more; check the unit"}
	case v > w.must(w.most):
		return &unit.Error{Message: fmt.Sprintf("%q is too much", text), Hint: "write " + w.most + " or less; check the unit"}
	}
	return nil
}

func (w want) must(text string) float64 {
	v, err := w.kind.Parse(text)
	if err != nil {
		panic(err)
	}
	return v
}

// sub returns the reader of the key's only table, nil when absent.
func (r *reader) sub(key string) *reader {
	v := r.get(key)
	if v == nil {
		return nil
	}
	if v.kind == unstable.Array && len(v.items) > 0 && v.items[0].header != inline {
		for _, t := range v.items[1:] {
			r.report(t.line, r.name(key), "is given twice", "there is only one; keep one of them")
			for _, name := range t.names {
				v.items[0].set(name, t.keys[name])
			}
		}
		if v = v.items[0]; v.header == double {
			r.report(v.line, r.name(key), "is written [["+r.name(key)+"]]", "there is only one: write ["+r.name(key)+"]")
		}
	}
	if v.kind != unstable.InlineTable {
		r.fault(key, "write it as a table: ["+r.name(key)+"]", "is %s, not a table", kinds[v.kind])
		return nil
	}
	return r.reader(r.name(key), v)
}

// mostTables is more feet, surveys or sections than any bed has.
const mostTables = 500

// subs returns the readers of the key's tables, of which there may be several.
func (r *reader) subs(key string) []*reader {
	v := r.get(key)
	if v == nil {
		return nil
	}
	name := r.name(key)
	hint := "there may be several: write [[" + name + "]]"
	if v.kind == unstable.InlineTable {
		r.fault(key, hint, "is a single table")
		return []*reader{r.reader(name, v)}
	}
	if v.kind != unstable.Array {
		r.fault(key, hint, "is %s, not a table", kinds[v.kind])
		return nil
	}
	if len(v.items) > mostTables {
		r.fault(key, "", "there are %d of them; %d at most can be taken", len(v.items), mostTables)
		return nil
	}
	var list []*reader
	for _, t := range v.items {
		switch {
		case t.kind != unstable.InlineTable:
			r.report(t.line, name, "is "+kinds[t.kind]+", not a table", hint)
			continue
		case t.header == single:
			r.report(t.line, name, "is written ["+name+"]", hint)
		case t.header == implied:
			r.report(t.line, name, "has no [["+name+"]] above this line", "write [["+name+"]] with its name first")
		}
		list = append(list, r.reader(name, t))
	}
	return list
}

// nearest returns the known word with the fewest letters changed, "" when none
// is near.
func nearest(word string, known []string) string {
	best, least := "", 1+max(1, len(word)/3)
	for _, k := range known {
		if d := distance(strings.ToLower(word), strings.ToLower(k)); d < least {
			best, least = k, d
		}
	}
	return best
}

// distance is Levenshtein's number of letters added, dropped or changed.
func distance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		last := row[0]
		row[0] = i + 1
		for j := range len(b) {
			change := last
			if a[i] != b[j] {
				change++
			}
			last = row[j+1]
			row[j+1] = min(change, last+1, row[j]+1)
		}
	}
	return row[len(b)]
}
