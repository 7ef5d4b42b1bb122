package convex

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// Bounds of what counts as rounding, in scaled unknowns (H has a unit diagonal and
// rows have length one). With conditions of H up to 1e10 the factor L has 1e5, so
// sums over n ≤ 330 terms carry up to about 1e-13·√κ(L).
const (
	violated  = 1e-12 // a row is broken by more than this of |y| + |b|
	tolerated = 1e-10 // a dependent row is inconsistent beyond this
	dependent = 1e-11 // a row is a sum of active ones when this is left over
)

// dual is the state of the method: y is the minimum over the rows of set taken as
// equalities, u are their multipliers.
type dual struct {
	*scaled
	y      []float64
	set    []int // equalities first
	fixed  int   // how many
	u      []float64
	in     []bool      // row is in the set
	loose  []bool      // row is a sum of others up to rounding: held to tolerated only
	jt     [][]float64 // columns of J
	r      [][]float64 // columns of R, column k with k+1 entries
	d, z   []float64   // Jᵀn and the primal direction
	dir    []float64   // the dual direction
	left   float64     // of the row that aim took for a sum of active ones
	budget int         // steps left
}

// newDual starts at the minimum without constraints and takes in the equalities.
func newDual(s *scaled) (*dual, error) {
	n := len(s.c)
	d := &dual{scaled: s, y: make([]float64, n), in: make([]bool, len(s.rows)),
		loose: make([]bool, len(s.rows)), d: make([]float64, n), z: make([]float64, n), dir: make([]float64, n),
		budget: 1000 + 20*(n+len(s.rows))}
	j := mat.NewDense(n, n, nil)
	for i := range n {
		j.Set(i, i, 1)
		d.jt = append(d.jt, j.RawRowView(i))
	}
	if s.h != nil {
		var chol mat.Cholesky
		if !chol.Factorize(s.h) {
			return nil, unsettled("H is not positive definite")
		}
		var l, inverse mat.TriDense
		chol.LTo(&l)
		if err := inverse.InverseTri(&l); err != nil && inverse.IsEmpty() {
			return nil, unsettled("H is not positive definite")
		}
		j.Copy(&inverse)
	}
	d.refine()
	for i := range d.equal {
		if err := d.takeEquality(i); err != nil {
			return nil, err
		}
	}
	return d, nil
}

// solve brings the state to the optimum.
func (d *dual) solve() error {
	d.settle()
	for settled := true; ; {
		p := d.worst()
		switch {
		case p >= 0:
			settled = false
			if err := d.take(p); err != nil {
				return err
			}
		case settled:
			return nil
		default:
			d.settle()
			settled = true
		}
		if d.budget--; d.budget < 0 {
			return unsettled("the active set did not come to rest")
		}
	}
}

// slack returns how far row i is kept.
func (d *dual) slack(i int) float64 { return d.rows[i].dot(d.y) - d.rows[i].b }

// worst returns the row that is broken most, −1 when none is.
func (d *dual) worst() int {
	big, noise := largest(d.y), 1e-15*largest(d.c)
	p, least := -1, 0.0
	for i := d.equal; i < len(d.rows); i++ {
		if d.in[i] {
			continue
		}
		s, size := d.slack(i), big+math.Abs(d.rows[i].b)
		limit := violated*size + noise
		if d.loose[i] {
			limit = tolerated * size
		}
		if s < least && s < -limit {
			p, least = i, s
		}
	}
	return p
}

// aim computes Jᵀn, z and r for row p and returns |z|² in the metric of H, which is 0
// when p is a sum of active rows.
func (d *dual) aim(p int) float64 {
	q := len(d.set)
	for k, j := range d.jt {
		d.d[k] = d.rows[p].dot(j)
	}
	copy(d.dir[:q], d.d[:q])
	d.solveR(d.dir[:q])
	free := floats.Norm(d.d[q:], 2)
	if free <= 1e-6*floats.Norm(d.d, 2) && d.isSum(p) {
		return 0
	}
	clear(d.z)
	for k := q; k < len(d.jt); k++ {
		floats.AddScaled(d.z, d.d[k], d.jt[k])
	}
	return free * free
}

// isSum reports whether row p is Σ r·(active rows), after one correction of r.
func (d *dual) isSum(p int) bool {
	q := len(d.set)
	left, more := d.z, make([]float64, q)
	for range 2 {
		clear(left)
		d.rows[p].addTo(left, 1)
		for k, i := range d.set {
			d.rows[i].addTo(left, -d.dir[k])
		}
		for k := range more {
			more[k] = floats.Dot(d.jt[k], left)
		}
		d.solveR(more)
		d.left = floats.Norm(left, 1)
		if largest(left) <= dependent*(1+floats.Norm(d.dir[:q], 1)) {
			return true
		}
		floats.Add(d.dir[:q], more)
	}
	return false
}

// takeEquality adds row i, or leaves it out when the rows before it imply it.
func (d *dual) takeEquality(i int) error {
	free := d.aim(i)
	s := d.slack(i)
	if free == 0 {
		return d.contradiction(i, -math.Copysign(1, s))
	}
	d.step(-s/free, free)
	d.push(i, -s/free)
	d.fixed++
	return nil
}

// take brings row p to equality, dropping rows whose multiplier would fall below 0.
func (d *dual) take(p int) error {
	for up := 0.0; d.budget >= 0; d.budget-- {
		free := d.aim(p)
		k, t := d.blocking()
		s := d.slack(p)
		if free > 0 && -s/free <= t {
			t = max(0, -s/free)
			d.step(t, free)
			d.push(p, up+t)
			return nil
		}
		if k < 0 {
			d.loose[p] = true
			err := d.contradiction(p, 1)
			d.settle()
			return err
		}
		d.step(t, free)
		up += t
		d.drop(k)
	}
	return unsettled("the active set did not come to rest")
}

