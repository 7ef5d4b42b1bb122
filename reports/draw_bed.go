package reports

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"footwork/beam"
)

// standPicture is what the drawings of a standing show.
type standPicture struct {
	page     *Page
	standing *beam.Standing // nil when the job does not hold it
	sag      SagStanding
	light    float64 // N, under which a foot is called light
}

// state returns "" for a foot that carries, "light" or "off".
func (s standPicture) state(f FootLoad) string {
	if f.Lifted {
		return "off"
	}
	if f.Load < s.light {
		return "light"
	}
	return ""
}

// side draws the bed from the side: to scale along x, heights of the ways
// exaggerated, loads as arrows to scale.
func (s standPicture) side(width float64) *drawing {
	rows := s.rows()
	d := &drawing{w: width, h: 222 + 112*float64(max(len(rows), 1))}
	left, top := 34.0, 112.0
	from, to := s.extent()
	perMetre := (width - 2*left) / (to - from)
	x := func(at float64) float64 { return left + (at-from)*perMetre }
	factor := s.exaggeration(perMetre)
	s.table(d, x, top)
	s.weights(d, x, top)
	s.body(d, x, top, factor*perMetre)
	d.heightBar(x(0)+8, top+66, factor*perMetre)
	for i, r := range rows {
		s.footRow(d, x, top+72+112*float64(i), r, i == 0)
	}
	s.bearings(d, x, top+70)
	d.ruler(x, d.h-24, perMetre, 0, s.page.Bed.Length)
	d.add(`<text class="note" x="%.1f" y="14">from the side; heights drawn %s times too large</text>`, left-20, grouped(factor))
	return d
}

// extent returns the stretch that the picture shows: the bed and an overhanging table.
func (s standPicture) extent() (from, to float64) {
	from, to = 0, s.page.Bed.Length
	if t := s.page.Table; t != nil {
		at := s.tableAt()
		from, to = min(from, at), max(to, at+t.Length)
	}
	return from, to
}

// tableAt is where the table is drawn: in the middle of the bed.
func (s standPicture) tableAt() float64 { return (s.page.Bed.Length - s.page.Table.Length) / 2 }

// exaggeration returns the factor, a round number, by which heights are drawn
// larger than places along the bed.
func (s standPicture) exaggeration(perMetre float64) float64 {
	most := 0.0
	for _, w := range s.sag.Ways {
		for _, h := range leveled(s.sag.X, w.Height, s.sag.Ways[0].Height) {
			most = max(most, math.Abs(h))
		}
	}
	if most == 0 {
		return 1
	}
	f := 22 / (most * perMetre)
	if n := niceStep(f); n <= f*1.2 {
		return n
	}
	return max(niceStep(f/2.5), 1)
}

// leveled returns h less the line through the ends of base.
func leveled(x, h, base []float64) []float64 {
	n := len(x)
	out := make([]float64, n)
	for i := range h {
		t := (x[i] - x[0]) / (x[n-1] - x[0])
		out[i] = h[i] - base[0] - t*(base[n-1]-base[0])
	}
	return out
}

// body draws the casting's outline under its ways.
func (s standPicture) body(d *drawing, x func(float64) float64, top, perHeight float64) {
	right := x(s.page.Bed.Length)
	d.rect("casting", x(0), top+38, right-x(0), 34)
	d.line("datum", x(0), top+12, right, top+12)
	for i, w := range s.sag.Ways {
		heights := leveled(s.sag.X, w.Height, s.sag.Ways[0].Height)
		var xy []float64
		for _, k := range thin(heights, 80) {
			xy = append(xy, x(s.sag.X[k]), top+12-perHeight*heights[k])
		}
		d.polyline(wayClass(i), xy)
	}
	s.wayNames(d, right, top)
}

func (s standPicture) wayNames(d *drawing, right, top float64) {
	for i, w := range s.sag.Ways {
		y := top + 52 + 14*float64(i)
		d.line(wayClass(i), right-92, y-4, right-66, y-4)
		d.text("tick", "start", right-62, y, shortName(w.Name, 10))
	}
}

func wayClass(i int) string {
	if i%2 == 0 {
		return "way first"
	}
	return "way second"
}

