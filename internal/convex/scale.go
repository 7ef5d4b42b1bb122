package convex

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// row is one constraint a·y ≥ b (or = b) with |a| = 1. A row with few entries keeps
// only these: at tells where; nil means that a is full.
type row struct {
	at []int
	a  []float64
	b  float64
}

// column returns where entry k stands.
func (r *row) column(k int) int {
	if r.at == nil {
		return k
	}
	return r.at[k]
}

func (r *row) dot(y []float64) float64 {
	if r.at == nil {
		return floats.Dot(r.a, y)
	}
	s, a := 0.0, r.a[:len(r.at)]
	for k, j := range r.at {
		s += a[k] * y[j]
	}
	return s
}

// addTo adds t·a to dst.
func (r *row) addTo(dst []float64, t float64) {
	if r.at == nil {
		floats.AddScaled(dst, t, r.a)
		return
	}
	for k, j := range r.at {
		dst[j] += t * r.a[k]
	}
}

// scaled is a programme in unknowns y = x/col, with rows of length one and its
// objective divided by cost.
type scaled struct {
	h     *mat.SymDense // nil: the unit matrix
	c     []float64
	rows  []row // equalities first
	equal int   // how many of them
	col   []float64
	gain  []float64 // the factor of each raw row, its unknowns apart
	cost  float64
}

func newScaled(p Program, col []float64) *scaled {
	m := len(p.E) + len(p.B)
	s := &scaled{c: make([]float64, len(col)), rows: make([]row, m), equal: len(p.E),
		col: col, gain: slices.Repeat([]float64{1}, m), cost: 1}
	floats.MulTo(s.c, p.C, col)
	for i := range s.rows {
		s.rows[i] = newRow(p, i, col)
	}
	s.even()
	if p.H != nil {
		s.h = mat.NewSymDense(len(col), nil)
		for i := range col {
			for j := i; j < len(col); j++ {
				s.h.SetSym(i, j, p.H.At(i, j)*col[i]*col[j])
			}
		}
	}
	return s
}

// newRow returns raw row i in scaled unknowns.
func newRow(p Program, i int, col []float64) (r row) {
	raw, b := p.rawRow(i)
	r.b = b
	entries := 0
	for _, a := range raw {
		if a != 0 {
			entries++
		}
	}
	if 2*entries > len(raw) {
		r.a = floats.MulTo(make([]float64, len(raw)), raw, col)
		return r
	}
	r.at, r.a = make([]int, 0, entries), make([]float64, 0, entries)
	for j, a := range raw {
		if a != 0 {
			r.at, r.a = append(r.at, j), append(r.a, a*col[j])
		}
	}
	return r
}

// even makes every row one long.
func (s *scaled) even() {
	for i := range s.rows {
		r := &s.rows[i]
		if norm := floats.Norm(r.a, 2); norm > 0 {
			floats.Scale(1/norm, r.a)
			r.b /= norm
			s.gain[i] /= norm
		}
	}
}

// split returns the multipliers of the raw rows for those of the working set.
func (s *scaled) split(set []int, u []float64) (eq, in []float64) {
	all := make([]float64, len(s.rows))
	for k, i := range set {
		all[i] = u[k] * s.gain[i] * s.cost
	}
	return all[:s.equal:s.equal], all[s.equal:]
}

// solution carries the state of the method back to raw unknowns.
// Unknowns on a simple bound get exactly its value.
func (s *scaled) solution(p Program, d *dual) Solution {
	sol := Solution{X: make([]float64, len(s.col))}
	floats.MulTo(sol.X, d.y, s.col)
	sol.EqMult, sol.InMult = s.split(d.set, d.u)
	for _, i := range d.set {
		if i >= s.equal {
			sol.Active = append(sol.Active, i-s.equal)
		}
		if at := s.rows[i].at; len(at) == 1 {
			a, b := p.rawRow(i)
			sol.X[at[0]] = b / a[at[0]]
		}
	}
	slices.Sort(sol.Active)
	sol.Value = floats.Dot(p.C, sol.X)
	if p.H != nil {
		x := mat.NewVecDense(len(sol.X), sol.X)
		sol.Value += mat.Inner(x, p.H, x) / 2
	}
	return sol
}

// largest returns the largest size of an entry; 0 of none.
func largest(v []float64) (most float64) {
	for _, x := range v {
		most = max(most, math.Abs(x))
	}
	return most
}
