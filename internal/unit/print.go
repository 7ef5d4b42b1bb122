package unit

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// System is what people read first.
type System int

const (
	Metric System = iota
	Inches
)

// String returns the word of the job file: "metric" or "inch".
func (s System) String() string { return pick(s, "metric", "inch") }

func pick[T any](s System, metric, inch T) T {
	if s == Inches {
		return inch
	}
	return metric
}

// Display is how one dimension is shown: one unit and as many decimals as a
// person uses.
type Display struct {
	Unit     string  `json:"unit"`
	One      float64 `json:"one"` // SI value of one Unit
	Decimals int     `json:"digits"`
	Trim     bool    `json:"trim,omitempty"` // drop zeros at the end of the decimals
}

// Value returns the SI value v in the displayed unit.
func (d Display) Value(v float64) float64 { return v / d.One }

// Number returns the SI value v as digits alone, for columns under a heading. What lies in the middle
// of two goes away from zero, as a person rounds and as the page's script does: 92.5 % is 93 %.
func (d Display) Number(v float64) string {
	value := d.Value(v)
	text := strconv.FormatFloat(math.Nextafter(value, math.Copysign(math.Inf(1), value)), 'f', d.Decimals, 64)
	if d.Trim && strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if strings.Trim(text, "-0.") == "" {
		text = strings.TrimPrefix(text, "-")
	}
	return text
}

// Fine returns d with up to three decimals more where v would print as nothing
// though it is something: 0.02 µm, not 0.0 µm.
func (d Display) Fine(v float64) Display {
	for fine := d; fine.Decimals <= d.Decimals+3; fine.Decimals++ {
		if strings.ContainsAny(fine.Number(v), "123456789") {
			return fine
		}
	}
	return d
}

// Text returns the SI value v with its unit.
func (d Display) Text(v float64) string { return fmt.Sprintf("%s %s", d.Number(v), d.Unit) }

// Height shows the small heights of ways and feet: 12.3 µm, 0.48 thou.
func (s System) Height() Display {
	return pick(s, Display{Unit: "µm", One: UM, Decimals: 1}, Display{Unit: "thou", One: Thou, Decimals: 2})
}

// Length shows places and sizes: 1950 mm, 76.77 in.
func (s System) Length() Display {
	return pick(s, Display{Unit: "mm", One: MM, Decimals: 1, Trim: true}, Display{Unit: "in", One: Inch, Decimals: 2, Trim: true})
}

// Force shows loads of which the largest is given: 3.10 kN, 697 lbf, 85 N.
func (s System) Force(largest float64) Display {
	if math.Abs(largest) < KN {
		return pick(s, Display{Unit: "N", One: 1}, Display{Unit: "lbf", One: Lbf, Decimals: 1})
	}
	return pick(s, Display{Unit: "kN", One: KN, Decimals: 2}, Display{Unit: "lbf", One: Lbf})
}

// Mass shows a weight as scales do: 2100 kg, 4630 lb.
func (s System) Mass() Display {
	return pick(s, Display{Unit: "kg", One: KG}, Display{Unit: "lb", One: Lbf})
}
