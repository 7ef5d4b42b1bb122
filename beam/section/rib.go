package section

import (
	"math"
	"slices"
)

// Rib is a plate that stands up between walls, square to the bed or slanting.
type Rib struct {
	Thickness float64    // m
	Height    float64    // m
	Bottom    float64    // m, of its lower edge above the underside
	Between   [2]float64 // m, offsets of the walls that it joins, increasing; both 0: the outermost
	Hole      float64    // m, diameter of an opening in its middle; 0 without
}

// stands tells a rib from a bar that lies flat.
func (r Rib) stands() bool { return r.Height >= r.Thickness }

// over tells whether a plate stands over or under an offset.
func (p Plate) over(offset float64) bool { return math.Abs(p.Offset-offset) <= p.Width/2+same }

// Walls returns the offsets of upright plates, m, increasing, those that stand over one another once.
func (plates Plates) Walls() (y []float64) {
	for _, p := range plates {
		if p.Height > p.Width {
			y = append(y, p.Offset)
		}
	}
	slices.Sort(y)
	return slices.CompactFunc(y, func(a, b float64) bool { return math.Abs(b-a) < 1e-3 })
}

// Ends returns the offsets that a rib runs between; not ok when there is but one wall.
func (r Rib) Ends(plates Plates) (ends [2]float64, ok bool) {
	if r.Between[1] > r.Between[0] {
		return r.Between, true
	}
	w := plates.Walls()
	if len(w) < 2 {
		return ends, false
	}
	return [2]float64{w[0], w[len(w)-1]}, true
}

// Volume returns what a rib adds to the plates, m³ · pitch: of a slanting rib, 0 square.
func (r Rib) Volume(plates Plates, pitch float64) float64 {
	ends, ok := r.Ends(plates)
	if !ok {
		return 0
	}
	wide := ends[1] - ends[0]
	own := Plate{Width: wide, Height: r.Height, Offset: (ends[0] + ends[1]) / 2, Bottom: r.Bottom}.box()
	area := -math.Pi / 4 * r.Hole * r.Hole
	boxes := []box{own}
	for _, p := range plates {
		boxes = append(boxes, p.box())
	}
	y, z := edges(boxes, 0), edges(boxes, 1)
	for i := range len(y) - 1 {
		for j := range len(z) - 1 {
			mid := [2]float64{(y[i] + y[i+1]) / 2, (z[j] + z[j+1]) / 2}
			if own.covers(mid) && !slices.ContainsFunc(boxes[1:], func(b box) bool { return b.covers(mid) }) {
				area += (y[i+1] - y[i]) * (z[j+1] - z[j])
			}
		}
	}
	return max(0, area) * r.Thickness * math.Hypot(wide, pitch) / wide
}

// Slanting returns GJ of a zigzag of ribs, each from one wall to the other over one pitch a,
// tan α = b/a: the twist φ′ bends a rib by φ′·sin 2α, its ends bend the walls to and fro:
//
//	1/GJ = [1/(EI_r cos α) + Σ (cos²α/3EI_w + cos²α/a²GA_w)] / 4sin²α
//
// with both walls in the sum, and the ribs' own torsion besides (own derivation, within 3 % of a grillage
// of six panels with end plates; without them a tenth less). Where a plate joins the walls I_r and I_w are about it: a rib is then a
// lattice, E·ab²A/d³ against shear in its plane (C. F. Kollbrunner and K. Basler, Torsion in Structures, 1969), which closes the
// open side, and Bredt's cell of plate and walls is in series with it, 4b²z²/(b/t + 2z/t_w) with z the lattice's depth. slip, of
// one without a plate, is how much of an open section's warping is left.
func (r Rib) Slanting(plates Plates, pitch, e, g float64) (gj, slip float64) {
	ends, ok := r.Ends(plates)
	if !ok {
		return 0, 1
	}
	b := ends[1] - ends[0]
	sin, cos := b/math.Hypot(b, pitch), pitch/math.Hypot(b, pitch)
	area := r.Thickness * (r.Height - r.Hole)
	inertia := r.Thickness * (math.Pow(r.Height, 3) - math.Pow(r.Hole, 3)) / 12
	plate, joined := joining(plates, ends)
	if c, err := Of(plates); err != nil || c.Cells > 0 {
		joined = false // in a box the other plate turns with them
	}
	if joined {
		z := r.Bottom + r.Height/2 - plate.middle()
		inertia += area * z * z
	}
	soft := 1 / (e * inertia * cos)
	for _, y := range ends {
		i, a := wall(plates, y, b, plate, joined)
		if joined {
			a = math.Inf(1) // shears as a side of the cell
		}
		soft += cos * cos * (1/(3*e*i) + 1/(pitch*pitch*g*a))
	}
	lattice, cell := soft/(4*sin*sin), 0.0
	if joined {
		cell = cellUnder(plates, ends, plate, math.Sqrt(inertia/area), g)
	}
	own := g * math.Pow(r.Thickness, 2) * area / 3 * math.Pow(cos*cos-sin*sin, 2) / cos
	return 1/(lattice+cell) + own, lattice / (lattice + cell)
}

// cellUnder returns 1/GJ of Bredt's cell of a plate, the walls at both ends and a lattice so deep under it.
func cellUnder(plates Plates, ends [2]float64, plate Plate, deep, g float64) float64 {
	b, sides := ends[1]-ends[0], 0.0
	for _, y := range ends {
		if w := plates.Walls(); y < w[0]+1e-3 || y > w[len(w)-1]-1e-3 { // cells on both sides of an inner one leave it free
			sides += deep / thinnest(plates, y)
		}
	}
	return (b/plate.Height + sides) / (4 * g * b * b * deep * deep)
}

// wall returns I and the shear area of what stands over one offset, web, flange and way, but no
// plate that reaches over to the next wall, b away; without limit where nothing stands. I is about the plate that joins the
// walls, if one does.
func wall(plates Plates, offset, b float64, plate Plate, joined bool) (inertia, area float64) {
	c, err := Of(slices.DeleteFunc(plates.Wall(offset), func(p Plate) bool { return p.Width >= b }))
	if err != nil {
		return math.Inf(1), math.Inf(1)
	}
	if joined {
		c.Inertia += c.Area * math.Pow(c.Height-plate.middle(), 2)
	}
	return c.Inertia, c.ShearArea
}

func (p Plate) middle() float64 { return p.Bottom + p.Height/2 }

// Hold returns how stiffly a rib holds one of its walls up against the other, N/m: as a beam that is built in at
// both, over a pitch where it slants, 0 square.
func (r Rib) Hold(wide, pitch, e, g float64) float64 {
	long := math.Hypot(wide, pitch)
	inertia := r.Thickness * (math.Pow(r.Height, 3) - math.Pow(r.Hole, 3)) / 12
	return 1 / (long*long*long/(12*e*inertia) + 1.2*long/(g*r.Thickness*(r.Height-r.Hole)))
}

// Inner returns the offsets of the walls between the outermost where nothing but ribs joins the walls.
func (plates Plates) Inner() []float64 {
	y := plates.Walls()
	if c, err := Of(plates); err != nil || len(y) < 3 || c.Pieces != len(y) {
		return nil
	}
	return y[1 : len(y)-1]
}

// Wall returns the plates that stand over one offset.
func (plates Plates) Wall(offset float64) (own []Plate) {
	for _, p := range plates {
		if p.over(offset) {
			own = append(own, p)
		}
	}
	return own
}
