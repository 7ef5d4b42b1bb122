package job

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"

	"footwork/internal/unit"
	"footwork/survey/log"
)

// text returns the key's text, "" when absent.
func (r *reader) text(key string) string {
	r.key(key, formText, formChoice)
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

// choice returns the key's text, one of its options; the first when absent, ""
// when refused, or absent though it is needed.
func (r *reader) choice(key string) string {
	k := r.key(key, formChoice)
	text := r.text(key)
	switch {
	case text == "" && k.needed:
		return ""
	case text == "":
		return k.options[0]
	case !slices.Contains(k.options, text):
		r.fault(key, `write "`+strings.Join(k.options, `" or "`)+`"`, "%s is none of the choices", unit.Quote(text))
		return ""
	}
	return text
}

// flag returns the key's truth, false when absent.
func (r *reader) flag(key string) bool {
	r.key(key, formFlag)
	v := r.get(key)
	if v != nil && v.kind != unstable.Bool {
		r.fault(key, fmt.Sprintf("write %s = true or %s = false, without quotes", key, key), "is %s, not true or false", kinds[v.kind])
	}
	return v != nil && v.text == "true"
}

// whole returns the key's whole number, nil when absent or refused.
func (r *reader) whole(key string) *int {
	k := r.key(key, formCount)
	if v := r.get(key); v != nil {
		if n, ok := r.wholeOf(k, v); ok {
			return &n
		}
	}
	return nil
}

// wholes returns the whole numbers of a list.
func (r *reader) wholes(key string) []int { return each(r, r.key(key, formCounts), r.wholeOf) }

func (r *reader) wholeOf(k *key, v *value) (n int, ok bool) {
	n, err := strconv.Atoi(v.text)
	if ok = v.kind == unstable.Integer && err == nil && n >= int(k.lo) && n <= int(k.hi); !ok {
		r.report(v.line, r.name(k.name), fmt.Sprintf("write a whole number from %.0f to %.0f without quotes", k.lo, k.hi), "%s is no whole number here", v.quoted())
	}
	return n, ok
}

// quoted shows a value as it was written.
func (v *value) quoted() string {
	switch v.kind {
	case unstable.String:
		return unit.Quote(v.text)
	case unstable.Array, unstable.InlineTable:
		return kinds[v.kind]
	}
	return strings.Trim(unit.Quote(v.text), `"`)
}

// factor returns the key's plain number, its own default when absent.
func (r *reader) factor(key string) float64 {
	k := r.key(key, formNumber)
	absent, v := plainNumber(k.absent), r.get(key)
	if v == nil {
		return absent
	}
	n, err := strconv.ParseFloat(v.text, 64)
	if (v.kind != unstable.Float && v.kind != unstable.Integer) || err != nil || !(n >= k.lo && n <= k.hi) {
		r.fault(key, fmt.Sprintf("write a plain number from %v to %v without quotes", k.lo, k.hi), "%s cannot be taken", v.quoted())
		return absent
	}
	r.unusual(k, v, n)
	return n
}

// dated are the values that may hold a date, with or without a time of day.
var dated = []unstable.Kind{unstable.String, unstable.LocalDate, unstable.LocalDateTime}

// date returns the key's day, with its time of day where it has one.
func (r *reader) date(key string) (m log.Moment) {
	r.key(key, formDay)
	v := r.get(key)
	if v == nil {
		return m
	}
	m, ok := log.ParseMoment(v.text)
	if !ok || !slices.Contains(dated, v.kind) {
		r.fault(key, `write year, month and day: "2026-03-02", or "2026-03-02 14:30"`, "%s is no day", v.quoted())
	}
	return m
}

// list returns the values of a list, none when it is absent or refused.
func (r *reader) list(k *key) []*value {
	v := r.get(k.name)
	switch {
	case v == nil:
		return nil
	case v.kind != unstable.Array || len(v.items) == 0 && !k.noItems:
		r.fault(k.name, "write it in square brackets: "+r.example(k.assignment()), "is no list with something in it")
		return nil
	case len(v.items) > mostTables:
		r.fault(k.name, "", "there are %d of them; %d at most can be taken", len(v.items), mostTables)
		return nil
	case k.items > 0 && len(v.items) != k.items:
		r.fault(k.name, "write "+r.example(k.assignment()), "has %d values, not %d", len(v.items), k.items)
		return nil
	}
	return v.items
}

// texts returns the texts of a list.
func (r *reader) texts(name string) []string {
	return each(r, r.key(name, formTexts), func(k *key, v *value) (string, bool) {
		ok := v.kind == unstable.String && v.text != ""
		if !ok {
			r.report(v.line, r.name(name), "write "+k.assignment(), "%s is no text", v.quoted())
		}
		return v.text, ok
	})
}

// each takes the values of a list, without those that are refused.
func each[T any](r *reader, k *key, take func(*key, *value) (T, bool)) (list []T) {
	for _, v := range r.list(k) {
		if one, ok := take(k, v); ok {
			list = append(list, one)
		}
	}
	return list
}
