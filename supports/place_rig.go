package supports

import (
	"math"

	"footwork/beam"
)

// rig stands a bed on a few of the spots, over and over: the contact programme of
// package beam (least complementary energy, forces that only push) for small
// numbers of feet, on memory of its own. Not for several goroutines at once.
type rig struct {
	y       *yard
	s       *spots
	feet    []int     // of the spots
	heights []float64 // m, of the feet's tops
	h       []float64 // n×n, m/N: compliance and the feet's own give
	k, l    []float64 // H + ρEEᵀ (see beam's contact) and the factor of its part that touches
	rho     float64
	e, z    [][3]float64 // balance rows, centred and scaled; L⁻¹E
	sq      [3][3]float64
	rows    int // of the balance: 2 when all feet stand on one line along the bed
	mid     [3]float64
	size    [3]float64
	mask    uint64 // of the feet that the factor is for
	touch   []int  // these feet
	on      uint64 // contact found last
	c, f, u []float64
	q       [3]float64
	line    []float64
	order   []int     // of the cases, that which failed last first
	worn    []glimpse // of each case
}

func (y *yard) rig(s *spots) *rig {
	r := &rig{y: y, s: s, line: make([]float64, len(y.x)), worn: make([]glimpse, len(y.cases))}
	for k := range y.cases {
		r.order = append(r.order, k)
	}
	return r
}

// stand puts the bed on feet of the spots, at heights (nil: all 0) and with
// stiffnesses (N/m; nil: the spots' own).
func (r *rig) stand(feet []int, heights, stiff []float64) {
	n := len(feet)
	if cap(r.h) < n*n {
		r.h, r.k, r.l = make([]float64, n*n), make([]float64, n*n), make([]float64, n*n)
		r.e, r.z = make([][3]float64, n), make([][3]float64, n)
		r.c, r.f, r.u = make([]float64, n), make([]float64, n), make([]float64, n)
	}
	r.h, r.k, r.l, r.e, r.z, r.c, r.f, r.u = r.h[:n*n], r.k[:n*n], r.l[:n*n], r.e[:n], r.z[:n], r.c[:n], r.f[:n], r.u[:n]
	r.feet, r.heights = feet, heights
	r.mask, r.on = 0, 1<<n-1
	r.frame()
	r.rho = 0
	for i, a := range feet {
		for j, b := range feet {
			r.h[i*n+j] = r.s.comp[a][b]
		}
		k := r.s.feet[a].Stiffness
		if stiff != nil {
			k = stiff[i]
		}
		r.h[i*n+i] += 1 / k
		r.rho += r.h[i*n+i] / float64(n)
	}
	for i := range n {
		for j := range n {
			a, b := r.e[i], r.e[j]
			r.k[i*n+j] = r.h[i*n+j] + r.rho*(a[0]*b[0]+a[1]*b[1]+a[2]*b[2])
		}
		r.k[i*n+i] += 1e-13 * r.rho
	}
}

// frame centres and scales the balance rows 1, x, y.
func (r *rig) frame() {
	r.rows, r.mid, r.size = 3, [3]float64{}, [3]float64{1, 1, 1}
	place := func(f beam.Foot, d int) float64 { return [3]float64{1, f.At, f.Offset}[d] }
	for d := 1; d < 3; d++ {
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, a := range r.feet {
			v := place(r.s.feet[a], d)
			lo, hi = min(lo, v), max(hi, v)
		}
		r.mid[d] = (lo + hi) / 2
		if hi-lo > 1e-9 {
			r.size[d] = hi - lo
		} else if d == 2 {
			r.rows = 2
		}
	}
	for i, a := range r.feet {
		for d := range 3 {
			r.e[i][d] = (place(r.s.feet[a], d) - r.mid[d]) / r.size[d]
		}
	}
}

// zone returns the larger of the ways' minimum zones in a case carried last, m; a
// lower value above limit when that is seen at once.
func (r *rig) zone(k int, limit float64) (zone float64) {
	if z := r.glance(r.worn[k]); z > limit {
		return z
	}
	n := len(r.y.x)
	for w := range r.y.Bed.Ways {
		copy(r.line, r.y.base[k][w*n:])
		for i, a := range r.feet {
			if f := r.f[i]; f != 0 {
				addScaled(r.line, f, r.s.unit[a][w*n:(w+1)*n])
			}
		}
		seen := glimpse{k, w * n, beam.ZoneContacts(r.y.x, r.line)}
		if z := r.glance(seen); z > zone {
			zone, r.worn[k] = z, seen
		}
	}
	return zone
}

// glimpse is where the zone touched a way when a case was last looked at: the same
// three stations are a bound from below the next time.
type glimpse struct {
	k, way int
	c      beam.Contacts
}

func (r *rig) glance(g glimpse) float64 {
	at, left, right := g.c.At, g.c.Left, g.c.Right
	if left == right {
		return 0
	}
	x, base := r.y.x, r.y.base[g.k][g.way:]
	t := (x[at] - x[left]) / (x[right] - x[left])
	z := base[at] - (1-t)*base[left] - t*base[right]
	for i, a := range r.feet {
		unit := r.s.unit[a][g.way:]
		z += r.f[i] * (unit[at] - (1-t)*unit[left] - t*unit[right])
	}
	return math.Abs(z)
}

// worst returns the greatest zone of all cases, +Inf when the bed tips in one; a
// value above limit as soon as one case is.
func (r *rig) worst(limit float64) (zone float64) {
	for at, k := range r.order {
		if !r.carry(k) {
			zone = math.Inf(1)
		} else {
			zone = max(zone, r.zone(k, limit))
		}
		if zone > limit {
			copy(r.order[1:at+1], r.order[:at])
			r.order[0] = k
			return zone
		}
	}
	return zone
}
