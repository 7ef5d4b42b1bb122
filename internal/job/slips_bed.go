package job

import (
	"footwork/beam/casting"
	"footwork/internal/unit"
)

// How far the weighed casting may lie from its plates and ribs: webs, bosses and
// fillets that nobody draws weigh up to half as much again; five times is a slip. The rest
// are judgements, without a source.
const (
	leastWeighed, mostWeighed       = 0.8, 1.8
	leastPossible, mostPossible     = 1. / 4, 5.
	shallowest, deepestSection      = 1. / 80, 1. / 2 // depth over length
	heaviest                        = 4.              // table or thing bolted on, times the casting
	leastCovered, shortestBase      = 0.5, 1. / 150   // of the bed's length
	largestStepError, largestHeight = 10 * unit.UM, 100 * unit.UM
)

// bedSlips holds the casting's parts against one another.
func (b *builder) bedSlips(r *reader) {
	bed := &b.job.Bed
	plates, ribs := bed.Drawn()
	drawn := plates + ribs
	f := b.job.Units.Mass()
	if share := bed.Weight / drawn; bed.Weight > 0 && drawn > 0 {
		key := "weighed"
		if !r.has(key) {
			key = "weight"
		}
		parts := "plates and ribs"
		if len(bed.Ribs) == 0 {
			parts = "sections"
		}
		switch {
		case share < leastPossible || share > mostPossible:
			r.fault(key, "check the number and its unit, and the plates", "is %s what the %s weigh, which is %s", ratio(share), parts, f.Text(drawn))
		case share < leastWeighed || share > mostWeighed:
			r.note(key, "check it, and the plates and ribs; leave it out to take theirs", "is %s what the %s weigh, which is %s; the weighed one is taken", ratio(share), parts, f.Text(drawn))
		}
	}
	for _, s := range bed.Sections {
		if d := s.Depth / bed.Length; d < shallowest || d > deepestSection {
			r.note("section", "check the units of its plates", "is %s deep on a bed of %s; it is taken as written", b.length(s.Depth), b.length(bed.Length))
			return
		}
	}
}

// How much a section resists twist beside bending, J/I: a wide flat box comes near to
// 4, and thin open beams of catalogues down to a thousandth.
const leastTwist, mostTwist = 1e-4, 5.

// torsionSlip asks about a torsion constant that is given and is no section's, or less
// than half of what the plates beside it have.
func (b *builder) torsionSlip(r *reader, s casting.Section, ofPlates float64) {
	least, most := max(leastTwist*s.Inertia, ofPlates/2), mostTwist*s.Inertia
	if s.Torsion < least || s.Torsion > most {
		r.unlikely("torsion", "check its unit", "is not from %s to %s as would be usual here", b.in(least, "cm4"), b.in(most, "cm4"))
	}
}

// inertiaSlip holds a second moment that is given against area and depth: I ≤ Ad²/4,
// which two thin flanges come near to; a plate is Ad²/12. It tells whether it asked.
func (b *builder) inertiaSlip(r *reader, s casting.Section) bool {
	most := s.Area * s.Depth * s.Depth / 4
	much, little := s.Inertia > most*(1+1e-3), s.Inertia < most/50
	switch {
	case much:
		r.fault("inertia", "check its unit, and area and depth", "is more than any section of this area and depth has, %s", b.in(most, "cm4"))
	case little:
		r.unlikely("inertia", "check its unit, and area and depth", "is little for this area and depth, of which a plain bar has %s", b.in(most/3, "cm4"))
	}
	return much || little
}

// ownWeight returns what the casting weighs, N.
func (b *builder) ownWeight() float64 {
	if w := b.job.Bed.Weight; w > 0 {
		return w
	}
	plates, ribs := b.job.Bed.Drawn()
	return plates + ribs
}

// heavySlips asks about a table or a thing bolted on that weighs many times what
// the bed does.
func (b *builder) heavySlips(readers []*reader) {
	own := b.ownWeight()
	for _, r := range readers {
		if w := r.values["weight"]; w > heaviest*own {
			r.unlikely("weight", "check its number and unit", "is %s what the bed weighs", ratio(w/own))
		}
	}
}

// shortTable asks about a table that is shorter than the ways lie apart, on which it would
// turn in its guides.
func (b *builder) shortTable(r *reader) {
	if apart := b.job.Across(); b.job.Table.Length < apart-samePlace {
		r.unlikely("length", "check its number and unit", "is less than the ways lie apart, %s", b.length(apart))
	}
}

// How deep an edge is for its length: camel backs and bridges a twelfth to a sixth, plates
// and short prisms more, box edges seldom less than a fortieth (common practice, no source).
const shallowestEdge, deepestEdge = 1. / 40, 1.

// masterSlip asks about a master whose depth and length do not go together.
func (b *builder) masterSlip(r *reader, m Master) {
	if m.Depth > 0 && (m.Depth < shallowestEdge*m.Length || m.Depth > deepestEdge*m.Length) {
		r.unlikely("depth", "check its number and unit", "is unusual for a master of %s", b.length(m.Length))
	}
}