func (s standPicture) table(d *drawing, x func(float64) float64, top float64) {
	t := s.page.Table
	if t == nil {
		return
	}
	at := s.tableAt()
	d.rect("table", x(at), top-32, x(at+t.Length)-x(at), 16)
	d.text("tick", "start", x(at)+5, top-20, "table")
	d.add(`<path class="tool" d="M%.1f %.1f l-5 -8 h10 z"/>`, x(t.Tool), top-34)
	d.text("tick halo", "end", x(t.Tool)-9, top-36, "tool")
}

func (s standPicture) weights(d *drawing, x func(float64) float64, top float64) {
	for i, w := range s.allWeights() {
		y := top - 54 - 14*float64(i%3)
		d.arrowDown("weight", x(w.At), top-2, top-y-2)
		anchor, at := "start", x(w.At)+5
		if at > d.w-120 {
			anchor, at = "end", x(w.At)-5
		}
		d.text("tick halo", anchor, at, y+4, shortName(w.Name, 18))
	}
}

func (s standPicture) allWeights() []beam.Weight {
	all := slices.Clone(s.page.Bed.Weights)
	if s.standing != nil {
		all = append(all, s.standing.Weights...)
	}
	return all
}

// footRow is the feet on one side of the centre line.
type footRow struct {
	offset float64 // m, of its first foot
	feet   []FootLoad
}

func (s standPicture) rows() []footRow {
	var rows []footRow
	for _, sign := range []int{-1, 0, 1} {
		var feet []FootLoad
		for _, f := range s.sag.Feet {
			if cmp.Compare(f.Offset, 0) == sign {
				feet = append(feet, f)
			}
		}
		if len(feet) > 0 {
			slices.SortFunc(feet, func(a, b FootLoad) int { return cmp.Compare(a.At, b.At) })
			rows = append(rows, footRow{offset: feet[0].Offset, feet: feet})
		}
	}
	return rows
}

// footRow draws one row of feet under the bed with their load arrows.
func (s standPicture) footRow(d *drawing, x func(float64) float64, y float64, r footRow, first bool) {
	most := 1.0
	for _, f := range s.sag.Feet {
		most = max(most, f.Load)
	}
	d.add(`<text class="note" x="14" y="%.1f">feet at offset %s, load in %s</text>`, y+94,
		tspan(q(Along, r.offset), s.page.Units), unitOf(Force).within("tspan", s.page.Units))
	for _, f := range r.feet {
		at := x(f.At)
		s.footMark(d, at, y, f)
		d.arrowUp("load", at, y+16, 34*max(f.Load, 0)/most)
		d.text("foot-name", "middle", at, y+64, shortName(f.Name, 5))
		d.quantity("foot-load", "middle", at, y+78, bare(Force, f.Load), s.page.Units)
		if st := s.state(f); st != "" {
			d.text("flag", "start", at+8, y+14, st)
		}
	}
	if !first {
		d.line("datum", x(0), y, x(s.page.Bed.Length), y)
	}
}

// footMark draws a foot: filled when it carries, open when light, a diamond
// hanging free when it carries nothing.
func (s standPicture) footMark(d *drawing, x, y float64, f FootLoad) {
	switch s.state(f) {
	case "off":
		d.add(`<path class="foot off" d="M%.1f %.1f l6 6 l-6 6 l-6 -6 z"/>`, x, y+4)
	case "light":
		d.add(`<path class="foot light" d="M%.1f %.1f l7 13 h-14 z"/>`, x, y)
	default:
		d.add(`<path class="foot" d="M%.1f %.1f l7 13 h-14 z"/>`, x, y)
	}
}

func (s standPicture) bearings(d *drawing, x func(float64) float64, y float64) {
	for _, b := range s.sag.Bearings {
		if len(b.X) == 0 {
			continue
		}
		d.line("bearing", x(b.X[0]), y+4, x(b.X[len(b.X)-1]), y+4)
		most := 0.0
		for _, f := range b.Force {
			most = max(most, math.Abs(f))
		}
		for _, k := range thin(b.Force, 24) {
			if most > 0 {
				d.arrowUp("load", x(b.X[k]), y+8, 30*max(b.Force[k], 0)/most)
			}
		}
	}
}

// shortName cuts a name for a drawing.
func shortName(s string, most int) string {
	r := []rune(s)
	if len(r) <= most {
		return s
	}
	return string(r[:most-1]) + "…"
}

// grouped prints a whole number with thin spaces between thousands.
func grouped(v float64) string {
	s := fmt.Sprintf("%.0f", v)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "\u202f" + s[i:]
	}
	return s
}
