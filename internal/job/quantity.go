package job

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strconv"

	"footwork/internal/unit"

	"github.com/pelletier/go-toml/v2/unstable"
)

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

// inchUnits are the inch units of the metric ones in examples.
var inchUnits = map[string]struct {
	kind *unit.Kind
	name string
}{
	"mm": {unit.Length, "in"}, "µm": {unit.Length, "thou"}, "cm2": {unit.Area, "in2"}, "cm4": {unit.SecondMoment, "in4"},
	"kg": {unit.Force, "lb"}, "t": {unit.Force, "lb"}, "kN": {unit.Force, "lb"}, "GPa": {unit.Modulus, "Mpsi"},
	"kg/m3": {unit.Density, "lb/in3"}, "kN/µm": {unit.Stiffness, "lbf/thou"}, "kN/µm/m": {unit.LineStiffness, "lbf/thou/in"},
}

var quoted = regexp.MustCompile(`"(-?[0-9.]+) ([^"]+)"`)

// example returns an example, in an inch job with its quantities in inch units
// to two figures.
func (s *source) example(text string) string {
	if !s.inch {
		return text
	}
	return quoted.ReplaceAllStringFunc(text, func(quantity string) string {
		m := quoted.FindStringSubmatch(quantity)
		to, ok := inchUnits[m[2]]
		if !ok {
			return quantity
		}
		w := want{kind: to.kind}
		short := strconv.FormatFloat(w.must(m[1]+" "+m[2])/w.must("1 "+to.name), 'g', 2, 64)
		v, _ := strconv.ParseFloat(short, 64)
		return fmt.Sprintf(`"%s %s"`, strconv.FormatFloat(v, 'f', -1, 64), to.name)
	})
}
