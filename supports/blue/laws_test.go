package blue

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"footwork/beam/casting"
	"footwork/beam/ride"
	"footwork/beam/shape"
)

// Lifted evenly along its whole length a master hides nothing, with shear and without: what
// its weight bends in one formula many lifts bend back in another.
func TestLiftedAllAlong(t *testing.T) {
	for _, shear := range []float64{0, 8e7} {
		m := Master{Length: 2, Weight: 600, Bending: 1.2e6, Shear: shear}
		hollow, hump := m.Hides()
		const n = 200
		for i := range n {
			m.Lifts = append(m.Lifts, ride.Lift{At: 2 * (float64(i) + 0.5) / n, Force: 600. / n})
		}
		left, over := m.Hides()
		within(t, "hollow that is left", left/hollow, 0, 1e-3)
		within(t, "hump that is left", over/hump, 0, 1e-3)
	}
}

// Two places that carry a master carry no more than was said, and leave no moment about its
// middle; both on one side, the nearer carries all.
func TestCarried(t *testing.T) {
	m := Master{Length: 2, Weight: 600}
	for _, at := range [][2]float64{{0.5, 1.7}, {0.2, 1.2}} {
		c := m.Carried(0.4, at)
		a, b := c.Lifts[0], c.Lifts[1]
		within(t, "carried", a.Force+b.Force, 240, 1e-9)
		within(t, "moment", a.Force*(a.At-1)+b.Force*(b.At-1), 0, 1e-9)
	}
	within(t, "nearer", m.Carried(0.5, [2]float64{0.3, 0.8}).Lifts[1].Force, 300, 1e-9)
}

// Lying on the ends of a vee a prism sags as on a flat, whatever the flanks: they hold up
// what is square to them, and it bends down alone.
func TestPrismHidesAlike(t *testing.T) {
	m := Iron(2, 0.22, 110e9)
	hides, _ := m.Hides()
	for _, v := range []casting.Vee{{Flanks: [2]float64{math.Pi / 4, math.Pi / 4}}, {Flanks: [2]float64{math.Pi / 6, math.Pi / 6}}, {Flanks: [2]float64{0.96, 0.96}, Ridge: true}} {
		faces := flanks(v, [2]float64{})
		for k := range faces {
			faces[k].Metal = over(func(u float64) float64 {
				if math.Abs(u) < 0.97 { // it stands on its last cells
					return -1e-3
				}
				return 0
			})
		}
		s, err := Bed{shop(t, 4, rigid), m, faces}.Lay(1)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range s.Faces {
			within(t, "sag on its ends", ((f.Seat[0]+f.Seat[63])/2-(f.Seat[31]+f.Seat[32])/2)/hides, 1, 0.08)
		}
	}
}

// An edge of 2 m and 220 mm weighs some 60 kg, and slides by what four tenths of its iron
// bear, G = 43 to 44 GPa at E = 110 GPa (EN 1561, from memory). Scraped faces 100 mm wide
// close by 0.15 µm under 0.06 MPa, one or two of them, seen along one line or two.
func TestIronAndTouch(t *testing.T) {
	m := Iron(2, 0.22, 110e9)
	within(t, "kg", m.Weight/gravity, 60, 5)
	within(t, "κG, GPa", m.Shear/(m.Weight/density/gravity/2)/1e9, 0.4*43.5, 0.3)
	for _, faces := range [][]Face{{{}}, {{Width: 0.1}}, {{Width: 0.1}, {Width: 0.1}}} {
		r := m.rider(faces)
		within(t, "N/m under a face", r.Contact*float64(len(r.Rows))*0.15e-6/float64(len(faces)), 0.06e6*0.1, 10)
	}
}

// The inner edge of a face is the one nearer to the centre line, whichever side it is on,
// and its edges stand half its width off.
func TestInnerEdge(t *testing.T) {
	for _, y := range []float64{-0.25, 0.25} {
		f := Face{Offset: y, Width: 0.1}
		within(t, "inner", math.Abs(f.rows()[f.inner()]), 0.2, 1e-12)
		within(t, "outer", math.Abs(f.rows()[1-f.inner()]), 0.3, 1e-12)
	}
}

// Of two edges the nearer makes the gap and both together the pressure; a print ends where
// the gap passes the film on its way from cell to cell.
func TestStepOfTwoEdges(t *testing.T) {
	u := under{x: []float64{0.5, 1.5, 2.5}, edges: []float64{0, 1, 2, 3}, gap: [][]float64{{0, 0, 4}, {0, 3, 1}}, pressure: [][]float64{{1, 2, 0}, {3, 0, 0}}}
	s := u.step(Master{Film: 1})
	if !slices.Equal(s.Gap, []float64{0, 0, 1}) || !slices.Equal(s.Pressure, []float64{4, 2, 0}) {
		t.Errorf("gap %v, pressure %v", s.Gap, s.Pressure)
	}
	edge := u.near(u.gap[0], Master{Film: 1})
	within(t, "end of the print", edge[0].To, 1.5+1./4, 1e-12)
	edge = u.near([]float64{3, 0, 0}, Master{Film: 1})
	within(t, "start of the print", edge[0].From, 0.5+2./3, 1e-12)
}

