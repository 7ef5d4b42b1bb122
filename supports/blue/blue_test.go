package blue

import (
	"math"
	"slices"
	"testing"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/beam/ride"
	"footwork/beam/shape"
)

// shop is an invented bed of two ways, of iron or of something that does not give.
func shop(t testing.TB, length, modulus float64) ride.Riding {
	t.Helper()
	s := casting.Section{To: length, Area: 0.045, Inertia: 1.1e-3, ShearArea: 0.02, Torsion: 3e-5, Depth: 0.5}
	b := casting.Bed{Length: length, Sections: []casting.Section{s}, Material: casting.Material{Modulus: modulus, ShearModulus: 0.4 * modulus, Density: 7200, Expansion: 11e-6},
		Ways: []casting.Way{{Name: "front", Offset: -0.25, Width: 0.11}, {Name: "back", Offset: 0.25, Width: 0.11}}}
	st := beam.Standing{Name: "floor"}
	n := max(2, int(length/1.5))
	for i := range n {
		for _, y := range []float64{-0.24, 0.24} {
			st.Feet = append(st.Feet, beam.Foot{At: length * (0.08 + 0.84*float64(i)/float64(n-1)), Offset: y, Stiffness: 1e9})
		}
	}
	v, err := beam.NewSolver(b, st, beam.Options{Cells: 1000})
	if err != nil {
		t.Fatal(err)
	}
	return ride.On(v).Riding(beam.Case{})
}

const rigid = 1e22

func within(t *testing.T, what string, got, want, by float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > by {
		t.Errorf("%s = %.5g, want %.5g ± %.2g", what, got, want, by)
	}
}

// over returns a form over the master's two metres at 1 m along a bed of 4 m.
func over(f func(u float64) float64) shape.Shape {
	s := shape.Shape{X: shape.Even(0, 4, 4001)}
	for _, x := range s.X {
		s.Y = append(s.Y, f(x-2)) // u from −1 to 1 under the master
	}
	return s
}

// stiff is a master that neither bends nor presses.
func stiff() Master { return Master{Length: 2, Weight: 0.1, Bending: 1e12, Film: 1e-6} }

