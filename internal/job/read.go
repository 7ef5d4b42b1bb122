package job

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/pelletier/go-toml/v2/unstable"
)

// source is one job file being read, and what was found wrong.
type source struct {
	file    string
	open    func(file string) ([]byte, error)
	faults  Faults
	damaged bool // a line could not be read, so what is missing may stand there
	inch    bool // examples are given in inches
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

// isMissing begins what is said of a key that is absent.
const isMissing = "is missing"

// require reports the keys that are absent, each with an example of it, and
// the tables, named by their header.
func (r *reader) require(examples ...string) {
	for _, example := range examples {
		key, _, isKey := strings.Cut(example, " = ")
		hint := "for example " + r.example(example)
		if !isKey {
			key, hint = strings.Trim(example[strings.LastIndex(example, ".")+1:], "[]"), "write a table "+example
		}
		if !r.has(key) && !r.damaged {
			r.fault(key, hint, isMissing)
		}
	}
}

// done reports the keys that nobody asked for, with the nearest known one, which
// is then no longer called missing. It tells whether there were none.
func (r *reader) done() bool {
	clean := true
	for _, key := range r.table.names {
		if slices.Contains(r.known, key) {
			continue
		}
		clean = false
		hint := "known here: " + strings.Join(r.known, ", ")
		if near := nearest(key, r.known); near != "" {
			hint = "did you mean " + near + "?"
			r.faults = slices.DeleteFunc(r.faults, func(f Fault) bool {
				return f.Line == r.table.line && f.Key == r.name(near) && strings.HasPrefix(f.Message, isMissing)
			})
		}
		if inner := within[key]; r.path == "" && inner != "" {
			hint = "did you mean " + inner + "?"
		}
		r.report(r.table.keys[key].first().line, r.name(key), "unknown key", hint)
	}
	return clean
}

// within holds the tables that belong into others, where people forget to say so.
var within = map[string]string{"foot": "standing.foot", "bearing": "standing.bearing", "section": "bed.section", "weight": "bed.weight or standing.weight"}

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
