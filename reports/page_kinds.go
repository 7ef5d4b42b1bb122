package reports

import (
	"fmt"
	"html/template"
	"math"
	"strconv"
	"strings"

	"footwork/internal/unit"
)

// Kind says what a number on the page is, and so in which units it is shown.
type Kind string

const (
	Height     Kind = "height"     // of a way or a foot
	Along      Kind = "along"      // places along and across the bed
	Spot       Kind = "spot"       // a place to the whole millimetre
	Swing      Kind = "swing"      // of a handle
	Force      Kind = "force"      // weights and loads
	Pressure   Kind = "pressure"   // force per length
	Slope      Kind = "slope"      //
	Degrees    Kind = "degrees"    // of a screw, from radians
	Kelvin     Kind = "kelvin"     // temperature differences
	Stiffness  Kind = "stiffness"  // of a foot
	Volume     Kind = "volume"     // of metal
	Hours      Kind = "hours"      // from seconds
	Modulus    Kind = "modulus"    //
	Density    Kind = "density"    //
	Expansion  Kind = "expansion"  //
	AreaOf     Kind = "area"       //
	Inertia    Kind = "inertia"    // second moments and torsion constants
	PlainShare Kind = "percent"    // a share of one
	PlainRatio Kind = "ratio"      // a factor
	Count      Kind = "count"      //
	Bending    Kind = "bending"    // EI
	LineStiff  Kind = "line_stiff" // stiffness per length
)

// shown holds how a kind is printed in both systems; the page's script reads
// the same table.
type shown struct {
	Metric printed `json:"metric"`
	Inch   printed `json:"inch"`
}

// printed is a unit.Display as the script reads it.
type printed struct {
	Unit   string  `json:"unit"`
	One    float64 `json:"one"`
	Digits int     `json:"digits"`
	Trim   bool    `json:"trim,omitempty"`
}

func by(show func(unit.System) unit.Display) shown {
	p := func(d unit.Display) printed { return printed{d.Unit, d.One, d.Decimals, d.Trim} }
	return shown{p(show(unit.Metric)), p(show(unit.Inches))}
}

func same(p printed) shown { return shown{p, p} }

func in(u string, one float64, digits int) printed { return printed{Unit: u, One: one, Digits: digits} }

var kinds = map[Kind]shown{
	Height:     by(unit.System.Height),
	Along:      by(unit.System.Length),
	Spot:       {in("mm", unit.MM, 0), in("in", unit.Inch, 1)},
	Swing:      {in("mm", unit.MM, 0), in("in", unit.Inch, 1)},
	Force:      by(func(s unit.System) unit.Display { return s.Force(unit.KN) }),
	Pressure:   {in("N/mm", 1e3, 2), in("lbf/in", unit.Lbf/unit.Inch, 1)},
	Slope:      by(unit.System.Angle),
	Degrees:    same(printed{Unit: "°", One: math.Pi / 180, Digits: 1, Trim: true}),
	Kelvin:     by(unit.System.TempDiff),
	Stiffness:  {in("kN/µm", 1e9, 2), in("lbf/thou", unit.Lbf/unit.Thou, 0)},
	Volume:     by(unit.System.Volume),
	Hours:      same(in("h", 3600, 1)),
	Modulus:    {in("GPa", unit.GPa, 0), in("Mpsi", 1e6*unit.Psi, 1)},
	Density:    {in("kg/m³", 1, 0), in("lb/in³", unit.Lbf/unit.G0/(unit.Inch*unit.Inch*unit.Inch), 3)},
	Expansion:  {in("µm/(m·K)", 1e-6, 1), in("µin/(in·°F)", 1.8e-6, 1)},
	AreaOf:     {in("cm²", 1e-4, 1), in("in²", unit.Inch*unit.Inch, 1)},
	Inertia:    {in("cm⁴", unit.CM4, 0), in("in⁴", unit.Inch*unit.Inch*unit.Inch*unit.Inch, 0)},
	PlainShare: same(in("%", 0.01, 0)),
	PlainRatio: same(in("", 1, 2)),
	Count:      same(in("", 1, 0)),
	Bending:    {in("MN·m²", 1e6, 2), in("10⁹ lbf·in²", 1e9*unit.Lbf*unit.Inch*unit.Inch, 2)},
	LineStiff:  {in("kN/µm/m", 1e9, 2), in("lbf/thou/in", unit.Lbf/unit.Thou/unit.Inch, 0)},
}

