package contact

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"footwork/internal/convex"
)

// arrangement is a random problem with its load. Some points repeat another, some lie
// halfway between two that are rigid to one another, some are held, some give.
type arrangement struct {
	points []Point
	h      []float64
	load   Load
}

func draw(r *rand.Rand, most, bodies int, agreeing bool) arrangement {
	n := 3*bodies + r.IntN(most-3*bodies+1)
	a := arrangement{points: make([]Point, n), h: make([]float64, n*n)}
	shape := make([][]float64, n) // H = shape·shapeᵀ + give
	c := make([]float64, n)
	for i := range n {
		p := Point{X: r.Float64() * 4, Y: float64(r.IntN(3)-1) / 2, Held: r.IntN(5) == 0, Body: i * bodies / n}
		shape[i] = make([]float64, n+2)
		for j := range shape[i] {
			shape[i][j] = 1e-5 * r.NormFloat64()
		}
		c[i] = 3e-5 * r.NormFloat64()
		j, k := r.IntN(i+1), r.IntN(i+1)
		switch kind := r.IntN(4); {
		case kind == 0 && j < i && a.points[j].Body == p.Body: // at one place
			copy(shape[i], shape[j])
			p.X, p.Y = a.points[j].X, a.points[j].Y
			if agreeing || r.IntN(2) == 0 {
				c[i] = c[j]
			}
		case kind == 1 && j != k && max(j, k) < i && a.points[j].Body == p.Body && a.points[k].Body == p.Body: // halfway
			floats.AddTo(shape[i], shape[j], shape[k])
			floats.Scale(0.5, shape[i])
			p.X, p.Y = (a.points[j].X+a.points[k].X)/2, (a.points[j].Y+a.points[k].Y)/2
			if agreeing || r.IntN(2) == 0 {
				c[i] = (c[j] + c[k]) / 2
			}
		case kind == 2:
			a.h[i*n+i] = 1e-10 * math.Exp(3*r.NormFloat64())
		}
		a.points[i] = p
	}
	for i := range n {
		for j := range n {
			a.h[i*n+j] += floats.Dot(shape[i], shape[j])
		}
	}
	a.load = Load{Built: c, Resultant: [2][3]float64{resultant(r), resultant(r)}}
	return a
}

func resultant(r *rand.Rand) [3]float64 {
	w := 1000 * (1 + r.Float64())
	return [3]float64{w, w * (1.4 + 1.2*r.Float64()), w * 0.2 * (r.Float64() - 0.5)}
}

func (a arrangement) problem() *Problem {
	p := &Problem{}
	copy(p.Reset(a.points), a.h)
	return p
}

// balance returns the raw balance rows and their right-hand side.
func (a arrangement) balance() (*mat.Dense, []float64) {
	bodies := 1 + a.points[len(a.points)-1].Body
	e, b := mat.NewDense(3*bodies, len(a.points), nil), make([]float64, 3*bodies)
	for i, t := range a.points {
		for d, v := range [3]float64{1, t.X, t.Y} {
			e.Set(3*t.Body+d, i, v)
			b[3*t.Body+d] = a.load.Resultant[t.Body][d]
		}
	}
	return e, b
}

// mustHold holds an answer against the conditions of contact, reckoned here anew.
func (a arrangement) mustHold(t *testing.T, ans Answer) {
	t.Helper()
	n := len(a.points)
	height := floats.Norm(a.load.Built, math.Inf(1)) + 1e-10*floats.Norm(ans.Force, 1)
	for i, p := range a.points {
		q := ans.Rigid[p.Body]
		g := a.load.Built[i] + floats.Dot(a.h[i*n:(i+1)*n], ans.Force) + q[0] + q[1]*p.X + q[2]*p.Y
		switch {
		case g < -1e-9*height, ans.On[i] && g > 1e-9*height:
			t.Fatalf("point %d, touching %v, has a gap of %g m", i, ans.On[i], g)
		case !p.Held && ans.Force[i] < -1e-4, !ans.On[i] && ans.Force[i] != 0:
			t.Fatalf("point %d, touching %v, bears %g N", i, ans.On[i], ans.Force[i])
		case p.Held && !ans.On[i], math.Abs(ans.Gap[i]-g) > 1e-9*height:
			t.Fatalf("point %d is said to have a gap of %g m, has %g m", i, ans.Gap[i], g)
		}
	}
	e, b := a.balance()
	var sum mat.VecDense
	sum.MulVec(e, mat.NewVecDense(n, ans.Force))
	for d, v := range b {
		if math.Abs(sum.AtVec(d)-v) > 1e-5 {
			t.Fatalf("balance %d is %g, should be %g", d, sum.AtVec(d), v)
		}
	}
}

