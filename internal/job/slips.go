package job

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"footwork/beam"
	"footwork/internal/unit"
)

// What the job's own text and geometry show of a slip of the pen. What cannot be
// is a fault; what may be meant is a note, with what was assumed.

// later looks at what a reader took once the job is without a fault as written.
func (b *builder) later(look func()) { b.slips = append(b.slips, look) }

// How near two things at one place stand; feet, of which each needs more room than that,
// and of which one is a slip; on a short bed a six-hundredth and a two-hundredth of its
// length. m.
const (
	samePlace = 1e-3
	touching  = 3e-3
	nearFeet  = 20e-3
)

// footSlips looks at the feet of a standing.
func (b *builder) footSlips(readers []*reader, feet []beam.Foot) {
	length := b.job.Bed.Length
	for i, f := range feet {
		for _, g := range feet[:i] {
			switch d := math.Hypot(f.At-g.At, f.Offset-g.Offset); {
			case d < max(samePlace, min(touching, length/600)):
				readers[i].fault("at", "write where each stands, or keep one of them", "%s stands where %s stands, at %s", unit.Quote(f.Name), unit.Quote(g.Name), b.length(f.At))
			case d < min(nearFeet, length/200):
				readers[i].note("at", "check where each stands", "%s stands %s from %s; both are taken", unit.Quote(f.Name), b.length(d), unit.Quote(g.Name))
			}
		}
	}
	for i, key := range []string{"offset", "at"} {
		if !b.mixed(readers, key) {
			b.alone(readers, key, i+1)
		}
	}
	b.unlike(readers, feet)
}

// bearingSlips asks about bearings under less than half of the bed.
func (b *builder) bearingSlips(readers []*reader) {
	for _, r := range readers {
		if l := r.values["to"] - r.values["from"]; l < leastCovered*b.job.Bed.Length {
			r.note("to", "check from and to", "bears only %s of the bed of %s", b.length(l), b.length(b.job.Bed.Length))
		}
	}
}

// alone asks about feet at places of their own where all others, four at least, share
// theirs: one on a line along the bed, or two of which each has none across from it.
func (b *builder) alone(readers []*reader, key string, odd int) {
	var lone []*reader
	for _, r := range readers {
		if !slices.ContainsFunc(readers, func(o *reader) bool { return o != r && math.Abs(o.values[key]-r.values[key]) < samePlace }) {
			lone = append(lone, r)
		}
	}
	if len(lone) != odd || len(readers) < odd+4 {
		return
	}
	for _, r := range lone {
		r.note(key, "check its number and unit", "no other foot is at %s, and all others stand in line with one another; it is taken as written", r.table.keys[key].quoted())
	}
}

// unlikeFoot is how many times softer or stiffer than the others' median a foot
// must be to be asked about: screws on one floor differ by a few times, a slip of
// units by a thousand.
const unlikeFoot = 50.

// unlike asks about a foot whose stiffness is unlike all others'.
func (b *builder) unlike(readers []*reader, feet []beam.Foot) {
	var known []float64
	for _, f := range feet {
		if !math.IsInf(f.Stiffness, 1) {
			known = append(known, f.Stiffness)
		}
	}
	if len(known) < 3 {
		return
	}
	slices.Sort(known)
	median := known[len(known)/2]
	for i, f := range feet {
		asked := readers[i].key("stiffness").outside(f.Stiffness)
		if times := f.Stiffness / median; !asked && !math.IsInf(times, 1) && (times > unlikeFoot || times < 1/unlikeFoot) {
			readers[i].unlikely("stiffness", "check its unit", "is %s the others'", ratio(times))
		}
	}
}

// ratio puts a ratio far from one into words.
func ratio(times float64) string {
	if times < 1 {
		return fmt.Sprintf("%.3g times less than", 1/times)
	}
	return fmt.Sprintf("%.3g times", times)
}

// mixed asks about the one length that is written in millimetres among inches, or
// the other way round, where the others make another reading likelier: with the
// others' unit it would still lie among them. It tells whether there is one.
func (b *builder) mixed(readers []*reader, key string) bool {
	var odd, others []*reader
	count := func(inch bool) (list []*reader) {
		for _, r := range readers {
			if v := r.table.keys[key]; v != nil && isInch(v.text) == inch && strings.Trim(v.text, "0 .-+") != "mm" && strings.Trim(v.text, "0 .-+") != "in" {
				list = append(list, r)
			}
		}
		return list
	}
	if odd, others = count(true), count(false); len(odd) > len(others) {
		odd, others = others, odd
	}
	if len(odd) != 1 || len(others) < 3 {
		return false
	}
	most := 0.0
	for _, r := range others {
		most = max(most, math.Abs(r.values[key]))
	}
	v := odd[0].table.keys[key]
	would, wrong := unit.Length.Parse(inOtherUnit(v.text))
	meant := wrong == nil && math.Abs(would) <= 1.5*most && math.Abs(would) > 0.2*math.Abs(odd[0].values[key])
	if meant {
		odd[0].unlikely(key, ifMeant(v.text), "stands among lengths in %s", map[bool]string{true: "millimetres", false: "inches"}[isInch(v.text)])
	}
	return meant
}

// inOtherUnit returns the number of a length with the unit of the other system.
func inOtherUnit(text string) string {
	number := strings.TrimRight(text, " \t\"'′″abcdefghijklmnopqrstuvwxyzµ")
	if isInch(text) {
		return number + " mm"
	}
	return number + " in"
}

func ifMeant(text string) string { return fmt.Sprintf("write %q if that is meant", inOtherUnit(text)) }

func isInch(text string) bool {
	return strings.ContainsAny(text, `"'″′`) || strings.Contains(text, "in") || strings.Contains(text, "ft") || strings.Contains(text, "thou") || strings.Contains(text, "tenth")
}

// waySlips looks at the ways.
func (b *builder) waySlips(readers []*reader) {
	ways := b.job.Bed.Ways
	for i, w := range ways {
		for _, v := range ways[:i] {
			if math.Abs(w.Offset-v.Offset) < samePlace {
				readers[i].fault("offset", "write where each lies, or keep one of them", "%s lies where %s lies, at %s", unit.Quote(w.Name), unit.Quote(v.Name), b.length(w.Offset))
			}
		}
	}
}

// besideSlips asks about what stands far beside the casting: further out than
// half its width from its edge.
func (b *builder) besideSlips(readers []*reader) {
	if b.right <= b.left { // the sections are given by their constants
		return
	}
	lug := (b.right - b.left) / 2
	for _, r := range readers {
		if x := r.values["offset"]; x < b.left-lug || x > b.right+lug {
			r.unlikely("offset", "check its number and unit", "is far beside the casting, whose plates reach from %s to %s", b.length(b.left), b.length(b.right))
		}
	}
}
