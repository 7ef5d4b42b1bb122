package test

import (
	"math"
	"reflect"
	"strings"

	"footwork/reports"

	"pgregory.net/rapid"
)

// filler fills a view at random: long and strange names, numbers of many
// sizes, curves of one length, 0 to 40 feet.
type filler struct {
	t        *rapid.T
	stations int
	counts   map[string]int // of the things in a list, by their type
	largest  int            // power of ten of the largest number
}

var names = rapid.OneOf(
	rapid.String(),
	rapid.StringMatching(`[A-Z][0-9]{1,2}`),
	rapid.SampledFrom([]string{"", "front", "床の前側の案内面", "ø\u202eé́ e\x1b[31m\n\ttab", strings.Repeat("a very long name ", 12), strings.Repeat("長", 90), strings.Repeat("x", 200)}),
)

func (f *filler) number() float64 {
	size := rapid.IntRange(-12, f.largest).Draw(f.t, "power")
	return rapid.Float64Range(-10, 10).Draw(f.t, "number") * math.Pow10(size)
}

// count returns how many things of a type every list of them holds.
func (f *filler) count(of reflect.Type) int {
	most := map[string]int{"FootLoad": 40, "FootEstimate": 40, "NamedLoad": 40, "feet": 40, "Move": 6, "Step": 9}
	name := of.Name()
	switch {
	case name == "PathPoint":
		return f.stations
	case name == "string":
		name = "feet"
	}
	if _, ok := f.counts[name]; !ok {
		f.counts[name] = rapid.IntRange(0, max(3, most[name])).Draw(f.t, name)
	}
	return f.counts[name]
}

func (f *filler) fill(v reflect.Value, key string) {
	switch v.Kind() {
	case reflect.Float64:
		v.SetFloat(f.number())
	case reflect.Int:
		v.SetInt(int64(rapid.IntRange(-1, 40).Draw(f.t, key)))
	case reflect.Bool:
		v.SetBool(rapid.Bool().Draw(f.t, key))
	case reflect.String:
		v.SetString(names.Draw(f.t, key))
	case reflect.Interface:
		v.Set(reflect.ValueOf(names.Draw(f.t, key)))
	case reflect.Pointer:
		if rapid.Bool().Draw(f.t, key) {
			v.Set(reflect.New(v.Type().Elem()))
			f.fill(v.Elem(), key)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			f.fill(v.Field(i), v.Type().Field(i).Name)
		}
	case reflect.Array:
		for i := range v.Len() {
			f.fill(v.Index(i), key)
		}
	case reflect.Slice:
		f.list(v, key)
	}
}

func (f *filler) list(v reflect.Value, key string) {
	n := f.stations
	if k := v.Type().Elem().Kind(); k != reflect.Float64 && k != reflect.Slice && !(key == "Feet" && k == reflect.String) { // as many feet as columns
		n = f.count(v.Type().Elem())
	}
	if n > 0 {
		v.Set(reflect.MakeSlice(v.Type(), n, n))
	}
	x := f.number()
	for i := range n {
		f.fill(v.Index(i), key)
		if key == "X" || key == "TableAt" || key == "At" {
			x += rapid.Float64Range(0.01, 1).Draw(f.t, "step") * math.Max(1, math.Abs(x))
			v.Index(i).SetFloat(x)
		}
	}
}

// anyAnswer returns an answer of any kind; its largest number has so many powers of ten.
func anyAnswer(t *rapid.T, largest int) reports.View {
	one := rapid.SampledFrom(answers()).Draw(t, "kind")
	v := reflect.New(reflect.TypeOf(one.View))
	f := &filler{t, rapid.IntRange(0, 12).Draw(t, "stations"), map[string]int{}, largest}
	f.fill(v.Elem(), "")
	return v.Elem().Interface().(reports.View)
}
