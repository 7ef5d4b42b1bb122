package job

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"footwork/beam"
	"footwork/internal/unit"

	"github.com/pelletier/go-toml/v2/unstable"
)

// Sane limits: beyond them a number or a unit is a slip of the keys.
var (
	place    = signed(unit.Length, "1000 m") // along the bed: onBed says the rest
	offset   = signed(unit.Length, "10 m")
	extent   = size(unit.Length, "10 m")
	weight   = size(unit.Force, "1000 t")
	modulus  = between(unit.Modulus, "1 GPa", "1000 GPa")
	density  = between(unit.Density, "100 kg/m3", "25000 kg/m3")
	area     = size(unit.Area, "100 m2")
	moment   = size(unit.SecondMoment, "1000 m4")
	gradient = signed(unit.TempDiff, "100 K")
)

func (b *builder) bed(r *reader) {
	bed := &b.job.Bed
	bed.Length = math.NaN() // until it is known, nothing is off the bed
	if r == nil {
		return
	}
	r.require(`length = "3900 mm"`)
	bed.Length = r.quantity("length", size(unit.Length, "100 m"))
	bed.Material = b.material(r)
	bed.Weight = r.quantity("weighed", weight.ifAbsent(0))
	bed.Sections = b.sections(r)
	if v := r.get("weight"); v != nil && v.kind != unstable.Array {
		if r.has("weighed") {
			r.fault("weighed", "keep one of them", "is given beside weight, which says the same")
		}
		bed.Weight = r.quantity("weight", weight)
	} else {
		bed.Weights = b.weights(r.subs("weight"))
	}
	r.done()
}

// sections reads the bed's sections, which must cover it end to end.
func (b *builder) sections(r *reader) []beam.Section {
	r.require("[[bed.section]]")
	before := len(r.faults)
	readers := r.subs("section")
	list := make([]beam.Section, len(readers))
	order := make([]int, len(readers))
	for i, s := range readers {
		list[i], order[i] = b.section(s), i
	}
	if len(r.faults) > before || r.damaged {
		return list
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(list[i].From, list[j].From) })
	sorted := make([]beam.Section, len(list))
	end := 0.0
	for n, i := range order {
		sorted[n], end = b.follow(readers[i], list[i], end)
	}
	if n := len(order); n > 0 && end < b.job.Bed.Length {
		l := b.job.Units.Length()
		readers[order[n-1]].fault("to", "end the last section at "+l.Text(b.job.Bed.Length), "leaves the bed bare from %s on", l.Text(end))
	}
	return sorted
}

// follow complains of a section that does not begin where the one before it
// ends, and returns it freed from rounding, with its own end.
func (b *builder) follow(r *reader, s beam.Section, end float64) (beam.Section, float64) {
	l := b.job.Units.Length()
	switch {
	case s.From > end+slack:
		r.fault("from", "sections follow one another: start this one at "+l.Text(end), "leaves a gap from %s to %s", l.Text(end), l.Text(s.From))
	case s.From < end-slack:
		r.fault("from", "start this one at "+l.Text(end), "lies over the section before it, which ends at %s", l.Text(end))
	default:
		s.From = end
	}
	if math.Abs(s.To-b.job.Bed.Length) <= slack {
		s.To = b.job.Bed.Length
	}
	return s, s.To
}

func (b *builder) section(r *reader) (s beam.Section) {
	if r.has("plates") || r.has("closed") {
		s = b.plates(r)
		for _, key := range []string{"area", "inertia", "shear_area", "depth", "offset"} {
			if r.has(key) {
				r.fault(key, "keep the plates or the constants", "is given beside plates, which already say it")
			}
		}
		if r.has("torsion") && r.has("closed") {
			r.fault("torsion", "keep one of them", "is given beside closed, which also says how the section twists")
		}
		s.Torsion = r.quantity("torsion", moment.ifAbsent(s.Torsion)) // cross ribs: plates do not tell them
	} else {
		r.require(`area = "380 cm2"`, `inertia = "150000 cm4"`, `shear_area = "200 cm2"`, `torsion = "3000 cm4"`, `depth = "480 mm"`)
		s.Area = r.quantity("area", area)
		s.Inertia = r.quantity("inertia", moment)
		s.ShearArea = r.quantity("shear_area", area)
		s.Torsion = r.quantity("torsion", moment)
		s.Depth = r.quantity("depth", extent)
		s.Offset = r.quantity("offset", offset)
		if s.ShearArea > s.Area {
			r.fault("shear_area", "a rectangle's is 5/6 of its area", "is more than the area")
		}
	}
	s.From, s.To = b.span(r)
	r.done()
	return s
}

// span reads from and to on the bed.
func (b *builder) span(r *reader) (from, to float64) {
	r.require(`from = "0 mm"`, `to = "3900 mm"`)
	from = r.quantity("from", place.ifAbsent(math.NaN()))
	to = r.quantity("to", place.ifAbsent(math.NaN()))
	b.onBed(r, "from", from)
	b.onBed(r, "to", to)
	if to <= from {
		r.fault("to", "write the left end first, the right end as to", "does not lie to the right of from")
	}
	return from, to
}

