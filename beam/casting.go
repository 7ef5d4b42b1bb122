package beam

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
	if err := coversBed(b); err != nil {
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
		for _, x := range r.places() {
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

// compressions are line loads that press ways into their walls.
type compressions []compression

type compression struct {
	Line
	give float64 // m²/N
}

// compressing returns the lines that do so.
func (b Bed) compressing(lines []Line) (out compressions) {
	for _, q := range lines {
		s := b.sectionAt((q.From + q.To) / 2)
		if give := s.Plates.Compression(q.Offset, b.Material.Modulus); give > 0 {
			out = append(out, compression{q, give})
		}
	}
	return out
}

// at returns how far the surface at x, offset y, is pressed in, m.
func (c compressions) at(x, y float64) (down float64) {
	for _, q := range c {
		if math.Abs(y-q.Offset) < 1e-6 && q.From <= x && x <= q.To {
			down += q.give * (q.Start + (q.End-q.Start)*(x-q.From)/(q.To-q.From))
		}
	}
	return down
}
