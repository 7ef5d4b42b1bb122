package reports

import (
	"cmp"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"reflect"
	"regexp"
	"strings"

	"footwork/beam/shape"
)

// WriteJSON writes an answer as indented JSON with each row of numbers on one line and
// its warnings in words. A list without entries is written as [], never as null. The
// error is Finite's; then nothing is written.
func WriteJSON(w io.Writer, v any, words func(Warning) string) error {
	if err := Finite(v); err != nil {
		return err
	}
	j := jsonText{words: words}
	if err := j.value(reflect.ValueOf(v), "\n"); err != nil {
		return err
	}
	_, err := io.WriteString(w, j.String()+"\n")
	return err
}

// Finite returns an error that names the first key of v whose number JSON cannot hold.
func Finite(v any) error {
	if key, bad := infinite(reflect.ValueOf(v)); bad != 0 {
		return fmt.Errorf("%s came out as %v, which is no number: please report the job that led to it", strings.TrimPrefix(key, "."), bad)
	}
	return nil
}

// infinite returns the first number that is none, and its key; 0 where there is none.
func infinite(v reflect.Value) (key string, bad float64) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			return infinite(v.Elem())
		}
	case reflect.Struct:
		for _, f := range fields(v) {
			if key, bad = infinite(f.value); bad != 0 {
				return "." + f.key() + key, bad
			}
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			if key, bad = infinite(v.Index(i)); bad != 0 {
				return fmt.Sprintf("[%d]%s", i, key), bad
			}
		}
	case reflect.Float64:
		if f := v.Float(); math.IsNaN(f) || math.IsInf(f, 0) {
			return "", f
		}
	}
	return "", 0
}

// field is a field of a struct and what is in it.
type field struct {
	reflect.StructField
	value reflect.Value
}

// fields lists those that JSON has, of embedded structs each as if it were one's own.
func fields(v reflect.Value) (list []field) {
	for i := range v.NumField() {
		switch f := v.Type().Field(i); {
		case f.Tag.Get("json") == "-":
		case f.Anonymous:
			list = append(list, fields(v.Field(i))...)
		default:
			list = append(list, field{f, v.Field(i)})
		}
	}
	return list
}

var word = regexp.MustCompile(`([a-z])([A-Z])`)

// key is that in JSON: the tag's, or else the field's name in small letters, of_table for OfTable.
func (f field) key() string {
	tag, _, _ := strings.Cut(f.Tag.Get("json"), ",")
	return cmp.Or(tag, strings.ToLower(word.ReplaceAllString(f.Name, "${1}_$2")))
}

// left tells whether a field is left out of JSON.
func (f field) left() bool {
	v := f.value
	return v.Kind() == reflect.Pointer && v.IsNil() ||
		strings.HasSuffix(f.Tag.Get("json"), ",omitempty") && (v.IsZero() || v.Kind() == reflect.Slice && v.Len() == 0)
}

// jsonText is JSON being written; indent holds the line break before a key.
type jsonText struct {
	strings.Builder
	words func(Warning) string
}

func (j *jsonText) value(v reflect.Value, indent string) error {
	switch v.Kind() {
	case reflect.Pointer:
		return j.value(v.Elem(), indent)
	case reflect.Interface:
		return j.value(reflect.ValueOf(j.words(v.Interface())), indent)
	case reflect.Struct:
		if s, ok := v.Interface().(shape.Span); ok {
			return j.value(reflect.ValueOf([2]float64{s.From, s.To}), indent)
		}
		return j.object(v, indent)
	case reflect.Slice, reflect.Array:
		return j.list(v, indent)
	}
	e := json.NewEncoder(trimmed{j})
	e.SetEscapeHTML(false)
	return e.Encode(v.Interface())
}

// trimmed drops the line end that an Encoder adds.
type trimmed struct{ j *jsonText }

func (t trimmed) Write(p []byte) (int, error) {
	t.j.WriteString(strings.TrimSuffix(string(p), "\n"))
	return len(p), nil
}

func (j *jsonText) object(v reflect.Value, indent string) error {
	before := "{"
	for _, f := range fields(v) {
		if f.left() {
			continue
		}
		fmt.Fprintf(j, "%s%s  %q: ", before, indent, f.key())
		if err := j.value(f.value, indent+"  "); err != nil {
			return err
		}
		before = ","
	}
	if before == "{" {
		j.WriteString("{")
		indent = ""
	}
	j.WriteString(indent + "}")
	return nil
}

func (j *jsonText) list(v reflect.Value, indent string) error {
	step, end := indent+"  ", indent
	if k := v.Type().Elem().Kind(); k == reflect.Float64 || k == reflect.String || v.Len() == 0 {
		step, end = "", ""
	}
	before := "["
	for i := range v.Len() {
		j.WriteString(before + step)
		if err := j.value(v.Index(i), step); err != nil {
			return err
		}
		before = ","
	}
	if v.Len() == 0 {
		j.WriteString("[")
	}
	j.WriteString(end + "]")
	return nil
}
