package job

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"footwork/beam/casting"
	"footwork/beam/section"

	"github.com/pelletier/go-toml/v2/unstable"
)

func (b *builder) bed(r *reader) {
	bed := &b.job.Bed
	bed.Length = r.quantity("length")
	bed.Material = b.material(r)
	if r.has("weighed") {
		bed.Weight, b.job.WeighedSD = r.measured("weighed")
	}
	bed.Sections = b.sections(r)
	b.ribs(r.subs("rib"))
	if v := r.get("weight"); v != nil && v.kind != unstable.Array { // of version 1
		if r.has("weighed") {
			r.fault("weighed", "keep one of them", "is given beside weight, which says the same")
		}
		old := *r.key("weighed")
		old.name = "weight"
		bed.Weight, b.job.WeighedSD = r.quantityOf(&old, v)
	} else {
		bed.Weights = b.weights(r.subs("weight"))
	}
	b.later(func() { b.bedSlips(r) })
}

// sections reads the bed's sections, which must cover it end to end.
func (b *builder) sections(r *reader) []casting.Section {
	before := len(r.faults)
	readers := r.subs("section")
	list := make([]casting.Section, len(readers))
	order := make([]int, len(readers))
	for i, s := range readers {
		list[i], order[i] = b.section(s), i
	}
	if len(r.faults) > before || r.damaged {
		return list
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(list[i].From, list[j].From) })
	sorted := make([]casting.Section, len(list))
	end := 0.0
	for n, i := range order {
		sorted[n], end = b.follow(readers[i], list[i], end)
	}
	if n := len(order); n > 0 && end < b.job.Bed.Length {
		readers[order[n-1]].fault("to", "end the last section at "+b.length(b.job.Bed.Length), "leaves the bed bare from %s on", b.length(end))
	}
	return sorted
}

// follow complains of a section that does not begin where the one before it
// ends, and returns it freed from rounding, with its own end.
func (b *builder) follow(r *reader, s casting.Section, end float64) (casting.Section, float64) {
	switch {
	case s.From > end+slack:
		r.fault("from", "sections follow one another: start this one at "+b.length(end), "leaves a gap from %s to %s", b.length(end), b.length(s.From))
	case s.From < end-slack:
		r.fault("from", "start this one at "+b.length(end), "lies over the section before it, which ends at %s", b.length(end))
	default:
		s.From = end
	}
	if math.Abs(s.To-b.job.Bed.Length) <= slack {
		s.To = b.job.Bed.Length
	}
	return s, s.To
}

func (b *builder) section(r *reader) (s casting.Section) {
	constants := []string{"area", "inertia", "shear_area", "depth"}
	if r.has("plates") || r.has("closed") {
		var plates []section.Plate
		s, plates = b.plates(r)
		for _, p := range plates {
			b.left, b.right = min(b.left, p.Offset-p.Width/2), max(b.right, p.Offset+p.Width/2)
		}
		for _, key := range append(constants, "offset") {
			if r.has(key) {
				r.fault(key, "keep the plates or the constants", "is given beside plates, which already say it")
			}
		}
		if own := s.Torsion; r.has("torsion") {
			s.Torsion, s.TwistGiven = r.quantity("torsion"), true
			b.torsionSlip(r, s, own)
		}
	} else {
		r.require(append(constants, "torsion")...)
		s = b.constants(r)
	}
	s.Warping = r.quantityOr("warping", s.Warping)
	s.From, s.To = b.span(r)
	return s
}

// constants reads those of a section without plates.
func (b *builder) constants(r *reader) casting.Section {
	s := casting.Section{Area: r.quantity("area"), Inertia: r.quantity("inertia"), ShearArea: r.quantity("shear_area"),
		Torsion: r.quantity("torsion"), TwistGiven: true, Depth: r.quantity("depth"), Offset: r.quantity("offset")}
	if s.ShearArea > s.Area {
		r.fault("shear_area", "a rectangle's is 5/6 of its area", "is more than the area")
	}
	if !b.inertiaSlip(r, s) {
		b.torsionSlip(r, s, 0)
	}
	return s
}

// span reads from and to on the bed.
func (b *builder) span(r *reader) (from, to float64) {
	from, to = r.quantity("from"), r.quantity("to")
	b.onBed(r, "from", from)
	b.onBed(r, "to", to)
	if to <= from {
		r.fault("to", "write the left end first, the right end as to", "does not lie to the right of from")
	}
	return from, to
}

