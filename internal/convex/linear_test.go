package convex

import (
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
	"pgregory.net/rapid"
)

// TestLinearExample: the Reddy Mikks programme, H. A. Taha, Operations Research,
// section 2.1 (from memory): maximise 5x₁ + 4x₂ with 6x₁ + 4x₂ ≤ 24, x₁ + 2x₂ ≤ 6,
// −x₁ + x₂ ≤ 1, x₂ ≤ 2, x ≥ 0; the answer is 21 at (3, 3/2), with dual prices ¾ and ½.
func TestLinearExample(t *testing.T) {
	sol, err := Linear(Program{
		C: []float64{-5, -4},
		In: mat.NewDense(6, 2, []float64{-6, -4, -1, -2, 1, -1, 0, -1,
			1, 0, 0, 1}),
		B: []float64{-24, -6, -1, -2, 0, 0},
	})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "value", sol.Value, -21, 1e-13)
	for j, want := range []float64{3, 1.5} {
		near(t, "x", sol.X[j], want, 1e-13)
	}
	for i, want := range []float64{0.75, 0.5, 0, 0, 0, 0} {
		near(t, "u", sol.InMult[i], want, 1e-13)
	}
}

// bruteLinear returns the least value over all vertices.
func bruteLinear(q Program) float64 {
	n, p, m := len(q.C), len(q.E), len(q.B)
	best := math.Inf(1)
	for set := range 1 << m {
		var data, b []float64
		for i := range p + m {
			if i < p || set>>(i-p)&1 == 1 {
				a, bi := q.rawRow(i)
				data, b = append(data, a...), append(b, bi)
			}
		}
		var v mat.VecDense
		if len(b) != n || v.SolveVec(mat.NewDense(n, n, data), mat.NewVecDense(n, b)) != nil {
			continue
		}
		x, ok := v.RawVector().Data, true
		for i := range m {
			ok = ok && floats.Dot(q.In.RawRowView(i), x) >= q.B[i]-1e-9
		}
		if ok {
			best = min(best, floats.Dot(q.C, x))
		}
	}
	return best
}

func TestLinearAgainstEveryVertex(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	for range 300 {
		n := 1 + r.IntN(3)
		q := randomProgram(r, n, r.IntN(n), 2*n+r.IntN(5), 1)
		q.H = nil
		for j := range n { // a box keeps it bounded
			clear(q.In.RawRowView(2 * j))
			clear(q.In.RawRowView(2*j + 1))
			q.In.Set(2*j, j, 1)
			q.In.Set(2*j+1, j, -1)
			q.B[2*j], q.B[2*j+1] = -10, -10
		}
		sol, err := Linear(q)
		if err != nil {
			t.Fatalf("%v for %+v", err, q)
		}
		kkt(t, q, sol, 1e-9)
		near(t, "value", sol.Value, bruteLinear(q), 1e-9*(1+math.Abs(sol.Value)))
	}
}

// fit is a programme of our kind: the least zone z of stations heights h that feet
// can change by moves, each at most most; some influences repeat, some rows too, and
// each foot's load may fall only so far.
func fit(r *rand.Rand, feet, stations int) Program {
	n := feet + 3 // moves, line, z
	q := Program{C: make([]float64, n)}
	q.C[n-1] = 1
	var data []float64
	add := func(a []float64, b float64) { data, q.B = append(data, a...), append(q.B, b) }
	var row []float64
	for i := range stations {
		x, h := float64(i)/float64(stations-1), 3e-5*r.NormFloat64()
		if i == 0 || r.IntN(10) > 0 { // else the station before once more
			row = make([]float64, n)
			for j := range feet {
				at := float64(j) / float64(max(1, feet-1))
				row[j] = math.Exp(-20*(x-at)*(x-at)) * (1 + 0.01*r.NormFloat64())
			}
			row[feet], row[feet+1] = 1, x
		}
		for _, sign := range []float64{1, -1} {
			a := make([]float64, n)
			floats.AddScaled(a, sign, row)
			a[n-1] = 1
			add(a, -sign*h)
		}
	}
	for j := range feet {
		most := 1e-4 * r.Float64()
		for _, sign := range []float64{1, -1} {
			a := make([]float64, n)
			a[j] = sign
			add(a, -most)
		}
		load := make([]float64, n) // N per m of move
		for k := range feet {
			load[k] = 1e8 * math.Pow(-0.4, math.Abs(float64(j-k)))
		}
		add(load, -5e3*r.Float64())
	}
	q.In = mat.NewDense(len(q.B), n, data)
	return q
}

