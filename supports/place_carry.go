package supports

import (
	"math"
	"math/bits"

	"footwork/internal/convex"
	"gonum.org/v1/gonum/mat"
)

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
	if len(r.touch) < r.rows {
		return false
	}
	for a := range r.touch {
		if !r.factorRow(a) {
			return false
		}
	}
	if !r.square() {
		return false
	}
	r.mask = mask
	return true
}

// factorRow adds row a to L and to L⁻¹E.
func (r *rig) factorRow(a int) bool {
	n, i := len(r.feet), r.touch[a]
	row, z := r.l[a*n:], r.e[i]
	for b := range a + 1 {
		other := r.l[b*n:]
		v := r.k[i*n+r.touch[b]]
		for t := range b {
			v -= row[t] * other[t]
		}
		switch {
		case b < a:
			row[b] = v / other[b]
			for d := range z {
				z[d] -= row[b] * r.z[b][d]
			}
		case v <= 0:
			return false
		default:
			row[a] = math.Sqrt(v)
		}
	}
	for d := range z {
		z[d] /= row[a]
	}
	r.z[a] = z
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
	q = r.unsquare(q)
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

// unsquare solves with the factor of EᵀK⁻¹E.
func (r *rig) unsquare(q [3]float64) [3]float64 {
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
	return q
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
