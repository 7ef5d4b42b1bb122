package unit

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// Error is a quantity that cannot be taken, and how to write it right.
type Error struct{ Message, Hint string }

func (e *Error) Error() string { return e.Message + "; " + e.Hint }

// most is the SI value beyond which a number is a slip of the keys: ten
// thousand times the modulus of steel.
const most = 1e15

var (
	number = regexp.MustCompile(`^(\d+\s+\d+/\d+|\d+/\d+|(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)`)
	tidy   = strings.NewReplacer("μ", "µ", "−", "-", "–", "-", "º", "°", "²", "2", "³", "3", "⁴", "4")
)

// Parse returns the SI value of a quantity written as one number and unit or as
// a sum of them with ever smaller units ("12 ft 3 1/2 in"); a sign before the
// first holds for all. Stiffnesses take "rigid" for +Inf. The error is an
// *Error that shows how to write it.
func (k *Kind) Parse(text string) (float64, error) {
	rest := strings.TrimSpace(tidy.Replace(text))
	if k.rigid && rest == "rigid" {
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
			return 0, &Error{fmt.Sprintf("%q adds units that do not get smaller", text), k.hint("")}
		}
		sum, last, rest = sum+value*factor, factor, tail
		if rest == "" {
			break
		}
	}
	if sum > most {
		return 0, &Error{fmt.Sprintf("%q is absurdly large", text), "check the number and its unit"}
	}
	return sign * sum, nil
}

// term reads one number with its unit from the front of rest.
func (k *Kind) term(text, rest string) (value, factor float64, tail string, err error) {
	digits := number.FindString(rest)
	if digits == "" {
		return 0, 0, "", &Error{fmt.Sprintf("%q is no %s", text, k.name), k.hint("")}
	}
	if value, err = fraction(digits); err != nil {
		return 0, 0, "", &Error{fmt.Sprintf("%q: %v", text, err), k.hint("")}
	}
	rest = strings.TrimSpace(rest[len(digits):])
	name := rest
	if fields := strings.Fields(rest); len(fields) > 0 {
		name = fields[0]
	}
	if name == "" {
		return 0, 0, "", &Error{fmt.Sprintf("%q has no unit", text), k.hint(strings.TrimSpace(text))}
	}
	if factor, err = k.Unit(name); err != nil {
		if name[0] == ',' {
			err = &Error{fmt.Sprintf("%q has a comma in its number", text), "write the decimal sign as a point and leave out thousands signs"}
		}
		return 0, 0, "", err
	}
	return value, factor, strings.TrimSpace(rest[len(name):]), nil
}

// fraction returns the value of "3.5", "3/4" or "3 1/2".
func fraction(digits string) (float64, error) {
	whole, top, bottom := "0", "", "1"
	if before, after, ok := strings.Cut(digits, "/"); ok {
		top, bottom = before, after
		if f := strings.Fields(before); len(f) == 2 {
			whole, top = f[0], f[1]
		}
	} else {
		top = digits
	}
	var v [3]float64
	for i, s := range []string{whole, top, bottom} {
		var err error
		if v[i], err = strconv.ParseFloat(s, 64); err != nil {
			return 0, fmt.Errorf("%s is absurdly large", s)
		}
	}
	if v[2] == 0 {
		return 0, fmt.Errorf("a fraction cannot have a zero below the line")
	}
	return v[0] + v[1]/v[2], nil
}

// spoken are names and marks of units that people write in place of their signs.
var spoken = map[string]string{
	`"`: "in", "″": "in", "”": "in", "''": "in", "inch": "in", "inches": "in", "'": "ft", "′": "ft", "’": "ft", "foot": "ft", "feet": "ft",
	"µ": "µm", "micron": "µm", "microns": "µm", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm",
	"metre": "m", "metres": "m", "meter": "m", "meters": "m", "tonne": "t", "tonnes": "t", "lbs": "lb", "pounds": "lb",
}

// Unit returns the SI value of one unit of this kind. The error, an *Error,
// names the nearest unit or all of them.
func (k *Kind) Unit(name string) (float64, error) {
	name = tidy.Replace(name)
	nearest := spoken[strings.ToLower(name)]
	if !slices.Contains(k.Names(), nearest) {
		nearest = ""
	}
	for _, unit := range k.units {
		for _, n := range unit.names {
			if ascii := strings.Replace(n, "µ", "u", 1); n == name || ascii == name {
				return unit.factor, nil
			} else if strings.EqualFold(n, name) || strings.EqualFold(ascii, name) {
				nearest = n
			}
		}
	}
	hint := "the units of a " + k.name + " are " + strings.Join(k.Names(), ", ")
	if nearest != "" {
		hint = "write " + nearest
	}
	return 0, &Error{fmt.Sprintf("unknown unit %q", name), hint}
}

// Names returns the units of this kind as the program writes them.
func (k *Kind) Names() []string {
	names := make([]string, len(k.units))
	for i, unit := range k.units {
		names[i] = unit.names[0]
	}
	return names
}

// hint shows how to write a quantity, with the user's own number when it is one.
func (k *Kind) hint(text string) string {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil && !strings.Contains(text, "/") {
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
