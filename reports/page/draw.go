package page

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"unicode/utf8"

	"footwork/internal/unit"
	"footwork/reports/doc"
)

// plan draws the bed from above: ways, feet and what is done at them.
func (p *printer) plan(v *doc.Plan) {
	label := v.Title.In(p.units)
	for _, f := range v.Feet {
		label += fmt.Sprintf("; %s %s", f.Name, f.Label.In(p.units)) + pick(f.State != "", ", "+f.State, "")
	}
	p.picture("on-bed plan"+pick(v.Small, " small", ""), v.Length, v.Title, label, func(d *svg) { d.plan(v) })
}

// reach returns the furthest offset of anything on the bed, m.
func reach(v *doc.Plan) float64 {
	most := 1e-3
	for _, w := range v.Ways {
		most = max(most, math.Abs(w.Offset)+w.Width/2)
	}
	for _, f := range v.Feet {
		most = max(most, math.Abs(f.Offset))
	}
	for _, w := range v.Weights {
		most = max(most, math.Abs(w.Offset))
	}
	return most
}

func (d *svg) plan(v *doc.Plan) {
	half, top := pick(v.Small, 20.0, 42), pick(v.Small, 26.0, 44)
	back, deep := d.steppedBack(v)
	top += deep
	middle := top + half
	across := reach(v)
	y := func(offset float64) float64 { return middle + offset/across*half }
	d.rect("casting", d.x(0), y(-across)-6, d.x(d.length)-d.x(0), y(across)-y(-across)+12)
	for i, w := range v.Ways {
		band := max(w.Width/across*half, 4)
		d.rect(fmt.Sprintf("way way-%d", i%2), d.x(0), y(w.Offset)-band/2, d.x(d.length)-d.x(0), band)
		if !v.Small {
			d.name("tick", "end", d.x(0)-6, y(w.Offset)+4, w.Name, 9)
		}
	}
	if v.Table != nil {
		from, to := max(v.Table.From, 0), min(v.Table.To, d.length)
		d.rect("table", d.x(from), y(-across)-2, d.x(to)-d.x(from), y(across)-y(-across)+4)
		d.text("tick halo", "middle", (d.x(from)+d.x(to))/2, middle+4, doc.Text{"table"})
	}
	d.weights(v, y)
	for i, f := range v.Feet {
		d.planFoot(f, y(f.Offset), middle, half+6, v.Small, back[i])
	}
	d.h = middle + half + top + 2
	if !v.Small {
		d.ruler(d.h - 4)
		d.h += 18
	}
}

// weights draws what stands on the bed, its name on the side where there is room.
func (d *svg) weights(v *doc.Plan, y func(offset float64) float64) {
	for _, w := range v.Weights {
		d.rect("weight", d.x(w.At)-5, y(w.Offset)-5, 10, 10)
		far := w.At > 0.7*d.length
		d.name("tick halo", pick(far, "end", "start"), d.x(w.At)+pick(far, -8.0, 8), y(w.Offset)+4, w.Name, 18)
	}
}

// letter is about how wide a letter of a foot's words is, in dots.
const letter = 7.6

// steppedBack returns how far out the words of each foot stand so that none lies on those of
// another of its row, and the most.
func (d *svg) steppedBack(v *doc.Plan) (back []float64, deep float64) {
	line := pick(v.Small, 14.0, 26)
	ends := map[[2]float64]float64{} // of the words of a row, by offset and how far out
	back = make([]float64, len(v.Feet))
	order := make([]int, len(v.Feet))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(v.Feet[a].At, v.Feet[b].At) })
	for _, i := range order {
		f := v.Feet[i]
		x, half := d.wordsOf(f, v.Small)
		at := 0.0
		for end, taken := ends[[2]float64{f.Offset, at}]; taken && end > x-half; end, taken = ends[[2]float64{f.Offset, at}] {
			at += line
		}
		back[i], deep = at, max(deep, at)
		ends[[2]float64{f.Offset, at}] = x + half
	}
	return back, deep
}