// balanced tells by a linear programme whether any forces carry the weights.
func (a arrangement) balanced(t *testing.T) bool {
	n := len(a.points)
	q := convex.Program{C: make([]float64, n), In: mat.NewDense(n, n, nil), B: make([]float64, n)}
	q.Eq, q.E = a.balance()
	for i, p := range a.points {
		q.C[i] = 1
		q.In.Set(i, i, 1)
		if p.Held {
			q.B[i] = -1e7
		}
	}
	_, err := convex.Linear(q)
	if err != nil && !errors.Is(err, convex.ErrInfeasible) {
		t.Fatal(err)
	}
	return err == nil
}

// fits tells by a linear programme whether the bodies can be bent and moved so that
// every held point touches and no point is sunk in.
func (a arrangement) fits(t *testing.T) bool {
	n := len(a.points)
	e, b := a.balance()
	m := len(b)
	q := convex.Program{C: make([]float64, n+m+1), In: mat.NewDense(2*n+1, n+m+1, nil), B: make([]float64, 2*n+1)}
	q.C[n+m] = 1 // 1 and the least sinking-in or held gap, in units of 1e-5 m
	for i, p := range a.points {
		row := make([]float64, n+m+1)
		for j := range n {
			row[j] = a.h[i*n+j] * 1e10
		}
		for d := range m {
			row[n+d] = e.At(d, i)
		}
		row[n+m] = 1
		q.In.SetRow(2*i, row)
		q.B[2*i] = 1 - a.load.Built[i]*1e5
		if p.Held {
			floats.Scale(-1, row[:n+m])
			q.In.SetRow(2*i+1, row)
			q.B[2*i+1] = 1 + a.load.Built[i]*1e5
		}
	}
	q.In.Set(2*n, n+m, 1)
	q.B[2*n] = 1
	sol, err := convex.Linear(q)
	if err != nil {
		t.Fatal(err)
	}
	return sol.Value < 1+1e-6
}

// An answer holds, a tip has no balance, a contradiction no fit: whatever is redundant.
func TestEveryAnswer(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	var stood, tipped, contradicted, shared int
	for k := range 5000 {
		a := draw(r, 6+r.IntN(9), 1+k%2, k%3 == 0)
		p := a.problem()
		var ans Answer
		err := p.Solve(a.load, &ans)
		var tip *Tip
		var no *Contradiction
		switch {
		case err == nil:
			stood++
			a.mustHold(t, ans)
			if len(ans.Shared) > 0 {
				shared++
			}
		case errors.As(err, &tip):
			tipped++
			if a.balanced(t) {
				t.Fatalf("problem %d: %v, yet forces balance it", k, err)
			}
		case errors.As(err, &no):
			contradicted++
			if a.fits(t) {
				t.Fatalf("problem %d: %v, yet it fits", k, err)
			}
		default:
			t.Fatalf("problem %d: %v; balanced %v, fits %v", k, err, a.balanced(t), a.fits(t))
		}
	}
	t.Logf("%d stood, %d of these sharing, %d tipped, %d contradicted", stood, shared, tipped, contradicted)
	if min(stood, tipped, contradicted, shared) < 200 {
		t.Error("too few of a kind to tell")
	}
}

// The forces of a rigid row across are the least of all that carry the same, and what
// they carry together is what two of them would.
func TestSharedForcesAreLeast(t *testing.T) {
	across := func(ys ...float64) *Problem {
		p, points := &Problem{}, []Point{{X: 0}}
		for _, y := range ys {
			points = append(points, Point{X: 2, Y: y})
		}
		h, n := p.Reset(points), len(points)
		for i, t := range points {
			for j, u := range points {
				h[i*n+j] = 1e-8 * (t.X*t.X*(3*u.X-t.X)/6 + t.X*t.Y*u.Y) // a cantilever with x ≤ u everywhere
			}
		}
		return p
	}
	load := Load{Built: make([]float64, 4), Resultant: [2][3]float64{{1000, 1500, 60}}}
	var a, b Answer
	if err := across(-0.3, 0.1, 0.4).Solve(load, &a); err != nil {
		t.Fatal(err)
	}
	// ΣR = 750 and ΣRy = 60 over y of mean ȳ: R = 750/3 + (60 − 750ȳ)(y − ȳ)/Σ(y − ȳ)².
	mean := 0.2 / 3
	spread := 0.09 + 0.01 + 0.16 - 3*mean*mean
	for i, y := range []float64{-0.3, 0.1, 0.4} {
		if want := 250 + (60-750*mean)*(y-mean)/spread; math.Abs(a.Force[i+1]-want) > 1e-9 {
			t.Errorf("at %g m across: %g N, want %g N", y, a.Force[i+1], want)
		}
	}
	if len(a.Shared) != 3 {
		t.Errorf("said to share: %v", a.Shared)
	}
	load.Built = load.Built[:3]
	if err := across(-0.3, 0.4).Solve(load, &b); err != nil || len(b.Shared) > 0 {
		t.Fatal(err, b.Shared)
	}
	for d := range 3 {
		if math.Abs(a.Rigid[0][d]-b.Rigid[0][d]) > 1e-15 {
			t.Errorf("rigid motion %v and %v", a.Rigid[0], b.Rigid[0])
		}
	}
}

