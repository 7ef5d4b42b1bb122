package job

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"footwork/internal/unit"
)

// version is that of the job file which this program reads; what earlier
// versions had is still read.
const version = 2

// form is what the value of a key looks like.
type form int

const (
	formText     form = iota
	formChoice        // one of a few words
	formFlag          // true or false
	formCount         // a whole number
	formNumber        // a number without a unit
	formDay           // a date, with or without a time of day
	formQuantity      // a number with its unit
	formList          // of quantities
	formCounts        // a list of whole numbers
	formTexts         // a list of texts
	formTable         // one table
	formTables        // tables, of which there may be several
)

// key is what there is to know of one key of the job file: the reader takes
// its value by this, words its faults by this, and help and schema show this.
type key struct {
	name, help string
	form       form
	want       want      // of a quantity, and of each in a list
	marks      []mark    // words that stand for a quantity
	lo, hi     float64   // of a count or a plain number
	options    []string  // of a choice, the first when absent
	items      int       // how many a list has; 0: one or more
	noItems    bool      // a list may also have none
	example    string    // as it stands behind the =, without the quotes of a text
	absent     string    // what is taken without it: a quantity as people write it, or in words
	without    float64   // the same in SI; NaN where nothing is
	needed     bool      // must be there
	needs      string    // when it must be there, in words
	by         []string  // choices of another key that it counts for; nil: for all
	measured   bool      // may carry ± its standard uncertainty
	usual      [2]string // least and most that need no question; "" without
	from, upTo float64   // the same in SI
	since      int       // version that it came with
	old        bool      // read for the sake of earlier versions
	oneLine    bool      // of a small table: { … }
	keys       []key     // of a group or repetition
}

// mark is a word that stands for a quantity.
type mark struct{ word, means string }

// A text, a day or a list of texts needs no more than an example; counts have limits,
// quantities what is wanted of them, and tables keys.
var (
	text, date, texts = plain(formText), plain(formDay), plain(formTexts)
	whole, numbers    = counted(formCount), counted(formCounts)
	measure, measures = measured(formQuantity), measured(formList)
	table, tables     = grouped(formTable), grouped(formTables)
)

func plain(f form) func(name, help, example string) key {
	return func(name, help, example string) key {
		return key{name: name, help: help, form: f, example: example, without: math.NaN(), since: 1}
	}
}

func counted(f form) func(name, help string, lo, hi int, example string) key {
	return func(name, help string, lo, hi int, example string) key {
		k := plain(f)(name, help, example)
		k.lo, k.hi = float64(lo), float64(hi)
		return k
	}
}

func measured(f form) func(name, help, example string, w want) key {
	return func(name, help, example string, w want) key {
		k := plain(f)(name, help, example)
		k.want = w
		return k
	}
}

func grouped(f form) func(name, help string, keys ...key) key {
	return func(name, help string, keys ...key) key {
		k := plain(f)(name, help, "")
		k.keys = keys
		return k
	}
}

func oneOf(name, help string, options ...string) key {
	k := plain(formChoice)(name, help, options[len(options)-1]).or(options[0])
	k.options = options
	return k
}

func truth(name, help string) key { return plain(formFlag)(name, help, "true").or("false") }

func factor(name, help string, lo, hi int, absent string) key {
	return counted(formNumber)(name, help, lo, hi, absent).or(absent)
}

func (k key) must() key                 { k.needed, k.absent = true, ""; return k }
func (k key) mustWhen(when string) key  { k.needs = when; return k }
func (k key) plusMinus() key            { k.measured = true; return k }
func (k key) version(n int) key         { k.since = n; return k }
func (k key) exactly(n int) key         { k.items = n; return k }
func (k key) orEmpty() key              { k.noItems = true; return k }
func (k key) meaning(marks ...mark) key { k.marks = marks; return k }
func (k key) ofOld() key                { k.old = true; return k }
func (k key) inOneLine() key            { k.oneLine = true; return k }

// only says for which choices of another key, such as a survey's instrument, one counts.
func (k key) only(by ...string) key { k.by = by; return k }

// needed with every choice that it counts for.
const then = "then"

