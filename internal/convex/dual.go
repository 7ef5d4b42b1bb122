package convex

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// What counts as rounding, in scaled unknowns (H has a unit diagonal and rows have
// length one): each bound is ten times or more below the next, and all are below the
// accuracy to which check holds the answer.
// Each is well above rounding, 1e-16 times some hundred terms, and well below accuracy: the tests hold with any
// violated from 1e-16 to 1e-7, dependent from 1e-15 to 1e-5 and tolerated from 1e-14 to 1e-5.
const (
	violated  = 1e-12 // a row is broken by more than this of |y| + |b|
	dependent = 1e-11 // a row is a sum of active ones when this is left over
	tolerated = 1e-10 // a dependent row is inconsistent beyond this
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
		s := d.slack(i)
		if s >= least {
			continue
		}
		size := big + math.Abs(d.rows[i].b)
		limit := violated*size + noise
		if d.loose[i] {
			limit = tolerated * size
		}
		if s < -limit {
			p, least = i, s
		}
	}
	return p
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
	e := &infeasible{}
	e.EqMult, e.InMult = d.split(set, u)
	return e
}
