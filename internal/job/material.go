package job

import (
	"slices"
	"strings"

	"footwork/beam/casting"
	"footwork/internal/unit"
)

// span is the range that a source gives; a lone figure has both ends alike.
type span struct{ low, high float64 }

func (s span) middle() float64 { return (s.low + s.high) / 2 }

// stock is a material as published, in the units of its source.
type stock struct {
	name      string
	modulus   span // GPa
	shear     span // G over E
	density   span // kg/m³
	expansion span // 1e-6/K
	source    string
}

func same(v float64) span { return span{v, v} }

// bothPoisson returns G/E = 1/2(1+ν) for the range of Poisson's ratio.
func bothPoisson(low, high float64) span { return span{1 / (2 * (1 + high)), 1 / (2 * (1 + low))} }

const (
	en1561 = "EN 1561 Annex A: modulus and Poisson's ratio 0.26 as reprinted by a foundry, density and expansion from memory"
	a48    = "ASTM A48 classes, modulus as in Machinery's Handbook (1e6 psi) with G = 0.40 E; density and expansion ASM Metals Handbook Vol. 1, from memory"
	en1563 = "EN 1563:1997: modulus and density; Poisson's ratio 0.275 and expansion from memory"
)

func gjl(name string, low, high, density float64) stock {
	return stock{name, span{low, high}, bothPoisson(0.26, 0.26), same(density), same(11.7), en1561}
}

func class(name string, mpsi float64) stock {
	return stock{name, same(mpsi * 1e6 * unit.Psi / unit.GPa), same(0.40), same(7150), span{10.5, 11.5}, a48}
}

func gjs(name string, modulus, density float64) stock {
	return stock{name, same(modulus), bothPoisson(0.275, 0.275), same(density), same(12.5), en1563}
}

// materials are starting values. Iron of one class differs by a tenth and more
// between sources and castings, and the modulus of grey iron falls with stress:
// a survey before and after a known move tells the bed's own.
var materials = []stock{
	gjl("GJL-150", 78, 103, 7100), gjl("GJL-200", 88, 113, 7150), gjl("GJL-250", 103, 118, 7200),
	gjl("GJL-300", 108, 137, 7250), gjl("GJL-350", 123, 143, 7300),
	class("grey iron 20", 11.6), class("grey iron 25", 14.2), class("grey iron 30", 14.5), class("grey iron 35", 16.0),
	class("grey iron 40", 17), class("grey iron 50", 18), class("grey iron 60", 19.9),
	gjs("GJS-400", 169, 7100), gjs("GJS-600", 174, 7200), gjs("GJS-700", 176, 7200),
	{"steel", span{205, 210}, bothPoisson(0.29, 0.30), same(7850), span{11.5, 12}, "EN 1993-1-1 and general tables, from memory"},
	{"polymer concrete", span{35, 45}, bothPoisson(0.25, 0.30), span{2300, 2400}, same(6.8 * 1.8), "maker's static properties of mineral casting; expansion 6.8e-6/°F from a grinding handbook, Table 15.1"},
	{"granite", span{50, 100}, bothPoisson(0.2, 0.3), span{2650, 3050}, span{4, 7}, "general tables, from memory; expansion from a granite maker's note"},
}

// material reads the bed's material by name, by its constants, or by name with
// some constants put right; a modulus put right takes the shear modulus along.
func (b *builder) material(r *reader) casting.Material {
	var m casting.Material
	if name := r.text("material"); name != "" {
		m = b.stock(r, name)
	}
	if !r.has("material") {
		if !r.has("modulus") {
			r.require("material")
		} else {
			r.require("shear_modulus", "density", "expansion")
		}
	}
	ratio := m.ShearModulus / m.Modulus // NaN without a material
	m.Modulus = r.quantityOr("modulus", m.Modulus)
	m.ShearModulus = r.quantityOr("shear_modulus", m.Modulus*ratio)
	m.Density = r.quantityOr("density", m.Density)
	m.Expansion = r.quantityOr("expansion", m.Expansion)
	return m
}

func (b *builder) stock(r *reader, name string) casting.Material {
	names := unit.Names(materials, func(s stock) string { return s.name })
	plain := strings.ReplaceAll(strings.TrimPrefix(strings.ToLower(name), "en-"), "gray", "grey")
	i := slices.IndexFunc(names, func(n string) bool { return strings.ToLower(n) == plain })
	if i < 0 {
		hint := "known are " + strings.Join(names, ", ") + "; or give modulus, shear_modulus, density and expansion"
		if near := unit.Nearest(plain, names); near != "" {
			hint = "did you mean " + near + "? " + hint
		}
		r.fault("material", hint, "%s is not in the table of materials", unit.Quote(name))
		return casting.Material{Name: name}
	}
	s := materials[i]
	e := s.modulus.middle() * unit.GPa
	return casting.Material{
		Name: s.name, Modulus: e, ShearModulus: e * s.shear.middle(),
		Density: s.density.middle(), Expansion: s.expansion.middle() * 1e-6,
	}
}

// Published returns how far the published constants of a material of the table spread,
// modulus and shear modulus (Pa), density (kg/m³) and expansion (1/K), and their source.
func Published(name string) (ranges [4][2]float64, source string, ok bool) {
	for _, s := range materials {
		if s.name == name {
			e := span{s.modulus.low * unit.GPa, s.modulus.high * unit.GPa}
			return [4][2]float64{
				{e.low, e.high}, {e.low * s.shear.low, e.high * s.shear.high},
				{s.density.low, s.density.high}, {s.expansion.low * 1e-6, s.expansion.high * 1e-6}}, s.source, true
		}
	}
	return ranges, "", false
}
