package agree

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"footwork/survey"
)

const (
	// doubted is how often surveys that are right may be called contradictory:
	// one constraint in ten thousand.
	doubted = 1e-4
	// assumed is how many times an uncertainty that nobody gave and no repeats
	// told may be, before a survey is doubted for it.
	assumed = 3
)

// misfit is what is left of a constraint.
type misfit struct {
	squares float64 // rᵀC⁻¹r
	free    int     // degrees of freedom
	noise   float64 // standard uncertainty of off
	off, at float64 // the largest departure, and where, m
	behind  float64 // degrees of freedom behind the uncertainty; +Inf: known
	bow     float64 // m, middle above the ends, where a bow was left free
}

// holds tells whether noise explains what is left.
func (m misfit) holds() bool {
	k := float64(m.free)
	if math.IsInf(m.behind, 1) {
		return distuv.ChiSquared{K: k}.Survival(m.squares) > doubted
	}
	return distuv.F{D1: k, D2: m.behind}.Survival(m.squares/k) > doubted
}

// fit compares what must fit; not ok when they share too few stations: two more than terms are taken out.
func (c constraint) fit(r []survey.Record) (m misfit, ok bool) {
	return c.fitWith(r, differ(r))
}

// differ tells whether the bed was warmed differently, as far as was measured.
func differ(r []survey.Record) bool {
	const alike = 0.02 // K
	for _, a := range r {
		for _, b := range r {
			if g, h := a.Survey.Gradient, b.Survey.Gradient; g != nil && h != nil && math.Abs(*g-*h) > alike {
				return true
			}
		}
	}
	return false
}

// fitWith compares what must fit, with a bow left free or not.
func (c constraint) fitWith(r []survey.Record, bowed bool) (m misfit, ok bool) {
	x := shared(r)
	terms := 2
	if c.across == 0 && r[0].Survey.Instrument == survey.CrossLevel {
		terms = 1
	}
	if bowed && !(c.across == 0 && terms == 1) {
		terms = 3
	}
	if len(x) < terms+2 {
		return m, false
	}
	signs := []float64{-1, 1} // the later less the earlier
	if c.across != 0 {
		signs = []float64{1, -1, c.across} // slope · distance less the difference of heights
	}
	res, cov := mat.NewVecDense(len(x), nil), mat.NewSymDense(len(x), nil)
	var total, parts float64 // of variances, for the degrees of freedom behind their sum
	for k, one := range r {
		before := mat.Trace(cov)
		add(res, cov, one.Profile, x, signs[k], doubt(one))
		if share := mat.Trace(cov) - before; one.Profile.Free > 0 {
			parts += share * share / float64(one.Profile.Free)
		}
		total = mat.Trace(cov)
	}
	m = solve(x, res, cov, terms)
	m.behind = total * total / parts // Welch and Satterthwaite: JCGM 100, G.4.1
	return m, true
}

// doubt is what the standard uncertainty of a survey is multiplied by.
func doubt(r survey.Record) float64 {
	if r.Profile.Free == 0 && r.Survey.Uncertainty == 0 {
		return assumed
	}
	return 1
}

// shared returns the stations of the last record that lie within all others.
func shared(r []survey.Record) (x []float64) {
	for _, at := range r[len(r)-1].Profile.X {
		inside := true
		for _, o := range r[:len(r)-1] {
			n := len(o.Profile.X)
			slack := 1e-9 + 0.01*(o.Profile.X[n-1]-o.Profile.X[0])/float64(n)
			inside = inside && at >= o.Profile.X[0]-slack && at <= o.Profile.X[n-1]+slack
		}
		if inside {
			x = append(x, at)
		}
	}
	return x
}

