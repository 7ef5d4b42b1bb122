package free

import (
	"math"
	"slices"

	"footwork/beam/casting"
)

// Twist with restrained warping (Vlasov, with the shear of the walls as Timoshenko has
// it for bending). Cells turn about their shear centres e and warp by χ:
//
//	T = GJφ′ + GA_ω(φ′ − χ),  B = −EI_ωχ′,  (EI_ωχ′)′ + GA_ω(φ′ − χ) = 0,  B = 0 at the ends,
//
// with T the torque about e of all that lies to the right, known from balance. So
//
//	φ′ = pT + rχ,  (EI_ωχ′)′ − kχ = −rT,  p = 1/(GJ+GA_ω), r = GA_ω·p, k = GJ·r,
//
// a tridiagonal system for χ at the middles of the cells, joined by c = EI_ω/h. Its inverse
// is Gᵢⱼ = uᵢvⱼ for i ≤ j, u and v being the solutions that meet the left and the right
// end: running sums of u, v and G give the twist anywhere for a torque anywhere at once.
// What grows along the bed as u does is kept times v, and v as its logarithm, with v itself and 1/v where
// both are numbers. Pivots are sums
// of what lies in parallel and in series, so that nothing cancels however fine the grid.

// twister is how the cells twist, ready for any load. Without warping r is 0.
type twister struct {
	x     []float64   // m, nodes
	box   *distortion // nil: every section stays square
	cells []twistCell
	sums  []twistSums // of the same cells
	// all turn about the centre line
	centred bool
	// some cell resists warping
	warps bool
	// v and 1/v are numbers all along the bed
	mild bool
}

type twistCell struct {
	soft, share  float64 // ph, rad/N·m, and rh, m
	centre       float64 // e, m
	pivot, carry float64 // 1/pivot and c/pivot of the elimination from the left
}

// twistSums is what is known of the cells left and right of one: Σ with 1 and with e.
type twistSums struct {
	own    float64    // G of the cell itself
	log    float64    // ln v, where v is not mild
	v, inv float64    // v, 1/v, where it is
	before [2]float64 // v·Σ rh·u over the cells left of it
	after  [2]float64 // Σ rh·v/v over it and the cells right of it
	plain  [3]float64 // Σ ph·(1, e, e²) over the cells left of it
	both   [3]float64 // ΣΣ rh·rh·G·(1, e, e·e) over the pairs of cells left of it
}

// steepest is the most that ln v falls between neighbours, which it would without limit
// where no warping passes from one to the other.
const steepest = 700

// leastCentre is below what offset, m, a shear centre lies on the centre line: what a mesh's rounding leaves of a
// section that is its own mirror image is a thousandth of it.
const leastCentre = 1e-9

func newTwister(g *Bed, b casting.Bed) *twister {
	n := len(g.x) - 1
	t := &twister{x: g.x, box: newDistortion(b), cells: make([]twistCell, n), sums: make([]twistSums, n), centred: true}
	give, join := make([]float64, n), make([]float64, n) // kh of each cell, c to the next one
	half := math.Inf(1)                                  // h/2EI_ω of the cell before
	g.each(b, func(i int, h, _ float64, s *casting.Section) {
		gj := b.Material.ShearModulus * s.Torsion
		c, flex := twistCell{soft: h / gj, centre: s.ShearCentre}, math.Inf(1)
		if math.Abs(c.centre) < leastCentre {
			c.centre = 0
		}
		give[i] = gj * h
		if s.Warping > 0 {
			var over float64 // 1/GA_ω
			if s.WarpingShear > 0 {
				over = 1 / (b.Material.ShearModulus * s.WarpingShear)
			}
			r := 1 / (1 + gj*over)
			c.soft, c.share, give[i] = over*r*h, r*h, h/(1/gj+over)
			flex = h / (2 * b.Material.Modulus * s.Warping)
			t.warps = true
		}
		if i > 0 {
			join[i-1] = 1 / (half + flex)
		}
		half, t.cells[i] = flex, c
		t.centred = t.centred && c.centre == 0
	})
	t.sum(t.eliminate(give, join))
	return t
}

// eliminate fills in pivots, G's diagonal and ln v, and returns v of each cell over v of
// the one before it. left and right are what the neighbours add to a cell's kh: all
// that lies beyond, in series with the joint.
func (t *twister) eliminate(give, join []float64) (fall []float64) {
	left := 0.0
	for i := range t.cells {
		c := &t.cells[i]
		own := give[i] + left
		t.sums[i].own = own
		c.pivot = 1 / (own + join[i])
		c.carry = join[i] * c.pivot
		left = own * c.carry
	}
	fall = make([]float64, len(give))
	right, whole := 0.0, 1.0
	for i := len(t.cells) - 1; i >= 0; i-- {
		s := &t.sums[i]
		s.own = 1 / (s.own + right)
		if beyond := give[i] + right; i > 0 {
			fall[i] = join[i-1] / (join[i-1] + beyond)
			right = beyond * fall[i]
			whole *= fall[i]
		}
	}
	t.mild = whole > math.Exp(-steepest)
	t.fall(fall)
	return fall
}

