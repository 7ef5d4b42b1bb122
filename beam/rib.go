package beam

import (
	"math"
	"slices"

	"footwork/beam/section"
	"footwork/beam/shape"
)

// Rib is a rib or a row of them.
type Rib struct {
	section.Rib
	From, To float64 // m along the bed; both the same of one rib
	Every    float64 // m, pitch of a row; 0 of one rib
	Diagonal bool    // from wall to wall over one pitch, zigzag
}

// places returns where the ribs of a row stand, m: a slanting one by its middle.
func (r Rib) places() (x []float64) {
	if r.Every == 0 {
		return []float64{r.From}
	}
	n := (r.To - r.From) / r.Every
	if r.Diagonal {
		for i := range int(math.Round(n)) {
			x = append(x, min(r.From+(float64(i)+0.5)*r.Every, r.To))
		}
		return x
	}
	for i := range int(n+1e-6) + 1 {
		x = append(x, min(r.From+float64(i)*r.Every, r.To))
	}
	return x
}

// reach returns the stretch of bed that a row's stiffness is spread over: half a pitch beyond a row
// of square ribs, the whole bed for one alone.
func (r Rib) reach(b Bed) shape.Span {
	switch {
	case r.Every == 0:
		return shape.Span{From: 0, To: b.Length}
	case r.Diagonal:
		return shape.Span{From: r.From, To: r.To}
	}
	x := r.places()
	return shape.Span{From: max(0, x[0]-r.Every/2), To: min(b.Length, x[len(x)-1]+r.Every/2)}
}

// sectionAt returns the section at x.
func (b Bed) sectionAt(x float64) Section {
	for _, s := range b.Sections {
		if x <= s.To+1e-9 {
			return s
		}
	}
	return Section{}
}

// ribWeights returns what the ribs weigh by the metal's density: square ones where they stand, slanting ones half at
// each of their walls.
func (b Bed) ribWeights() (square, slanting []Weight) {
	for _, r := range b.Ribs {
		for _, x := range r.places() {
			s, pitch := b.sectionAt(x), 0.0
			if r.Diagonal {
				pitch = r.Every
			}
			ends, _ := r.Ends(s.Plates)
			w := Weight{At: x, Offset: (ends[0] + ends[1]) / 2, Force: gravity * b.Material.Density * r.Volume(s.Plates, pitch)}
			if !r.Diagonal {
				square = append(square, w)
				continue
			}
			for _, y := range ends {
				slanting = append(slanting, Weight{At: x, Offset: y, Force: w.Force / 2})
			}
		}
	}
	return square, slanting
}

// twist returns GJ that a rib or row adds to a section, N·m², at least and at most.
func (r Rib) twist(b Bed, s Section) (least, most float64) {
	e, g := b.Material.Modulus, b.Material.ShearModulus
	if r.Diagonal {
		gj, _ := r.Slanting(s.Plates, r.Every, e, g)
		if !b.endPlates(r) {
			gj *= 0.9
		}
		return 0.75 * gj, gj / 0.75 // walls that meet the ribs at one node or at two, or the joints' give
	}
	c, err := section.Of(s.Plates)
	if err != nil || c.Cells > 0 {
		return 0, 0 // beside a cell nothing that stays square counts
	}
	over := r.reach(b)
	per := float64(len(r.places())) / (over.To - over.From)
	gj := r.Square(s.Plates, e, g, c.Torsion) * per
	return 0.75 * gj, gj / 0.75
}

// endPlates tells whether square ribs stand at both ends of a slanting row.
func (b Bed) endPlates(row Rib) bool {
	near := func(x float64) bool {
		for _, r := range b.Ribs {
			for _, at := range r.places() {
				if !r.Diagonal && math.Abs(at-x) < row.Every/2 {
					return true
				}
			}
		}
		return false
	}
	return near(row.From) && near(row.To)
}

// ribbed returns the bed with its ribs as weights and as stiffness of its sections besides. Where an open bed goes on
// as a box its walls go on bending against each other into it: there a box warps as it does when it goes out of
// square, not as it does in twist. It is an
// error when the sections do not cover it.
func (b Bed) ribbed() (Bed, error) {
	if err := coversBed(b); err != nil {
		return b, err
	}
	out := b
	plates, ribs := b.Drawn()
	square, slanting := b.ribWeights()
	rest, slanting := b.hang(slanting)
	out.Weights = slices.Clone(b.Weights)
	for _, w := range append(square, slanting...) {
		if b.Weight > 0 {
			w.Force *= b.Weight / (plates + ribs)
			out.Weight -= w.Force
		}
		out.Weights = append(out.Weights, w)
	}
	out.Sections = nil
	open := slices.ContainsFunc(b.Sections, func(s Section) bool {
		_, box := s.Plates.Distort()
		return !box && s.Plates != nil
	})
	for _, s := range rest.stretches() {
		least, most := b.torsion(s)
		s.Torsion = math.Sqrt(least * most)
		if d, box := s.Plates.Distort(); box && open {
			s.Warping, s.WarpingShear = d.Warping, d.Shear
		}
		left := math.Pow(b.slip(s), 2)
		s.Warping, s.WarpingShear = s.Warping*left, s.WarpingShear*left
		out.Sections = append(out.Sections, s)
	}
	return out, nil
}