// or says what is taken without the key: a quantity, of each in a list, and what there is to
// say of it; in words alone it is 0, or +Inf where there is no limit.
func (k key) or(absent string) key {
	k.absent, k.without = absent, 0
	if absent == noLimit {
		k.without = math.Inf(1)
	}
	if quantity, _, _ := strings.Cut(strings.TrimSuffix(absent, " both"), ","); k.want.kind != nil {
		if v, err := k.want.kind.Parse(quantity); err == nil {
			k.without = v
		}
	}
	return k
}

const noLimit = "no limit"

// usually says beyond which values a quantity or a plain number is asked about.
func (k key) usually(lo, hi string) key {
	read := k.want.must
	if k.form == formNumber {
		read = plainNumber
	}
	k.usual, k.from, k.upTo = [2]string{lo, hi}, read(lo), read(hi)
	return k
}

// plainNumber reads a number that this program wrote.
func plainNumber(text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		panic(err)
	}
	return v
}

func (k key) isTable() bool { return k.form == formTable || k.form == formTables }

// below returns the key of this name in a table; nil when there is none.
func (k *key) below(name string) *key {
	if i := slices.IndexFunc(k.keys, func(k key) bool { return k.name == name }); i >= 0 {
		return &k.keys[i]
	}
	return nil
}

// names returns the keys of a table as this version has them.
func (k *key) names() (names []string) {
	for _, below := range k.keys {
		if !below.old {
			names = append(names, below.name)
		}
	}
	return names
}

// assignment shows the key with its example, as one writes it: length = "3900 mm".
func (k *key) assignment() string { return k.name + " = " + k.value() }

// value shows the key's example as one writes it behind the =.
func (k *key) value() string {
	switch k.form {
	case formText, formChoice, formQuantity, formDay:
		return `"` + k.example + `"`
	case formTable:
		return "{ " + strings.Join(k.pairs(), ", ") + " }"
	case formTables:
		return "[{ " + strings.Join(k.pairs(), ", ") + " }]"
	}
	return k.example
}

// pairs returns the keys of a small table that stands in one line.
func (k *key) pairs() (list []string) {
	for _, below := range k.keys {
		list = append(list, below.assignment())
	}
	return list
}

// header is how the table at a path is begun.
func (k *key) header(path string) string {
	if k.form == formTables {
		return "[[" + path + "]]"
	}
	return "[" + path + "]"
}

// want says which quantities are taken.
type want struct {
	kind        *unit.Kind
	least, most string  // as people write them
	lo, hi      float64 // the same in SI
	beyond      string  // how to write it right when it is too much; "" for the usual words
}

// between wants a quantity from least to most.
func between(k *unit.Kind, least, most string) want {
	w := want{kind: k, least: least, most: most}
	w.lo, w.hi = w.must(least), w.must(most)
	return w
}

// upTo wants a quantity of zero or above.
func upTo(k *unit.Kind, most string) want { return between(k, "0 "+k.Names()[0], most) }

// within wants a quantity no further from zero than most.
func within(k *unit.Kind, most string) want { return between(k, "-"+most, most) }

// orElse is the want with its own words for what is too much.
func (w want) orElse(hint string) want { w.beyond = hint; return w }

func (w want) must(text string) float64 {
	v, err := w.kind.Parse(text)
	if err != nil {
		panic(err)
	}
	return v
}

// check says how what lies outside the want is written right; nil inside.
func (w want) check(text string, v float64) *unit.Fault {
	beyond := v > w.hi && !math.IsInf(v, 1) // no limit holds for "rigid"
	switch text = unit.Quote(text); {
	case v < w.lo && w.lo == 0:
		return unit.Wrong("write zero or more", "%s is below zero", text)
	case v <= 0 && w.lo > 0:
		return unit.Wrong("write more than zero", "%s is not above zero", text)
	case (v < w.lo || beyond) && w.beyond != "":
		return unit.Wrong(w.beyond, "%s is too much", text)
	case v < w.lo:
		return unit.Wrong("write "+w.least+" or more; check the unit", "%s is too small", text)
	case beyond:
		return unit.Wrong("write "+w.most+" or less; check the unit", "%s is too much", text)
	}
	return nil
}