// A mark is looked at as far as the master was moved; the least that must print and was not
// seen is what bears a quarter; of air only more than the film counts.
func TestAgainstAtTheEdge(t *testing.T) {
	x := shape.Even(0.05, 1.95, 20)
	f := faceStep{Gap: make([]float64, 20)}
	for i, at := range x {
		if at > 1 {
			f.Gap[i] = 5e-6
		}
	}
	s := Step{X: x, Faces: []faceStep{f}}
	m := Master{Film: 2e-6, Stroke: 0.3}
	doubted := func(from, to float64) bool {
		return len(s.Against(0, marked(shape.Span{From: from, To: to}), m)) > 0
	}
	for _, c := range []struct {
		from, film float64
		want       bool
	}{{1.08, 2e-6, false}, {1.2, 4.9e-6, true}, {1.2, 5.1e-6, false}} {
		m.Film = c.film
		if got := doubted(c.from, 1.9); got != c.want {
			t.Errorf("a mark from %g m through %g m of film: doubted %v", c.from, c.film, got)
		}
	}
	m.Film = 2e-6
	slices.Reverse(f.Gap) // and at its other end
	for to, want := range map[float64]bool{0.92: false, 0.8: true} {
		if got := doubted(0.1, to); got != want {
			t.Errorf("a mark to %g m: doubted %v", to, got)
		}
	}
	for share, want := range map[float64]bool{0.24: false, 0.26: true} {
		s.Faces[0].Prints = []Print{{Span: shape.Span{From: 0, To: 1}, Share: share}}
		if got := len(s.Against(0, nil, m)) > 0; got != want {
			t.Errorf("an unseen print that bears %g: doubted %v", share, got)
		}
	}
}

// Stepped along a way a master overlaps half of itself or more and ends at both ends; one
// longer than the way lies over its middle.
func TestPlaces(t *testing.T) {
	b := Bed{Master: Master{Length: 2}}
	for length, want := range map[float64][]float64{6: {0, 1, 2, 3, 4}, 6.5: {0, 0.9, 1.8, 2.7, 3.6, 4.5}, 1.6: {-0.2}, 2: {0}, 2.1: {0, 0.1}} {
		got := b.places(length)
		if len(got) != len(want) {
			t.Fatalf("on %g m at %v", length, got)
		}
		for i := range got {
			within(t, "place", got[i], want[i], 1e-9)
		}
	}
}

// Where nothing bears a face lies out of reach, and nowhere else is it changed.
func TestLeftOut(t *testing.T) {
	metal := shape.Shape{X: []float64{0, 1, 2, 3, 4}, Y: []float64{0, 3e-6, -2e-6, 4e-6, 0}}
	way := Face{Metal: metal, LeaveOut: []shape.Span{{From: 0.5, To: 1.5}, {From: 2.9, To: 3.2}}}.way()
	for x := 0.01; x < 4; x += 0.02 {
		out := x > 0.5+2e-3 && x < 1.5-2e-3 || x > 2.9+2e-3 && x < 3.2-2e-3
		switch low := metal.At(x) - way.At(x); {
		case out && low < 0.9e-3, !out && math.Abs(low) > 1e-12 && (x < 0.5 || x > 1.5) && (x < 2.9 || x > 3.2):
			t.Errorf("at %g m it lies %g m low", x, low)
		}
	}
}