// fall fills in v of every cell, as its logarithm where it is not a number all along.
func (t *twister) fall(by []float64) {
	t.sums[0].v, t.sums[0].inv = 1, 1
	for i := 1; i < len(t.sums); i++ {
		s := &t.sums[i]
		if t.mild {
			s.v = t.sums[i-1].v * by[i]
			s.inv = 1 / s.v
		} else {
			s.log = t.sums[i-1].log + max(math.Log(by[i]), -steepest)
		}
	}
}

// sum fills in the running sums.
func (t *twister) sum(fall []float64) {
	var before [2]float64
	var plain, both [3]float64
	for i, c := range t.cells {
		s := &t.sums[i]
		if i > 0 {
			before[0] *= fall[i]
			before[1] *= fall[i]
		}
		s.before, s.plain, s.both = before, plain, both
		r, e := c.share, c.centre
		plain[0], plain[1], plain[2] = plain[0]+c.soft, plain[1]+c.soft*e, plain[2]+c.soft*e*e
		both[0] += r * (2*before[0] + r*s.own)
		both[1] += r * (before[1] + e*before[0] + r*e*s.own)
		both[2] += r * e * (2*before[1] + r*e*s.own)
		before[0] += r * s.own
		before[1] += r * e * s.own
	}
	var after [2]float64
	for i := len(t.cells) - 1; i >= 0; i-- {
		c := t.cells[i]
		after = [2]float64{c.share + after[0], c.share*c.centre + after[1]}
		t.sums[i].after = after
		after[0] *= fall[i]
		after[1] *= fall[i]
	}
}

// between returns the height at p, offset y, for a unit upward force at q, offset v, by
// twist and distortion, m/N.
func (t *twister) between(p place, y float64, q place, v float64) float64 {
	sum := t.turned(p, y, q, v)
	if t.box != nil {
		sum += (y - t.cells[p.cell].centre) * (v - t.cells[q.cell].centre) * t.box.between(p.x, q.x)
	}
	return sum
}

// turned is the part of twist. A cell's share t counts as left of a place: in what the torque does to
// φ′ itself exactly, for its kink under a force would be lost; in χ, which is smooth, as heights are
// read and loads are put on everywhere.
func (t *twister) turned(p place, y float64, q place, v float64) float64 {
	if q.cell < p.cell {
		p, y, q, v = q, v, p, y
	}
	c, s := &t.cells[p.cell], &t.sums[p.cell]
	at := p.t // the cell's share left of both
	if q.cell == p.cell {
		at = min(p.t, q.t)
	}
	yc, vc := y-c.centre, v-c.centre
	sum := t.plainly(place{cell: p.cell, t: at}, y, v)
	if !t.warps {
		return sum
	}
	dy, dv := c.share*yc, c.share*vc
	by, bv := y*s.before[0]-s.before[1], v*s.before[0]-s.before[1]
	sum += y*v*s.both[0] - (y+v)*s.both[1] + s.both[2] + p.t*dy*bv
	if q.cell == p.cell {
		return sum + q.t*dv*(by+p.t*dy*s.own)
	}
	d, far := &t.cells[q.cell], &t.sums[q.cell]
	beyond := v*far.after[0] - far.after[1] - q.t*d.share*(v-d.centre)
	inside := v*s.after[0] - s.after[1] - dv - t.ratio(far, s)*beyond
	return sum + by*dv + p.t*dy*dv*s.own + (by+p.t*dy*s.own)*inside
}

// plainly is the part of φ′ = pT left of a place.
func (t *twister) plainly(p place, y, v float64) float64 {
	c, s := &t.cells[p.cell], &t.sums[p.cell].plain
	return y*v*s[0] - (y+v)*s[1] + s[2] + p.t*c.soft*(y-c.centre)*(v-c.centre)
}

// ratio returns v of a cell over v of one to its left.
func (t *twister) ratio(far, s *twistSums) float64 {
	if t.mild {
		return far.v * s.inv
	}
	return math.Exp(far.log - s.log)
}

// under returns the twist at the nodes, distortion included, for the torque about the shear centre in each cell (N·m,
// of all that lies to its right) and at the left end besides, and the height that turning about the
// shear centres takes from the centre line, Σ e·Δφ, m.
func (t *twister) under(torque []float64, left float64) (phi, side []float64) {
	n := len(t.cells)
	phi, side = make([]float64, n+1), make([]float64, n+1)
	if t.warps {
		t.warp(torque, phi)
	}
	for i := range t.cells {
		c := &t.cells[i]
		turn := c.soft*torque[i] + c.share*phi[i+1]
		phi[i+1] = phi[i] + turn
		if !t.centred {
			side[i+1] = side[i] + c.centre*turn
		}
	}
	if t.box != nil {
		at := append(slices.Clone(torque), 0)
		for i := n; i > 0; i-- {
			at[i] = at[i-1] - at[i]
		}
		at[0] = left
		for i, v := range t.box.under(t.x, at) {
			phi[i] += v
			side[i] += t.cells[min(i, n-1)].centre * v
		}
	}
	return phi, side
}

// warp fills in χ of cell i at i+1, for the torque in each cell.
func (t *twister) warp(torque, chi []float64) {
	b := 0.0
	for i := range t.cells {
		c := &t.cells[i]
		b += c.share * torque[i]
		chi[i+1] = b * c.pivot // what χ is without the cells to the right
		b *= c.carry
	}
	right := 0.0
	for i := len(t.cells) - 1; i >= 0; i-- {
		right = chi[i+1] + t.cells[i].carry*right
		chi[i+1] = right
	}
}
