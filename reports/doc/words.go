package doc

import (
	"cmp"
	"fmt"
	"math"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"gonum.org/v1/gonum/floats"

	"footwork/internal/unit"
)

// Text is words and quantities in a row: strings, numbers, Quantities, the units
// of kinds (UnitOf) and further Texts.
type Text []any

// UnitOf stands for the name of a kind's unit, as in the head of a table.
type UnitOf Kind

// say returns a sentence, whose places are filled by what follows it in their order: {} by a text,
// number or Quantity as it is, {height} by an SI value of that kind, {bare height} by one without its
// unit, {fine height} by one with more decimals rather than nothing, {± height} by half an interval, which holds in
// about 95 %, {load} by one in the unit that its size asks
// for, {foot|feet} by so many of them, {this|that} by whether it is this, and {%.3g} by a number written so;
// {unit height} is the name of a kind's unit.
func say(sentence string, fill ...any) (t Text) {
	for sentence != "" {
		words, rest, more := strings.Cut(sentence, "{")
		if words != "" {
			t = append(t, words)
		}
		if !more {
			break
		}
		var verb string
		if verb, sentence, _ = strings.Cut(rest, "}"); strings.HasPrefix(verb, "unit ") {
			t = append(t, UnitOf(verb[len("unit "):]))
			continue
		}
		t, fill = append(t, filled(verb, fill[0])...), fill[1:]
	}
	if len(fill) > 0 {
		panic("doc: more than has a place in " + fmt.Sprint(t))
	}
	return t
}

// tell says a sentence of a fact, whose fields fill its places by their names: {Foot}, {Gap height}. What stands in
// ‹ › is said only where the first fact in it is something: above zero, or not empty.
func tell(sentence string, fact any) Text {
	if sentence == "" {
		panic(fmt.Sprintf("doc: no words for %+v", fact))
	}
	of := func(name string) reflect.Value { return reflect.ValueOf(fact).FieldByName(name) }
	sentence = optional.ReplaceAllStringFunc(sentence, func(part string) string {
		v := of(named.FindStringSubmatch(part)[1])
		return pick(v.IsZero() || v.CanFloat() && v.Float() < 0, "", strings.Trim(part, "‹›"))
	})
	var fill []any
	return say(named.ReplaceAllStringFunc(sentence, func(place string) string {
		m := named.FindStringSubmatch(place)
		v := of(m[1]).Interface()
		if names, several := v.([]string); several {
			v = list(names)
		}
		fill = append(fill, v)
		return "{" + m[2] + "}"
	}), fill...)
}

var (
	named    = regexp.MustCompile(`\{(\w+) ?([^}]*)\}`)
	optional = regexp.MustCompile(`‹[^›]*›`)
)

// filled is what stands in one place of a sentence.
func filled(verb string, v any) Text {
	how, kind, _ := strings.Cut(verb, " ")
	one, other, either := strings.Cut(verb, "|")
	so, truth := v.(bool)
	switch {
	case verb == "":
		return Text{v}
	case truth:
		return Text{pick(so, one, other)}
	case either:
		return Text{plural(v.(int), one, other)}
	case verb == "load":
		return Text{small(v.(float64))}
	case verb[0] == '%':
		return Text{fmt.Sprintf(verb, v)}
	case how == "±":
		return give(Kind(kind), v.(float64))
	}
	if n, ok := v.(int); ok {
		v = float64(n)
	}
	return Text{Quantity{Kind: Kind(cmp.Or(kind, how)), Value: v.(float64), Bare: how == "bare", Fine: how == "fine"}}
}

// asText returns a Text as it is, and a sentence without places to fill as one.
func asText(words any) Text {
	if t, ok := words.(Text); ok {
		return t
	}
	return say(words.(string))
}

// also says what is so only on a condition, and nothing else.
func also(so bool, sentence string, fill ...any) Text {
	if so {
		return say(sentence, fill...)
	}
	return nil
}

// pick returns one of two.
func pick[T any](first bool, one, other T) T {
	if first {
		return one
	}
	return other
}

// In returns the text in a system of units, without markup.
func (t Text) In(units unit.System) string {
	var b strings.Builder
	t.Each(func(part any) {
		switch v := part.(type) {
		case Quantity:
			b.WriteString(v.In(units))
		case UnitOf:
			b.WriteString(Kind(v).In(units).Unit)
		default:
			fmt.Fprint(&b, v)
		}
	})
	return b.String()
}

// Each calls f with every part, those of further Texts in their place.
func (t Text) Each(f func(any)) {
	for _, part := range t {
		if inner, ok := part.(Text); ok {
			inner.Each(f)
			continue
		}
		f(part)
	}
}

