package section

import (
	"encoding/binary"
	"math"
	"sync"

	"gonum.org/v1/gonum/floats"
)

// Constants are what a section is to a beam, for one E and G all over.
type Constants struct {
	Area         float64 // A, m²
	Offset       float64 // m across the bed, of the centroid
	Height       float64 // m above the underside, of the centroid
	Depth        float64 // m, from the lowest edge to the highest
	Inertia      float64 // I about the horizontal axis, of each piece through its own centroid, m⁴
	ShearArea    float64 // A_s, m², for shear up and down
	Torsion      float64 // J, m⁴
	ShearCentre  float64 // m across the bed
	ShearHeight  float64 // m above the underside, of the shear centre
	Warping      float64 // I_ω, m⁶
	WarpingShear float64 // A_ω, m⁴
	Skew         float64 // I_yz²/I_yI_z of a section in one piece: how much softer it bends where nothing holds it sideways
	Pieces       int     // that nothing joins in the section itself
	Cells        int     // that the section closes
	Doubtful     []Meeting
	Error        float64 // of J or I_ω, whichever is more, as a share: what a mesh without end is foretold to change
}

// across is how many elements lie across a plate in the finer of two meshes; the other has half.
const across = 10

// gain is how much nearer the finer mesh is: errors fall like h^(4/3) at re-entrant
// corners (Babuška and Szabó), faster elsewhere, where little is left to gain.
var gain = math.Pow(2, 4./3) - 1

// Of returns the constants of the union of plates. Plates that touch are joined, by a crack of a tenth
// of a wall or at a corner too; these places are told. It is an error without plates, a *GapError or
// a plate without size when they make no section.
func Of(plates Plates) (Constants, error) {
	if err := validate(plates); err != nil {
		return Constants{}, err
	}
	boxes, doubtful := joined(plates)
	if err := levels(boxes); err != nil {
		return Constants{}, err
	}
	return kept(plates, func() Constants {
		c, coarse := constants(boxes, across), constants(boxes, across/2)
		c.Doubtful = doubtful
		c.ShearArea += (c.ShearArea - coarse.ShearArea) / 3 // smooth: h²
		for fine, half := range map[*float64]float64{&c.Torsion: coarse.Torsion, &c.ShearCentre: coarse.ShearCentre,
			&c.ShearHeight: coarse.ShearHeight, &c.Warping: coarse.Warping, &c.WarpingShear: coarse.WarpingShear} {
			more := (*fine - half) / gain
			*fine += more
			if fine == &c.Torsion || fine == &c.Warping {
				c.Error = max(c.Error, math.Abs(more / *fine))
			}
		}
		return c
	}), nil
}

// constants works them out on one mesh.
func constants(boxes []box, across int) Constants {
	s := newSystem(fill(boxes, across))
	m := s.moments()
	c := Constants{Pieces: len(s.pins), Cells: s.cells}
	heights := edges(boxes, 1)
	c.Depth = heights[len(heights)-1] - heights[0]
	for p, a := range m.area {
		c.Area += a
		c.Offset += a * m.centroid[p][0]
		c.Height += a * m.centroid[p][1]
		c.Inertia += m.second[p][2]
	}
	c.Offset, c.Height = c.Offset/c.Area, c.Height/c.Area
	if q := m.second[0]; c.Pieces == 1 {
		c.Skew = q[1] * q[1] / (q[0] * q[2])
	}
	y, z := s.local(m.centroid)
	theta := s.times(z)
	c.ShearArea = c.Inertia * c.Inertia / floats.Dot(theta, s.solve(theta))
	right := s.twisting(m.centroid)
	omega := s.solve(right)
	for _, q := range m.second {
		c.Torsion += q[0] + q[2]
	}
	c.Torsion -= floats.Dot(omega, right)
	s.level(omega, m.area)
	c.ShearCentre, c.ShearHeight = m.shearCentre(s, omega, y, z)
	m.about(s, omega, y, z, c.ShearCentre, c.ShearHeight)
	eta := s.times(omega)
	c.Warping = floats.Dot(omega, eta)
	c.WarpingShear = c.Warping * c.Warping / floats.Dot(eta, s.solve(eta))
	return c
}

// known keeps the constants of sections that were worked out: a job asks for the same ones often.
var known = struct {
	sync.Mutex
	of map[string]Constants
}{of: map[string]Constants{}}

// mostKept bounds what is kept; beyond it all is forgotten.
const mostKept = 256

// kept returns the constants of plates, worked out at most once.
func kept(plates Plates, work func() Constants) Constants {
	key := make([]byte, 0, 32*len(plates)) // by hand: a bed with ribs asks dozens of times
	for _, p := range plates {
		for _, v := range [4]float64{p.Width, p.Height, p.Offset, p.Bottom} {
			key = binary.LittleEndian.AppendUint64(key, math.Float64bits(v))
		}
	}
	known.Lock()
	defer known.Unlock()
	c, ok := known.of[string(key)]
	if !ok {
		c = work()
		if len(known.of) >= mostKept {
			clear(known.of)
		}
		known.of[string(key)] = c
	}
	return c
}
