package beam

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"

	"footwork/internal/convex"
)

// ErrUnsettled says that no contact could be found that holds to working accuracy.
var ErrUnsettled = errors.New("the contact between bed and supports could not be settled")

// contact is the one-sided standing as a convex programme, that of least
// complementary energy: minimise ½RᵀHR + cᵀR with ΣR, ΣRx, ΣRy equal to the
// weight and its moments, and R ≥ 0 where a support cannot pull. The multipliers
// are the rigid motion: HR + c + Eq is the gap, zero in contact.
type contact struct {
	h    *mat.SymDense // m/N: compliance between the points plus each support's own give
	c    []float64     // m: the built-in bed's height under load less the support's
	e    [][3]float64  // 1, x, y of each point
	b    [3]float64    // N, N·m, N·m
	held []bool
}

// rest is one solution: forces (N, upwards), rigid motion (m, rad, rad) and
// which points touch.
type rest struct {
	force []float64
	rigid [3]float64
	on    []bool
}

// frame is the centred, scaled form of the balance, and how it turns back.
type frame struct {
	rows  [][3]float64
	b     [3]float64
	mid   [3]float64 // 0, centre x, centre y
	size  [3]float64 // 1, length, width
	count int        // 2 when all points lie on one line along the bed and nothing rolls it
}

func (p *contact) frame() frame {
	f := frame{size: [3]float64{1, 1, 1}, count: 3}
	for d := 1; d < 3; d++ {
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, e := range p.e {
			lo, hi = min(lo, e[d]), max(hi, e[d])
		}
		f.mid[d] = (lo + hi) / 2
		if hi-lo > 1e-9 {
			f.size[d] = hi - lo
		} else if d == 2 {
			f.count = 2
		}
	}
	f.b[0] = p.b[0]
	for d := 1; d < 3; d++ {
		f.b[d] = (p.b[d] - p.b[0]*f.mid[d]) / f.size[d]
	}
	if f.count == 2 && math.Abs(f.b[2]) > 1e-9*math.Abs(p.b[0]) {
		f.count = 3 // it would roll off: let the balance fail
	}
	for _, e := range p.e {
		f.rows = append(f.rows, [3]float64{1, (e[1] - f.mid[1]) / f.size[1], (e[2] - f.mid[2]) / f.size[2]})
	}
	return f
}

// rigid turns multipliers of the scaled balance into height, pitch and roll at x = y = 0.
func (f frame) rigid(q [3]float64) [3]float64 {
	r := [3]float64{q[0], q[1] / f.size[1], q[2] / f.size[2]}
	r[0] -= r[1]*f.mid[1] + r[2]*f.mid[2]
	return r
}

// settle finds the solution: block pivoting from the contact given (one round
// when it is right), and the dual active-set method when that does not close.
func (p *contact) settle(first []bool) (rest, error) {
	f := p.frame()
	on := make([]bool, len(p.c))
	for i := range on {
		on[i] = first == nil || first[i] || p.held[i]
	}
	fewest := len(on) + 1
	for spare := 3; spare > 0; {
		k, ok := p.factor(f, on)
		if !ok {
			break
		}
		r := k.solve(p.c, f.b)
		wrong := p.violations(r)
		if len(wrong) == 0 {
			return r, nil
		}
		if len(wrong) < fewest {
			fewest = len(wrong)
		} else {
			spare--
		}
		on = append([]bool(nil), on...)
		for _, i := range wrong {
			on[i] = !on[i]
		}
	}
	return p.programme(f)
}

// violations lists the points whose contact is wrong: pulling where they can
// only push, or sunk into a support that does not push.
func (p *contact) violations(r rest) (wrong []int) {
	least := -1e-10 * (math.Abs(p.b[0]) + norm1(r.force)/float64(len(r.force)))
	for i, on := range r.on {
		switch {
		case on && !p.held[i] && r.force[i] < least:
			wrong = append(wrong, i)
		case !on && p.gap(r, i) < -1e-12:
			wrong = append(wrong, i)
		}
	}
	return wrong
}

func norm1(v []float64) (s float64) {
	for _, x := range v {
		s += math.Abs(x)
	}
	return s
}

// gap returns the height of the bed over the loaded support at a point, m.
func (p *contact) gap(r rest, i int) float64 {
	g := p.c[i] + r.rigid[0] + r.rigid[1]*p.e[i][1] + r.rigid[2]*p.e[i][2]
	for j, f := range r.force {
		if f != 0 {
			g += p.h.At(i, j) * f
		}
	}
	return g
}

// factored is the balance of the points in contact, ready to be solved for any
// heights: the force form K = H + ρEEᵀ and its 3×3 complement.
type factored struct {
	f     frame
	on    []bool
	index []int
	chol  mat.Cholesky
	rho   float64
	ke    *mat.Dense // K⁻¹E
	s     mat.Cholesky
}

