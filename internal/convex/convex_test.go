package convex

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// TestWorkedExample: the small example of Goldfarb and Idnani, Math. Programming 27
// (1983), section 4: minimise 6x₁ + 2(x₁² − x₁x₂ + x₂²) subject to x₁ ≥ 0, x₂ ≥ 0,
// x₁ + x₂ ≥ 2 (from memory). The answer follows by hand: on x₁ = 0 and x₁ + x₂ = 2
// the gradient (6 − 2x₂, 4x₂) = (2, 8) is −6·(1, 0) + 8·(1, 1), so x₁ = 0 is let go,
// and on x₁ + x₂ = 2 alone 6 + 4x₁ − 2x₂ = 4x₂ − 2x₁ gives x = (½, 3/2), u = 5.
func TestWorkedExample(t *testing.T) {
	sol, err := Quadratic(Program{
		H:  mat.NewSymDense(2, []float64{4, -2, -2, 4}),
		C:  []float64{6, 0},
		In: mat.NewDense(3, 2, []float64{1, 0, 0, 1, 1, 1}),
		B:  []float64{0, 0, 2},
	})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "x₁", sol.X[0], 0.5, 1e-14)
	near(t, "x₂", sol.X[1], 1.5, 1e-14)
	near(t, "u₃", sol.InMult[2], 5, 1e-13)
	near(t, "value", sol.Value, 6.5, 1e-13)
	if len(sol.Active) != 1 || sol.Active[0] != 2 {
		t.Errorf("active rows %v, want [2]", sol.Active)
	}
}

func TestQuadraticAgainstEveryActiveSet(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	compared := 0
	for range 400 {
		n := 1 + r.IntN(4)
		q := randomProgram(r, n, r.IntN(n), r.IntN(8), 1)
		want, ok := bruteQuadratic(q)
		if !ok {
			continue
		}
		compared++
		sol, err := Quadratic(q)
		if err != nil {
			t.Fatalf("%v for %+v", err, q)
		}
		for j := range want {
			near(t, "x", sol.X[j], want[j], 1e-7*(1+largest(want)))
		}
	}
	if compared < 350 {
		t.Errorf("brute force settled only %d of 400", compared)
	}
}

func TestQuadraticConditions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
		n := rapid.IntRange(1, 25).Draw(t, "n")
		q := randomProgram(r, n, r.IntN(1+n/2), rapid.IntRange(0, 60).Draw(t, "m"), 1)
		sol, err := Quadratic(q)
		if err != nil {
			t.Fatalf("%v", err)
		}
		kkt(t, q, sol, 1e-8)
	})
}

func TestInfeasibleIsProved(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 300 {
		n := 2 + r.IntN(6)
		q := randomProgram(r, n, r.IntN(n), 3+r.IntN(12), 1)
		m := len(q.B)
		against := q.In.RawRowView(m - 1) // the opposite of a sum of other rows
		clear(against)
		b := 0.0
		for i := range m - 1 {
			u := r.Float64()
			floats.AddScaled(against, -u, q.In.RawRowView(i))
			b -= u * q.B[i]
		}
		q.B[m-1] = b + 0.01 + r.Float64()
		_, err := Quadratic(q)
		proves(t, q, err)
	}
}

// TestEqualities: rows that repeat one another are left out, and rows that contradict
// one another are proved to.
func TestEqualities(t *testing.T) {
	q := Program{
		H:  mat.NewSymDense(3, []float64{2, 0, 0, 0, 2, 0, 0, 0, 2}),
		C:  []float64{0, 0, 0},
		Eq: mat.NewDense(3, 3, []float64{1, 1, 1, 1, -1, 0, 3, 1, 2}),
		E:  []float64{3, 0, 6},
	}
	sol, err := Quadratic(q)
	if err != nil {
		t.Fatal(err)
	}
	for j := range 3 {
		near(t, "x", sol.X[j], 1, 1e-14)
	}
	kkt(t, q, sol, 1e-14)
	for _, e := range []float64{5, 7} {
		q.E[2] = e
		_, err = Quadratic(q)
		proves(t, q, err)
	}
}

