package match

import (
	"math"

	"gonum.org/v1/gonum/floats"
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
	if !chol.Factorize(s) {
		panic("match: a precision that is none")
	}
	must(chol.InverseTo(&inv))
	eta, m := mat.NewVecDense(k.n, k.eta), mat.NewVecDense(k.n, nil)
	m.MulVec(&inv, eta)
	for f := range k.n {
		dev = append(dev, math.Sqrt(inv.At(f, f)))
	}
	return log - chol.LogDet()/2 + mat.Dot(eta, m)/2, m.RawVector().Data, dev
}

// softer returns how sure it is of each foot that it is softer than the others; where it is as they are one half.
// All choices of at most two odd feet, and all scales of the rest, are weighed by their evidence.
func (k likeness) softer() (out []float64) {
	out = make([]float64, k.n)
	most, sum := math.Inf(-1), 0.0
	for _, alike := range alikeSD {
		for a := -1; a < k.n; a++ {
			for b := -1; b < max(a, 0); b++ {
				log, sure := k.odd(alike, a, b)
				if log > most {
					floats.Scale(math.Exp(most-log), out)
					sum *= math.Exp(most - log)
					most = log
				}
				w := math.Exp(log - most)
				floats.AddScaled(out, w, sure)
				sum += w
			}
		}
	}
	floats.Scale(1/sum, out)
	return out
}

// odd returns the logarithm of the evidence where but feet a and b are alike, −1 for none, and how sure it then is of
// each foot that it is softer.
func (k likeness) odd(alike float64, a, b int) (log float64, sure []float64) {
	sd := make([]float64, k.n)
	for f := range sd {
		sd[f] = alike
		if f == a || f == b {
			sd[f] = oddSD
			log += math.Log(oddShare / (1 - oddShare))
		}
	}
	evidence, mean, dev := k.given(sd)
	for f, m := range mean {
		e := distuv.Normal{Mu: m, Sigma: dev[f]}
		sure = append(sure, (e.CDF(-likeWithin)+e.CDF(likeWithin))/2)
	}
	return log + evidence, sure
}

// softer fills in how sure it is of each foot that it is softer than the others.
func (m *model) softer(all []*point, out *Result) {
	e := mat.NewDense(len(all), len(out.Foot), nil)
	for i, p := range all {
		for f := range out.Foot {
			e.Set(i, f, m.departs(p.z, m.in.Asked, f))
		}
	}
	if k, ok := likenessOf(e); ok {
		for f, p := range k.softer() {
			out.Foot[f].Softer = p
		}
	}
}

// must panics where a matrix that was made definite cannot be solved; that it is
// ill-conditioned is no harm.
func must(err error) {
	if _, poor := err.(mat.Condition); err != nil && !poor {
		panic(err)
	}
}