// factor prepares the points that are on; not ok when they cannot balance the bed.
func (p *contact) factor(f frame, on []bool) (*factored, bool) {
	k := &factored{f: f, on: on}
	for i, t := range on {
		if t {
			k.index = append(k.index, i)
		}
	}
	n := len(k.index)
	if n < f.count {
		return nil, false
	}
	k.rho = p.meanCompliance()
	if !k.chol.Factorize(p.stiffened(f, k.index, k.rho)) {
		return nil, false
	}
	e := mat.NewDense(n, f.count, nil)
	for a, i := range k.index {
		for d := range f.count {
			e.Set(a, d, f.rows[i][d])
		}
	}
	k.ke = mat.NewDense(n, f.count, nil)
	if k.chol.SolveTo(k.ke, e) != nil {
		return nil, false
	}
	var s mat.Dense
	s.Mul(e.T(), k.ke)
	ok := k.s.Factorize(mat.NewSymDense(f.count, symmetric(&s)))
	return k, ok && k.s.Cond() < 1e11
}

func (p *contact) meanCompliance() float64 {
	var sum float64
	n := len(p.c)
	for i := range n {
		sum += p.h.At(i, i)
	}
	return sum / float64(n)
}

// stiffened returns H + ρEEᵀ over the points of index. The balance makes the
// added term a constant, so the answer is the same, and a point over the built-in
// end no longer makes it singular. Where rigid supports share a load in more
// than one way, the last 1e-13 picks the answer with the least forces.
func (p *contact) stiffened(f frame, index []int, rho float64) *mat.SymDense {
	k := mat.NewSymDense(len(index), nil)
	for a, i := range index {
		for b, j := range index[:a+1] {
			v := p.h.At(i, j)
			for d := range f.count {
				v += rho * f.rows[i][d] * f.rows[j][d]
			}
			if a == b {
				v += 1e-13 * rho
			}
			k.SetSym(a, b, v)
		}
	}
	return k
}

func symmetric(s *mat.Dense) []float64 {
	n, _ := s.Dims()
	v := make([]float64, n*n)
	for i := range n {
		for j := range n {
			v[i*n+j] = (s.At(i, j) + s.At(j, i)) / 2
		}
	}
	return v
}

// solve returns the forces and the rigid motion for built-in gaps c (of all
// points) and the scaled resultant b.
func (k *factored) solve(c []float64, b [3]float64) rest {
	n := len(k.index)
	rhs := mat.NewVecDense(n, nil)
	for a, i := range k.index {
		v := -c[i]
		for d := range k.f.count {
			v += k.rho * k.f.rows[i][d] * b[d]
		}
		rhs.SetVec(a, v)
	}
	free := mat.NewVecDense(n, nil)
	must(k.chol.SolveVecTo(free, rhs))
	want := mat.NewVecDense(k.f.count, nil) // E·free − b = S·q
	for d := range k.f.count {
		sum := -b[d]
		for a, i := range k.index {
			sum += k.f.rows[i][d] * free.AtVec(a)
		}
		want.SetVec(d, sum)
	}
	q := mat.NewVecDense(k.f.count, nil)
	must(k.s.SolveVecTo(q, want))
	r := rest{force: make([]float64, len(c)), on: k.on}
	var scaled [3]float64
	for d := range k.f.count {
		scaled[d] = q.AtVec(d)
	}
	r.rigid = k.f.rigid(scaled)
	for a, i := range k.index {
		r.force[i] = free.AtVec(a)
		for d := range k.f.count {
			r.force[i] -= k.ke.At(a, d) * scaled[d]
		}
	}
	return r
}

// must lets a warning about conditioning pass: every answer is checked
// afterwards against contact and balance.
func must(err error) {
	var c mat.Condition
	if err != nil && !errors.As(err, &c) {
		panic(err)
	}
}

// programme solves by the dual active-set method, from no guess at all.
func (p *contact) programme(f frame) (rest, error) {
	n := len(p.c)
	all := make([]int, n)
	for i := range all {
		all[i] = i
	}
	rho := p.meanCompliance()
	q := convex.Program{H: p.stiffened(f, all, rho), C: make([]float64, n), Eq: mat.NewDense(f.count, n, nil), E: f.b[:f.count]}
	var push []int
	for i := range n {
		q.C[i] = p.c[i]
		for d := range f.count {
			q.Eq.Set(d, i, f.rows[i][d])
			q.C[i] -= rho * f.rows[i][d] * f.b[d]
		}
		if !p.held[i] {
			push = append(push, i)
		}
	}
	if len(push) > 0 {
		q.In, q.B = mat.NewDense(len(push), n, nil), make([]float64, len(push))
		for a, i := range push {
			q.In.Set(a, i, 1)
		}
	}
	sol, err := convex.Quadratic(q)
	if errors.Is(err, convex.ErrInfeasible) {
		return rest{}, p.tips()
	}
	if err != nil {
		return rest{}, errors.Join(ErrUnsettled, err)
	}
	r := rest{force: sol.X, on: make([]bool, n)}
	for i := range r.on {
		r.on[i] = true
	}
	for _, a := range sol.Active {
		r.on[push[a]] = false
		r.force[push[a]] = 0
	}
	var scaled [3]float64
	for d := range f.count {
		scaled[d] = -sol.EqMult[d]
	}
	r.rigid = f.rigid(scaled)
	return r, nil
}