// Drawn returns what the sections and the ribs weigh by the metal's density, N.
func (b Bed) Drawn() (sections, ribs float64) {
	for _, s := range b.Sections {
		sections += gravity * b.Material.Density * s.Area * (s.To - s.From)
	}
	square, slanting := b.ribWeights()
	for _, w := range append(square, slanting...) {
		ribs += w.Force
	}
	return sections, ribs
}

// stretches returns the sections, cut where rows of ribs begin and end.
func (b Bed) stretches() (out []Section) {
	for _, s := range b.Sections {
		cuts := []float64{s.From, s.To}
		for _, r := range b.Ribs {
			over := r.reach(b)
			cuts = append(cuts, over.From, over.To)
		}
		slices.Sort(cuts)
		for k := 1; k < len(cuts); k++ {
			part := s
			part.From, part.To = max(s.From, cuts[k-1]), min(s.To, cuts[k])
			if part.To-part.From > 1e-9*b.Length {
				out = append(out, part)
			}
		}
	}
	return out
}

// ribsOf returns the ribs and rows that stiffen a stretch.
func (b Bed) ribsOf(s Section) (out []Rib) {
	for _, r := range b.Ribs {
		if over := r.reach(b); over.From <= s.From+1e-9 && over.To >= s.To-1e-9 {
			out = append(out, r)
		}
	}
	return out
}

// torsion returns the least and the most that J of a stretch may be with its ribs, m⁴.
func (b Bed) torsion(s Section) (least, most float64) {
	least, most = s.Torsion, s.Torsion
	if s.TwistGiven || s.Plates == nil {
		return least, most
	}
	for _, r := range b.ribsOf(s) {
		lo, hi := r.twist(b, s)
		least, most = least+lo/b.Material.ShearModulus, most+hi/b.Material.ShearModulus
	}
	return least, most
}

// slip returns how much of the warping of an open stretch is left by slanting ribs that close it.
func (b Bed) slip(s Section) float64 {
	slip := 1.0
	for _, r := range b.ribsOf(s) {
		if r.Diagonal {
			_, left := r.Slanting(s.Plates, r.Every, b.Material.Modulus, b.Material.ShearModulus)
			slip = min(slip, left)
		}
	}
	return slip
}

// Standard deviations of the logarithm of the twist's stiffness, by where it comes from.
var (
	measuredTwist = 0.2         // as sure as E and the plates
	unknownTwist  = math.Log(3) // nobody said how it is ribbed
)

// TwistSD returns how sure the bed's stiffness against twist is, as a standard deviation of its logarithm:
// 0.2 where J is measured or a cell with ribs closes the section, half the range of the ribs' rules where they are
// more, and a factor of three for walls without a word of ribs. The least sure section counts.
func (b Bed) TwistSD() (sd float64) {
	for _, s := range b.stretches() {
		least, most := b.torsion(s)
		sd = max(sd, measuredTwist, math.Log(most/least)/2)
		if b.unribbed(s) {
			sd = unknownTwist
		}
	}
	return sd
}

// unribbed tells whether a stretch is walls with no word of what joins them or keeps their box square.
func (b Bed) unribbed(s Section) bool {
	c, err := section.Of(s.Plates)
	if s.TwistGiven || err != nil || len(s.Plates.Walls()) < 2 {
		return false
	}
	if c.Cells > 0 {
		_, box := s.Plates.Distort()
		return box && len(b.Ribs) == 0
	}
	least, most := b.torsion(s)
	return least == s.Torsion && most == s.Torsion
}

// Give returns how much the casting itself yields over a foot, m/N; rigid feet stand under it too.
func (b Bed) Give(f Foot) float64 {
	give, _ := b.give(f)
	return give
}

// give returns besides how far left and right of a foot its force enters the bed, m.
func (b Bed) give(f Foot) (give, spread float64) {
	var over []section.Rib
	for _, r := range b.Ribs {
		beside := func(x float64) bool { return math.Abs(x-f.At) <= max(f.Length, shortestPad)/2 }
		if !r.Diagonal && slices.ContainsFunc(r.places(), beside) {
			over = append(over, r.Rib)
		}
	}
	return b.sectionAt(f.At).Plates.Give(f.Offset, f.Length, b.Material.Modulus, over)
}

// shortestPad is how far, m, a rib that stands over a foot may miss its middle by twice, at the least: a foot of a
// machine has a pad of 60 mm or more (common practice, no source).
const shortestPad = 0.06
