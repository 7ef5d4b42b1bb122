package job

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"footwork/internal/unit"

	"github.com/pelletier/go-toml/v2/unstable"
)

// quantity returns the key's SI value; when it is absent what the table says, NaN where it
// says nothing; NaN when it is refused.
func (r *reader) quantity(key string) float64 {
	v, _ := r.measured(key)
	return v
}

// measured is quantity with its standard uncertainty, 0 when it gives none.
func (r *reader) measured(key string) (v, sd float64) {
	k := r.key(key, formQuantity)
	if !r.has(key) {
		return k.without, 0
	}
	if v := r.get(key); v != nil {
		return r.quantityOf(k, v)
	}
	return math.NaN(), 0
}

// quantityOr is quantity for what is something else when absent.
func (r *reader) quantityOr(key string, absent float64) float64 {
	if !r.has(key) {
		return absent
	}
	return r.quantity(key)
}

// maybe is quantity for what may be absent: then it is nil.
func (r *reader) maybe(key string) *float64 {
	if !r.has(key) {
		return nil
	}
	v := r.quantity(key)
	return &v
}

// quantities returns the SI values of a list; lengths in two systems are asked about.
func (r *reader) quantities(name string) []float64 {
	k, inch := r.key(name, formList), 0
	list := each(r, k, func(k *key, v *value) (float64, bool) {
		if k.want.kind == unit.Length && isInch(v.text) {
			inch++
		}
		got, _ := r.quantityOf(k, v)
		return got, true
	})
	if 0 < inch && inch < len(list) {
		r.note(name, "write all of them in one unit", "holds inches among millimetres; they are taken as written")
	}
	return list
}

// pair returns the two SI values of a list of two; when it is absent or refused what the table
// says of each.
func (r *reader) pair(key string) [2]float64 {
	if list := r.quantities(key); len(list) == 2 {
		return [2]float64{list[0], list[1]}
	}
	each := r.key(key).without
	return [2]float64{each, each}
}

// quantityOf reads one value; NaN when it is refused. What is unusual is noted.
func (r *reader) quantityOf(k *key, v *value) (float64, float64) {
	if v.kind != unstable.String && v.kind != unstable.Integer && v.kind != unstable.Float {
		r.report(v.line, r.name(k.name), fmt.Sprintf("write a number and its unit in quotes: %s = \"%s\"", k.name, k.want.kind.Example()), "is %s, not a quantity", kinds[v.kind])
		return math.NaN(), 0
	}
	got, sd, err := k.parsed(v.text)
	var f *unit.Fault
	if err == nil {
		if f = k.want.check(v.text, got); f == nil {
			r.unusual(k, v, got)
			r.values[k.name] = got
			return got, sd
		}
		f.Hint = r.example(f.Hint)
	} else if !errors.As(err, &f) {
		panic(err)
	}
	r.report(v.line, r.name(k.name), f.Hint, "%s", f.Message)
	return math.NaN(), 0
}

// parsed takes a quantity, or a word that stands for one.
func (k *key) parsed(text string) (v, sd float64, err error) {
	for _, m := range k.marks {
		if text == m.word {
			text = m.means
		}
	}
	if k.measured {
		return k.want.kind.ParseMeasured(text)
	}
	v, err = k.want.kind.Parse(text)
	return v, 0, err
}

// words are those that stand for a quantity, SI.
func (k *key) words() map[string]float64 {
	words := map[string]float64{}
	for _, m := range k.marks {
		words[m.word] = k.want.must(m.means)
	}
	return words
}

// read takes a quantity as the table wants it.
func (k *key) read(text string) (float64, error) {
	v, _, err := k.parsed(text)
	if err != nil {
		return 0, err
	}
	if f := k.want.check(text, v); f != nil {
		return 0, f
	}
	return v, nil
}

// tonnes finds what is written in tonnes.
var tonnes = regexp.MustCompile(`\d\s*t$`)

// unusual asks about a value that may be meant but seldom is.
func (r *reader) unusual(k *key, v *value, got float64) {
	lo, hi, hint := k.usual[0], k.usual[1], "check the unit"
	if k.form == formNumber {
		hint = "check the number"
	}
	if r.units == unit.Inches && k.want.kind == unit.Force && tonnes.MatchString(v.text) {
		r.note(k.name, "write short ton for 2,000 lb", "%s is taken as tonnes of 1,000 kg (2,205 lb)", v.quoted())
	}
	switch {
	case !k.outside(got):
	case got < k.from:
		r.note(k.name, hint, "%s is unusually little: %s or more is usual; it is taken as written", v.quoted(), r.example(lo))
	default:
		r.note(k.name, hint, "%s is unusually much: %s or less is usual; it is taken as written", v.quoted(), r.example(hi))
	}
}

// outside tells whether a value lies outside the usual range; what is nothing by intent does not.
func (k *key) outside(v float64) bool {
	return k.usual[0] != "" && v != 0 && (v < k.from || v > k.upTo && !math.IsInf(v, 1))
}

// inchUnits are the inch units of the metric ones in examples.
var inchUnits = map[string]struct {
	kind *unit.Kind
	name string
}{
	"m": {unit.Length, "in"}, "cm": {unit.Length, "in"}, "mm": {unit.Length, "in"}, "µm": {unit.Length, "thou"}, "cm2": {unit.Area, "in2"}, "cm4": {unit.SecondMoment, "in4"},
	"kg": {unit.Force, "lb"}, "t": {unit.Force, "lb"}, "kN": {unit.Force, "lb"}, "GPa": {unit.Modulus, "Mpsi"}, "m6": {unit.Warping, "in6"},
	"kg/m3": {unit.Density, "lb/in3"}, "N/µm": {unit.Stiffness, "lbf/thou"}, "kN/µm": {unit.Stiffness, "lbf/thou"}, "kN/µm/m": {unit.LineStiffness, "lbf/thou/in"},
	"K": {unit.TempDiff, "°F"}, "/K": {unit.Expansion, "/°F"}, "mm/m": {unit.Slope, "in/ft"},
}

var inQuotes = regexp.MustCompile(`(-?[0-9.]+(?:e-?[0-9]+)?) ([^" ,;]+)`)

// example returns an example in the units of the job.
func (s *source) example(text string) string { return inSystem(text, s.units) }

// inSystem returns a text with its quantities in a system's units, to two figures; one that has
// stretches, 900..1500 mm, stays as it is.
func inSystem(text string, sys unit.System) string {
	if sys == unit.Metric || strings.Contains(text, "..") {
		return text
	}
	return inQuotes.ReplaceAllStringFunc(text, func(quantity string) string {
		m := inQuotes.FindStringSubmatch(quantity)
		to, ok := inchUnits[m[2]]
		if !ok {
			return quantity
		}
		w := want{kind: to.kind}
		return figures(w.must(m[1]+" "+m[2])/w.must("1 "+to.name), 2) + " " + to.name
	})
}

// figures writes a number to so many figures, without an exponent unless it is very small.
func figures(v float64, n int) string {
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', n, 64), 64)
	form := byte('f')
	if math.Abs(v) < 1e-5 && v != 0 {
		form = 'g'
	}
	return strconv.FormatFloat(v, form, -1, 64)
}

// Quantity reads a value as the job file's table wants it at a path such as
// bed.length. The error says how to write it.
func Quantity(path, text string) (float64, error) {
	k := &jobTable
	for _, name := range strings.Split(path, ".") {
		if k = k.below(name); k == nil {
			panic("no such key: " + path)
		}
	}
	return k.read(text)
}
