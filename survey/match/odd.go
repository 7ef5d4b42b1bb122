package match

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Feet are alike but for a few: a foot in twenty departs from the rest, times or divided by two, and the rest depart
// by one of a few scales, that of the chains the widest (guesses; no source).
const (
	oddShare   = 0.05
	oddSD      = math.Ln2
	likeWithin = 0.1 // of the logarithm: so near, one foot is as the others
)

var alikeSD = [...]float64{0.05, 0.12, footSD}

// likeness is what the draws say of the logarithms e by which feet depart, without the prior they were drawn under:
// exp(−½eᵀΛe + ηᵀe).
type likeness struct {
	n      int
	lambda *mat.SymDense
	eta    []float64
}

// likenessOf takes the prior out of the normal distribution that has the mean and covariance of the draws
// [draw][foot].
func likenessOf(e *mat.Dense) (k likeness, ok bool) {
	rows, n := e.Dims()
	var cov, inv mat.SymDense
	stat.CovarianceMatrix(&cov, e, nil)
	var chol mat.Cholesky
	if rows <= n || !chol.Factorize(&cov) || chol.InverseTo(&inv) != nil {
		return k, false
	}
	mean := mat.NewVecDense(n, nil)
	for f := range n {
		mean.SetVec(f, stat.Mean(mat.Col(nil, f, e), nil))
	}
	var eta mat.VecDense
	eta.MulVec(&inv, mean)
	for f := range n {
		inv.SetSym(f, f, inv.At(f, f)-1/square(footSD))
	}
	var eigen mat.EigenSym
	if !eigen.Factorize(&inv, true) {
		return k, false
	}
	k = likeness{n: n, lambda: mat.NewSymDense(n, nil), eta: eta.RawVector().Data}
	var v mat.Dense
	eigen.VectorsTo(&v)
	for i, w := range eigen.Values(nil) {
		k.lambda.SymRankOne(k.lambda, max(0, w), v.ColView(i)) // below 0 by chance of the draws
	}
	return k, true
}

// given returns the logarithm of the evidence where feet depart by deviations, and the mean and deviation of each
// foot's departure then.
func (k likeness) given(sd []float64) (log float64, mean, dev []float64) {
	s := mat.NewSymDense(k.n, nil)
	s.CopySym(k.lambda)
	for f, v := range sd {
		s.SetSym(f, f, s.At(f, f)+1/square(v))
		log -= math.Log(v)
	}
	var chol mat.Cholesky
	var inv mat.SymDense
	if !chol.Factorize(s) || chol.InverseTo(&inv) != nil {
		return math.Inf(-1), nil, nil
	}
	eta, m := mat.NewVecDense(k.n, k.eta), mat.NewVecDense(k.n, nil)
	m.MulVec(&inv, eta)
	for f := range k.n {
		dev = append(dev, math.Sqrt(inv.At(f, f)))
	}
	return log - chol.LogDet()/2 + mat.Dot(eta, m)/2, m.RawVector().Data, dev
}

// softer returns how sure it is of each foot that it is softer than the others; where it is as they are one half.
// All choices of at most two odd feet, and all scales of the rest, are weighed by their evidence.
func (k likeness) softer() []float64 {
	type choice struct {
		log       float64
		mean, dev []float64
	}
	var all []choice
	most := math.Inf(-1)
	sd := make([]float64, k.n)
	for _, alike := range alikeSD {
		for a := -1; a < k.n; a++ {
			for b := -1; b < max(a, 0); b++ {
				c := choice{}
				for f := range sd {
					sd[f] = alike
					if f == a || f == b {
						sd[f] = oddSD
						c.log += math.Log(oddShare / (1 - oddShare))
					}
				}
				log, mean, dev := k.given(sd)
				c.log, c.mean, c.dev = c.log+log, mean, dev
				most = max(most, c.log)
				all = append(all, c)
			}
		}
	}
	out, sum := make([]float64, k.n), 0.0
	for _, c := range all {
		w := math.Exp(c.log - most)
		sum += w
		for f := range out {
			e := distuv.Normal{Mu: c.mean[f], Sigma: c.dev[f]}
			out[f] += w * (e.CDF(-likeWithin) + e.CDF(likeWithin)) / 2
		}
	}
	for f := range out {
		out[f] /= sum
	}
	return out
}

// softer fills in how sure it is of each foot that it is softer than the others.
func (m *model) softer(all []*point, out *Result) {
	n := len(out.Foot)
	e := mat.NewDense(len(all), n, nil)
	for i, p := range all {
		for f := range n {
			e.Set(i, f, m.departs(p.z, m.in.Asked, f))
		}
	}
	k, ok := likenessOf(e)
	if !ok {
		return
	}
	for f, p := range k.softer() {
		out.Foot[f].Softer = p
	}
}
