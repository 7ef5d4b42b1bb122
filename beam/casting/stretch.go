package casting

import (
	"math"
	"slices"

	"footwork/beam/section"
)

// Stretch is what a bed is over a part of its length, its ribs included: J is in the middle of the
// range that the ribs' rules leave.
type Stretch struct {
	Section
	Least, Most float64 // J, m⁴
	Walls       int     // upright plates that stand beside one another; 0: not known
	Cells       int     // that the plates close
	Unribbed    bool    // walls, and nobody said what joins them or keeps their box square
	Skew        float64 // how much softer it bends where nothing holds it sideways, as a share of EI
	Bare        float64 // m, the longest part of a box without a rib, when there are ribs; 0 for others
}

// Stretches returns the bed from left to right. It is an error when its sections do not cover it.
func (b Bed) Stretches() (out []Stretch, err error) {
	if err := b.covered(); err != nil {
		return nil, err
	}
	for _, s := range b.stretches() {
		one := Stretch{Section: s, Walls: len(s.Plates.Walls()), Unribbed: b.unribbed(s)}
		one.Least, one.Most = b.torsion(s)
		one.Torsion = math.Sqrt(one.Least * one.Most)
		if c, err := section.Of(s.Plates); err == nil {
			one.Cells, one.Skew = c.Cells, c.Skew
		}
		if _, box := s.Plates.Distort(); box && !s.TwistGiven {
			one.Bare = b.bare(s)
		}
		out = append(out, one)
	}
	return out, nil
}

// bare returns the longest part of a stretch without a rib, m; 0 when the bed has none.
func (b Bed) bare(s Section) (long float64) {
	at := []float64{s.From, s.To}
	for _, r := range b.Ribs {
		for _, x := range r.Places() {
			if s.From < x && x < s.To {
				at = append(at, x)
			}
		}
	}
	slices.Sort(at)
	for i := 1; i < len(at) && len(b.Ribs) > 0; i++ {
		long = max(long, at[i]-at[i-1])
	}
	return long
}

// Reach returns √(EI_ω/GJ), m: over so much of the bed's length a wall's bending carries twist, beyond it
// Saint-Venant's torsion does.
func (s Stretch) Reach(m Material) float64 {
	return math.Sqrt(m.Modulus * s.Warping / (m.ShearModulus * s.Torsion))
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