// plates reads a section's plates; From and To stay zero.
func (b *builder) plates(r *reader) (s casting.Section, plates []section.Plate) {
	before := len(r.faults)
	r.require("plates")
	for _, p := range r.subs("plates") {
		plates = append(plates, section.Plate{Width: p.quantity("width"), Height: p.quantity("height"), Offset: p.quantity("offset"), Bottom: p.quantity("bottom")})
		p.done()
	}
	closed := r.flag("closed")
	if len(r.faults) > before || r.damaged {
		return s, nil
	}
	s, err := casting.FromPlates(plates)
	var gap *section.GapError
	switch c, _ := section.Of(plates); {
	case errors.As(err, &gap):
		r.fault("plates", "check heights and bottoms", "leave nothing between %s and %s above the underside: the section falls in two", b.length(gap.From), b.length(gap.To))
	case err != nil:
		r.fault("plates", "", "%v", err)
	case closed && c.Cells == 0:
		r.fault("closed", "close the cell by plates, or leave closed out: cells are seen", "is true, but the plates close no cell")
	default:
		if i := adrift(plates, c); i >= 0 {
			r.note("plates", "check height, offset and bottom", "include plate %d, which no other touches; it is taken to bend beside them", i+1)
		}
		for _, m := range c.Doubtful {
			if m.Gap > 0 {
				r.note("plates", "check their places", "miss each other by %s, plate %d and plate %d; they are taken as joined", b.length(m.Gap), m.Plates[0]+1, m.Plates[1]+1)
			}
		}
	}
	return s, plates
}

// adrift finds a plate that no other touches or was joined to, and that is no wall of its
// own: less than half as high as the section is deep; −1 when there is none.
func adrift(plates []section.Plate, c section.Constants) int {
	for i, p := range plates {
		touches := func(q section.Plate) bool {
			return q != p && math.Abs(p.Offset-q.Offset) < (p.Width+q.Width)/2+samePlace && p.Bottom < q.Bottom+q.Height+samePlace && q.Bottom < p.Bottom+p.Height+samePlace
		}
		joins := func(m section.Meeting) bool { return slices.Contains(m.Plates[:], i) }
		if p.Height < c.Depth/2 && !slices.ContainsFunc(plates, touches) && !slices.ContainsFunc(c.Doubtful, joins) {
			return i
		}
	}
	return -1
}

// ribs reads single ribs and rows of them.
func (b *builder) ribs(readers []*reader) {
	for _, r := range readers {
		rib := casting.Rib{Diagonal: r.choice("kind") == "diagonal", Rib: section.Rib{
			Thickness: r.quantity("thickness"), Height: r.quantity("height"), Bottom: r.quantity("bottom"),
			Between: r.pair("between"), Hole: r.quantity("hole"),
		}}
		switch row := r.has("from") || r.has("to") || r.has("every"); {
		case row && r.has("at"):
			r.fault("at", "keep at for one rib, or from, to and every for a row", "is given beside from, to or every")
		case row:
			r.require("from", "to", "every")
			rib.From, rib.To = b.span(r)
			if rib.Every = r.quantity("every"); rib.Every > rib.To-rib.From {
				r.fault("every", "write the pitch of the row, or at for one rib", "is more than the row is long")
			}
		default:
			r.require("at")
			rib.From = r.quantity("at")
			rib.To = rib.From
			b.onBed(r, "at", rib.From)
		}
		if rib.Diagonal && rib.Every == 0 && r.has("at") {
			r.fault("kind", "give from, to and every: the pitch over which it slants", "cannot be \"diagonal\" of a single rib")
		}
		if rib.Between[1] < rib.Between[0] {
			rib.Between[0], rib.Between[1] = rib.Between[1], rib.Between[0]
		}
		if rib.Hole >= rib.Height {
			r.fault("hole", "write its diameter, less than the rib's height", "leaves nothing of the rib")
		}
		b.job.Bed.Ribs = append(b.job.Bed.Ribs, rib)
	}
}

func (b *builder) weights(readers []*reader) (list []casting.Weight) {
	for _, r := range readers {
		w := casting.Weight{Name: r.text("name"), At: r.quantity("at"), Offset: r.quantity("offset"), Force: r.quantity("weight")}
		b.onBed(r, "at", w.At)
		list = append(list, w)
	}
	b.later(func() { b.heavySlips(readers) })
	return list
}

func (b *builder) ways(readers []*reader) {
	seen := map[string]bool{}
	for _, r := range readers {
		b.job.Bed.Ways = append(b.job.Bed.Ways, casting.Way{Name: r.called(seen), Offset: r.quantity("offset"), Width: r.quantity("width")})
		w, ridge := Way{FinishedTo: r.quantity("finished_to")}, r.flag("inverted")
		if r.choice("shape") == "vee" {
			w.Vee = &casting.Vee{Flanks: r.pair("flanks"), Ridge: ridge}
		}
		r.counting(r.choice("shape"))
		for _, s := range r.subs("leave_out") {
			out := Stretch{Name: s.text("name")}
			out.From, out.To = b.span(s)
			w.LeaveOut = append(w.LeaveOut, out)
		}
		b.job.Ways = append(b.job.Ways, w)
	}
	b.later(func() {
		b.waySlips(readers)
		b.besideSlips(readers)
		b.mixed(readers, "offset")
	})
}
