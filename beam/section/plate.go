package section

import (
	"errors"
	"fmt"
	"math"
)

// Plate is an upright rectangle of a section seen from the end.
type Plate struct {
	Width, Height float64 // m
	Offset        float64 // m across the bed, of its middle
	Bottom        float64 // m, of its lower edge above the underside
}

// Plates are what a section is made of.
type Plates []Plate

// box is a rectangle by its edges, across and up.
type box struct{ lo, hi [2]float64 }

func (p Plate) box() box {
	return box{[2]float64{p.Offset - p.Width/2, p.Bottom}, [2]float64{p.Offset + p.Width/2, p.Bottom + p.Height}}
}

func (b box) thickness() float64 { return min(b.hi[0]-b.lo[0], b.hi[1]-b.lo[1]) }

// covers tells whether a point lies inside.
func (b box) covers(p [2]float64) bool {
	return b.lo[0] < p[0] && p[0] < b.hi[0] && b.lo[1] < p[1] && p[1] < b.hi[1]
}

// Meeting is a doubtful place between two plates that were taken as joined.
type Meeting struct {
	Plates [2]int  // indices
	Gap    float64 // m, the crack between them; 0: they touch at a corner only
}

// errNoPlates says that there is nothing to make a section of.
var errNoPlates = errors.New("a section needs at least one plate")

// GapError says that no plate lies between two heights above the underside: the section falls in two.
type GapError struct{ From, To float64 } // m

func (e *GapError) Error() string {
	return fmt.Sprintf("no plate between %g m and %g m above the underside: the section falls in two", e.From, e.To)
}

const (
	// same is how near edges are one edge, m: a thousandth of what can be cast.
	same = 1e-6
	// crack is the largest gap, in walls, that is a slip of the tape rather than an opening.
	crack = 0.1
)

// joined returns the plates as rectangles, with patches where two of them miss each other by a
// crack or touch at a corner only, and these places.
func joined(plates Plates) (boxes []box, doubtful []Meeting) {
	for _, p := range plates {
		boxes = append(boxes, p.box())
	}
	var patches []box
	for i, a := range boxes {
		for j, b := range boxes[:i] {
			if patch, gap, ok := between(a, b); ok && open(boxes, a, b, patch) {
				patches = append(patches, patch)
				doubtful = append(doubtful, Meeting{[2]int{j, i}, gap})
			}
		}
	}
	return append(boxes, patches...), doubtful
}

// between returns what would close a crack or a corner between two rectangles.
func between(a, b box) (patch box, gap float64, ok bool) {
	wall := min(a.thickness(), b.thickness())
	meets := 0 // directions in which they only touch or miss each other
	for d := range 2 {
		lo, hi := max(a.lo[d], b.lo[d]), min(a.hi[d], b.hi[d])
		switch g := lo - hi; {
		case g >= crack*wall:
			return box{}, 0, false
		case g > -same: // from hi up to lo
			meets++
			if g > same {
				gap = max(gap, g)
			}
			patch.lo[d], patch.hi[d] = hi, max(lo, hi)
		default:
			patch.lo[d], patch.hi[d] = lo, hi
		}
	}
	if meets == 2 { // a corner: half a wall around it
		for d := range 2 {
			patch.lo[d] -= wall / 2
			patch.hi[d] += wall / 2
		}
	}
	return patch, gap, meets == 2 || meets == 1 && gap > 0
}

// open tells whether nothing else fills the place between a and b: the whole crack, or one of the
// two quarters at a corner.
func open(boxes []box, a, b, patch box) bool {
	mid := [2]float64{(patch.lo[0] + patch.hi[0]) / 2, (patch.lo[1] + patch.hi[1]) / 2}
	points := [][2]float64{mid}
	if wall := min(a.thickness(), b.thickness()); patch.hi[0]-patch.lo[0] >= wall && patch.hi[1]-patch.lo[1] >= wall {
		d := wall / 4
		points = nil
		for _, s := range [][2]float64{{-d, -d}, {-d, d}, {d, -d}, {d, d}} {
			if p := [2]float64{mid[0] + s[0], mid[1] + s[1]}; !a.covers(p) && !b.covers(p) {
				points = append(points, p)
			}
		}
	}
	for _, p := range points {
		for _, c := range boxes {
			if c.covers(p) {
				return false
			}
		}
	}
	return true
}

// levels is an error unless there is a plate at every height.
func levels(boxes []box) error {
	z := edges(boxes, 1)
	for k := range len(z) - 1 {
		mid, found := (z[k]+z[k+1])/2, false
		for _, b := range boxes {
			found = found || b.lo[1] < mid && mid < b.hi[1]
		}
		if !found {
			return &GapError{z[k], z[k+1]}
		}
	}
	return nil
}

func validate(plates Plates) error {
	if len(plates) == 0 {
		return errNoPlates
	}
	for i, p := range plates {
		if !(p.Width > same && p.Height > same) || math.IsInf(p.Width+p.Height+math.Abs(p.Offset)+p.Bottom, 0) {
			return fmt.Errorf("plate %d has no size: width and height must be above zero", i+1)
		}
	}
	return nil
}
