// Package start makes a job file to start from, of what a tape measure and a look
// tell of a bed, and sheets for its readings.
package start

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/beam/section"
	"footwork/beam/shape"
	"footwork/internal/job"
	"footwork/internal/unit"
	"footwork/survey"
)

// Sketch is what a tape measure and a look tell of a bed, enough to write a job
// file to start from. Lengths in m, weights in N.
type Sketch struct {
	Units                 unit.System
	Measured              bool // by somebody, not made up in proportion to the length
	Length, Width, Height float64
	Walls                 int     // that run along it: 2, or 3 with one in the middle
	Wall                  float64 // thickness
	Deck, Floor           float64 // thickness of what closes it above and below; 0: open
	StripWide, StripThick float64 // of what stands on the walls under each way
	Ribs                  string  // "", "cross" or "diagonal"
	Pitch, RibThick       float64
	Flat                  bool    // they lie flat as bars, RibThick wide
	BarThick, BarBottom   float64 // of bars; above the underside
	WayCount              int
	WaysApart, WayWide    float64 // m, between the middles of the outer ways; of each bearing surface
	Unworn                string  // where the ways' metal is: "ends", "middle", "left end", "right end"; "": nobody knows
	Pairs                 int     // of feet
	FeetApart             float64 // m, across the bed; 0: under the outer walls
	Adjust                string  // how a foot is moved
	Weight                float64 // of the casting; 0: not known
	TableLength           float64 // 0: no table
	TableWeight           float64
	Stroke                shape.Span        // of the table's left end
	Instrument            survey.Instrument // "": nothing is measured yet
	Base                  float64           // of a carriage or level
	Schema, Stem          string            // file of the schema, "" without; what names of files beside the job begin with
}

// shortest is the shortest bed, m, in whose proportion something sensible can be made up.
const shortest = 0.3

// New returns a bed made up in proportion to its length · as people write it ·
// pairs of feet, 2 to 20 · the system to write in.
func New(length string, pairs int, sys unit.System) (Sketch, error) {
	l, err := job.Quantity("bed.length", length)
	if err == nil && l < shortest {
		err = fmt.Errorf("%s is too small; write 300 mm or more; check the unit", unit.Quote(length))
	}
	if err != nil {
		return Sketch{}, err
	}
	if pairs < 2 || pairs > 20 {
		return Sketch{}, fmt.Errorf("%d pairs of feet; write 2 to 20", pairs)
	}
	wide := min(l, 6) // m; a longer bed is no wider or deeper
	part := func(share float64) float64 { return round(share*wide, sys) }
	s := Sketch{Units: sys, Length: l, Height: part(0.11) + part(0.015), Walls: 2, Wall: part(0.008), StripWide: part(0.04), StripThick: part(0.015),
		WayCount: 2, WaysApart: 2 * part(0.06), WayWide: part(0.03), Pairs: pairs, Adjust: "screw M20x1.5", Pitch: round(l/8, sys), Base: round(l/25, sys), Stem: "bed"}
	s.Width = s.WaysApart + s.Wall
	s.RibThick = s.Wall
	if sys == unit.Inches {
		s.Adjust = "screw 3/4-10"
	}
	return s, nil
}

// Plates returns the section as it is understood: walls between floor and deck,
// with a strip under each way on top.
func (s Sketch) Plates() (plates []section.Plate) {
	side, upright := (s.Width-s.Wall)/2, s.Height-s.Deck-s.Floor-s.StripThick
	offsets := []float64{-side, side}
	if s.Walls == 3 {
		offsets = []float64{-side, 0, side}
	}
	if s.Floor > 0 {
		plates = append(plates, section.Plate{Width: s.Width, Height: s.Floor})
	}
	for _, y := range offsets {
		plates = append(plates, section.Plate{Width: s.Wall, Height: upright, Offset: y, Bottom: s.Floor})
	}
	if s.Deck > 0 {
		plates = append(plates, section.Plate{Width: s.Width, Height: s.Deck, Bottom: s.Floor + upright})
	}
	if s.StripThick > 0 {
		plates = append(plates, s.strips(offsets)...)
	}
	return plates
}

