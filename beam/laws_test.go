package beam

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"footwork/beam/casting"
	"footwork/beam/shape"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"
)

// Way returns the heights along the bed at an offset, at the nodes.
func (st *State) Way(offset float64) shape.Shape {
	ways, _ := st.Ways(offset)
	return ways[0]
}

// drawBed draws a bed of one to three sections with ways and weights.
func drawBed(t *rapid.T) casting.Bed {
	long := rapid.Float64Range(1, 8).Draw(t, "length")
	b := casting.Bed{Length: long, Material: casting.Material{Modulus: 1e11, ShearModulus: 4e10, Density: 7200, Expansion: 11e-6},
		Ways: []casting.Way{{Name: "front", Offset: -0.25, Width: 0.1}, {Name: "back", Offset: 0.3, Width: 0.1}}}
	n := rapid.IntRange(1, 3).Draw(t, "sections")
	for i := range n {
		f := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		b.Sections = append(b.Sections, casting.Section{From: long * float64(i) / float64(n), To: long * float64(i+1) / float64(n),
			Area: f("area", 0.02, 0.1), Inertia: f("inertia", 2e-4, 4e-3), ShearArea: f("shear area", 0.01, 0.05),
			Torsion: f("torsion", 1e-6, 1e-3), Depth: f("depth", 0.3, 0.8), Offset: f("offset", -0.03, 0.03),
			Warping:      rapid.SampledFrom([]float64{0, 1e-7, 1e-5, 2e-4}).Draw(t, "warping"),
			WarpingShear: rapid.SampledFrom([]float64{0, 1e-4, 2e-3}).Draw(t, "warping shear"), ShearCentre: f("shear centre", -0.1, 0.1)})
	}
	if rapid.Bool().Draw(t, "gearbox") {
		b.Weights = []casting.Weight{{At: rapid.Float64Range(0, long).Draw(t, "at"), Offset: 0.1, Force: 2000}}
	}
	return b
}

// drawStanding draws feet in pairs that certainly hold the bed.
func drawStanding(t *rapid.T, long float64) Standing {
	s := Standing{Name: "drawn", Gradient: rapid.Float64Range(-1, 1).Draw(t, "gradient")}
	n := rapid.IntRange(2, 5).Draw(t, "pairs")
	for i := range n {
		x := long * (0.05 + 0.87*float64(i)/float64(n-1)) // no pair where the bed could balance on it
		for _, y := range []float64{-0.24, 0.24} {
			s.Feet = append(s.Feet, Foot{At: x, Offset: y,
				Height:    rapid.Float64Range(-60e-6, 60e-6).Draw(t, "height"),
				Stiffness: rapid.SampledFrom([]float64{2e8, 1e9, math.Inf(1)}).Draw(t, "k"),
				Length:    rapid.SampledFrom([]float64{0, 0, 0.04}).Draw(t, "foot length"),
				Held:      rapid.IntRange(0, 4).Draw(t, "held") == 0})
		}
	}
	return s
}

func coarse() Options { return Options{Cells: 400} }

// Loads balance the weight and its moments, nothing pulls that cannot, and the
// two ways of finding the shape agree.
func TestLoadsBalanceAndPathsAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBed(t)
		s := drawStanding(t, b.Length)
		v, err := NewSolver(b, s, coarse())
		if err != nil {
			t.Fatal(err)
		}
		st, err := v.Solve(Case{})
		if err != nil {
			t.Fatal(err)
		}
		var sum, mx, my float64
		for i, p := range v.points {
			r := st.answer.Force[i]
			sum, mx, my = sum+r, mx+r*p.x, my+r*p.y
			if !p.held && r < -1e-6*st.Weight() {
				t.Fatalf("point %d pulls %g N", i, r)
			}
			support := v.height(p, Draw{}) - r*v.give(p, Draw{})
			if gap := st.Read(v.Probe([]float64{p.x}, p.y))[0] - support; gap < -1e-10 || (st.answer.On[i] && math.Abs(gap) > 1e-10) {
				t.Fatalf("point %d: gap %g m, contact %v", i, gap, st.answer.On[i])
			}
		}
		want := v.sagged.Resultant
		for i, got := range []float64{sum, mx, my} {
			if math.Abs(got-want[i]) > 1e-8*want[0] {
				t.Fatalf("balance %d: %g, want %g", i, got, want[i])
			}
		}
		way := st.Way(0.3)
		x := []float64{0, 0.13 * b.Length, way.X[200], b.Length}
		for i, h := range st.Read(v.Probe(x, 0.3)) {
			if math.Abs(h-way.At(x[i])) > 1e-11 {
				t.Fatalf("superposed %g, integrated %g at %g m", h, way.At(x[i]), x[i])
			}
		}
	})
}