// wordsOf returns where the middle of a foot's words lies, within the picture, and half of how wide they are in
// whichever units are shown.
func (d *svg) wordsOf(f doc.PlanFoot, small bool) (x, half float64) {
	lines := []doc.Text{{f.Name, stated(f.State)}, f.Label}
	if small {
		lines = []doc.Text{d.smallWords(f)}
	}
	for _, t := range lines {
		for _, u := range []unit.System{unit.Metric, unit.Inches} {
			half = max(half, letter/2*float64(utf8.RuneCountInString(t.In(u))))
		}
	}
	return min(max(d.x(f.At), half), d.w-half), half
}

// smallWords are a foot's on a small plan.
func (d *svg) smallWords(f doc.PlanFoot) doc.Text {
	return doc.Text{f.Name, stated(f.State), pick(d.narrow, nil, doc.Text{" ", f.Label})}
}

// stated is the state of a foot behind its name.
func stated(state string) string { return pick(state != "", " "+state, "") }

// planFoot draws a foot with its name, and an arrow the way it is turned. Feet beside the
// middle have their words clear of the casting, which ends edge from it, low ones below, and
// further out by what they step back.
func (d *svg) planFoot(f doc.PlanFoot, y, middle, edge float64, small bool, back float64) {
	size := pick(small, 5.0, 7)
	d.footMark(f, "foot"+stated(f.State), d.x(f.At), y, size)
	down := pick(y < middle, -1.0, 1)
	at := y + down*(size+13)
	if y != middle {
		at = down * max(down*at, down*middle+edge+4)
	}
	if down > 0 {
		at += 8
	}
	at += down * back
	x, _ := d.wordsOf(f, small)
	if small {
		d.text("name halo", "middle", x, at, d.smallWords(f))
		return
	}
	d.text("name halo", "middle", x, at+pick(down > 0, 0.0, -13), doc.Text{f.Name, stated(f.State)})
	d.text("amount halo", "middle", x, at+pick(down > 0, 14.0, 0), f.Label)
}

// footMark is an arrow the way a foot is turned, else a dot, hollow where it hangs.
func (d *svg) footMark(f doc.PlanFoot, class string, x, y, size float64) {
	switch {
	case f.Up > 0:
		d.path(class+" turned", "M%.1f %.1fl%.1f %.1fh%.1fz", x, y-size-3, size+2, 2*size+2, -2*size-4)
	case f.Up < 0:
		d.path(class+" turned", "M%.1f %.1fl%.1f %.1fh%.1fz", x, y+size+3, size+2, -2*size-2, -2*size-4)
	case f.State == "hangs":
		d.path(class, "M%.1f %.1fl%.1f %[3]vl-%[3]v %[3]vl-%[3]v -%[3]vz", x, y-size, size)
	default:
		d.add(`<circle class="%s" cx="%.1f" cy="%.1f" r="%.1f"/>`, class, x, y, size)
	}
}

// bars draws loads over the places of their feet, a row a side.
func (p *printer) bars(v *doc.Bars) {
	label := v.Title.In(p.units)
	for _, r := range v.Rows {
		for _, b := range r.Bars {
			label += "; " + b.Name + " " + barWords(v.Kind, b).In(p.units) + pick(b.State != "", ", "+b.State, "")
		}
	}
	p.picture("on-bed bars", v.Length, append(v.Title[:len(v.Title):len(v.Title)], ", ", doc.UnitOf(v.Kind)), label, func(d *svg) { d.bars(v) })
}

// barWords returns a load, or "1.61 to 3.58" of a journey.
func barWords(k doc.Kind, b doc.Bar) doc.Text {
	number := func(v float64) doc.Quantity { return doc.Quantity{Kind: k, Value: v, Bare: true} }
	if b.Journey {
		return doc.Text{number(b.Low), " to ", number(b.High)}
	}
	return doc.Text{number(b.Load)}
}

