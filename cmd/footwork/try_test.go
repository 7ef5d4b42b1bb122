package main

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"footwork/beam"
	"footwork/beam/shape"
	"footwork/internal/convex"
	"footwork/reports"
)

// What the page is given to answer moves by itself answers as the program does, the table
// off and on: the embedded contact, solved as it stands there, against the solver, for
// moves of which some lift feet. A way that nobody surveyed is told from 121 stations and the
// feet, which find it as straight as all of the solver's nodes do, to 1 %.
func TestPageAnswersAsTheProgram(t *testing.T) {
	const uneven = "[[bed.weight]]\nname = \"headstock\"\nat = \"600 mm\"\nweight = \"200 kg\"\n" // else it may rock on the middle pair
	file, err := writeSmall(t.TempDir(), uneven+"[table]\nlength = \"1.2 m\"\nweight = \"300 kg\"\nstroke = { from = \"-0.2 m\", to = \"2 m\" }\n")
	if err != nil {
		t.Fatal(err)
	}
	s := opens(t, file)
	st, err := s.Standing("floor")
	if err != nil {
		t.Fatal(err)
	}
	p, err := s.Report(func(error) {})
	if err != nil {
		t.Fatal(err)
	}
	v, err := beam.NewSolver(s.Bed, st.Standing, beam.Options{})
	if err != nil {
		t.Fatal(err)
	}
	found, _, err := s.Draws(st.Name, reports.Found)
	if err != nil {
		t.Fatal(err)
	}
	at := *p.States[0].Under.TableAt
	lines, err := s.Table.Park(s.Bed, at)
	if err != nil {
		t.Fatal(err)
	}
	under := *p.Try
	under.C, under.B, under.Ways = p.Try.Under.C, p.Try.Under.B, slices.Clone(p.Try.Ways)
	for k := range under.Ways {
		under.Ways[k].Base = p.Try.Under.Base[k]
	}
	few := shape.Even(0, s.Bed.Length, 121)
	for _, f := range st.Feet {
		few = append(few, f.At)
	}
	slices.Sort(few)
	few = slices.Compact(few)
	draw, lifted := rand.New(rand.NewPCG(7, 7)), 0
	for k := range 100 {
		c, try := beam.Case{Draw: found[0]}, p.Try
		if k%2 == 1 {
			c.Lines, try = lines, &under
		}
		raise := make([]float64, len(st.Feet))
		for i := range raise {
			raise[i] = 60e-6 * draw.NormFloat64()
		}
		c.Heights = slices.Clone(c.Heights)
		floats.Add(c.Heights, raise)
		want, err := v.Solve(c)
		if err != nil {
			t.Fatal(err)
		}
		force, rigid := solveTry(t, try, raise)
		for i, f := range want.Feet() {
			if f.Lifted {
				lifted++
			}
			if math.Abs(force[i]-f.Load) > 1e-3 {
				t.Fatalf("foot %s carries %g N on the page, %g N here", f.Name, force[i], f.Load)
			}
		}
		for _, w := range try.Ways {
			all := wayOf(want, w.Offset)
			if a, b := shape.Zone(few, want.Read(v.Probe(few, w.Offset))), shape.Zone(all.X, all.Y); math.Abs(a-b) > 0.01*b {
				t.Fatalf("the %s way is %g m out of straight by 121 stations, %g m by all", w.Name, a, b)
			}
			for i, h := range want.Read(v.Probe(w.X, w.Offset)) {
				page := w.Base[i] + rigid[0] + rigid[1]*w.X[i] + rigid[2]*w.Offset
				for j, g := range w.G[i] {
					page += g * force[j]
				}
				if math.Abs(page-h) > 1e-9 {
					t.Fatalf("the %s way at %g m stands at %g m on the page, %g m here", w.Name, w.X[i], page, h)
				}
			}
		}
	}
	if lifted == 0 {
		t.Error("no move lifted a foot")
	}
}

// solveTry solves the page's contact for raises of the feet, one point a foot.
func solveTry(t *testing.T, y *reports.Try, raise []float64) (force []float64, rigid [3]float64) {
	n := len(y.C)
	q := convex.Program{H: mat.NewSymDense(n, nil), C: make([]float64, n), Eq: mat.NewDense(3, n, nil), E: y.B, In: mat.NewDense(n, n, nil), B: make([]float64, n)}
	for i := range n {
		for j := range i + 1 {
			q.H.SetSym(i, j, y.H[i][j])
		}
		q.C[i] = y.C[i] - raise[y.Foot[i]]
		for d := range 3 {
			q.Eq.Set(d, i, y.Eq[d][i])
		}
		q.In.Set(i, i, 1)
	}
	s, err := convex.Quadratic(q)
	if err != nil {
		t.Fatal(err)
	}
	for d := range rigid {
		rigid[d] = -s.EqMult[d]
	}
	return s.X, rigid
}
