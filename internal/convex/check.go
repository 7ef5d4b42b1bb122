package convex

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/floats"
)

// accuracy is to what part of the sums they are made of the conditions must hold.
const accuracy = 1e-9

// checked returns the answer of a method that ended so, when it holds, and else none.
func (s *scaled) checked(p Program, d *dual, err error) (Solution, error) {
	if err != nil {
		return Solution{}, s.refuse(p, err)
	}
	sol := s.solution(p, d)
	if err := s.check(p, sol); err != nil {
		return Solution{}, err
	}
	return sol, nil
}

// check confirms an answer on the raw numbers, each condition measured in the scaled
// ones: rows kept, rows with a multiplier exact, multipliers of the right sign, and
// the gradient a sum of the rows.
func (s *scaled) check(p Program, sol Solution) error {
	if !finite(floats.Norm(sol.X, 1) + floats.Norm(sol.EqMult, 1) + floats.Norm(sol.InMult, 1)) {
		return unsettled("the answer is not finite")
	}
	big := 0.0
	for j, x := range sol.X {
		big = max(big, math.Abs(x/s.col[j]))
	}
	for i := range s.rows {
		a, b := p.rawRow(i)
		slack := (floats.Dot(a, sol.X) - b) * s.gain[i]
		limit := accuracy * (big + math.Abs(b*s.gain[i]))
		exact := i < s.equal || sol.InMult[i-s.equal] > 0
		if slack < -limit || exact && slack > limit {
			return unsettled("row %d is off by %.2g", i, slack/s.gain[i])
		}
		if i >= s.equal && sol.InMult[i-s.equal] < 0 {
			return unsettled("row %d has a multiplier of the wrong sign", i)
		}
	}
	return s.checkGradient(p, sol)
}

func (s *scaled) checkGradient(p Program, sol Solution) error {
	left, size := s.sums(p, sol.EqMult, sol.InMult, -1)
	for j := range left {
		left[j] += p.C[j] * s.col[j] / s.cost
		size = max(size, math.Abs(p.C[j]*s.col[j]/s.cost))
		for k := range sol.X {
			if p.H != nil {
				t := p.H.At(j, k) * sol.X[k] * s.col[j] / s.cost
				left[j] += t
				size = max(size, math.Abs(t))
			}
		}
	}
	if largest(left) > accuracy*size {
		return unsettled("the gradient is off by %.2g of its parts", largest(left)/size)
	}
	return nil
}

// sums returns sign·(Eqᵀ·eq + Inᵀ·in) in scaled unknowns and its largest part.
func (s *scaled) sums(p Program, eq, in []float64, sign float64) (sum []float64, size float64) {
	sum = make([]float64, len(s.col))
	for i := range s.rows {
		u := multiplier(eq, in, i)
		if u == 0 {
			continue
		}
		a, _ := p.rawRow(i)
		for j := range a {
			t := sign * a[j] * u * s.col[j] / s.cost
			sum[j] += t
			size = max(size, math.Abs(t))
		}
	}
	return sum, size
}

// refuse lets a proof of infeasibility out only when it holds on the raw numbers.
func (s *scaled) refuse(p Program, err error) error {
	var e *infeasible
	if !errors.As(err, &e) {
		return err
	}
	left, size := s.sums(p, e.EqMult, e.InMult, 1)
	gain, parts := 0.0, 0.0
	for i := range s.rows {
		_, b := p.rawRow(i)
		u := multiplier(e.EqMult, e.InMult, i)
		gain += u * b / s.cost
		parts += math.Abs(u * b / s.cost)
	}
	if largest(left) > accuracy*size || gain <= tolerated/2*parts {
		return unsettled("the constraints contradict each other by no more than rounding")
	}
	return err
}

// multiplier returns that of row i, equalities first.
func multiplier(eq, in []float64, i int) float64 {
	if i < len(eq) {
		return eq[i]
	}
	return in[i-len(eq)]
}
