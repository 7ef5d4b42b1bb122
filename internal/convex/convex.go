// Package convex solves small convex quadratic and linear programmes and lets no
// answer out that the raw constraints and the optimality conditions do not confirm.
//
// Method: the dual active set of D. Goldfarb and A. Idnani, A numerically stable
// dual method for solving strictly convex quadratic programs, Mathematical
// Programming 27 (1983) 1–33; for linear programmes with a proximal term, repeated
// until it stands still (R. T. Rockafellar, SIAM J. Control 14 (1976) 877–898).
//
// Letters as in Goldfarb and Idnani: J = L⁻ᵀQ with H = LLᵀ, JᵀN = [R; 0] for the
// active rows N, u the multipliers, n the row to be taken in, z and r the primal and
// dual directions of its step.
package convex

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

var (
	ErrInfeasible = errors.New("no point satisfies all constraints")
	errUnbounded  = errors.New("the objective falls without end")
	ErrUnsettled  = errors.New("no answer that holds when checked")
)

// Program is: minimise ½ xᵀH x + cᵀx subject to Eq x = E, In x ≥ B.
type Program struct {
	H  *mat.SymDense // n×n, positive definite; nil for Linear
	C  []float64     // n
	Eq *mat.Dense    // nil or p×n
	E  []float64
	In *mat.Dense // nil or m×n
	B  []float64
}

// AtLeast adds the row a·x ≥ b, as long as C, and returns a; what is not given of it is 0.
func (p *Program) AtLeast(b float64, a ...float64) []float64 {
	n := len(p.C)
	var rows []float64
	if p.In != nil {
		rows = p.In.RawMatrix().Data
	} else {
		rows = make([]float64, 0, 8*n*n) // a programme of a bed has six to eight rows an unknown
	}
	rows = append(append(rows, a...), make([]float64, n-len(a))...)
	p.B = append(p.B, b)
	p.In = mat.NewDense(len(p.B), n, rows)
	return p.In.RawRowView(len(p.B) - 1)
}

// Solution satisfies Hx + c = Eqᵀ·EqMult + Inᵀ·InMult.
type Solution struct {
	X      []float64
	EqMult []float64
	InMult []float64 // ≥ 0, and 0 outside Active
	Active []int     // rows of In that hold with equality, increasing
	Value  float64   // of the objective
}

// infeasible proves that no x satisfies the constraints: Eqᵀ·EqMult + Inᵀ·InMult = 0
// and InMult ≥ 0, yet E·EqMult + B·InMult > 0 (the lemma of Farkas). It wraps
// ErrInfeasible.
type infeasible struct {
	EqMult, InMult []float64
}

func (e *infeasible) Error() string { return ErrInfeasible.Error() }
func (e *infeasible) Unwrap() error { return ErrInfeasible }

func unsettled(format string, args ...any) error {
	return fmt.Errorf("%w: "+format, append([]any{ErrUnsettled}, args...)...)
}

// Quadratic returns the only minimum of a programme with positive definite H.
// Redundant and repeated rows are allowed. Errors: ErrInfeasible, ErrUnsettled.
func Quadratic(p Program) (Solution, error) {
	p.mustMatch()
	if p.H == nil || p.H.SymmetricDim() != len(p.C) {
		panic("convex: Quadratic needs an n×n matrix H")
	}
	if !p.finite() {
		return Solution{}, unsettled("a number in the programme is not finite")
	}
	col := make([]float64, len(p.C))
	for j := range col {
		h := p.H.At(j, j)
		if !(h > 0) {
			return Solution{}, unsettled("H is not positive definite")
		}
		col[j] = 1 / math.Sqrt(h)
	}
	s := newScaled(p, col)
	d, err := newDual(s)
	if err == nil {
		err = d.solve()
	}
	return s.checked(p, d, err)
}

// mustMatch panics when vectors and matrices do not belong together.
func (p Program) mustMatch() {
	n := len(p.C)
	if n == 0 {
		panic("convex: a programme without unknowns")
	}
	rows := func(m *mat.Dense, b []float64) bool {
		if m == nil {
			return len(b) == 0
		}
		r, c := m.Dims()
		return r == len(b) && (c == n || r == 0)
	}
	if !rows(p.Eq, p.E) || !rows(p.In, p.B) {
		panic("convex: constraint rows do not match the unknowns or the right-hand side")
	}
}

func (p Program) finite() bool {
	sum := floats.Norm(p.C, 1) + floats.Norm(p.E, 1) + floats.Norm(p.B, 1)
	if len(p.E) > 0 {
		sum += mat.Norm(p.Eq, 1)
	}
	if len(p.B) > 0 {
		sum += mat.Norm(p.In, 1)
	}
	if p.H != nil {
		sum += mat.Norm(p.H, 1)
	}
	return finite(sum)
}

func finite(x float64) bool { return !math.IsNaN(x) && !math.IsInf(x, 0) }

// rawRow returns row i of the constraints, equalities first, and its right-hand side.
func (p Program) rawRow(i int) (a []float64, b float64) {
	if i < len(p.E) {
		return p.Eq.RawRowView(i), p.E[i]
	}
	i -= len(p.E)
	return p.In.RawRowView(i), p.B[i]
}
