package reports

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"reflect"
	"strings"
)

// WriteJSON writes an answer as indented JSON with each row of numbers on one line and
// its warnings in words. A list without entries is written as [], never as null. The
// error names the key of a number that JSON cannot hold; then nothing is written.
func WriteJSON(w io.Writer, v View, words func(Warning) string) error {
	j := jsonText{words: words}
	if err := j.value(reflect.ValueOf(v), "", "\n"); err != nil {
		return err
	}
	_, err := io.WriteString(w, j.String()+"\n")
	return err
}

// Finite returns an error that names the first key of v whose number is none.
func Finite(v View) error {
	j := jsonText{words: func(Warning) string { return "" }}
	return j.value(reflect.ValueOf(v), "", "\n")
}

// jsonText is JSON being written; indent holds the line break before a key.
type jsonText struct {
	strings.Builder
	words func(Warning) string
}

func (j *jsonText) value(v reflect.Value, key, indent string) error {
	switch v.Kind() {
	case reflect.Pointer:
		return j.value(v.Elem(), key, indent)
	case reflect.Interface:
		return j.value(reflect.ValueOf(j.words(v.Interface())), key, indent)
	case reflect.Struct:
		return j.object(v, key, indent)
	case reflect.Slice, reflect.Array:
		return j.list(v, key, indent)
	case reflect.Float64:
		if f := v.Float(); math.IsNaN(f) || math.IsInf(f, 0) {
			return fmt.Errorf("%s came out as %v, which is no number: please report the job that led to it", strings.TrimPrefix(key, "."), f)
		}
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

// object writes a struct by the names of its tags.
func (j *jsonText) object(v reflect.Value, key, indent string) error {
	before := "{"
	for i := range v.NumField() {
		f := v.Field(i)
		name, option, _ := strings.Cut(v.Type().Field(i).Tag.Get("json"), ",")
		if name == "-" || f.Kind() == reflect.Pointer && f.IsNil() || option == "omitempty" && (f.IsZero() || f.Kind() == reflect.Slice && f.Len() == 0) {
			continue
		}
		fmt.Fprintf(j, "%s%s  %q: ", before, indent, name)
		if err := j.value(f, key+"."+name, indent+"  "); err != nil {
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

func (j *jsonText) list(v reflect.Value, key, indent string) error {
	step, end := indent+"  ", indent
	if k := v.Type().Elem().Kind(); k == reflect.Float64 || k == reflect.String || v.Len() == 0 {
		step, end = "", ""
	}
	before := "["
	for i := range v.Len() {
		j.WriteString(before + step)
		if err := j.value(v.Index(i), fmt.Sprintf("%s[%d]", key, i), step); err != nil {
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
