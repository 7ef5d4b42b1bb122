package beam

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"footwork/internal/convex"
)

// coupled is two bodies on one-sided contact: minimise ½xᵀHx + cᵀx with the
// balance of each body and x ≥ 0 where a point cannot pull. The points before
// split carry both bodies, the others carry the second upon the first.
// Hx + c + the rigid motions is the gap, zero in contact, as in contact.
type coupled struct {
	h      *mat.SymDense // m/N
	c      []float64     // m
	held   []bool
	split  int
	frames [2]frame
}

// settled is the solution: forces, the rigid motions (the second body's relative
// to the first's) and which points touch.
type settled struct {
	x     []float64
	rigid [2][3]float64
	on    []bool
}

// balance is both bodies' balance as rows over all points, and what stiffens H
// without changing the answer (see contact.stiffened).
type balance struct {
	e *mat.Dense // rows×points
	b []float64
	k *mat.SymDense // H + ρEᵀE
	r []float64     // c − ρEᵀb
}

func (q *coupled) balance() balance {
	n := len(q.c)
	s := balance{e: mat.NewDense(q.frames[0].count+q.frames[1].count, n, nil), k: mat.NewSymDense(n, nil), r: slices.Clone(q.c)}
	s.k.CopySym(q.h)
	for body, f := range q.frames {
		from, row := body*q.split, len(s.b)
		var rho float64
		for i := range f.rows {
			rho += q.h.At(from+i, from+i) / float64(len(f.rows))
		}
		for i, a := range f.rows {
			for d := range f.count {
				s.e.Set(row+d, from+i, a[d])
				s.r[from+i] -= rho * a[d] * f.b[d]
			}
			for j := range i + 1 {
				v := rho * (a[0]*f.rows[j][0] + a[1]*f.rows[j][1])
				if f.count == 3 {
					v += rho * a[2] * f.rows[j][2]
				}
				if i == j {
					v += 1e-13 * rho
				}
				s.k.SetSym(from+i, from+j, s.k.At(from+i, from+j)+v)
			}
		}
		s.b = append(s.b, f.b[:f.count]...)
	}
	return s
}

// settle finds the solution: block pivoting from a first guess, and the dual
// active set when that does not close. It is convex.ErrInfeasible when a body tips.
func (q *coupled) settle(first []bool) (settled, error) {
	s := q.balance()
	on := slices.Clone(first)
	for i, h := range q.held {
		on[i] = on[i] || h
	}
	for spare, fewest := 3, len(on)+1; spare > 0; {
		r, ok := q.touching(s, on)
		if !ok {
			break
		}
		wrong := q.violations(r)
		if len(wrong) == 0 {
			return r, nil
		}
		if len(wrong) < fewest {
			fewest = len(wrong)
		} else {
			spare--
		}
		on = slices.Clone(on)
		for _, i := range wrong {
			on[i] = !on[i]
		}
	}
	return q.programme(s)
}

// touching solves with the points that are on as if glued; not ok when these
// cannot balance both bodies.
func (q *coupled) touching(s balance, on []bool) (settled, bool) {
	var index []int
	for i, t := range on {
		if t {
			index = append(index, i)
		}
	}
	n, m := len(index), len(s.b)
	if n < m {
		return settled{}, false
	}
	k, rhs := s.part(index) // K, and Eᵀ beside −r
	y := mat.NewDense(n, m+1, nil)
	var chol, small mat.Cholesky
	if !chol.Factorize(k) {
		return settled{}, false
	}
	must(chol.SolveTo(y, rhs))
	var ey mat.Dense
	ey.Mul(rhs.Slice(0, n, 0, m).T(), y)
	square := mat.DenseCopyOf(ey.Slice(0, m, 0, m))
	if !small.Factorize(mat.NewSymDense(m, symmetric(square))) || small.Cond() > 1e11 {
		return settled{}, false
	}
	mult := mat.NewVecDense(m, nil)
	for d := range m {
		mult.SetVec(d, ey.At(d, m)-s.b[d])
	}
	must(small.SolveVecTo(mult, mult))
	r := settled{x: make([]float64, len(on)), on: on, rigid: q.rigid(mult.RawVector().Data)}
	for a, i := range index {
		r.x[i] = y.At(a, m) - floats.Dot(y.RawRowView(a)[:m], mult.RawVector().Data)
	}
	return r, true
}

// part returns K and [Eᵀ −r] of some of the points.
func (s balance) part(index []int) (k *mat.SymDense, rhs *mat.Dense) {
	n, m := len(index), len(s.b)
	k, rhs = mat.NewSymDense(n, nil), mat.NewDense(n, m+1, nil)
	for a, i := range index {
		for b, j := range index[:a+1] {
			k.SetSym(a, b, s.k.At(i, j))
		}
		for d := range m {
			rhs.Set(a, d, s.e.At(d, i))
		}
		rhs.Set(a, m, -s.r[i])
	}
	return k, rhs
}

// rigid turns multipliers of the balance rows into motions.
func (q *coupled) rigid(mult []float64) (out [2][3]float64) {
	for body, f := range q.frames {
		var scaled [3]float64
		copy(scaled[:f.count], mult)
		mult = mult[f.count:]
		out[body] = f.rigid(scaled)
	}
	return out
}

// violations lists the points whose contact is wrong, by more than rounding.
func (q *coupled) violations(r settled) (wrong []int) {
	least := -1e-10 * (math.Abs(q.frames[0].b[0]) + norm1(r.x)/float64(len(r.x)))
	for i, on := range r.on {
		if on {
			if !q.held[i] && r.x[i] < least {
				wrong = append(wrong, i)
			}
			continue
		}
		if gap, size := q.gap(r, i); gap < -1e-12-1e-13*size {
			wrong = append(wrong, i)
		}
	}
	return wrong
}

// gap returns the gap at a point and the size of what it is the sum of, m.
func (q *coupled) gap(r settled, i int) (gap, size float64) {
	body, at := 0, i
	if i >= q.split {
		body, at = 1, i-q.split
	}
	f := q.frames[body]
	add := func(v float64) { gap, size = gap+v, size+math.Abs(v) }
	add(q.c[i])
	for d, e := range [3]float64{1, f.rows[at][1]*f.size[1] + f.mid[1], f.rows[at][2]*f.size[2] + f.mid[2]} {
		add(r.rigid[body][d] * e)
	}
	for j, x := range r.x {
		if x != 0 {
			add(q.h.At(i, j) * x)
		}
	}
	return gap, size
}

// programme solves from no guess at all.
func (q *coupled) programme(s balance) (settled, error) {
	var push []int
	for i, h := range q.held {
		if !h {
			push = append(push, i)
		}
	}
	n := len(q.c)
	p := convex.Program{H: s.k, C: s.r, Eq: s.e, E: s.b, In: mat.NewDense(len(push), n, nil), B: make([]float64, len(push))}
	for a, i := range push {
		p.In.Set(a, i, 1)
	}
	sol, err := convex.Quadratic(p)
	if err != nil {
		if errors.Is(err, convex.ErrInfeasible) {
			return settled{}, err
		}
		return settled{}, errors.Join(ErrUnsettled, err)
	}
	r := settled{x: sol.X, on: slices.Repeat([]bool{true}, n)}
	for _, a := range sol.Active {
		r.on[push[a]], r.x[push[a]] = false, 0
	}
	for d := range sol.EqMult {
		sol.EqMult[d] = -sol.EqMult[d]
	}
	r.rigid = q.rigid(sol.EqMult)
	return r, nil
}
