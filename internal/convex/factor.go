package convex

import (
	"math"

	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

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