func lay(t *testing.T, m Master, f Face) Step {
	t.Helper()
	s, err := Bed{shop(t, 4, rigid), m, []Face{f}}.Lay(1)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// A stiff flat master on a parabola of height s, through a film t: √(t/s) of its length in
// the middle of a hump, (1 − √(1 − t/s))/2 at each end of a hollow.
func TestStiffMasterOnAParabola(t *testing.T) {
	for _, s := range []float64{5e-6, 10e-6, 20e-6, 50e-6} {
		for _, film := range []float64{1e-6, 2.5e-6, 5e-6} {
			m := stiff()
			m.Film = film
			hump := lay(t, m, Face{Metal: over(func(u float64) float64 { return -s * u * u })}).Faces[0].Prints
			if len(hump) != 1 {
				t.Fatalf("hump of %g through %g: %v", s, film, hump)
			}
			within(t, "hump's share", (hump[0].To-hump[0].From)/2, min(1, math.Sqrt(film/s)), 0.016) // half a cell
			hollow := lay(t, m, Face{Metal: over(func(u float64) float64 { return s * u * u })}).Faces[0].Prints
			want := (1 - math.Sqrt(max(0, 1-film/s))) / 2
			if film >= s {
				if len(hollow) != 1 {
					t.Errorf("hollow of %g through %g: %v", s, film, hollow)
				}
				continue
			}
			if len(hollow) != 2 {
				t.Fatalf("hollow of %g through %g: %v", s, film, hollow)
			}
			within(t, "hollow's share", (hollow[0].To-hollow[0].From)/2, want, 0.016)
			within(t, "its other end", (hollow[1].To-hollow[1].From)/2, want, 0.016)
		}
	}
}

// The print is the contact and the length of the stroke.
func TestStroke(t *testing.T) {
	m := stiff()
	hump := Face{Metal: over(func(u float64) float64 { return -20e-6 * u * u })}
	still := lay(t, m, hump).Faces[0].Prints[0]
	m.Stroke = 0.03
	moved := lay(t, m, hump).Faces[0].Prints[0]
	within(t, "longer by", (moved.To-moved.From)-(still.To-still.From), 0.03, 1e-12)
}

// Where a master pivots, from its far end, by the statics of even stiffness and Coulomb's
// friction, in closed form: the share of the length in the middle that bears evenly, a
// parabola highest in the middle or at the ends, the middle relieved, a load that rises
// three to one.
func TestPivots(t *testing.T) {
	b := Bed{Master: Master{Length: 2}}
	x := make([]float64, 2000)
	for i := range x {
		x[i] = 5 + (float64(i)+0.5)/1000
	}
	mid := func(share float64) func(u float64) float64 {
		return func(u float64) float64 {
			if math.Abs(u) < share {
				return 1
			}
			return 0
		}
	}
	for _, c := range []struct {
		name string
		p    func(u float64) float64
		want [2]float64
	}{
		{"even", mid(2), [2]float64{1 - 1/math.Sqrt2, 1 - 1/math.Sqrt2}},
		{"middle 20 %", mid(0.2), [2]float64{0.49, 0.49}}, {"middle 40 %", mid(0.4), [2]float64{0.46, 0.46}},
		{"middle 60 %", mid(0.6), [2]float64{0.42, 0.42}}, {"middle 80 %", mid(0.8), [2]float64{0.36, 0.36}},
		{"hump", func(u float64) float64 { return 1 - u*u }, [2]float64{0.39, 0.39}},
		{"hollow", func(u float64) float64 { return u * u }, [2]float64{0.11, 0.11}},
		{"middle fifth relieved", func(u float64) float64 { return 1 - mid(0.2)(u) }, [2]float64{0.23, 0.23}},
		{"middle third relieved", func(u float64) float64 { return 1 - mid(1./3)(u) }, [2]float64{0.18, 0.18}},
		{"middle 40 % relieved", func(u float64) float64 { return 1 - mid(0.4)(u) }, [2]float64{0.16, 0.16}},
		{"ends only", func(u float64) float64 { return 1 - mid(0.999)(u) }, [2]float64{0, 0}},
		{"heavier to the right", func(u float64) float64 { return 2 + u }, [2]float64{0.24, 0.38}},
	} {
		p := make([]float64, len(x))
		for i := range p {
			p[i] = c.p(x[i] - 6)
		}
		within(t, c.name+", pushed at the left", b.pivot(5, x, p, 1), c.want[0], 0.0061)
		within(t, c.name+", pushed at the right", b.pivot(5, x, p, -1), c.want[1], 0.0061)
	}
	even := make([]float64, len(x))
	for i := range even {
		even[i] = 3
	}
	within(t, "even, exactly", b.pivot(5, x, even, 1), 1-1/math.Sqrt2, 1e-9)
	within(t, "even, from the right", b.pivot(5, x, even, -1), 1-1/math.Sqrt2, 1e-9)
}

// On two humps, about half a length left and nine tenths right of its middle, a master is borne some 9 to 5: nudged at
// either end it swings about the hump beyond, which keeps it with more than half of the moment about that end.
func TestHingesOnTwoHumps(t *testing.T) {
	const left, right = -31. / 64, 57. / 64 // middles of its cells
	hump := func(u, at float64) float64 { return max(0, 10e-6-2e-4*math.Abs(u-at)) }
	s := lay(t, stiff(), Face{Metal: over(func(u float64) float64 { return hump(u, left) + hump(u, right) })})
	within(t, "nudged at its left end", s.Hinge[0], (1-right)/2, 0.008) // half a cell
	within(t, "nudged at its right end", s.Hinge[1], (1+left)/2, 0.008)
	prints := s.Faces[0].Prints
	if len(prints) != 2 {
		t.Fatalf("%v", prints)
	}
	within(t, "borne on the left hump", prints[0].Share, right/(right-left), 1e-6)
	within(t, "borne on the right hump", prints[1].Share, -left/(right-left), 1e-6)
}

// The whole chain: a slack master on a true way bears evenly and swings at 29.3 %.
func TestTrueWayHinges(t *testing.T) {
	m := Iron(2, 0.22, 110e9)
	m.Film = 2.5e-6
	s := lay(t, m, Face{Width: 0.1})
	within(t, "hinge", s.Hinge[0], 1-1/math.Sqrt2, 1e-3)
	if p := s.Faces[0].Prints; len(p) != 1 || p[0].Across != Full || math.Abs(p[0].Share-1) > 1e-9 {
		t.Errorf("prints %+v", p)
	}
}

// What cast-iron edges hide by their weight, radius of gyration 0.35 of the depth, E = 110
// GPa, and how far a kelvin bows them: own statics, a second path by tabled figures.
func TestEdges(t *testing.T) {
	for _, c := range []struct{ l, h, hollow, hump, bow float64 }{
		{1, 0.12, 5, 3, 11}, {1.5, 0.18, 11, 6, 16}, {2, 0.22, 23, 14, 24}, {2, 0.30, 12, 7, 18}, {3, 0.35, 45, 27, 34}, {3, 0.45, 27, 16, 26},
	} {
		m := Iron(c.l, c.h, 110e9)
		m.Shear = 0
		hollow, hump := m.Hides()
		within(t, "hollow, µm", hollow*1e6, c.hollow, 0.6)
		within(t, "hump, µm", hump*1e6, c.hump, 0.6)
		within(t, "bow, µm", m.Degree()*1e6, c.bow, 1.7)
		m.Shear = 1e8 // and shear adds, more where the edge is deep
		if more, _ := m.Hides(); more <= hollow {
			t.Errorf("with shear %g, without %g", more, hollow)
		}
	}
}

// A hollow just deeper than what the edge hides is bridged, one just less deep prints full;
// carried at two points the same edge tells.
func TestWhatAnEdgeHides(t *testing.T) {
	m := Iron(2, 0.22, 110e9)
	m.Film = 0.2e-6
	hides, _ := m.Hides()
	hollow := func(deep float64) Face { // bent as the edge sags on its ends, as deep as asked
		return Face{Metal: over(func(u float64) float64 {
			return -deep * (5 - 6*u*u + u*u*u*u) / 5
		})}
	}
	if p := lay(t, m, hollow(0.8*hides)).Faces[0].Prints; len(p) != 1 {
		t.Errorf("0.8 of what it hides: %v", p)
	}
	if p := lay(t, m, hollow(1.25*hides)).Faces[0].Prints; len(p) != 2 {
		t.Errorf("1.25 of what it hides: %v", p)
	}
	c := m.Carried(0.8, [2]float64{0.44, 1.56})
	if p := lay(t, c, hollow(0.8*hides)).Faces[0].Prints; len(p) != 2 {
		t.Errorf("carried: %v", p)
	}
	// What Hides says is what laying it on its ends shows.
	for _, e := range []Master{m, c} {
		want, _ := e.Hides()
		s := lay(t, e, hollow(1e-3))
		seat := s.Faces[0].Seat
		within(t, "sag of the face", (seat[0]+seat[63])/2-(seat[31]+seat[32])/2, want, 0.08*hides)
	}
}

// On a way that winds the edges print at opposite corners.
func TestWindPrintsAtCorners(t *testing.T) {
	m := Iron(2, 0.22, 110e9)
	m.Film = 1e-6
	edge := func(y, w float64) Face { return Face{Offset: y, Metal: over(func(u float64) float64 { return w * u })} }
	s, err := Bed{shop(t, 4, rigid), m, []Face{edge(0.2, 10e-6), edge(0.3, -10e-6)}}.Lay(1)
	if err != nil {
		t.Fatal(err)
	}
	if a, b := s.Faces[0].Prints, s.Faces[1].Prints; a[0].From < 2 || b[len(b)-1].To > 2.2 {
		t.Errorf("prints %v and %v", a, b)
	}
}

// What prints on several beds: surely where all print, maybe where any does.
func TestSurely(t *testing.T) {
	step := func(spans ...shape.Span) Step {
		var f faceStep
		for _, s := range spans {
			f.Prints = append(f.Prints, Print{Span: s})
		}
		return Step{Faces: []faceStep{f}}
	}
	all := []Step{step(shape.Span{From: 0, To: 1}, shape.Span{From: 2, To: 3}), step(shape.Span{From: 0.5, To: 2.5}), step(shape.Span{From: 0.25, To: 0.75}, shape.Span{From: 2.25, To: 4})}
	sure, may := Surely(all, 0)
	in := func(spans []shape.Span, x float64) bool {
		return slices.ContainsFunc(spans, func(s shape.Span) bool { return s.From < x && x < s.To })
	}
	for x := 0.05; x < 4.5; x += 0.1 {
		n := 0
		for _, s := range all {
			if in(s.Faces[0].spans(), x) {
				n++
			}
		}
		if in(sure, x) != (n == 3) || in(may, x) != (n > 0) {
			t.Errorf("at %g: %d of three, sure %v, may %v", x, n, sure, may)
		}
	}
}

// What prints on both edges prints over the full width.
func TestAcross(t *testing.T) {
	p := across([]shape.Span{{From: 0, To: 1}, {From: 2, To: 3}}, []shape.Span{{From: 0.5, To: 2.5}}, 0)
	want := []Print{{Span: shape.Span{From: 0, To: 0.5}, Across: Inner}, {Span: shape.Span{From: 0.5, To: 1}, Across: Full}, {Span: shape.Span{From: 1, To: 2}, Across: Outer}, {Span: shape.Span{From: 2, To: 2.5}, Across: Full}, {Span: shape.Span{From: 2.5, To: 3}, Across: Inner}}
	if len(p) != len(want) {
		t.Fatalf("%v", p)
	}
	for i := range p {
		if p[i] != want[i] {
			t.Errorf("print %d: %+v, want %+v", i, p[i], want[i])
		}
	}
}

// A ragged end of a full print is its end.
func TestRaggedEnd(t *testing.T) {
	p := across([]shape.Span{{From: 0, To: 1.01}, {From: 1.9, To: 3}}, []shape.Span{{From: 0.1, To: 1}, {From: 2, To: 3.015}}, 0.02)
	want := []Print{{Span: shape.Span{From: 0, To: 0.08}, Across: Inner}, {Span: shape.Span{From: 0.08, To: 1.01}}, {Span: shape.Span{From: 1.9, To: 1.98}, Across: Inner}, {Span: shape.Span{From: 1.98, To: 3.015}}}
	if len(p) != len(want) {
		t.Fatalf("%v", p)
	}
	for i := range p {
		within(t, "from", p[i].From, want[i].From, 1e-12)
		within(t, "to", p[i].To, want[i].To, 1e-12)
		if p[i].Across != want[i].Across {
			t.Errorf("print %d: %+v", i, p[i])
		}
	}
}
