package survey

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// form is the metal between two passes: heights at knots along each way, with a
// smooth Gaussian prior. It is eliminated, so that what is left of the data is a
// quadratic form in the features for each kernel.
type form struct {
	pass  int
	knots [][]float64 // [way]
	first []int       // [way] index of its first knot
	size  int
	aa    *mat.SymDense // information on the knots
	ap    *mat.Dense    // between knots and features
	a     []float64     // and its right-hand side
}

// marginal is −2 log of the likelihood with every form eliminated:
// φᵀPφ − 2qᵀφ + c, for one kernel.
type marginal struct {
	kernel Kernel
	p      []float64 // D×D
	q      []float64
	c      float64 // with the determinants
}

// Kernels that the evidence chooses from: amplitudes in m, lengths as shares of
// the way's surveyed length. Equal steps of the logarithm are equally likely
// beforehand.
var (
	amplitudes = []float64{0.5e-6, 1e-6, 2e-6, 4e-6, 8e-6, 16e-6, 32e-6}
	lengths    = []float64{0.08, 0.15, 0.28, 0.5}
)

// matern52 is the covariance of a form that bends smoothly: Matérn, ν = 5/2
// (Rasmussen and Williams, Gaussian Processes for Machine Learning, eq. 4.17).
func matern52(d float64) float64 {
	r := math.Sqrt(5) * math.Abs(d)
	return (1 + r + r*r/3) * math.Exp(-r)
}

// makeForms lays knots along the ways, one form for each pass.
func (m *model) makeForms() {
	knots := m.layKnots()
	var passes []int
	for _, s := range m.in.Surveys {
		if !slices.Contains(passes, s.Pass) {
			passes = append(passes, s.Pass)
		}
	}
	slices.Sort(passes)
	for _, p := range passes {
		f := &form{pass: p, knots: knots}
		for _, k := range knots {
			f.first = append(f.first, f.size)
			f.size += len(k)
		}
		f.aa, f.ap, f.a = mat.NewSymDense(f.size, nil), mat.NewDense(f.size, m.feats, nil), make([]float64, f.size)
		m.forms = append(m.forms, f)
	}
	for i := range m.rows {
		r := &m.rows[i]
		r.form = m.forms[slices.Index(passes, m.in.Surveys[r.survey].Pass)]
		r.f = m.spread(r)
		r.form.take(r)
	}
}

const uniformKnots = 36

// layKnots returns the knots of each way: the stations of its surveys when they
// agree, evenly spaced over all of them otherwise.
func (m *model) layKnots() [][]float64 {
	knots := make([][]float64, len(m.in.Ways))
	for w := range knots {
		agree, lo, hi := true, math.Inf(1), math.Inf(-1)
		for _, r := range m.rows {
			x := m.in.Profiles[r.survey].X
			if r.way == w {
				agree = agree && (knots[w] == nil || slices.Equal(knots[w], x))
				knots[w] = x
			}
			if r.way == w || r.way < 0 {
				lo, hi = min(lo, x[0]), max(hi, x[len(x)-1])
			}
		}
		if knots[w] != nil && agree && len(knots[w]) <= 60 {
			continue
		}
		if math.IsInf(lo, 1) {
			lo, hi = 0, 1
		}
		knots[w] = make([]float64, uniformKnots)
		for i := range knots[w] {
			knots[w][i] = lo + (hi-lo)*float64(i)/(uniformKnots-1)
		}
	}
	return knots
}

// spread returns how a survey's heights answer to the form's knots: straight
// between two of them; a cross level sees the two outer ways' difference.
func (m *model) spread(r *block) *mat.Dense {
	x := m.in.Profiles[r.survey].X
	f := mat.NewDense(len(x), r.form.size, nil)
	if r.way >= 0 {
		r.form.add(f, x, r.way, 1)
		return f
	}
	lo, hi := m.outerWays()
	if lo != hi {
		per := 1 / (m.in.Ways[hi].Offset - m.in.Ways[lo].Offset)
		r.form.add(f, x, hi, per)
		r.form.add(f, x, lo, -per)
	}
	return f
}

// outerWays returns the ways of least and greatest offset.
func (m *model) outerWays() (lo, hi int) {
	for i, w := range m.in.Ways {
		if w.Offset < m.in.Ways[lo].Offset {
			lo = i
		}
		if w.Offset > m.in.Ways[hi].Offset {
			hi = i
		}
	}
	return lo, hi
}

func (f *form) add(to *mat.Dense, x []float64, way int, scale float64) {
	k := f.knots[way]
	for i, at := range x {
		j, found := slices.BinarySearch(k, at)
		if found || j == 0 || j == len(k) {
			j = min(j, len(k)-1)
			to.Set(i, f.first[way]+j, to.At(i, f.first[way]+j)+scale)
			continue
		}
		t := (at - k[j-1]) / (k[j] - k[j-1])
		to.Set(i, f.first[way]+j-1, to.At(i, f.first[way]+j-1)+scale*(1-t))
		to.Set(i, f.first[way]+j, to.At(i, f.first[way]+j)+scale*t)
	}
}

