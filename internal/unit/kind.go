// Package unit reads quantities as people write them ("12 ft 3 1/2 in",
// "0.4 thou", "0.02 mm/m") into SI values, and prints SI values for people.
package unit

import "math"

// One of each unit in SI, so that a literal reads 250*unit.MM.
const (
	UM     = 1e-6                 // m
	MM     = 1e-3                 // m
	Inch   = 25.4e-3              // m, exactly (international inch)
	Foot   = 12 * Inch            // m
	Thou   = 1e-3 * Inch          // m
	G0     = 9.80665              // m/s², standard gravity (ISO 80000-3)
	KG     = G0                   // N, the weight of a kilogram
	Lbf    = 0.45359237 * G0      // N, exactly (international pound)
	Tonne  = 1e3 * KG             // N, the weight of 1,000 kg
	KN     = 1e3                  // N
	GPa    = 1e9                  // Pa
	Psi    = Lbf / (Inch * Inch)  // Pa
	CM4    = 1e-8                 // m⁴
	ArcSec = math.Pi / 180 / 3600 // rad
	minute = 60                   // s
)

// Kind is a dimension: the units that a quantity of it may be written in.
type Kind struct {
	name     string
	units    []named
	rigid    bool      // the word "rigid" stands for +Inf
	examples [2]string // units for a bare number: what most people meant
}

// named is a unit with its spellings, the first as the program writes it.
type named struct {
	factor float64 // SI value of one
	names  []string
}

func u(factor float64, names ...string) named { return named{factor, names} }

// The kinds of a job file. Masses are forces at standard gravity; a slope is
// rise over run, taken as its angle in radians (they differ by 3·10⁻¹⁰ at 1 mm/m).
var (
	Length = &Kind{name: "length", examples: [2]string{"mm", "in"}, units: []named{
		u(1, "m"), u(1e-2, "cm"), u(MM, "mm"), u(UM, "µm"),
		u(Foot, "ft"), u(Inch, "in"), u(Thou, "thou"), u(Thou/10, "tenths", "tenth"), u(1e-6*Inch, "µin"),
	}}
	Force = &Kind{name: "weight", examples: [2]string{"kg", "lb"}, units: []named{
		u(1, "N"), u(KN, "kN"), u(KG, "kg", "kgf"), u(Tonne, "t"), u(Lbf, "lb", "lbf"), u(2000*Lbf, "short ton", shortTon),
	}}
	Modulus = &Kind{name: "modulus", examples: [2]string{"GPa", "Mpsi"}, units: []named{
		u(GPa, "GPa"), u(1e6, "MPa"), u(Psi, "psi"), u(1e6*Psi, "Mpsi"),
	}}
	Density = &Kind{name: "density", examples: [2]string{"kg/m3", "lb/in3"}, units: []named{
		u(1, "kg/m3"), u(1e3, "g/cm3"), u(Lbf/G0/(Inch*Inch*Inch), "lb/in3"),
	}}
	Area = &Kind{name: "area", examples: [2]string{"cm2", "in2"}, units: []named{
		u(1, "m2"), u(1e-4, "cm2"), u(1e-6, "mm2"), u(Inch*Inch, "in2"),
	}}
	SecondMoment = &Kind{name: "second moment", examples: [2]string{"cm4", "in4"}, units: []named{
		u(1, "m4"), u(CM4, "cm4"), u(1e-12, "mm4"), u(Inch*Inch*Inch*Inch, "in4"),
	}}
	Warping = &Kind{name: "warping constant", examples: [2]string{"m6", "in6"}, units: []named{
		u(1, "m6"), u(1e-12, "cm6"), u(1e-18, "mm6"), u(Inch*Inch*Inch*Inch*Inch*Inch, "in6"),
	}}
	Stiffness = &Kind{name: "stiffness", examples: [2]string{"kN/mm", "lbf/thou"}, rigid: true, units: []named{
		u(1e6, "N/µm"), u(1e9, "kN/µm"), u(1e3, "N/mm"), u(1e6, "kN/mm"), u(Lbf/Inch, "lbf/in", "lb/in"), u(Lbf/Thou, "lbf/thou", "lb/thou"),
	}}
	LineStiffness = &Kind{name: "stiffness per length", examples: [2]string{"kN/mm/m", "lbf/thou/in"}, rigid: true, units: []named{
		u(1e6, "N/µm/m"), u(1e9, "kN/µm/m"), u(1e3, "N/mm/m"), u(1e6, "kN/mm/m"), u(Lbf/Thou/Inch, "lbf/thou/in", "lb/thou/in"),
	}}
	TempDiff = &Kind{name: "temperature difference", examples: [2]string{"°C", "°F"}, units: []named{
		u(1, "°C", "K", "C"), u(5./9, "°F", "F"),
	}}
	Expansion = &Kind{name: "expansion", examples: [2]string{"/K", "/°F"}, units: []named{
		u(1, "/K", "/°C", "/C"), u(9./5, "/°F", "/F"),
	}}
	Slope = &Kind{name: "slope", examples: [2]string{"arcsec", "mm/m"}, units: []named{
		u(ArcSec, "arcsec"), u(60*ArcSec, "arcmin"), u(1e-3, "mrad"), u(1e-6, "µrad"),
		u(1e-6, "µm/m"), u(1e-3, "mm/m"), u(1./12, "in/ft", "inch/ft", `"/ft`), u(1e-3/12, "thou/ft"),
	}}
	Angle = &Kind{name: "angle", examples: [2]string{"°", "°"}, units: []named{
		u(math.Pi/180, "°", "deg"), u(2*math.Pi, "turn", "turns"), u(math.Pi/3, "flat", "flats"), // of a six-sided nut
	}}
	Time  = &Kind{name: "time", examples: [2]string{"min", "h"}, units: []named{u(minute, "min"), u(60*minute, "h")}}
	Share = &Kind{name: "share", examples: [2]string{"%", "%"}, units: []named{u(1e-2, "%")}}
)

// String returns what the kind is called: "length".
func (k *Kind) String() string { return k.name }

// Example returns a quantity of this kind as one may write it.
func (k *Kind) Example() string { return "12 " + k.examples[0] }