// Raising all feet along a plane only moves the bed as a rigid body.
func TestTiltOfAllFeetOnlyTilts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBed(t)
		s := drawStanding(t, b.Length)
		v, _ := NewSolver(b, s, coarse())
		a, err := v.Solve(Case{})
		if err != nil {
			t.Fatal(err)
		}
		for i := range s.Feet { // a foot with length keeps its own level, so only roll and lift it
			s.Feet[i].Height += 1e-3 + 4e-4*s.Feet[i].Offset
		}
		v, _ = NewSolver(b, s, coarse())
		c, err := v.Solve(Case{})
		if err != nil {
			t.Fatal(err)
		}
		p, q := a.Way(0.2), c.Way(0.2)
		for i := range p.X {
			if d := q.Y[i] - p.Y[i] - 1e-3 - 4e-4*0.2; math.Abs(d) > 1e-11 {
				t.Fatalf("at %g m off a rigid move by %g m", p.X[i], d)
			}
		}
	})
}

// The mirror image of a standing stands as the mirror image.
func TestMirrorImage(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBed(t)
		s := drawStanding(t, b.Length)
		m, ms := b, s
		m.Sections, m.Weights, ms.Feet = nil, nil, nil
		for i := range b.Sections {
			c := b.Sections[len(b.Sections)-1-i]
			c.From, c.To = b.Length-c.To, b.Length-c.From
			m.Sections = append(m.Sections, c)
		}
		for _, w := range b.Weights {
			w.At = b.Length - w.At
			m.Weights = append(m.Weights, w)
		}
		for _, f := range s.Feet {
			f.At = b.Length - f.At
			ms.Feet = append(ms.Feet, f)
		}
		v, _ := NewSolver(b, s, coarse())
		u, _ := NewSolver(m, ms, coarse())
		st, err := v.Solve(Case{})
		mst, err2 := u.Solve(Case{})
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		for i, f := range st.Feet() {
			if g := mst.Feet()[i]; math.Abs(f.Load-g.Load) > 1e-6*st.Weight() {
				t.Fatalf("foot %d carries %g N, its mirror image %g N", i, f.Load, g.Load)
			}
		}
		a, c := st.Way(0.3), mst.Way(0.3)
		for i, x := range a.X {
			if d := a.Y[i] - c.At(b.Length-x); math.Abs(d) > 1e-10 {
				t.Fatalf("at %g m the mirror image is off by %g m", x, d)
			}
		}
	})
}

// A force at i moves j as much as the same force at j moves i.
func TestReciprocity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBed(t)
		b.Weights = nil
		s := drawStanding(t, b.Length)
		for i := range s.Feet {
			s.Feet[i].Held = true
		}
		x1 := rapid.Float64Range(0, b.Length).Draw(t, "x1")
		x2 := rapid.Float64Range(0, b.Length).Draw(t, "x2")
		v, _ := NewSolver(b, s, Options{Cells: 400, At: []float64{x1, x2}})
		read := func(at, y, x, yx float64) float64 {
			none, err := v.Solve(Case{})
			if err != nil {
				t.Fatal(err)
			}
			st, err := v.Solve(Case{Weights: []casting.Weight{{At: at, Offset: y, Force: 1e4}}})
			if err != nil {
				t.Fatal(err)
			}
			p := v.Probe([]float64{x}, yx)
			return st.Read(p)[0] - none.Read(p)[0]
		}
		if a, c := read(x1, 0.2, x2, -0.1), read(x2, -0.1, x1, 0.2); math.Abs(a-c) > 1e-12 {
			t.Fatalf("%g against %g", a, c)
		}
	})
}

// With all feet held, effects add up.
func TestSuperposition(t *testing.T) {
	b := shopBed(4)
	s := pairs(4, 3, 1e9)
	for i := range s.Feet {
		s.Feet[i].Held = true
	}
	v, _ := NewSolver(b, s, coarse())
	warm, one := 1.0, []casting.Weight{{At: 1.7, Offset: 0.3, Force: 8000}}
	heights := []float64{0, 1e-5, 0, 0, -2e-5, 0}
	p := v.Probe([]float64{0, 1, 2.2, 4}, -0.25)
	read := func(c Case) []float64 {
		st, err := v.Solve(c)
		if err != nil {
			t.Fatal(err)
		}
		return st.Read(p)
	}
	none := read(Case{})
	parts := [][]float64{read(Case{Draw: Draw{Gradient: &warm}}), read(Case{Weights: one}), read(Case{Draw: Draw{Heights: heights}})}
	for i, h := range read(Case{Draw: Draw{Gradient: &warm, Heights: heights}, Weights: one}) {
		want := none[i]
		for _, q := range parts {
			want += q[i] - none[i]
		}
		if math.Abs(h-want) > 1e-13 {
			t.Errorf("at %d: %g, sum of parts %g", i, h, want)
		}
	}
}

