package doc

import (
	"math"

	"footwork/internal/unit"
)

// Kind is what a number measures, and so in which units it is shown.
type Kind string

const (
	Height     Kind = "height"      // of a way or a foot
	Along      Kind = "along"       // places along and across the bed
	Spot       Kind = "spot"        // a place to the whole millimetre
	FootAt     Kind = "foot_at"     // where a foot should go
	Force      Kind = "force"       // weights and loads
	SmallForce Kind = "small_force" // those of a light bed
	Pressure   Kind = "pressure"    // force per length
	Slope      Kind = "slope"
	Fall       Kind = "fall"    // slope across the bed, as a height over a length
	Degrees    Kind = "degrees" // of a screw, from radians
	Kelvin     Kind = "kelvin"  // temperature differences
	Stiffness  Kind = "stiffness"
	Volume     Kind = "volume" // of metal
	Hours      Kind = "hours"  // from seconds
	Modulus    Kind = "modulus"
	Density    Kind = "density"
	Expansion  Kind = "expansion"
	Area       Kind = "area"
	Inertia    Kind = "inertia" // second moments and torsion constants
	Percent    Kind = "percent" // a share of one
	Ratio      Kind = "ratio"   // a factor
	Count      Kind = "count"
	Leaf       Kind = "leaf"       // the thickness of a foil
	Bending    Kind = "bending"    // EI
	Warping    Kind = "warping"    // I_ω
	Softness   Kind = "softness"   // of a foot
	LineStiff  Kind = "line_stiff" // stiffness per length
	Reading    Kind = "reading"    // of an instrument, in its own unit
)

const inch4 = unit.Inch * unit.Inch * unit.Inch * unit.Inch

// shown holds how a kind is printed in metric and in inch.
type shown [2]unit.Display

func by(show func(unit.System) unit.Display) shown {
	return shown{show(unit.Metric), show(unit.Inches)}
}

func same(d unit.Display) shown { return shown{d, d} }

func in(u string, one float64, digits int) unit.Display {
	return unit.Display{Unit: u, One: one, Decimals: digits}
}

var kinds = map[Kind]shown{
	Height:     by(unit.System.Height),
	Along:      by(unit.System.Length),
	Spot:       {in("mm", unit.MM, 0), in("in", unit.Inch, 1)},
	FootAt:     {in("mm", unit.MM, 0), in("in", unit.Inch, 2)},
	Force:      by(func(s unit.System) unit.Display { return s.Force(unit.KN) }),
	SmallForce: by(func(s unit.System) unit.Display { return s.Force(0) }),
	Pressure:   {in("N/mm", 1e3, 2), in("lbf/in", unit.Lbf/unit.Inch, 1)},
	Slope:      by(unit.System.Angle),
	Fall:       {in("mm/m", 1e-3, 3), in("thou/ft", unit.Thou/(12*unit.Inch), 2)},
	Degrees:    same(unit.Display{Unit: "°", One: math.Pi / 180, Decimals: 1, Trim: true}),
	Kelvin:     by(unit.System.TempDiff),
	Stiffness:  {in("kN/µm", 1e9, 2), in("lbf/thou", unit.Lbf/unit.Thou, 0)},
	Volume:     by(unit.System.Volume),
	Hours:      same(in("h", 3600, 1)),
	Modulus:    {in("GPa", unit.GPa, 0), in("Mpsi", 1e6*unit.Psi, 1)},
	Density:    {in("kg/m³", 1, 0), in("lb/in³", unit.Lbf/unit.G0/(unit.Inch*unit.Inch*unit.Inch), 3)},
	Expansion:  {in("×10⁻⁶/K", 1e-6, 1), in("×10⁻⁶/°F", 1.8e-6, 1)},
	Area:       {in("cm²", 1e-4, 1), in("in²", unit.Inch*unit.Inch, 1)},
	Inertia:    {in("cm⁴", unit.CM4, 0), in("in⁴", inch4, 0)},
	Percent:    same(in("%", 0.01, 0)),
	Ratio:      same(in("", 1, 2)),
	Count:      same(in("", 1, 0)),
	Leaf:       {in("mm", unit.MM, 2), in("thou", unit.Thou, 1)},
	Warping:    {in("dm⁶", 1e-6, 2), in("×10³ in⁶", 1e3*inch4*unit.Inch*unit.Inch, 1)},
	Softness:   {in("µm/kN", 1e-9, 2), in("thou/klbf", unit.Thou/(1000*unit.Lbf), 3)},
	Bending:    {in("MN·m²", 1e6, 2), in("×10⁹ lbf·in²", 1e9*unit.Lbf*unit.Inch*unit.Inch, 2)},
	Reading:    same(in("", 1, 4)),
	LineStiff:  {in("kN/µm/m", 1e9, 2), in("lbf/thou/in", unit.Lbf/unit.Thou/unit.Inch, 0)},
}

// In returns how the kind is printed in a system. An unknown kind is our mistake.
func (k Kind) In(u unit.System) unit.Display {
	s, ok := kinds[k]
	if !ok {
		panic("doc: no kind " + string(k))
	}
	return s[u]
}

// Kinds returns every kind, for a printer that changes units by itself.
func Kinds() []Kind {
	var all []Kind
	for k := range kinds {
		all = append(all, k)
	}
	return all
}

// lightBed is the weight under which loads are shown to the newton.
const lightBed = 2 * unit.KN

// forceOf returns the kind of the loads of a bed of this weight, N.
func forceOf(weight float64) Kind {
	if weight < lightBed {
		return SmallForce
	}
	return Force
}

// readingDecimals is how many digits of a reading an instrument shows, by its
// unit: a fifth of a division and about a tenth of an arc second (common
// practice, no source).
var readingDecimals = map[string]int{
	"arcsec": 1, "arcmin": 3, "mrad": 4, "µrad": 1, "µm/m": 1, "mm/m": 4, "in/ft": 5, "thou/ft": 2, "div": 2,
	"µm": 1, "mm": 4, "cm": 5, "m": 7, "in": 5, "ft": 6, "thou": 2, "tenths": 1, "µin": 0,
}

// readingDisplay returns how a reading is shown in its own unit.
func readingDisplay(of string) unit.Display {
	decimals, ok := readingDecimals[of]
	if !ok {
		decimals = 4
	}
	return unit.Display{Unit: of, One: 1, Decimals: decimals}
}