// Glued, a small change of heights does what it does to the answer while the contact stays;
// a rigid pair at one place parts a step of one of them between both.
func TestGlue(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	compared := 0
	for range 400 {
		a := draw(r, 6+r.IntN(9), 1, false)
		p := a.problem()
		var before, after, d Answer
		if p.Solve(a.load, &before) != nil || len(before.Shared) > 0 {
			continue
		}
		step := Load{Built: make([]float64, len(a.points))}
		step.Built[r.IntN(len(a.points))] = 1
		d.On = append(d.On, before.On...)
		if err := p.Glue(step, &d); err != nil {
			t.Fatal(err)
		}
		if len(d.Shared) > 0 {
			continue
		}
		moved := a.load
		moved.Built = append([]float64(nil), a.load.Built...)
		floats.AddScaled(moved.Built, 1e-10, step.Built)
		after.On = append(after.On, before.On...)
		if p.Solve(moved, &after) != nil || !slices.Equal(after.On, before.On) {
			continue
		}
		compared++
		for i := range a.points {
			if off := after.Force[i] - before.Force[i] - 1e-10*d.Force[i]; math.Abs(off) > 1e-6*(1+math.Abs(after.Force[i])) {
				t.Fatalf("point %d: %g N beside what was foretold", i, off)
			}
		}
	}
	if compared < 50 {
		t.Errorf("only %d compared", compared)
	}
	p, d := &Problem{}, Answer{}
	copy(p.Reset([]Point{{X: 0}, {X: 2}, {X: 2}}), []float64{0, 0, 0, 0, 3, 3, 0, 3, 3})
	if err := p.Glue(Load{Built: []float64{0, 1, 0}}, &d); err != nil || len(d.Shared) != 2 || math.Abs(d.Rigid[0][1]+0.25) > 1e-12 {
		t.Errorf("%v %+v", err, d)
	}
}

// Solved again with other heights and the compliance written anew, nothing is allocated
// and nothing remembered.
func TestSolvedAgain(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	a := draw(r, 9, 1, true)
	for i := range a.points {
		a.points[i] = Point{X: float64(i), Y: float64(i % 2)}
		a.load.Resultant[0] = [3]float64{1000, 500 * float64(len(a.points)-1), 450}
		for j := range a.points[:i] {
			a.load.Built[j] = 1e-7 * r.NormFloat64()
		}
	}
	p := a.problem()
	var ans Answer
	again := func() {
		for k := range 20 {
			if k%5 == 0 {
				for i, v := range a.h {
					p.Refill()[i] = v * (1 + 0.1*float64(k))
				}
			}
			a.load.Built[k%len(a.points)] *= -1
			if err := p.Solve(a.load, &ans); err != nil {
				t.Fatal(err)
			}
		}
	}
	for range 4 {
		again()
	}
	if n := testing.AllocsPerRun(20, again); n > 0 {
		t.Errorf("%g allocations", n)
	}
	copy(p.Refill(), a.h)
	if err := p.Solve(a.load, &ans); err != nil {
		t.Fatal(err)
	}
	a.mustHold(t, ans)
}

func bench(b *testing.B, n int, refill bool) {
	r := rand.New(rand.NewPCG(5, 6))
	p, points := &Problem{}, []Point{}
	for i := range n {
		points = append(points, Point{X: 0.5 * float64(i/2), Y: float64(i%2) - 0.5})
	}
	h := make([]float64, n*n)
	for i, t := range points {
		for j, u := range points {
			lo, hi := min(t.X, u.X), max(t.X, u.X)
			h[i*n+j] = 1e-8 * (lo*lo*(3*hi-lo)/6 + lo*t.Y*u.Y)
		}
		h[i*n+i] += 2e-9
	}
	copy(p.Reset(points), h)
	load := Load{Built: make([]float64, n), Resultant: [2][3]float64{{5e3 * float64(n), 5e3 * float64(n) * 0.25 * float64(n/2-1), 0}}}
	var a Answer
	for b.Loop() {
		i := r.IntN(n)
		load.Built[i] = 0.7*load.Built[i] + 1e-5*r.NormFloat64()
		if refill {
			copy(p.Refill(), h)
		}
		if err := p.Solve(load, &a); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkHeights8(b *testing.B)  { bench(b, 8, false) }
func BenchmarkHeights40(b *testing.B) { bench(b, 40, false) }
func BenchmarkFactors8(b *testing.B)  { bench(b, 8, true) }
func BenchmarkFactors40(b *testing.B) { bench(b, 40, true) }