// blocking returns the place in the set of the multiplier that reaches 0 first along
// the dual direction, and the step there; −1 and +Inf when none does.
func (d *dual) blocking() (k int, t float64) {
	k, t = -1, math.Inf(1)
	q := len(d.set)
	noise := 1e-11 * (1 + largest(d.dir[:q]))
	for i := d.fixed; i < q; i++ {
		if d.dir[i] > noise && d.u[i] < t*d.dir[i] {
			k, t = i, d.u[i]/d.dir[i]
		}
	}
	return k, t
}

func (d *dual) step(t, free float64) {
	if free > 0 {
		floats.AddScaled(d.y, t, d.z)
	}
	for k := range d.u {
		d.u[k] -= t * d.dir[k]
		if k >= d.fixed {
			d.u[k] = max(0, d.u[k])
		}
	}
}

// push appends row p, for which aim was just called, to the set: a reflection turns
// the free part of Jᵀn into one entry.
func (d *dual) push(p int, u float64) {
	q := len(d.set)
	v := d.d[q:]
	alpha := -math.Copysign(floats.Norm(v, 2), v[0])
	floats.AddScaled(d.z, -alpha, d.jt[q])
	v[0] -= alpha
	vv := floats.Dot(v, v)
	for k := range v {
		floats.AddScaled(d.jt[q+k], -2*v[k]/vv, d.z)
	}
	d.r = append(d.r, append(append(make([]float64, 0, q+1), d.d[:q]...), alpha))
	d.set, d.u = append(d.set, p), append(d.u, u)
	d.in[p] = true
}

// drop takes place k out of the set and makes R triangular again by rotations.
func (d *dual) drop(k int) {
	d.in[d.set[k]] = false
	d.set = append(d.set[:k], d.set[k+1:]...)
	d.u = append(d.u[:k], d.u[k+1:]...)
	d.r = append(d.r[:k], d.r[k+1:]...)
	for i := k; i < len(d.r); i++ {
		c, s, length, _ := blas64.Rotg(d.r[i][i], d.r[i][i+1])
		d.r[i][i] = length
		d.r[i] = d.r[i][:i+1]
		for _, col := range d.r[i+1:] {
			col[i], col[i+1] = c*col[i]+s*col[i+1], c*col[i+1]-s*col[i]
		}
		n := len(d.y)
		blas64.Rot(blas64.Vector{N: n, Data: d.jt[i], Inc: 1},
			blas64.Vector{N: n, Data: d.jt[i+1], Inc: 1}, c, s)
	}
}

// solveR replaces v by R⁻¹v.
func (d *dual) solveR(v []float64) {
	for k := len(v) - 1; k >= 0; k-- {
		v[k] /= d.r[k][k]
		floats.AddScaled(v[:k], -v[k], d.r[k][:k])
	}
}

// refine corrects y and u to the minimum over the set by one Newton step, which from
// any y and u is exact but for rounding.
func (d *dual) refine() {
	n, q := len(d.y), len(d.set)
	left := make([]float64, n) // Σ u n − Hy − c
	if d.h != nil {
		v := mat.NewVecDense(n, left)
		v.MulVec(d.h, mat.NewVecDense(n, d.y))
	} else {
		copy(left, d.y)
	}
	floats.Add(left, d.c)
	floats.Scale(-1, left)
	for k, i := range d.set {
		d.rows[i].addTo(left, d.u[k])
	}
	more := make([]float64, q)
	for k, j := range d.jt {
		g := floats.Dot(j, left)
		if k < q {
			w := (-d.slack(d.set[k]) - floats.Dot(d.r[k][:k], d.d[:k])) / d.r[k][k]
			d.d[k], more[k], g = w, w-g, w
		}
		d.d[k] = g
	}
	d.solveR(more)
	floats.Add(d.u, more)
	for k, j := range d.jt {
		floats.AddScaled(d.y, d.d[k], j)
	}
}

// settle refines and drops rows until no multiplier is negative.
func (d *dual) settle() {
	for {
		d.refine()
		d.refine()
		k, least := -1, -1e-13*largest(d.u)
		for i := d.fixed; i < len(d.u); i++ {
			if d.u[i] < least {
				k, least = i, d.u[i]
			}
		}
		if k < 0 {
			break
		}
		d.drop(k)
	}
	for i := d.fixed; i < len(d.u); i++ {
		d.u[i] = max(0, d.u[i])
	}
}

// contradiction is the proof that row p, taken with the sign, cannot be kept together
// with the set, of which it is Σ r n; nil when the right-hand sides agree up to rounding.
func (d *dual) contradiction(p int, sign float64) error {
	set, u := append(slices.Clone(d.set), p), make([]float64, 0, len(d.set)+1)
	for k := range d.set {
		u = append(u, -sign*d.dir[k])
		if k >= d.fixed {
			u[k] = max(0, u[k])
		}
	}
	u = append(u, sign)
	gain, parts := 0.0, 0.0
	for k, i := range set {
		gain += u[k] * d.rows[i].b
		parts += math.Abs(u[k] * d.rows[i].b)
	}
	if gain <= tolerated*parts+10*d.left*max(largest(d.y), parts) {
		return nil
	}
	e := &Infeasible{}
	e.EqMult, e.InMult = d.split(set, u)
	return e
}
