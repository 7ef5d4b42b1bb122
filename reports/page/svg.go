package page

import (
	"fmt"
	"math"
	"strings"

	"footwork/internal/unit"
	"footwork/reports/doc"
)

// svg collects the elements of one picture. Colours and line widths come from the
// style sheet through classes.
type svg struct {
	*printer
	b      strings.Builder
	w, h   float64
	narrow bool
	length float64 // m, of the bed that lies along the picture; 0: none
}

// Widths of the pictures: for a wide page, and for a phone.
const wideWidth, narrowWidth = 860, 360

// x returns where a place on the bed lies; the margins are those of the charts.
func (d *svg) x(at float64) float64 {
	l, r := pick(d.narrow, narrowLeft, left), pick(d.narrow, narrowRight, right)
	return d.w * (l + (1-l-r)*at/d.length)
}

func (d *svg) add(format string, a ...any) { fmt.Fprintf(&d.b, format, a...) }

func (d *svg) line(class string, x1, y1, x2, y2 float64) {
	d.add(`<line class="%s" x1="%.1f" y1="%.1f" x2="%.1f" y2="%.1f"/>`, class, x1, y1, x2, y2)
}

func (d *svg) rect(class string, x, y, w, h float64) {
	d.add(`<rect class="%s" x="%.1f" y="%.1f" width="%.1f" height="%.1f"/>`, class, x, y, max(w, 0), max(h, 0))
}

func (d *svg) path(class, format string, a ...any) {
	d.add(`<path class="%s" d="%s"/>`, class, fmt.Sprintf(format, a...))
}

// text writes words; anchor is "start", "middle" or "end".
func (d *svg) text(class, anchor string, x, y float64, t doc.Text) {
	d.add(`<text class="%s" text-anchor="%s" x="%.1f" y="%.1f">%s</text>`, class, anchor, x, y, d.within("tspan", "tspan", t))
}

// name writes a name cut to some letters.
func (d *svg) name(class, anchor string, x, y float64, s string, most int) {
	if r := []rune(s); len(r) > most {
		s = string(r[:most-1]) + "…"
	}
	d.text(class, anchor, x, y, doc.Text{s})
}

// ruler draws the places along the bed in both systems; the page shows one.
func (d *svg) ruler(y float64) {
	for _, u := range []unit.System{unit.Metric, unit.Inches} {
		along := doc.Along.In(u)
		marks := pick(d.narrow, 4.0, 8)
		step := doc.NiceStep(d.length/along.One/marks) * along.One
		d.add(`<g class="only-%s">`, u)
		d.line("thin", d.x(0), y, d.x(d.length), y)
		for i := 0.0; i*step <= d.length*(1+1e-9); i++ {
			d.line("thin", d.x(i*step), y, d.x(i*step), y+4)
			if d.x(d.length)-d.x(i*step) > 40 || i == 0 {
				d.text("tick", "middle", d.x(i*step), y+16, doc.Text{along.Number(i * step)})
			}
		}
		d.text("tick", "end", d.x(d.length), y+16, doc.Text{along.Unit})
		d.add(`</g>`)
	}
}

// picture writes a drawing for wide and for narrow pages under its caption; draw
// sets the height.
func (p *printer) picture(class string, length float64, title doc.Text, label string, draw func(*svg)) {
	p.add(`<figure class="drawing %s"><figcaption>%s</figcaption>`, class, p.words(title))
	for _, narrow := range []bool{false, true} {
		d := &svg{printer: p, w: pick[float64](narrow, narrowWidth, wideWidth), length: length, narrow: narrow}
		draw(d)
		p.add(`<svg class="%s" viewBox="0 0 %.0f %.0f" role="img" aria-label="%s">%s</svg>`, pick(narrow, "narrow", "wide"), d.w, math.Ceil(d.h), escape(label), d.b.String())
	}
	p.add("</figure>\n")
}

func (p *printer) drawing(b doc.Block) {
	switch v := b.(type) {
	case *doc.Plan:
		p.plan(v)
	case *doc.Bars:
		p.bars(v)
	case *doc.Ranges:
		p.ranges(v)
	case *doc.Strips:
		p.strips(v)
	default:
		panic(fmt.Sprintf("page: no way to draw a %T", b))
	}
}
