package doc

import (
	"math"

	"footwork/internal/unit"
)

// Kind is what a number measures, and so in which units it is shown.
type Kind string

const inch4 = unit.Inch * unit.Inch * unit.Inch * unit.Inch

// shown is how a kind is printed in metric and in inch.
type shown = [2]unit.Display

func by(show func(unit.System) unit.Display) shown {
	return shown{show(unit.Metric), show(unit.Inches)}
}

func same(d unit.Display) shown { return shown{d, d} }

func in(u string, one float64, digits int) unit.Display {
	return unit.Display{Unit: u, One: one, Decimals: digits}
}

// kinds are those named below.
var kinds = map[Kind]shown{}

func kind(name string, as shown) Kind {
	kinds[Kind(name)] = as
	return Kind(name)
}

var (
	Height     = kind("height", by(unit.System.Height))                                          // of a way or a foot
	Along      = kind("along", by(unit.System.Length))                                           // places along and across the bed
	Spot       = kind("spot", shown{in("mm", unit.MM, 0), in("in", unit.Inch, 1)})               // a place to the whole millimetre
	_          = kind("foot_at", shown{in("mm", unit.MM, 0), in("in", unit.Inch, 2)})            // where a foot should go
	Force      = kind("force", by(func(s unit.System) unit.Display { return s.Force(unit.KN) })) // weights and loads
	smallForce = kind("small_force", by(func(s unit.System) unit.Display { return s.Force(0) })) // those of a light bed
	slope      = kind("slope", same(in("arcsec", unit.ArcSec, 1)))
	_          = kind("fall", shown{in("mm/m", 1e-3, 3), in("thou/ft", unit.Thou/(12*unit.Inch), 2)})        // slope across the bed, as a height over a length
	_          = kind("degrees", same(unit.Display{Unit: "°", One: math.Pi / 180, Decimals: 1, Trim: true})) // of a screw, from radians
	kelvin     = kind("kelvin", shown{in("°C", 1, 2), in("°F", 5./9, 2)})                                    // temperature differences
	volume     = kind("volume", shown{in("ml", 1e-6, 1), in("in³", unit.Inch*unit.Inch*unit.Inch, 2)})       // of metal
	hours      = kind("hours", same(in("h", 3600, 1)))                                                       // from seconds
	modulus    = kind("modulus", shown{in("GPa", unit.GPa, 0), in("Mpsi", 1e6*unit.Psi, 1)})
	density    = kind("density", shown{in("kg/m³", 1, 0), in("lb/in³", unit.Lbf/unit.G0/(unit.Inch*unit.Inch*unit.Inch), 3)})
	expansion  = kind("expansion", shown{in("×10⁻⁶/K", 1e-6, 1), in("×10⁻⁶/°F", 1.8e-6, 1)})
	area       = kind("area", shown{in("cm²", 1e-4, 1), in("in²", unit.Inch*unit.Inch, 1)})
	inertia    = kind("inertia", shown{in("cm⁴", unit.CM4, 0), in("in⁴", inch4, 0)}) // second moments and torsion constants
	percent    = kind("percent", same(in("%", 0.01, 0)))                             // a share of one
	ratio      = kind("ratio", same(in("", 1, 2)))                                   // a factor
	whole      = kind("count", same(in("", 1, 0)))
	_          = kind("leaf", shown{in("mm", unit.MM, 2), in("thou", unit.Thou, 1)})                                  // the thickness of a foil
	bending    = kind("bending", shown{in("MN·m²", 1e6, 2), in("×10⁹ lbf·in²", 1e9*unit.Lbf*unit.Inch*unit.Inch, 2)}) // EI
	warping    = kind("warping", shown{in("dm⁶", 1e-6, 2), in("×10³ in⁶", 1e3*inch4*unit.Inch*unit.Inch, 1)})         // I_ω
	softness   = kind("softness", shown{in("µm/kN", 1e-9, 2), in("thou/klbf", unit.Thou/(1000*unit.Lbf), 3)})         // of a foot
	Reading    = kind("reading", same(in("", 1, 4)))                                                                  // of an instrument, in its own unit
)

// In returns how the kind is printed in a system. An unknown kind is our mistake.
func (k Kind) In(u unit.System) unit.Display {
	s, ok := kinds[k]
	if !ok {
		panic("doc: no kind " + string(k))
	}
	return s[u]
}

// Kinds returns how every kind is shown in metric and in inch, for a printer that changes units
// by itself.
func Kinds() map[Kind][2]unit.Display { return kinds }

// lightBed is the weight under which loads are shown to the newton.
const lightBed = 2 * unit.KN

// forceOf returns the kind of the loads of a bed of this weight, N.
func forceOf(weight float64) Kind { return pick(weight < lightBed, smallForce, Force) }

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