// TestHilbert: with H the Hilbert matrix and c = −H·1 the free minimum is 1, for
// condition numbers up to 1.6e10 (n = 8); upper bounds at ½ on every other unknown
// leave a programme that must still satisfy its conditions.
func TestHilbert(t *testing.T) {
	for n := 2; n <= 8; n++ {
		q := Program{H: mat.NewSymDense(n, nil), C: make([]float64, n)}
		for i := range n {
			for j := i; j < n; j++ {
				q.H.SetSym(i, j, 1e-9/float64(i+j+1))
			}
		}
		for i := range n {
			for j := range n {
				q.C[i] -= q.H.At(i, j)
			}
		}
		sol, err := Quadratic(q)
		if err != nil {
			t.Fatalf("n = %d: %v", n, err)
		}
		for j := range n {
			near(t, "x", sol.X[j], 1, 1e-16*math.Exp(3.5*float64(n))) // eps·κ, κ ≈ e^{3.5n}
		}
		q.In, q.B = mat.NewDense(n, n, nil), make([]float64, n)
		for j := range n {
			q.In.Set(j, j, float64(2*(j%2)-1))
			q.B[j] = 0.5 * float64(2*(j%2)-1)
		}
		if sol, err = Quadratic(q); err != nil {
			t.Fatalf("bounded, n = %d: %v", n, err)
		}
		kkt(t, q, sol, 1e-10)
	}
}

// TestTightIsNotInfeasible: with H of condition about 1e10 and many rows through one
// point, an unrefined y once made rounding look like a contradiction.
func TestTightIsNotInfeasible(t *testing.T) {
	r := rand.New(rand.NewPCG(220, 14))
	for range 300 {
		n := 2 + r.IntN(29)
		q := randomProgram(r, n, r.IntN(1+n/2), 1+r.IntN(100), 1)
		g := mat.NewDense(n, n, normal(r, n*n))
		for j := range n {
			floats.Scale(math.Pow(10, -5*float64(j)/float64(n-1)), g.RawRowView(j))
		}
		q.H.SymOuterK(1, g.T())
		sol, err := Quadratic(q)
		if err != nil {
			t.Fatal(err)
		}
		kkt(t, q, sol, 1e-8)
	}
}

func TestNotPositiveDefinite(t *testing.T) {
	for _, h := range [][]float64{{1, 2, 2, 1}, {0, 0, 0, 1}, {math.NaN(), 0, 0, 1}} {
		if _, err := Quadratic(Program{H: mat.NewSymDense(2, h), C: []float64{1, 1}}); !errors.Is(err, ErrUnsettled) {
			t.Errorf("H = %v: %v", h, err)
		}
	}
}

func TestContact(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for _, n := range []int{2, 3, 5, 8, 30, 100, 330} {
		q := contact(r, n)
		sol, err := Quadratic(q)
		if err != nil {
			t.Fatalf("n = %d: %v", n, err)
		}
		kkt(t, q, sol, 1e-10)
		for j, i := range sol.Active {
			if sol.X[i] != 0 || j > 0 && sol.Active[j-1] >= i {
				t.Errorf("force %d is %g, active %v", i, sol.X[i], sol.Active)
			}
		}
	}
}

func benchmark(b *testing.B, q Program) {
	for b.Loop() {
		if _, err := Quadratic(q); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkQuadratic8(b *testing.B) { benchmark(b, contact(rand.New(rand.NewPCG(7, 8)), 8)) }

func BenchmarkQuadratic40(b *testing.B) { benchmark(b, contact(rand.New(rand.NewPCG(7, 8)), 40)) }

func BenchmarkQuadratic160(b *testing.B) { benchmark(b, contact(rand.New(rand.NewPCG(7, 8)), 160)) }

func BenchmarkQuadratic330(b *testing.B) { benchmark(b, contact(rand.New(rand.NewPCG(7, 8)), 330)) }

// Rows that do not match the unknowns, or their right side, are our own mistake.
func TestRowsMustMatch(t *testing.T) {
	for _, p := range []Program{
		{C: []float64{1}, In: mat.NewDense(1, 1, nil), B: []float64{0, 0}},
		{C: []float64{1}, In: mat.NewDense(1, 2, nil), B: []float64{0}},
		{C: []float64{1}, E: []float64{0}},
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%v is taken", p)
				}
			}()
			Linear(p)
		}()
	}
}