func (d *svg) bars(v *doc.Bars) {
	most := 1.0
	for _, r := range v.Rows {
		for _, b := range r.Bars {
			most = max(most, b.Load, b.High)
			if b.Before != nil {
				most = max(most, *b.Before)
			}
		}
	}
	tall, gap := 62.0, pick(d.narrow, 62.0, 36)
	for i, r := range v.Rows {
		base := gap - 18 + tall + float64(i)*(tall+gap)
		height := func(load float64) float64 { return tall * max(load, 0) / most }
		d.line("thin", d.x(0), base, d.x(d.length), base)
		if v.Least > 0 {
			d.line("limit", d.x(0), base-height(v.Least), d.x(d.length), base-height(v.Least))
		}
		for k, b := range r.Bars {
			d.bar(v.Kind, b, base, height, d.narrow && len(r.Bars) > 4 && k%2 == 1)
		}
	}
	d.h = gap - 18 + float64(len(v.Rows))*(tall+gap) - 4
}

// bar draws one foot's load: a bar, a whisker for what is not known, a mark for
// what it was.
func (d *svg) bar(kind doc.Kind, b doc.Bar, base float64, height func(float64) float64, high bool) {
	x, wide, class := d.x(b.At), 16.0, "bar"+stated(b.State)
	top := base - height(b.Load)
	if b.Journey {
		top = base - height(b.High)
		d.rect(class, x-wide/2, top, wide, height(b.High)-height(b.Low))
	} else {
		d.rect(class, x-wide/2, top, wide, height(b.Load))
		if b.Low < b.High {
			d.line("whisker", x, base-height(b.Low), x, base-height(b.High))
			top = base - height(b.High)
		}
	}
	if b.Before != nil {
		d.line("before", x-wide, base-height(*b.Before), x+wide, base-height(*b.Before))
		top = min(top, base-height(*b.Before))
	}
	if high {
		top -= 12
	}
	d.text("amount halo", "middle", x, top-4, barWords(kind, b))
	if d.narrow { // its neighbours are near
		d.text("name", "middle", x, base+14, doc.Text{b.Name})
		d.text("name", "middle", x, base+26, doc.Text{b.State})
		return
	}
	d.text("name", "middle", x, base+14, doc.Text{b.Name, stated(b.State)})
}

// ranges draws values with their intervals, one a row.
func (p *printer) ranges(v *doc.Ranges) {
	label := v.Title.In(p.units)
	for _, r := range v.Rows {
		label += "; " + r.Name.In(p.units) + " " + r.Note.In(p.units)
	}
	p.picture("ranges", 0, v.Title, label, func(d *svg) { d.ranges(v) })
}

func (d *svg) ranges(v *doc.Ranges) {
	low, high := 0.0, v.Limit
	for _, r := range v.Rows {
		low, high = min(low, r.Low), max(high, r.High)
	}
	names, notes, row := 230.0, 150.0, 24.0
	switch more := slices.ContainsFunc(v.Rows, func(r doc.Range) bool { return len(r.More) > 0 }); {
	case d.narrow: // a name over its line
		names, notes, row = 12, 128, 40
	case more:
		names, notes = 215, 262
	}
	x := func(v float64) float64 { return names + (d.w-names-notes)*(v-low)/(high-low) }
	d.h = row*float64(len(v.Rows)) + 8
	d.line("thin", x(0), 0, x(0), d.h)
	if v.Limit > 0 {
		d.line("limit", x(v.Limit), 0, x(v.Limit), d.h)
	}
	for i, r := range v.Rows {
		d.interval(r, row*float64(i)+row/2+2, row, names, notes, x)
	}
}

// interval draws one value with its interval at a height: its name before it, or over it on
// a phone.
func (d *svg) interval(r doc.Range, y, row, names, notes float64, x func(float64) float64) {
	class, note := "name", doc.Text{r.Note, r.More}
	if r.Chosen {
		class += " chosen"
		d.rect("chosen", 0, y-row/2+1, d.w, row-2)
	}
	if d.narrow {
		d.name(class, "start", 0, y-8, r.Name.In(d.units), 48)
		y, note = y+8, r.Note
	} else {
		d.name(class, "end", names-10, y+4, r.Name.In(d.units), 33)
	}
	d.line("range", x(r.Low), y, x(r.High), y)
	d.add(`<circle class="dot" cx="%.1f" cy="%.1f" r="5"/>`, x(r.Value), y)
	d.text(class, "start", d.w-notes+10, y+4, note)
}