// Of four places a parabola passes none nearer than an eighth of the third difference (the
// equal ripple of P. L. Chebyshev): so far is a print from a form all of whose places it
// marks. An unmarked place counts where it stands up, not where it lies low; a line, a tilt or
// a bow more changes nothing; and a mark's ends are not looked at.
func TestMisfit(t *testing.T) {
	x, h := []float64{1, 1.5, 2, 2.5}, []float64{3e-6, -1e-6, 4e-6, 2e-6}
	m := Master{Length: 1.5}
	third := (h[3] - 3*h[2] + 3*h[1] - h[0]) / 8 // −2 µm
	all := marked(shape.Span{From: 1, To: 2.5})
	within(t, "all marked", m.misfit(x, h, all), -third, 1e-12)
	for over, makes := range map[float64]bool{0.99e-6: true, 1.01e-6: false} { // a micrometre more than the film is let pass
		if m.Film = -third - over; m.Makes(x, h, all) != makes {
			t.Errorf("%g m off, through %g m of film: made %v", -third, m.Film, !makes)
		}
	}
	bowed := slices.Clone(h)
	for i, at := range x {
		bowed[i] += 40e-6 + 30e-6*at - 25e-6*at*at
	}
	within(t, "bowed", m.misfit(x, bowed, all), -third, 1e-12)
	for i, up := range []float64{-1, 1, -1, 1} { // which way the third difference takes this place
		var marks []Print
		for k, at := range x {
			if k != i {
				marks = append(marks, marked(shape.Span{From: at - 0.1, To: at + 0.1})...)
			}
		}
		within(t, "unmarked", m.misfit(x, h, marks), max(0, up*third), 1e-12)
	}
	m.Stroke = 1.2
	within(t, "ends", m.misfit(x, h, marked(shape.Span{From: 0.5, To: 2})), 0, 1e-12)
	m.Stroke = 0.48 // what lies half of it inside of a mark's ends is marked, what lies nearer to them on either side is not asked
	span := func(from, to float64) []Print { return marked(shape.Span{From: from, To: to}) }
	within(t, "inside", m.misfit(x, h, span(0.75, 2.75)), -third, 1e-12)
	within(t, "near both ends", m.misfit(x, h, span(0.77, 2.73)), 0, 1e-12)
	within(t, "beyond one end", m.misfit(x, h, span(1.23, 2.75)), 0, 1e-12)
	within(t, "far beyond it", m.misfit(x, h, span(1.25, 2.75)), -third, 1e-12)
	within(t, "nothing marked", m.misfit(x, h, marked(shape.Span{From: 3, To: 4})), 0, 0)
}

// No form contradicts its own print: ways that wave by 2 to 30 µm under an iron edge, laid down
// or carried, in films thin and heavy.
func TestOwnPrintFits(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	bed := shop(t, 4, rigid)
	for range 60 {
		m := Iron(2, 0.22, 110e9)
		m.Film, m.Stroke = []float64{1e-6, 2.5e-6, 6e-6}[r.IntN(3)], 0.02
		if r.IntN(2) == 0 {
			m = m.Carried(0.8, [2]float64{0.44, 1.56})
		}
		a, k, phase := math.Exp(math.Log(2e-6)+math.Log(15)*r.Float64()), 1+4*r.Float64(), 6*r.Float64()
		way := over(func(u float64) float64 { return a * (math.Sin(k*u+phase) + 0.4*math.Sin(2.3*k*u)) / 2 })
		s, err := Bed{bed, m, []Face{{Metal: way}}}.Lay(1)
		if err != nil {
			t.Fatal(err)
		}
		x := shape.Even(1, 3, 65)
		var form []float64
		for _, at := range x {
			form = append(form, way.At(at))
		}
		if !m.Makes(x, form, s.Faces[0].Prints) {
			t.Errorf("%.0f µm, k %.1f, film %.1f µm: %.2f µm off its own print", a*1e6, k, m.Film*1e6, m.misfit(x, form, s.Faces[0].Prints)*1e6)
		}
	}
}

// What one edge prints beyond the other by no more than the stroke is no print of that edge alone.
func TestStrokeEvensEnds(t *testing.T) {
	u := under{Face: Face{Offset: 0.2, Width: 0.1}, edges: shape.Even(0, 1, 101), gap: [][]float64{make([]float64, 100), make([]float64, 100)}, pressure: [][]float64{make([]float64, 100), make([]float64, 100)}}
	for i := range 100 {
		u.x = append(u.x, (float64(i)+0.5)/100)
		for k, to := range []int{50, 52} {
			if i >= to {
				u.gap[k][i] = 1
			}
		}
	}
	for stroke, want := range map[float64]int{0.03: 1, 0: 2} {
		if got := u.step(Master{Film: 1e-6, Stroke: stroke}).Prints; len(got) != want || got[0].Across != Full {
			t.Errorf("stroke %g m: %+v", stroke, got)
		}
	}
}

// Film and air are square to a flank: of two of height at 60° one is left.
func TestAirOnAFlank(t *testing.T) {
	u := under{Face: Face{Slope: math.Sqrt(3)}, x: []float64{0.5, 1.5}, edges: []float64{0, 1, 2}, gap: [][]float64{{2, 3}}, pressure: [][]float64{{0, 0}}}
	s := u.step(Master{Film: 1.01})
	within(t, "air", s.Gap[0], 1, 1e-12)
	if len(s.Prints) != 1 || s.Prints[0].To > 1 {
		t.Errorf("prints %v", s.Prints)
	}
}

// The way under a master is its own form where the bed does not give, as far as it lies clear;
// where it bears the scraped faces close by what the pressure asks.
func TestWayUnderAMaster(t *testing.T) {
	const deep = 50e-6
	f := lay(t, stiff(), Face{Metal: over(func(u float64) float64 { return -deep * u * u })}).Faces[0]
	x := shape.Even(-1+1./64, 1-1./64, 64)
	for i, u := range x {
		within(t, "under it", f.Way[i]-f.Way[32], -deep*(u*u-x[32]*x[32]), 0.2e-6)
	}
}