// plates reads a section's plates; From and To stay zero.
func (b *builder) plates(r *reader) beam.Section {
	var plates []beam.Plate
	before := len(r.faults)
	r.require(`plates = [{ width = "32 mm", height = "420 mm", offset = "0 mm", bottom = "0 mm" }]`)
	for _, p := range r.subs("plates") {
		p.require(`width = "32 mm"`, `height = "420 mm"`)
		plates = append(plates, beam.Plate{
			Width:  p.quantity("width", extent),
			Height: p.quantity("height", extent),
			Offset: p.quantity("offset", offset),
			Bottom: p.quantity("bottom", amount(unit.Length, "10 m")),
		})
		p.done()
	}
	closed := r.flag("closed")
	if len(r.faults) > before || r.damaged {
		return beam.Section{}
	}
	s, err := beam.FromPlates(plates, closed)
	if err != nil {
		r.fault("plates", "", "%v", err)
	}
	return s
}

func (b *builder) weights(readers []*reader) (list []beam.Weight) {
	for _, r := range readers {
		r.require(`at = "1950 mm"`, `weight = "160 kg"`)
		w := beam.Weight{
			Name:   r.text("name"),
			At:     r.quantity("at", place),
			Offset: r.quantity("offset", offset),
			Force:  r.quantity("weight", weight),
		}
		b.onBed(r, "at", w.At)
		r.done()
		list = append(list, w)
	}
	return list
}

func (b *builder) ways(readers []*reader) {
	seen := map[string]bool{}
	for _, r := range readers {
		r.require(`offset = "-250 mm"`)
		b.job.Bed.Ways = append(b.job.Bed.Ways, beam.Way{
			Name:   r.called(seen),
			Offset: r.quantity("offset", offset),
			Width:  r.quantity("width", extent.ifAbsent(0)),
		})
		r.done()
	}
}

func (b *builder) table(r *reader) {
	if r == nil {
		return
	}
	r.require(`length = "2400 mm"`, `weight = "1.3 t"`)
	t := &beam.Table{
		Length: r.quantity("length", size(unit.Length, "100 m")),
		Weight: r.quantity("weight", weight),
		Tool:   r.quantity("tool", place.ifAbsent(b.job.Bed.Length/2)),
		Offset: r.quantity("offset", offset),
	}
	b.onBed(r, "tool", t.Tool)
	b.bending(r, t)
	if s := r.sub("stroke"); s != nil {
		t.Stroke = b.stroke(s, t)
	}
	r.done()
	b.job.Table = t
}

// stroke reads the places of the table's left end; its middle must stay on the
// bed, or it tips.
func (b *builder) stroke(r *reader, t *beam.Table) *beam.Span {
	r.require(`from = "-300 mm"`, `to = "1800 mm"`)
	s := beam.Span{From: r.quantity("from", place), To: r.quantity("to", place)}
	b.onWays(r, "from", s.From, t)
	b.onWays(r, "to", s.To, t)
	if s.To < s.From {
		r.fault("to", "write the left end first", "lies to the left of from")
	}
	r.done()
	return &s
}

// onWays complains of a table parked with its left end where it would tip.
func (b *builder) onWays(r *reader, key string, x float64, t *beam.Table) {
	l := b.job.Units.Length()
	if lo, hi := -t.Length/2, b.job.Bed.Length-t.Length/2; x < lo-slack || x > hi+slack {
		r.fault(key, fmt.Sprintf("its left end can stand from %s to %s", l.Text(lo), l.Text(hi)), "the table would tip off the bed at %s", l.Text(x))
	}
}

// bending reads the stiffness of a flexible table and of its contact.
func (b *builder) bending(r *reader, t *beam.Table) {
	e := r.quantity("modulus", modulus)
	inertia := r.quantity("inertia", moment)
	t.Contact = r.quantity("contact", between(unit.LineStiffness, "1 N/mm/m", "1000 kN/µm/m").ifAbsent(0))
	plates := r.has("plates") || r.has("closed")
	switch {
	case plates && r.has("inertia"):
		r.fault("inertia", "keep the plates or the inertia", "is given beside plates, which already say it")
	case plates:
		inertia = b.plates(r).Inertia
	}
	if !plates && !r.has("modulus") && !r.has("inertia") {
		if r.has("contact") {
			r.fault("contact", "give modulus and inertia too, or leave contact out", "counts only for a flexible table")
		}
		return
	}
	r.require(`modulus = "100 GPa"`, `contact = "4 kN/µm/m"`)
	if !plates {
		r.require(`inertia = "9000 cm4"`)
	}
	t.Bending = e * inertia
	if math.IsInf(t.Contact, 1) {
		r.fault("contact", `write a stiffness, for example contact = "4 kN/µm/m"`, "cannot be rigid between two flexible bodies")
	}
}
