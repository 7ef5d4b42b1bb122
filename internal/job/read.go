package job

import (
	"fmt"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"

	"footwork/internal/unit"
)

// source is one job file being read, and what was found wrong.
type source struct {
	file    string
	open    func(file string) ([]byte, error)
	faults  Faults
	beyond  int // further faults, which were too many to keep
	notes   Faults
	damaged bool            // a line could not be read, so what is missing may stand there
	units   unit.System     // of examples
	asked   map[string]bool // paths of the keys that were asked for; nil: nobody wants to know
	begun   []*reader       // tables that are being read
}

// report adds a fault of the job file.
func (s *source) report(line int, key, hint, message string, args ...any) {
	s.add(unit.Fault{File: s.file, Line: line, Key: key, Message: fmt.Sprintf(message, args...), Hint: hint})
}

// add keeps faults, as many as anybody counts one by one.
func (s *source) add(faults ...unit.Fault) {
	kept := min(len(faults), mostKept-len(s.faults))
	s.faults, s.beyond = append(s.faults, faults[:kept]...), s.beyond+len(faults)-kept
}

// reader reads one table by what there is to know of it. Each method takes a key
// of that table, and reports what is wrong with its value. A quantity that was
// refused reads as NaN, so that no later comparison complains of it again.
type reader struct {
	*source
	path   string
	def    *key
	table  *value
	values map[string]float64 // quantities that were taken
}

func (s *source) reader(path string, def *key, table *value) *reader {
	r := &reader{source: s, path: path, def: def, table: table, values: map[string]float64{}}
	s.begun = append(s.begun, r)
	return r
}

// name returns the path of one of the table's keys, its own for "".
func (r *reader) name(key string) string {
	if r.path == "" || key == "" {
		return r.path + key
	}
	return r.path + "." + key
}

// lineOf returns the line of a key, its table's where it is absent.
func (r *reader) lineOf(key string) int {
	if v := r.table.keys[key]; v != nil {
		return v.line
	}
	return r.table.line
}

// fault reports what is wrong with a key, at its line or its table's.
func (r *reader) fault(key, hint, message string, args ...any) {
	r.report(r.lineOf(key), r.name(key), hint, message, args...)
}

// note asks about a key that may be meant as it stands: what was assumed, and
// how to write it otherwise.
func (r *reader) note(key, hint, message string, args ...any) {
	r.notes = append(r.notes, unit.Fault{File: r.file, Line: r.lineOf(key), Key: r.name(key), Message: fmt.Sprintf(message, args...), Hint: hint})
}

// unlikely is note for what stands at a key and seldom is meant: the message goes on behind it.
func (r *reader) unlikely(key, hint, message string, args ...any) {
	r.note(key, hint, "%s "+message+"; it is taken as written", append([]any{r.table.keys[key].quoted()}, args...)...)
}

// key returns what there is to know of a key that must be in the table.
func (r *reader) key(name string, forms ...form) *key {
	k := r.def.below(name)
	if k == nil || (len(forms) > 0 && !slices.Contains(forms, k.form)) {
		panic("no such key: " + r.name(name))
	}
	if r.asked != nil {
		r.asked[r.name(name)] = true
	}
	return k
}

// has tells whether the key stands in the table.
func (r *reader) has(key string) bool {
	r.key(key)
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

// require reports those of the keys that are absent, each with an example of it.
func (r *reader) require(keys ...string) {
	for _, name := range keys {
		k := r.key(name)
		if r.has(name) || r.damaged {
			continue
		}
		hint := "for example " + r.example(k.assignment())
		if k.isTable() && !k.oneLine {
			hint = "write a table " + k.header(r.name(name))
		}
		r.fault(name, hint, isMissing)
	}
}

// done ends the reading of the tables that were opened so far.
func (s *source) done() {
	for _, r := range s.begun {
		r.done()
	}
	s.begun = nil
}

// clean tells whether a table has only keys that are known.
func (r *reader) clean() bool {
	return !slices.ContainsFunc(r.table.names, func(key string) bool { return r.def.below(key) == nil })
}

// done reports what must be there and is not, and the keys that are not known,
// with the nearest known one, which is then no longer called missing.
func (r *reader) done() {
	for _, k := range r.def.keys {
		if k.needed {
			r.require(k.name)
		}
	}
	known := r.def.names()
	for _, key := range r.table.names {
		if r.def.below(key) != nil {
			continue
		}
		hint := "known here: " + strings.Join(known, ", ")
		if near := unit.Nearest(key, known); near != "" {
			hint = "did you mean " + near + "?"
			r.faults = slices.DeleteFunc(r.faults, func(f unit.Fault) bool {
				return f.Line == r.table.line && f.Key == r.name(near) && strings.HasPrefix(f.Message, isMissing)
			})
		}
		if inner := nested[key]; r.path == "" && inner != "" {
			hint = "did you mean " + inner + "?"
		}
		r.report(r.table.keys[key].first().line, r.name(key), hint, "unknown key")
	}
}

// nested holds the tables that belong into others, where people forget to say so.
var nested = map[string]string{"foot": "standing.foot", "bearing": "standing.bearing", "section": "bed.section", "rib": "bed.rib", "weight": "bed.weight or standing.weight"}

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
