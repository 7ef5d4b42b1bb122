package page

import (
	"footwork/reports/doc"
)

// strips draws what is done to each way, or seen on it, in lanes along the bed.
func (p *printer) strips(v *doc.Strips) {
	label := v.Title.In(p.units)
	for _, w := range v.Rows {
		label += "; " + w.Says.In(p.units)
	}
	p.picture("on-bed strips", v.Length, append(v.Title[:len(v.Title):len(v.Title)], v.Key...), label, func(d *svg) { d.strips(v) })
}

func (d *svg) strips(v *doc.Strips) {
	const gap = 2.0
	y := 6.0
	for _, w := range v.Rows {
		tall := max(9, 26/float64(len(w.Lanes)))
		d.name("name", "end", d.x(0)-6, y+10, w.Name, 9)
		for _, lane := range w.Lanes {
			d.rect("stroke", d.x(0), y, d.x(d.length)-d.x(0), tall-gap)
			for _, m := range lane {
				d.mark(m, y, tall-gap)
			}
			y += tall
		}
		y += 10
	}
	for _, f := range v.Feet {
		d.path("tick", "M%.1f %.1fl4 6h-8z", d.x(f.At), y-4)
	}
	d.ruler(y + 4)
	d.h = y + 26
}

// mark draws one stretch: as high as its lane, or the outer half of it above.
func (d *svg) mark(m doc.StripMark, y, h float64) {
	switch m.Across {
	case "outer":
		h /= 2
	case "inner":
		y, h = y+h/2, h/2
	}
	from, to := d.x(max(m.From, 0)), d.x(min(m.To, d.length))
	if m.Kind == doc.Prints { // from a third of the colour to all of it at even bearing
		d.add(`<rect class="mark prints" fill-opacity="%.2f" x="%.1f" y="%.1f" width="%.1f" height="%.1f"/>`, min(1, 0.3+0.7*max(0, m.Strength)), from, y, max(to-from, 0), h)
		return
	}
	d.rect("mark "+string(m.Kind), from, y, to-from, h)
	if m.Kind == doc.Unclear || m.Kind == doc.LeftOut {
		for x := from; x+h <= to; x += 7 {
			d.line("hatch", x, y+h, x+h, y)
			if m.Kind == doc.LeftOut {
				d.line("hatch", x, y, x+h, y+h)
			}
		}
	}
}