// Quantity is a number in SI that a printer shows in the units of its kind.
type Quantity struct {
	Kind   Kind
	Value  float64
	Bare   bool // without its unit
	Signed bool // with a plus
	Fine   bool // more decimals rather than print as nothing

	// Reading is the unit of an instrument's reading, which Value is then in: it
	// is read in that unit in every system.
	Reading string
}

func q(k Kind, v float64) Quantity    { return Quantity{Kind: k, Value: v} }
func bare(k Kind, v float64) Quantity { return Quantity{Kind: k, Value: v, Bare: true} }
func fine(k Kind, v float64) Quantity { return Quantity{Kind: k, Value: v, Fine: true} }
func raised(v float64) Quantity       { return Quantity{Kind: Height, Value: v, Bare: true, Signed: true} }
func count(n int) Quantity            { return Quantity{Kind: whole, Value: float64(n)} }
func spread(k Kind, half float64) Quantity {
	return Quantity{Kind: k, Value: half, Fine: true, Bare: true}
}

// reading returns what an instrument shows, with the digits that it has.
func reading(v float64, of string) Quantity { return Quantity{Kind: Reading, Value: v, Reading: of} }
func bareReading(v float64, of string) Quantity {
	return Quantity{Kind: Reading, Value: v, Reading: of, Bare: true}
}

// give returns "± 0.8 µm" of half an interval, which holds in about 95 %.
func give(k Kind, half float64) Text {
	return Text{"±\u00a0", fine(k, half)}
}

// In returns the quantity in a system of units, its unit never parted from it.
func (q Quantity) In(units unit.System) string {
	d := q.Display(units)
	s := q.Digits(d)
	if q.Bare || d.Unit == "" || d.Unit == "°" {
		return s + pick(q.Bare, "", d.Unit)
	}
	return s + "\u00a0" + d.Unit
}

// Display returns how the quantity is shown in a system of units.
func (q Quantity) Display(units unit.System) unit.Display {
	if q.Kind == Reading {
		return readingDisplay(q.Reading)
	}
	return q.Kind.In(units)
}

// Digits returns the number alone as d shows it, with a true minus.
func (q Quantity) Digits(d unit.Display) string {
	if q.Fine {
		d = d.Fine(q.Value)
	}
	s := d.Number(q.Value)
	if len(s) > 9 {
		s = strconv.FormatFloat(d.Value(q.Value), 'g', 3, 64)
	}
	switch {
	case strings.HasPrefix(s, "-"):
		return "−" + s[1:]
	case q.Signed && strings.Trim(s, "0.") != "":
		return "+" + s
	}
	return s
}

// list returns words joined as in a sentence: "a, b and c".
func list(words []string) string { return joined(plainly(words)).In(unit.Metric) }

// plainly returns words alone as Texts.
func plainly(words []string) []Text { return each(words, func(w string) Text { return Text{w} }) }

// each returns f of every one, in their order; nil of none.
func each[A, B any](all []A, f func(A) B) []B {
	if len(all) == 0 {
		return nil
	}
	out := make([]B, len(all))
	for i, a := range all {
		out[i] = f(a)
	}
	return out
}

// joined returns the parts as in a sentence, with commas and an "and".
func joined(parts []Text) Text { return parted(parts, ", ", " and ") }

// parted returns the parts with words between them, others before the last.
func parted(parts []Text, between, last string) (out Text) {
	for i, p := range parts {
		if i > 0 {
			out = append(out, pick(i == len(parts)-1, last, between))
		}
		out = append(out, p)
	}
	return out
}

// total is the sum of a figure of all.
func total[A any](all []A, f func(A) float64) float64 { return floats.Sum(each(all, f)) }

func plural(n int, one, many string) string { return fmt.Sprint(n, " ", pick(n == 1, one, many)) }

// capitalise returns a name with its first letter large.
func capitalise(name string) string {
	r, n := utf8.DecodeRuneInString(name)
	return string(unicode.ToUpper(r)) + name[n:]
}

func largest(v []float64) float64 { return floats.Norm(v, math.Inf(1)) }

// spaced returns at most most indices evenly over n, with both ends.
func spaced(n, most int) []int {
	k := min(n, most)
	out := make([]int, k)
	for i := range out {
		out[i] = i
		if n > most {
			out[i] = i * (n - 1) / (most - 1)
		}
	}
	return out
}

// NiceStep returns the smallest of 1, 2, 5 times a power of ten that is not
// under least.
func NiceStep(least float64) float64 {
	if least <= 0 {
		return 1
	}
	ten := math.Pow(10, math.Floor(math.Log10(least)))
	for _, m := range []float64{1, 2, 5} {
		if m*ten >= least*(1-1e-9) {
			return m * ten
		}
	}
	return 10 * ten
}