// The least complementary energy is found on small cases by trying every
// set of feet in contact.
func TestContactEqualsExhaustiveSearch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBed(t)
		s := Standing{}
		n := rapid.IntRange(4, 7).Draw(t, "feet")
		for i := range n {
			s.Feet = append(s.Feet, Foot{At: b.Length * (float64(i) + rapid.Float64Range(0, 0.9).Draw(t, "x")) / float64(n), Offset: []float64{-0.24, 0.24}[i%2], // no knife edge
				Height: rapid.Float64Range(-1e-4, 1e-4).Draw(t, "height"), Stiffness: 1e9})
		}
		v, _ := NewSolver(b, s, coarse())
		st, err := v.Solve(Case{})
		found := 0
		l := v.Linear(Case{})
		h, c := l.Of(Draw{})
		for set := range 1 << n {
			force, rigid, ok := carriedBy(l, h, c, set)
			for i := range n {
				gap := c[i] + floats.Dot(h[i], force) + rigid[0] + rigid[1]*l.Points[i].X + rigid[2]*l.Points[i].Y
				ok = ok && force[i] > -1e-6*st.Weight() && gap > -1e-12
			}
			if !ok {
				continue
			}
			found++
			if err != nil {
				t.Fatalf("feet %b carry the bed, but: %v", set, err)
			}
			for i := range n {
				if math.Abs(force[i]-st.answer.Force[i]) > 1e-5*st.Weight() {
					t.Fatalf("foot %d: %g N, by search %g N", i, st.answer.Force[i], force[i])
				}
			}
		}
		var tip *TipError
		if found == 0 && !errors.As(err, &tip) {
			t.Fatalf("no set of feet carries the bed, but the answer is %v", err)
		}
	})
}

// carriedBy solves the bordered equations of a set of feet in contact.
func carriedBy(l Linear, h [][]float64, c []float64, set int) (force, rigid []float64, ok bool) {
	var on []int
	for i := range h {
		if set>>i&1 == 1 {
			on = append(on, i)
		}
	}
	k := len(on)
	m, rhs := mat.NewDense(k+3, k+3, nil), mat.NewVecDense(k+3, nil)
	for a, i := range on {
		for b, j := range on {
			m.Set(a, b, h[i][j]*1e9)
		}
		for d, e := range []float64{1, l.Points[i].X, l.Points[i].Y} {
			m.Set(a, k+d, e)
			m.Set(k+d, a, e)
		}
		rhs.SetVec(a, -c[i]*1e9)
	}
	for d, b := range l.Resultant {
		rhs.SetVec(k+d, b)
	}
	force, rigid = make([]float64, len(h)), make([]float64, 3)
	var x mat.VecDense
	if x.SolveVec(m, rhs) != nil {
		return force, rigid, false
	}
	for a, i := range on {
		force[i] = x.AtVec(a)
	}
	for d := range rigid {
		rigid[d] = x.AtVec(k+d) / 1e9
	}
	return force, rigid, true
}

// Order of convergence 2.0 ± 0.1, at cell counts that keep features on nodes,
// by a straight line through the errors.
func TestOrderIsTwo(t *testing.T) {
	for _, c := range handbook(t) {
		if len(c.Deflections) == 0 || c.Bow != 0 {
			continue // a free bow is exact at the nodes
		}
		b, s, v := c.bed()
		var x, y []float64
		for _, per := range []int{20, 40, 80, 160} {
			st := solve(t, b, s, v, Options{Cells: per * int(c.Length)})
			d := c.Deflections[len(c.Deflections)-1]
			x = append(x, math.Log(1/float64(per)))
			y = append(y, math.Log(math.Abs(-st.Way(0).At(d.x)-d.want)))
		}
		for i := 1; i < len(x); i++ {
			if order := (y[i] - y[i-1]) / (x[i] - x[i-1]); math.Abs(order-2) > 0.1 {
				t.Errorf("%s: order %.3f", c.Name, order)
			}
		}
	}
}

// Many heights at random: the answer is always found, by one way or the other.
func TestContactAlwaysSettles(t *testing.T) {
	v, _ := NewSolver(shopBed(3), pairs(3, 5, 1e10), coarse())
	normal := distuv.Normal{Sigma: 3e-4, Src: rand.NewPCG(1, 2)}
	for range 300 {
		h := make([]float64, 10)
		for i := range h {
			h[i] = normal.Rand()
		}
		if _, err := v.Solve(Case{Draw: Draw{Heights: h}}); err != nil {
			t.Fatal(err)
		}
	}
}