// TestFits runs programmes of our kind, all of which have an answer; FOOTWORK_LONG
// makes it 4,000. The conditions are the proof of optimality, for a convex programme.
func TestFits(t *testing.T) {
	r := rand.New(rand.NewPCG(13, 14))
	count := 200
	if os.Getenv("FOOTWORK_LONG") != "" {
		count = 4000
	}
	for i := range count {
		q := fit(r, 1+r.IntN(37), 3+r.IntN(240))
		sol, err := Linear(q)
		if err != nil {
			t.Errorf("programme %d, %d unknowns, %d rows: %v", i, len(q.C), len(q.B), err)
			continue
		}
		if i%4 == 0 {
			near(t, "B·u", floats.Dot(q.B, sol.InMult), sol.Value, 1e-9*3e-5) // heights are of 3e-5
		}
	}
}

// TestSimplexAgrees looks at small full-rank standard forms, min cᵀx, Ax = b, x ≥ 0,
// where gonum's primal simplex is reliable.
func TestSimplexAgrees(t *testing.T) {
	r := rand.New(rand.NewPCG(15, 16))
	for range 100 {
		n, m := 6+r.IntN(6), 1+r.IntN(5)
		q := Program{C: make([]float64, n), Eq: mat.NewDense(m, n, normal(r, m*n)),
			E: make([]float64, m), In: mat.NewDense(n, n, nil), B: make([]float64, n)}
		for j := range n {
			q.C[j] = r.Float64() // not negative, so bounded
			q.In.Set(j, j, 1)
			for i := range m {
				q.E[i] += q.Eq.At(i, j) * float64(1+j%3)
			}
		}
		want, _, err := lp.Simplex(q.C, q.Eq, q.E, 1e-12, nil)
		if err != nil {
			continue
		}
		sol, err := Linear(q)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "value", sol.Value, want, 1e-9*(1+math.Abs(want)))
	}
}

func TestLinearConditions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		n := rapid.IntRange(1, 15).Draw(t, "n")
		q := randomProgram(r, n, r.IntN(1+n/2), rapid.IntRange(1, 60).Draw(t, "m"), 1)
		q.H = nil
		sol, err := Linear(q)
		if errors.Is(err, errUnbounded) {
			q.H = mat.NewSymDense(n, nil) // then any weak pull to 0 ends far away
			for j := range n {
				q.H.SetSym(j, j, 1e-7)
			}
			if far, err := Quadratic(q); err == nil && largest(far.X) < 1e3 {
				t.Fatalf("unbounded, yet the minimum is held at %v", far.X)
			}
			return
		}
		if err != nil {
			t.Fatalf("%v", err)
		}
		kkt(t, q, sol, 1e-8)
	})
}

func TestLinearWithoutAnswer(t *testing.T) {
	r := rand.New(rand.NewPCG(17, 18))
	for range 200 {
		n := 2 + r.IntN(6)
		q := randomProgram(r, n, r.IntN(n), 3+r.IntN(12), 1)
		q.H = nil
		m := len(q.B)
		floats.ScaleTo(q.In.RawRowView(m-1), -1, q.In.RawRowView(0))
		q.B[m-1] = -q.B[0] + 0.1
		_, err := Linear(q)
		proves(t, q, err)
	}
	for _, c := range [][]float64{{1, 0}, {0, -1}, {-1, -2}} {
		q := Program{C: c, In: mat.NewDense(2, 2, []float64{0, 1, -1, 1}), B: []float64{0, -3}}
		if _, err := Linear(q); !errors.Is(err, errUnbounded) {
			t.Errorf("c = %v: %v, want unbounded", c, err)
		}
	}
}

func BenchmarkLinear8Feet(b *testing.B) { // 60 stations of two rows
	q := fit(rand.New(rand.NewPCG(19, 20)), 8, 60)
	for b.Loop() {
		if _, err := Linear(q); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkLinear37Feet(b *testing.B) { // 240 stations of two rows
	q := fit(rand.New(rand.NewPCG(19, 20)), 37, 240)
	for b.Loop() {
		if _, err := Linear(q); err != nil {
			b.Fatal(err)
		}
	}
}

// TestEmptyRow: a row without entries has no direction and asks 0 ≥ b.
func TestEmptyRow(t *testing.T) {
	q := Program{C: []float64{1}, In: mat.NewDense(2, 1, []float64{1, 0}), B: []float64{2, -1}}
	sol, err := Linear(q)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "x", sol.X[0], 2, 1e-15)
	q.B[1] = 1
	_, err = Linear(q)
	proves(t, q, err)
}

// TestUnits: the units of unknowns and rows, over six decades, do not change the value.
func TestUnits(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 22))
	for range 50 {
		q := fit(r, 1+r.IntN(10), 3+r.IntN(60))
		want, err := Linear(q)
		if err != nil {
			t.Fatal(err)
		}
		decades := func() float64 { return math.Pow(10, 6*r.Float64()-3) }
		for j := range q.C {
			f := decades()
			q.C[j] *= f
			for i := range q.B {
				q.In.Set(i, j, q.In.At(i, j)*f)
			}
		}
		for i := range q.B {
			f := decades()
			floats.Scale(f, q.In.RawRowView(i))
			q.B[i] *= f
		}
		got, err := Linear(q)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "value", got.Value, want.Value, 1e-9*3e-5)
	}
}
