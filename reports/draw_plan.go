package reports

import (
	"math"

	"footwork/internal/unit"
)

// plan draws the bed from above: ways, feet with their loads, table, weights.
func (s standPicture) plan(width float64) *drawing {
	d := &drawing{w: width, h: 236}
	left := 34.0
	from, to := s.extent()
	perMetre := (width - 2*left) / (to - from)
	x := func(at float64) float64 { return left + (at-from)*perMetre }
	reach := s.reach()
	across := 62 / reach
	y := func(offset float64) float64 { return 112 + offset*across }
	length := s.page.Bed.Length
	d.rect("casting", x(0), y(-reach), x(length)-x(0), y(reach)-y(-reach))
	d.line("centre", x(0)-8, y(0), x(length)+8, y(0))
	for i, w := range s.page.Bed.Ways {
		band := max(w.Width*across, 3)
		d.rect(wayClass(i)+" band", x(0), y(w.Offset)-band/2, x(length)-x(0), band)
	}
	if t := s.page.Table; t != nil {
		at := s.tableAt()
		d.rect("table above", x(at), y(-reach)-5, x(at+t.Length)-x(at), y(reach)-y(-reach)+10)
		d.text("tick halo", "start", x(at)+5, y(0)+4, "table")
	}
	s.planWeights(d, x, y)
	s.planFeet(d, x, y)
	d.ruler(x, d.h-24, perMetre, 0, length)
	d.add(`<text class="note" x="%.1f" y="14">from above; across drawn %.1f times as large as along</text>`, left-20, across/perMetre)
	return d
}

// reach returns the furthest offset of anything on the bed, m.
func (s standPicture) reach() float64 {
	reach := 1e-3
	for _, w := range s.page.Bed.Ways {
		reach = max(reach, math.Abs(w.Offset)+w.Width/2)
	}
	for _, f := range s.sag.Feet {
		reach = max(reach, math.Abs(f.Offset))
	}
	for _, w := range s.allWeights() {
		reach = max(reach, math.Abs(w.Offset))
	}
	return reach * 1.08
}

func (s standPicture) planWeights(d *drawing, x, y func(float64) float64) {
	for _, w := range s.allWeights() {
		cx, cy := x(w.At), y(w.Offset)
		d.rect("weight box", cx-6, cy-6, 12, 12)
		d.line("weight", cx-6, cy-6, cx+6, cy+6)
		d.line("weight", cx-6, cy+6, cx+6, cy-6)
	}
}

func (s standPicture) planFeet(d *drawing, x, y func(float64) float64) {
	most := 1.0
	for _, f := range s.sag.Feet {
		most = max(most, f.Load)
	}
	for _, f := range s.sag.Feet {
		cx, cy := x(f.At), y(f.Offset)
		r := 2 + 9*math.Sqrt(max(f.Load, 0)/most)
		switch s.state(f) {
		case "off":
			d.add(`<path class="foot off" d="M%.1f %.1f l7 7 l-7 7 l-7 -7 z"/>`, cx, cy-7)
		case "light":
			d.circle("foot light", cx, cy, max(r, 5))
		default:
			d.circle("foot", cx, cy, r)
		}
		below := cy - 14
		if f.Offset < 0 {
			below = cy + 24
		}
		words := shortName(f.Name, 5)
		if st := s.state(f); st != "" {
			words += " " + st
		}
		d.text("foot-name halo", "middle", cx, below, words)
	}
}

// placementRow draws one placement: the bed as a bar, its pairs as feet.
func placementRow(length float64, p Placement, units unit.System) func(float64) *drawing {
	return func(width float64) *drawing {
		d := &drawing{w: width, h: 46}
		left := 16.0
		x := func(at float64) float64 { return left + at*(width-2*left)/length }
		d.rect("casting", x(0), 6, x(length)-x(0), 9)
		for i, at := range p.At {
			d.add(`<path class="foot" d="M%.1f 15 l7 13 h-14 z"/>`, x(at))
			if width > 500 || len(p.At) <= 5 || i%2 == 0 {
				d.quantity("tick", "middle", x(at), 42, bare(Spot, at), units)
			}
		}
		return d
	}
}
