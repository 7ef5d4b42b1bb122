package match

import (
	"fmt"

	"gonum.org/v1/gonum/mat"

	"footwork/survey"
)

// size returns how great a rest of what was read is, in its own deviations.
func (b *block) size(rest []float64) float64 {
	var v mat.VecDense
	v.MulVec(b.white, mat.NewVecDense(len(rest), rest))
	return mat.Norm(&v, 2)
}

// whitening returns L⁻¹, LLᵀ the covariance of a profile, with the line (a constant, for
// slopes across) taken out.
func whitening(p survey.Profile, cross bool) (*mat.Dense, error) {
	n := len(p.X)
	v := mat.NewSymDense(n, nil)
	v.CopySym(p.Cov)
	most := 0.0
	for i := range n {
		most = max(most, v.At(i, i))
	}
	floor := max(1e-18, 1e-6*most) // m², at least 1 nm: the first height is 0 by definition
	for i := range n {
		v.SetSym(i, i, v.At(i, i)+floor)
	}
	var chol mat.Cholesky
	if !chol.Factorize(v) {
		return nil, fmt.Errorf("its covariance is not positive")
	}
	var l, inv mat.TriDense
	chol.LTo(&l)
	if err := inv.InverseTri(&l); err != nil {
		return nil, err
	}
	line := mat.NewDense(n, 2, nil)
	mid := (p.X[0] + p.X[n-1]) / 2
	for i, x := range p.X {
		line.Set(i, 0, 1)
		line.Set(i, 1, (x-mid)/max(p.X[n-1]-p.X[0], 1e-9))
	}
	if cross {
		line = line.Slice(0, n, 0, 1).(*mat.Dense)
	}
	return without(&inv, line), nil
}

// without returns (1 − QQᵀ)·L⁻¹, Q a basis of L⁻¹N: what is told once the columns of N are
// unknown. Squares of it alone are summed, so no weight is below zero by rounding.
func without(inv mat.Matrix, columns *mat.Dense) *mat.Dense {
	var wn, q, told, out mat.Dense
	var qr mat.QR
	wn.Mul(inv, columns)
	qr.Factorize(&wn)
	qr.QTo(&q)
	n, k := columns.Dims()
	known := q.Slice(0, n, k, n)
	told.Mul(known.T(), inv)
	out.Mul(known, &told)
	return &out
}
