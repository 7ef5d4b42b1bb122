package supports

import (
	"math"
	"math/bits"

	"footwork/beam"
	"footwork/internal/convex"
	"gonum.org/v1/gonum/mat"
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

// factor prepares the feet of the mask; not ok when these cannot balance the bed.
func (r *rig) factor(mask uint64) bool {
	if mask == r.mask {
		return true
	}
	r.mask, r.touch = 0, r.touch[:0]
	for i := range r.feet {
		if mask>>i&1 == 1 {
			r.touch = append(r.touch, i)
		}
	}
	n := len(r.feet)
	if len(r.touch) < r.rows {
		return false
	}
	for a, i := range r.touch {
		row := r.l[a*n:]
		for b := range a + 1 {
			j := r.touch[b]
			v := r.k[i*n+j]
			other := r.l[b*n:]
			for t := range b {
				v -= row[t] * other[t]
			}
			if a > b {
				row[b] = v / other[b]
			} else if v <= 0 {
				return false
			} else {
				row[a] = math.Sqrt(v)
			}
		}
		z := r.e[i]
		for t := range a {
			for d := range 3 {
				z[d] -= row[t] * r.z[t][d]
			}
		}
		for d := range 3 {
			z[d] /= row[a]
		}
		r.z[a] = z
	}
	if !r.square() {
		return false
	}
	r.mask = mask
	return true
}

// square factors EᵀK⁻¹E; not ok when the feet that touch stand on one line.
func (r *rig) square() bool {
	var s [3][3]float64
	for a := range r.touch {
		z := r.z[a]
		for d := range r.rows {
			for e := range d + 1 {
				s[d][e] += z[d] * z[e]
			}
		}
	}
	for d := range r.rows {
		whole := s[d][d]
		for e := range d + 1 {
			v := s[d][e]
			for t := range e {
				v -= s[d][t] * s[e][t]
			}
			switch {
			case e < d:
				s[d][e] = v / s[e][e]
			case v <= 1e-11*whole:
				return false
			default:
				s[d][d] = math.Sqrt(v)
			}
		}
	}
	r.sq = s
	return true
}

// solve finds forces and rigid motion with the factored feet touching, for the
// gaps in c and the scaled resultant b.
func (r *rig) solve(b [3]float64) {
	n := len(r.feet)
	q := [3]float64{-b[0], -b[1], -b[2]}
	for a, i := range r.touch {
		e := r.e[i]
		v := -r.c[i] + r.rho*(e[0]*b[0]+e[1]*b[1]+e[2]*b[2])
		for t := range a {
			v -= r.l[a*n+t] * r.u[t]
		}
		r.u[a] = v / r.l[a*n+a]
		for d := range r.rows {
			q[d] += r.z[a][d] * r.u[a]
		}
	}
	for d := range r.rows {
		for t := range d {
			q[d] -= r.sq[d][t] * q[t]
		}
		q[d] /= r.sq[d][d]
	}
	for d := r.rows - 1; d >= 0; d-- {
		for t := d + 1; t < r.rows; t++ {
			q[d] -= r.sq[t][d] * q[t]
		}
		q[d] /= r.sq[d][d]
	}
	clear(q[r.rows:])
	r.q = q
	clear(r.f)
	for a := len(r.touch) - 1; a >= 0; a-- {
		z := r.z[a]
		v := r.u[a] - z[0]*q[0] - z[1]*q[1] - z[2]*q[2]
		for t := a + 1; t < len(r.touch); t++ {
			v -= r.l[t*n+a] * r.f[r.touch[t]]
		}
		r.f[r.touch[a]] = v / r.l[a*n+a]
	}
}

// scaled returns a resultant in the terms of the balance rows.
func (r *rig) scaled(res [3]float64) [3]float64 {
	return [3]float64{res[0], (res[1] - res[0]*r.mid[1]) / r.size[1], (res[2] - res[0]*r.mid[2]) / r.size[2]}
}

// carry finds the forces of the feet in a case; not ok when the bed tips.
func (r *rig) carry(k int) bool {
	for i, a := range r.feet {
		r.c[i] = r.s.load[k][a]
		if r.heights != nil {
			r.c[i] -= r.heights[i]
		}
	}
	res := r.y.cases[k].Resultant
	b := r.scaled(res)
	if r.rows == 2 {
		if math.Abs(b[2]) > 1e-9*b[0] {
			return false // it would roll off
		}
		b[2] = 0
	}
	fewest := len(r.feet) + 1
	for spare := 3; spare > 0; {
		if !r.factor(r.on) {
			break
		}
		r.solve(b)
		wrong := r.wrong(res[0])
		if wrong == 0 {
			return true
		}
		if n := bits.OnesCount64(wrong); n < fewest {
			fewest = n
		} else {
			spare--
		}
		r.on ^= wrong
	}
	return r.programme(b)
}

// wrong returns the feet that pull or stand within the bed.
func (r *rig) wrong(weight float64) (wrong uint64) {
	n := len(r.feet)
	for i, a := range r.feet {
		if r.on>>i&1 == 1 {
			if r.f[i] < -1e-9*weight && !r.s.feet[a].Held {
				wrong |= 1 << i
			}
			continue
		}
		gap := r.c[i] + r.e[i][0]*r.q[0] + r.e[i][1]*r.q[1] + r.e[i][2]*r.q[2]
		for _, j := range r.touch {
			gap += r.h[i*n+j] * r.f[j]
		}
		if gap < -1e-12 {
			wrong |= 1 << i
		}
	}
	return wrong
}

// programme solves the contact when pivoting does not close.
func (r *rig) programme(b [3]float64) bool {
	n := len(r.feet)
	r.on = 1<<n - 1
	p := convex.Program{H: mat.NewSymDense(n, nil), C: make([]float64, n), Eq: mat.NewDense(r.rows, n, nil), E: b[:r.rows]}
	var push []int
	for i, a := range r.feet {
		p.C[i] = r.c[i]
		for d := range r.rows {
			p.Eq.Set(d, i, r.e[i][d])
			p.C[i] -= r.rho * r.e[i][d] * b[d]
		}
		for j := range i + 1 {
			p.H.SetSym(i, j, r.k[i*n+j])
		}
		if !r.s.feet[a].Held {
			push = append(push, i)
		}
	}
	if len(push) > 0 {
		p.In, p.B = mat.NewDense(len(push), n, nil), make([]float64, len(push))
		for a, i := range push {
			p.In.Set(a, i, 1)
		}
	}
	sol, err := convex.Quadratic(p)
	if err != nil {
		return false
	}
	copy(r.f, sol.X)
	for _, a := range sol.Active {
		r.f[push[a]] = 0
		r.on &^= 1 << push[a]
	}
	return true
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
