package casting

import (
	"math"

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

// Places returns where the ribs of a row stand, m: a slanting one by its middle.
func (r Rib) Places() (x []float64) {
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
	x := r.Places()
	return shape.Span{From: max(0, x[0]-r.Every/2), To: min(b.Length, x[len(x)-1]+r.Every/2)}
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
	per := float64(len(r.Places())) / (over.To - over.From)
	gj := r.Square(s.Plates, e, g, c.Torsion) * per
	return 0.75 * gj, gj / 0.75
}

// endPlates tells whether square ribs stand at both ends of a slanting row.
func (b Bed) endPlates(row Rib) bool {
	near := func(x float64) bool {
		for _, r := range b.Ribs {
			for _, at := range r.Places() {
				if !r.Diagonal && math.Abs(at-x) < row.Every/2 {
					return true
				}
			}
		}
		return false
	}
	return near(row.From) && near(row.To)
}