// take adds a survey's information.
func (f *form) take(r *block) {
	var wf, faa, fab mat.Dense
	wf.Mul(r.w, r.f)
	faa.Mul(r.f.T(), &wf)
	for i := range f.size {
		for j := i; j < f.size; j++ {
			f.aa.SetSym(i, j, f.aa.At(i, j)+(faa.At(i, j)+faa.At(j, i))/2)
		}
	}
	fab.Mul(wf.T(), r.b)
	f.ap.Add(f.ap, &fab)
	y := mat.NewVecDense(len(r.y), r.y)
	var a mat.VecDense
	a.MulVec(wf.T(), y)
	for i := range f.a {
		f.a[i] += a.AtVec(i)
	}
}

// prior returns the inverse of the form's covariance under a kernel, and the
// logarithm of its determinant. The last part of it is roughness without
// memory: 5 % of the amplitude.
func (f *form) prior(k Kernel) (*mat.SymDense, float64) {
	out, log := mat.NewSymDense(f.size, nil), 0.0
	for w, x := range f.knots {
		n := len(x)
		c := mat.NewSymDense(n, nil)
		for i := range n {
			for j := i; j < n; j++ {
				v := k.Amplitude * k.Amplitude * matern52((x[j]-x[i])/k.Length)
				if i == j {
					v += 0.0025*k.Amplitude*k.Amplitude + 1e-15
				}
				c.SetSym(i, j, v)
			}
		}
		var chol mat.Cholesky
		if !chol.Factorize(c) {
			panic("survey: the form's covariance is not positive")
		}
		log += chol.LogDet()
		inv := mat.NewSymDense(n, nil)
		if err := chol.InverseTo(inv); err != nil && inv.IsEmpty() {
			panic(err)
		}
		for i := range n {
			for j := i; j < n; j++ {
				out.SetSym(f.first[w]+i, f.first[w]+j, inv.At(i, j))
			}
		}
	}
	return out, log
}

// posterior returns the Cholesky factor of the information on the knots, data
// and prior together.
func (f *form) posterior(k Kernel) (*mat.Cholesky, float64) {
	s, log := f.prior(k)
	s.AddSym(s, f.aa)
	var chol mat.Cholesky
	if !chol.Factorize(s) {
		panic("survey: the form's information is not positive")
	}
	return &chol, log
}

// kernels returns the kernels to choose from.
func (m *model) kernels() (list []Kernel) {
	span := 0.0
	for _, k := range m.forms[0].knots {
		span = max(span, k[len(k)-1]-k[0])
	}
	for _, a := range amplitudes {
		for _, l := range lengths {
			list = append(list, Kernel{a, l * span})
		}
	}
	return list
}

// marginals eliminates the forms for every kernel.
func (m *model) marginals() []marginal {
	d := m.feats
	pp, q0, c0 := mat.NewDense(d, d, nil), make([]float64, d), 0.0
	for _, r := range m.rows {
		var wb, bwb mat.Dense
		wb.Mul(r.w, r.b)
		bwb.Mul(r.b.T(), &wb)
		pp.Add(pp, &bwb)
		y := mat.NewVecDense(len(r.y), r.y)
		var v, wy mat.VecDense
		v.MulVec(wb.T(), y)
		wy.MulVec(r.w, y)
		c0 += mat.Dot(&wy, y)
		for i := range q0 {
			q0[i] += v.AtVec(i)
		}
	}
	var out []marginal
	for _, k := range m.kernels() {
		g := marginal{kernel: k, c: c0, q: slices.Clone(q0)}
		p := mat.DenseCopyOf(pp)
		for _, f := range m.forms {
			f.eliminate(k, p, &g)
		}
		g.p = p.RawMatrix().Data
		out = append(out, g)
	}
	return out
}

func (f *form) eliminate(k Kernel, p *mat.Dense, g *marginal) {
	chol, log := f.posterior(k)
	var x, less mat.Dense
	mustCondition(chol.SolveTo(&x, f.ap))
	less.Mul(f.ap.T(), &x)
	p.Sub(p, &less)
	var a mat.VecDense
	mustCondition(chol.SolveVecTo(&a, mat.NewVecDense(f.size, f.a)))
	var q mat.VecDense
	q.MulVec(f.ap.T(), &a)
	for i := range g.q {
		g.q[i] -= q.AtVec(i)
	}
	g.c += log + chol.LogDet() - mat.Dot(&a, mat.NewVecDense(f.size, f.a))
}

// mustCondition lets a warning about conditioning pass.
func mustCondition(err error) {
	if _, warn := err.(mat.Condition); err != nil && !warn {
		panic(err)
	}
}
