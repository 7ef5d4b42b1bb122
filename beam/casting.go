package beam

import (
	"math"

	"footwork/beam/section"
)

// Stretch is what a bed is over a part of its length, its ribs included: J is in the middle of the
// range that the ribs' rules leave.
type Stretch struct {
	Section
	Least, Most float64 // J, m⁴
	Walls       int     // upright plates that stand beside one another; 0: not known
	Pieces      int     // that nothing but ribs joins; 0: not known
	Cells       int     // that the plates close
	Unribbed    bool    // walls, and nobody said what joins them or keeps their box square
}

// Stretches returns the bed from left to right. It is an error when its sections do not cover it.
func (b Bed) Stretches() (out []Stretch, err error) {
	if err := coversBed(b); err != nil {
		return nil, err
	}
	for _, s := range b.stretches() {
		one := Stretch{Section: s, Walls: len(section.Walls(s.Plates)), Unribbed: b.unribbed(s)}
		one.Least, one.Most = b.torsion(s)
		one.Torsion = math.Sqrt(one.Least * one.Most)
		if c, err := section.Of(s.Plates); err == nil {
			one.Pieces, one.Cells = c.Pieces, c.Cells
		}
		out = append(out, one)
	}
	return out, nil
}

// Reach returns √(EI_ω/GJ), m: over so much of the bed's length a wall's bending carries twist, beyond it
// Saint-Venant's torsion does.
func (s Stretch) Reach(m Material) float64 {
	return math.Sqrt(m.Modulus * s.Warping / (m.ShearModulus * s.Torsion))
}
