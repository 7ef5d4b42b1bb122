package unit

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// most is the SI value beyond which a number is a slip of the keys: ten
// thousand times the modulus of steel.
const most = 1e15

var number = regexp.MustCompile(`^(\d+(?:\s+|-)\d+/\d+|\d+/\d+|(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)`)

// Parse returns the SI value of a quantity written as one number and unit or as
// a sum of them with ever smaller units ("12 ft 3 1/2 in", 12' 3-1/2"); a sign
// before the first holds for all. Stiffnesses take "rigid" for +Inf. The error is
// a *Fault that shows how to write it.
func (k *Kind) Parse(text string) (float64, error) {
	if len(text) > tooLong {
		return 0, Wrong(k.hint(""), "%s is no %s", Quote(text), k.name)
	}
	v, err := k.sum(text, tidied(text))
	if err != nil && normal(text) != tidied(text) {
		v, err = k.sum(text, normal(text))
	}
	return v, err
}

// sum reads a quantity with one sign for each thing.
func (k *Kind) sum(text, rest string) (float64, error) {
	if k.rigid && strings.EqualFold(rest, "rigid") {
		return math.Inf(1), nil
	}
	sign := 1.0
	if rest != "" && (rest[0] == '-' || rest[0] == '+') {
		if rest[0] == '-' {
			sign = -1
		}
		rest = strings.TrimSpace(rest[1:])
	}
	var sum float64
	for last := math.Inf(1); ; {
		value, factor, tail, err := k.term(text, rest)
		if err != nil {
			return 0, err
		}
		if factor >= last {
			return 0, Wrong(k.hint(""), "%s adds units that do not get smaller", Quote(text))
		}
		if sum, last, rest = sum+value*factor, factor, tail; rest == "" {
			break
		}
		if k == Length && factor == Foot { // 12'-3"
			rest = strings.TrimSpace(strings.TrimPrefix(rest, "-"))
		}
	}
	if sum > most {
		return 0, Wrong("check the number and its unit", "%s is absurdly large", Quote(text))
	}
	return sign * sum, nil
}

var plusMinus = regexp.MustCompile(`±|\+/-|\+-`)

// ParseMeasured returns a quantity and its standard uncertainty, which follows
// behind ± or +/- in a unit of the kind or in %; 0 when there is none. A unit
// behind both holds for both. The error is a *Fault.
func (k *Kind) ParseMeasured(text string) (value, sd float64, err error) {
	both := plusMinus.Split(normal(text[:min(len(text), tooLong)]), 2)
	if len(both) == 1 || len(text) > tooLong {
		value, err = k.Parse(text)
		return value, 0, err
	}
	left, right := strings.TrimSpace(both[0]), strings.TrimSpace(both[1])
	share, wrong := Share.Parse(right)
	if digits := number.FindString(right); digits != "" && wrong != nil && bare.MatchString(left) {
		left += right[len(digits):]
	}
	if value, err = k.Parse(left); err != nil {
		return 0, 0, err
	}
	if sd = math.Abs(value) * share; wrong != nil || k == Share {
		sd, err = k.Parse(right)
	}
	if err == nil && !(sd > 0 && !math.IsInf(value+sd, 0)) {
		err = Wrong("write one, or leave out ±", "%s has no standard uncertainty above zero behind its ±", Quote(text))
	}
	return value, sd, err
}

var bare = regexp.MustCompile(`^[-+]?[\d./eE-]+$`)

// term reads one number with its unit from the front of rest.
func (k *Kind) term(text, rest string) (value, factor float64, tail string, err error) {
	digits := number.FindString(rest)
	if digits == "" {
		return 0, 0, "", Wrong(k.hint(""), "%s is no %s", Quote(text), k.name)
	}
	if value, err = fraction(digits); err != nil {
		return 0, 0, "", Wrong(k.hint(""), "%s: %v", Quote(text), err)
	}
	rest = strings.TrimSpace(rest[len(digits):])
	name := k.unitName(rest)
	switch {
	case name == "" && strings.Contains(normal(text), "ft ") && k == Length:
		return 0, 0, "", Wrong(fmt.Sprintf("write %q", strings.TrimSpace(text)+" in"), "%s has no unit at its end", Quote(text))
	case name == "":
		return 0, 0, "", Wrong(k.hint(strings.TrimSpace(text)), "%s has no unit", Quote(text))
	case name[0] == ',':
		return 0, 0, "", Wrong("write the decimal sign as a point and leave out thousands signs", "%s has a comma in its number", Quote(text))
	case name[0] >= '0' && name[0] <= '9':
		return 0, 0, "", Wrong("leave out blanks between thousands; write a fraction as 3 1/2", "%s has two numbers before its unit", Quote(text))
	}
	if factor, err = k.Unit(name); err != nil {
		return 0, 0, "", err
	}
	return value, factor, strings.TrimSpace(rest[len(name):]), nil
}

// unitName returns the unit's name at the front of rest: up to the next blank, or
// up to the next figure where that makes none (12'3", 12ft3in).
func (k *Kind) unitName(rest string) string {
	fields := strings.Fields(rest)
	if len(fields) == 0 {
		return ""
	}
	if _, err := k.Unit(fields[0]); err == nil {
		return fields[0]
	}
	if short := beforeFigure.FindString(fields[0]); short != "" {
		short = strings.TrimSuffix(short, "-")
		if _, err := k.Unit(short); err == nil {
			return short
		}
	}
	return fields[0]
}

var beforeFigure = regexp.MustCompile(`^[^\d.]+`)

// fraction returns the value of "3.5", "3/4", "3 1/2" or "3-1/2".
func fraction(digits string) (float64, error) {
	whole, top, bottom := "0", "", "1"
	if before, after, ok := strings.Cut(digits, "/"); ok {
		top, bottom = before, after
		if f := strings.FieldsFunc(before, func(r rune) bool { return r < '0' || r > '9' }); len(f) == 2 {
			whole, top = f[0], f[1]
		}
	} else {
		top = digits
	}
	var v [3]float64
	for i, s := range []string{whole, top, bottom} {
		var err error
		if v[i], err = strconv.ParseFloat(s, 64); err != nil {
			return 0, fmt.Errorf("%s is absurdly large", cut(s))
		}
	}
	if v[2] == 0 {
		return 0, fmt.Errorf("a fraction cannot have a zero below the line")
	}
	return v[0] + v[1]/v[2], nil
}

// hint shows how to write a quantity, with the user's own number when it is one.
func (k *Kind) hint(text string) string {
	v, err := strconv.ParseFloat(text, 64)
	if (err != nil && !strings.Contains(text, "/")) || len(text) > 20 {
		text = "12"
	} else if k == Share && v <= 1 { // meant as a part of one
		text = strconv.FormatFloat(100*v, 'g', 6, 64)
	}
	hint := fmt.Sprintf("write it with its unit, for example %q", text+" "+k.examples[0])
	if k.examples[1] != k.examples[0] {
		hint += fmt.Sprintf(" or %q", text+" "+k.examples[1])
	}
	if k.rigid {
		hint += `, or "rigid"`
	}
	return hint
}

// tooLong is more bytes than any quantity that a person writes.
const tooLong = 200