// add puts a profile at stations x, times weight, into a residual and its covariance.
// Between stations the profile is a straight line and the way is not: what its
// curvature makes of that is put into the covariance, h″d²/8 at the middle.
func add(res *mat.VecDense, cov *mat.SymDense, p survey.Profile, x []float64, weight, doubt float64) {
	w := mat.NewDense(len(x), len(p.X), nil)
	for i, at := range x {
		j, found := slices.BinarySearch(p.X, at)
		if found || j == 0 || j == len(p.X) {
			w.Set(i, min(j, len(p.X)-1), weight)
			continue
		}
		t := (at - p.X[j-1]) / (p.X[j] - p.X[j-1])
		w.Set(i, j-1, weight*(1-t))
		w.Set(i, j, weight*t)
		if t > 0.01 && t < 0.99 {
			bend := weight * t * (1 - t) / 2 * max(second(p, j-1), second(p, j))
			cov.SetSym(i, i, cov.At(i, i)+bend*bend)
		}
	}
	var h mat.VecDense
	h.MulVec(w, mat.NewVecDense(len(p.Height), p.Height))
	res.AddVec(res, &h)
	var part, half mat.Dense
	half.Mul(w, p.Cov)
	part.Mul(&half, w.T())
	for i := range x {
		for j := i; j < len(x); j++ {
			cov.SetSym(i, j, cov.At(i, j)+doubt*doubt*(part.At(i, j)+part.At(j, i))/2)
		}
	}
}

// second returns the second difference of heights at station j, without its sign.
func second(p survey.Profile, j int) float64 {
	j = min(max(j, 1), len(p.X)-2)
	if j < 1 {
		return 0
	}
	return math.Abs(p.Height[j+1] - 2*p.Height[j] + p.Height[j-1])
}

// solve takes the first terms of 1, x, x² out of a residual by generalised least
// squares and returns what is left.
func solve(x []float64, res *mat.VecDense, cov *mat.SymDense, terms int) (m misfit) {
	n := len(x)
	slight := 0.0 // the first height of slopes is known exactly: a millionth keeps the rest solvable
	for i := range n {
		slight = max(slight, 1e-6*cov.At(i, i))
	}
	for i := range n {
		cov.SetSym(i, i, cov.At(i, i)+slight)
	}
	var chol mat.Cholesky
	if !chol.Factorize(cov) {
		panic("agree: a covariance that is none")
	}
	basis := polynomials(x, terms)
	var cb, bcb mat.Dense
	must(chol.SolveTo(&cb, basis))
	bcb.Mul(basis.T(), &cb)
	var rhs, beta, left, weighed mat.VecDense
	rhs.MulVec(cb.T(), res)
	must(beta.SolveVec(&bcb, &rhs))
	left.MulVec(basis, &beta)
	left.SubVec(res, &left)
	must(chol.SolveVecTo(&weighed, &left))
	m.squares, m.free = mat.Dot(&left, &weighed), n-terms
	for i, at := range x {
		if d := math.Abs(left.AtVec(i)); d >= m.off {
			m.off, m.at, m.noise = d, at, math.Sqrt(cov.At(i, i))
		}
	}
	if terms == 3 {
		m.bow = -beta.AtVec(2)
	}
	return m
}

// polynomials returns 1, x, x² at stations, x from −1 to 1 over them.
func polynomials(x []float64, terms int) *mat.Dense {
	n := len(x)
	basis := mat.NewDense(n, terms, nil)
	mid, half := (x[0]+x[n-1])/2, (x[n-1]-x[0])/2
	for i, at := range x {
		for k := range terms {
			basis.Set(i, k, math.Pow((at-mid)/half, float64(k)))
		}
	}
	return basis
}

// must panics where a matrix that was made definite cannot be solved; that it is
// ill-conditioned is no harm.
func must(err error) {
	if _, poor := err.(mat.Condition); err != nil && !poor {
		panic(err)
	}
}

// warmed is the change of heat between the surveys that explains why they do not fit, if
// one does.
func (c constraint) warmed(records []survey.Record) []candidate {
	r := pick(c.of, records)
	m, ok := c.fitWith(r, true)
	if !ok || !m.holds() {
		return nil
	}
	return []candidate{{Remedy{Slip: Warmed, Survey: r[len(r)-1].Survey.Name, Bow: m.bow}, m.squares - c.squares, []int{c.id}}}
}