// in returns how the kind is printed in a system. An unknown kind is our mistake.
func (k Kind) in(u unit.System) printed {
	s, ok := kinds[k]
	if !ok {
		panic("reports: no kind " + string(k))
	}
	if u == unit.Inches {
		return s.Inch
	}
	return s.Metric
}

// number returns v (SI) in figures, with a true minus and never "−0".
func (p printed) number(v float64, signed, fine bool) string {
	d := unit.Display{One: p.One, Decimals: p.Digits, Trim: p.Trim}
	if fine {
		d = d.Fine(v)
	}
	s := d.Number(v)
	digits := strings.TrimPrefix(s, "-")
	switch zero := strings.Trim(digits, "0.") == ""; {
	case zero:
		return digits
	case digits != s:
		return "−" + digits
	case signed:
		return "+" + digits
	}
	return s
}

// quantity is a number on the page: its element carries the SI value, so that
// the script can print it anew.
type quantity struct {
	kind   Kind
	value  float64
	bare   bool // without its unit
	signed bool
	fine   bool          // more decimals rather than print as nothing
	ref    *Straightness // follow the reference line that is chosen
}

func q(k Kind, v float64) quantity      { return quantity{kind: k, value: v} }
func bare(k Kind, v float64) quantity   { return quantity{kind: k, value: v, bare: true} }
func signed(k Kind, v float64) quantity { return quantity{kind: k, value: v, signed: true} }

// give is what a quantity may be wrong by, about 95 %, from its standard uncertainty.
func give(k Kind, sigma float64) quantity { return quantity{kind: k, value: 2 * sigma, fine: true} }

func bareGive(k Kind, sigma float64) quantity {
	return quantity{kind: k, value: 2 * sigma, fine: true, bare: true}
}

// straight is a straightness that follows the reference line that is chosen.
func straight(s Straightness) quantity {
	return quantity{kind: Height, value: s.MinimumZone, ref: &s}
}

// text returns the quantity for people.
func (q quantity) text(units unit.System) string {
	p := q.kind.in(units)
	s := p.number(q.value, q.signed, q.fine)
	switch {
	case q.bare || p.Unit == "":
		return s
	case p.Unit == "°":
		return s + p.Unit
	}
	return s + "\u00a0" + p.Unit
}

// attributes returns what the script needs to print the quantity anew.
func (q quantity) attributes() string {
	a := fmt.Sprintf(`data-k="%s" data-v="%s"`, q.kind, figure9(q.value))
	if q.bare {
		a += ` data-bare="1"`
	}
	if q.signed {
		a += ` data-signed="1"`
	}
	if q.fine {
		a += ` data-fine="1"`
	}
	if q.ref != nil {
		a += fmt.Sprintf(` data-ends="%s" data-least="%s" data-zone="%s"`,
			figure9(q.ref.Ends), figure9(q.ref.LeastSquares), figure9(q.ref.MinimumZone))
	}
	return a
}

func (q quantity) html(units unit.System) template.HTML {
	return template.HTML(fmt.Sprintf(`<data value="%s" %s>%s</data>`,
		figure9(q.value), q.attributes(), template.HTMLEscapeString(q.text(units))))
}

func figure9(v float64) string { return strconv.FormatFloat(v, 'g', 9, 64) }

// unitOf stands for the unit's name itself, as in the head of a table.
type unitOf Kind

func (u unitOf) html(units unit.System) template.HTML { return u.within("span", units) }

// within returns the unit in an element of that name: span, or tspan in a drawing.
func (u unitOf) within(element string, units unit.System) template.HTML {
	return template.HTML(fmt.Sprintf(`<%[3]s data-unit="%[1]s">%[2]s</%[3]s>`,
		u, template.HTMLEscapeString(Kind(u).in(units).Unit), element))
}