// strips returns what stands under the ways; where one would lie on nothing, a
// plate over all walls.
func (s Sketch) strips(walls []float64) (plates []section.Plate) {
	strip := section.Plate{Width: s.StripWide, Height: s.StripThick, Bottom: s.Height - s.StripThick}
	for _, w := range s.WayList() {
		on := func(wall float64) bool { return math.Abs(wall-w.Offset) < (s.StripWide+s.Wall)/2 }
		if s.Deck == 0 && !slices.ContainsFunc(walls, on) {
			strip.Width, strip.Offset = s.Width, 0
			return []section.Plate{strip}
		}
		strip.Offset = w.Offset
		plates = append(plates, strip)
	}
	return plates
}

// WayList returns the ways, evenly apart.
func (s Sketch) WayList() (ways []casting.Way) {
	names := [][]string{{"front"}, {"front", "back"}, {"front", "middle", "back"}}[min(max(s.WayCount, 1), 3)-1]
	for i, name := range names {
		y := 0.0
		if n := len(names) - 1; n > 0 {
			y = s.WaysApart * (float64(i)/float64(n) - 0.5)
		}
		ways = append(ways, casting.Way{Name: name, Offset: y, Width: s.WayWide})
	}
	return ways
}

// Datum returns what the job file says of where metal is unworn: of one end its outer tenth.
func (s Sketch) Datum() string {
	switch tenth := s.Length / 10; s.Unworn {
	case "left end":
		return s.L(0) + " to " + s.L(tenth)
	case "right end":
		return s.L(s.Length-tenth) + " to " + s.L(s.Length)
	}
	return s.Unworn
}

// FootList returns the feet. Those of a side stand a
// span apart and 0.4 span from the ends: close to the places of least sag of a
// uniform bar on two and on three supports (0.2232 and 0.1424 of its length from
// the ends).
func (s Sketch) FootList() (feet []beam.Foot) {
	span := s.Length / (float64(s.Pairs) - 1 + 2*0.4)
	for i := range 2 * s.Pairs {
		n, letter, y := i%s.Pairs, "F", s.FrontFeet()
		if i >= s.Pairs {
			letter, y = "B", s.Back()
		}
		feet = append(feet, beam.Foot{Name: letter + strconv.Itoa(n+1), At: round((0.4+float64(n))*span, s.Units), Offset: y})
	}
	return feet
}

// FrontFeet returns where the front feet stand across the bed.
func (s Sketch) FrontFeet() float64 { return -cmp.Or(s.FeetApart, s.Width-s.Wall) / 2 }

// Back returns the offset of the back feet.
func (s Sketch) Back() float64 { return -s.FrontFeet() }

// RibRow returns the ribs as the job file has them, evenly to both ends.
func (s Sketch) RibRow() (row struct {
	Kind                                       string
	From, To, Every, Thickness, Height, Bottom float64
}) {
	n := math.Max(1, math.Floor(s.Length/s.Pitch+1e-9))
	if s.Length-n*s.Pitch < s.RibThick && n > 1 {
		n--
	}
	row.Kind, row.Every, row.Thickness = "cross", s.Pitch, s.RibThick
	row.From = (s.Length - n*s.Pitch) / 2
	row.To = row.From + n*s.Pitch
	row.Height, row.Bottom = s.Height-s.Deck-s.Floor-s.StripThick, s.Floor
	if s.Ribs != "" {
		row.Kind = s.Ribs
	}
	if s.Flat {
		row.Height, row.Bottom = s.BarThick, s.BarBottom
	}
	return row
}

// L writes a length, F a weight, in the sketch's units as exactly as people read them.
func (s Sketch) L(v float64) string {
	d := unit.Display{Unit: "mm", One: unit.MM, Decimals: 4, Trim: true}
	if s.Inch() {
		d = unit.Display{Unit: "in", One: unit.Inch, Decimals: 7, Trim: true}
	}
	return d.Text(v)
}

// F writes a weight.
func (s Sketch) F(v float64) string {
	one, name := unit.KG, "kg"
	if s.Inch() {
		one, name = unit.Lbf, "lb"
	}
	short, _ := strconv.ParseFloat(strconv.FormatFloat(v/one, 'g', 4, 64), 64)
	return strconv.FormatFloat(short, 'f', -1, 64) + " " + name
}

// Inch tells whether the sketch is written in inches.
func (s Sketch) Inch() bool { return s.Units == unit.Inches }

// round returns v to what a person writes of a place: 5 mm or a quarter of an
// inch, finer when v is small.
func round(v float64, sys unit.System) float64 {
	step := 5 * unit.MM
	if sys == unit.Inches {
		step = unit.Inch / 4
	}
	for step > math.Abs(v)/5 && step > unit.MM/2 {
		step /= 5
	}
	return math.Round(v/step) * step
}
