package convex

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s = %.15g, want %.15g within %g", what, got, want, within)
	}
}

// randomProgram has p equalities and m inequalities around a known point, with some
// rows repeated, so that it is never infeasible.
func randomProgram(r *rand.Rand, n, p, m int, tight float64) Program {
	at := normal(r, n)
	q := Program{C: normal(r, n)}
	g := mat.NewDense(n, n, normal(r, n*n))
	q.H = mat.NewSymDense(n, nil)
	q.H.SymOuterK(1, g)
	for i := range n {
		q.H.SetSym(i, i, q.H.At(i, i)+0.01)
	}
	if p > 0 {
		q.Eq, q.E = mat.NewDense(p, n, normal(r, n*p)), make([]float64, p)
	}
	for i := range p {
		q.E[i] = floats.Dot(q.Eq.RawRowView(i), at)
	}
	if m > 0 {
		q.In, q.B = mat.NewDense(m, n, normal(r, n*m)), make([]float64, m)
	}
	for i := range m {
		row := q.In.RawRowView(i)
		switch {
		case i > 0 && r.IntN(5) == 0:
			copy(row, q.In.RawRowView(r.IntN(i)))
		case r.IntN(3) == 0:
			clear(row)
			row[r.IntN(n)] = 1
		}
		q.B[i] = floats.Dot(row, at) - tight*r.Float64()
		if r.IntN(3) == 0 {
			q.B[i] = floats.Dot(row, at)
		}
	}
	return q
}

func normal(r *rand.Rand, n int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = r.NormFloat64()
	}
	return v
}

// bruteQuadratic tries every set of rows as the active one: a point that keeps all
// rows with multipliers ≥ 0 is the minimum.
func bruteQuadratic(q Program) (x []float64, ok bool) {
	n, p, m := len(q.C), len(q.E), len(q.B)
	for set := range 1 << m {
		var rows [][]float64
		var b []float64
		for i := range p + m {
			if i < p || set>>(i-p)&1 == 1 {
				a, bi := q.rawRow(i)
				rows, b = append(rows, a), append(b, bi)
			}
		}
		k := len(rows)
		if k > n {
			continue
		}
		kkt, rhs := mat.NewDense(n+k, n+k, nil), mat.NewVecDense(n+k, nil)
		kkt.Slice(0, n, 0, n).(*mat.Dense).Copy(q.H)
		for j := range n {
			rhs.SetVec(j, -q.C[j])
		}
		for i, a := range rows {
			for j := range n {
				kkt.Set(n+i, j, a[j])
				kkt.Set(j, n+i, -a[j])
			}
			rhs.SetVec(n+i, b[i])
		}
		var v mat.VecDense
		if v.SolveVec(kkt, rhs) != nil {
			continue
		}
		x = v.RawVector().Data[:n]
		ok = true
		for i := range k - p {
			ok = ok && v.AtVec(n+p+i) >= -1e-9
		}
		for i := range m {
			ok = ok && floats.Dot(q.In.RawRowView(i), x) >= q.B[i]-1e-9
		}
		if ok {
			return x, true
		}
	}
	return nil, false
}

// kkt holds an answer against the conditions of Karush, Kuhn and Tucker, measured
// against the sums they are made of.
func kkt(t interface{ Fatalf(string, ...any) }, q Program, s Solution, within float64) {
	n := len(q.C)
	for i := range len(q.E) + len(q.B) {
		a, b := q.rawRow(i)
		slack, size := -b, math.Abs(b)
		for j := range a {
			slack += a[j] * s.X[j]
			size += math.Abs(a[j]) * largest(s.X)
		}
		if i < len(q.E) {
			if math.Abs(slack) > within*size {
				t.Fatalf("equality %d off by %g of %g", i, slack, size)
			}
			continue
		}
		u := s.InMult[i-len(q.E)]
		if u < 0 || slack < -within*size || u > 0 && slack > within*size {
			t.Fatalf("row %d: slack %g of %g, multiplier %g", i, slack, size, u)
		}
	}
	left, size := make([]float64, n), 0.0
	all := append(slices.Clone(s.EqMult), s.InMult...)
	for j := range n {
		left[j], size = q.C[j], max(size, math.Abs(q.C[j]))
		for k := 0; q.H != nil && k < n; k++ {
			left[j] += q.H.At(j, k) * s.X[k]
			size = max(size, math.Abs(q.H.At(j, k)*s.X[k]))
		}
		for i := range len(q.E) + len(q.B) {
			a, _ := q.rawRow(i)
			left[j] -= a[j] * all[i]
			size = max(size, math.Abs(a[j]*all[i]))
		}
	}
	if largest(left) > within*size {
		t.Fatalf("gradient off by %g of %g", largest(left), size)
	}
}

// proves holds a certificate of infeasibility against Farkas' lemma.
func proves(t *testing.T, q Program, err error) {
	t.Helper()
	var e *infeasible
	if !errors.As(err, &e) || !errors.Is(err, ErrInfeasible) {
		t.Fatalf("got %v, want a proof of infeasibility", err)
	}
	sum, gain, size := make([]float64, len(q.C)), 0.0, 0.0
	for i := range len(q.E) + len(q.B) {
		a, b := q.rawRow(i)
		u := append(slices.Clone(e.EqMult), e.InMult...)[i]
		if i >= len(q.E) && u < 0 {
			t.Fatalf("multiplier %d is %g", i, u)
		}
		floats.AddScaled(sum, u, a)
		gain += u * b
		size = max(size, math.Abs(u)*largest(a))
	}
	if largest(sum) > 1e-9*size || gain <= 0 {
		t.Fatalf("sum of rows %v, gain %g", sum, gain)
	}
}

// contact is the least-energy problem of a beam on n one-sided feet: H are
// compliances of about 1e-9 m/N, the equalities are the sum and the moment of the
// forces, the bounds are R ≥ 0.
func contact(r *rand.Rand, n int) Program {
	q := Program{H: mat.NewSymDense(n, nil), C: make([]float64, n),
		Eq: mat.NewDense(2, n, nil), E: []float64{5e4, 1e5},
		In: mat.NewDense(n, n, nil), B: make([]float64, n)}
	for i := range n {
		x := 4 * float64(i) / float64(max(1, n-1))
		q.Eq.Set(0, i, 1)
		q.Eq.Set(1, i, x)
		q.In.Set(i, i, 1)
		q.C[i] = 2e-5 * r.NormFloat64()
		for j := i; j < n; j++ { // the Green's function of a cantilever, EI = 5e7 N·m²
			y := 4 * float64(j) / float64(max(1, n-1))
			q.H.SetSym(i, j, x*x*(3*y-x)/6/5e7)
		}
		q.H.SetSym(i, i, q.H.At(i, i)+2e-9)
	}
	return q
}
