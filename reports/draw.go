package reports

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"footwork/internal/unit"
)

// drawing collects the elements of one SVG picture. Colours and line widths
// come from the style sheet through classes.
type drawing struct {
	b    strings.Builder
	w, h float64
}

func (d *drawing) add(format string, a ...any) { fmt.Fprintf(&d.b, format+"\n", a...) }

func (d *drawing) line(class string, x1, y1, x2, y2 float64) {
	d.add(`<line class="%s" x1="%.1f" y1="%.1f" x2="%.1f" y2="%.1f"/>`, class, x1, y1, x2, y2)
}

func (d *drawing) rect(class string, x, y, w, h float64) {
	d.add(`<rect class="%s" x="%.1f" y="%.1f" width="%.1f" height="%.1f"/>`, class, x, y, max(w, 0), max(h, 0))
}

func (d *drawing) circle(class string, x, y, r float64) {
	d.add(`<circle class="%s" cx="%.1f" cy="%.1f" r="%.1f"/>`, class, x, y, r)
}

// polyline draws a run of points, x and y in turn.
func (d *drawing) polyline(class string, xy []float64) {
	var p strings.Builder
	for i := 0; i+1 < len(xy); i += 2 {
		fmt.Fprintf(&p, "%.1f,%.1f ", xy[i], xy[i+1])
	}
	d.add(`<polyline class="%s" points="%s"/>`, class, strings.TrimSpace(p.String()))
}

// text writes words; anchor is "start", "middle" or "end".
func (d *drawing) text(class, anchor string, x, y float64, s string) {
	d.add(`<text class="%s" text-anchor="%s" x="%.1f" y="%.1f">%s</text>`,
		class, anchor, x, y, template.HTMLEscapeString(s))
}

// quantity writes a number that follows the units of the page.
func (d *drawing) quantity(class, anchor string, x, y float64, q quantity, units unit.System) {
	d.add(`<text class="%s" text-anchor="%s" x="%.1f" y="%.1f" %s>%s</text>`,
		class, anchor, x, y, q.attributes(), template.HTMLEscapeString(q.text(units)))
}

// tspan is a quantity within a text.
func tspan(q quantity, units unit.System) string {
	return fmt.Sprintf("<tspan %s>%s</tspan>", q.attributes(), template.HTMLEscapeString(q.text(units)))
}

// arrowUp draws a load arrow whose tip is at (x, y).
func (d *drawing) arrowUp(class string, x, y, length float64) {
	if length < 1 {
		return
	}
	d.line(class, x, y+length, x, y+min(5, length))
	d.add(`<path class="%s head" d="M%.1f %.1f l-4 8 h8 z"/>`, class, x, y)
}

func (d *drawing) arrowDown(class string, x, y, length float64) {
	d.line(class, x, y-length, x, y-5)
	d.add(`<path class="%s head" d="M%.1f %.1f l-4 -8 h8 z"/>`, class, x, y)
}

// svg returns the picture; label is read out in its place.
func (d *drawing) svg(class, label string) template.HTML {
	l := template.HTMLEscapeString(label)
	return template.HTML(fmt.Sprintf(
		`<svg class="drawing %s" viewBox="0 0 %.0f %.0f" role="img" aria-label="%s">%s</svg>`,
		class, d.w, d.h, l, d.b.String()))
}

// both returns the same picture drawn for a wide and for a narrow page; the
// style sheet shows one of them.
func both(draw func(width float64) *drawing, label string) template.HTML {
	return draw(960).svg("wide", label) + draw(380).svg("narrow", label)
}

// ruler draws a scale of places in both systems; the page shows one.
func (d *drawing) ruler(x func(float64) float64, y, perMetre, from, to float64) {
	for _, units := range []unit.System{unit.Metric, unit.Inches} {
		p := Along.in(units)
		d.add(`<g class="only-%s">`, units)
		most := max(3, perMetre*(to-from)/90)
		step := niceStep((to-from)/p.One/most) * p.One
		d.line("thin", x(from), y, x(to), y)
		for i := math.Ceil(from/step - 1e-9); i*step <= to+1e-4*(to-from); i++ {
			d.line("thin", x(i*step), y-4, x(i*step), y+4)
			d.text("tick", "middle", x(i*step), y+17, Along.in(units).number(i*step, false, false))
		}
		d.text("tick", "end", d.w-6, y+17, p.Unit)
		d.add(`</g>`)
	}
}

// heightBar draws a bar of a round height in both systems.
func (d *drawing) heightBar(x, y, perMetre float64) {
	for _, units := range []unit.System{unit.Metric, unit.Inches} {
		p := Height.in(units)
		size := niceStep(24/p.One/perMetre) * p.One
		d.add(`<g class="only-%s">`, units)
		d.polyline("thin", []float64{x - 4, y, x + 4, y, x, y, x, y - size*perMetre, x - 4, y - size*perMetre, x + 4, y - size*perMetre})
		d.text("tick", "start", x+8, y-size*perMetre/2+4, fmt.Sprintf("%g %s", figures(size/p.One, 3), p.Unit))
		d.add(`</g>`)
	}
}
