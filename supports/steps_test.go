package supports

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// A safe order is found exactly when there is one: reachable by safe places only, in
// a table of all places of two feet.
func TestOrderAgainstAllPlaces(t *testing.T) {
	r := rand.New(rand.NewPCG(51, 52))
	x := stations(5, 3.9)
	found, none := 0, 0
	for range 1000 {
		soft := bay
		soft.load = 900
		in := soft.task(x, [2][]float64{make([]float64, 5), make([]float64, 5)}, false)
		in.Goal.LeastLoad = 0.3
		tk := newTask(in)
		var err error
		if tk.start, err = in.Settle(make([]float64, 8)); err != nil {
			t.Fatal(err)
		}
		raise := make([]float64, 8)
		raise[r.IntN(2)], raise[2+r.IntN(2)] = 0.3e-3*r.NormFloat64(), 0.3e-3*r.NormFloat64()
		p, err := tk.plan(raise)
		if err != nil || slices.Contains(p.Lifted, true) {
			continue
		}
		w := tk.newWalk(p)
		path, ok := w.search([]int{0, 0}, -1)
		if want := w.reachable(); ok != want {
			t.Fatalf("raise %v: found %v, is there one: %v", raise, ok, want)
		}
		if !ok {
			none++
			continue
		}
		found++
		place := []int{0, 0}
		for _, k := range path {
			place = turned(place, k)
			if lack, f := w.lack(place); lack > 0 {
				t.Errorf("foot %d lacks %g at %v", f, lack, place)
			}
		}
		if place[0] != len(w.stops[0])-1 || place[1] != len(w.stops[1])-1 {
			t.Errorf("ends at %v", place)
		}
	}
	if found < 10 || none < 10 {
		t.Errorf("%d found, %d without", found, none)
	}
}

// reachable tells from a table of all places of two feet whether the end can be reached.
func (w *walk) reachable() bool {
	m, n := len(w.stops[0]), len(w.stops[1])
	ok := make([][]bool, m)
	for i := range m {
		ok[i] = make([]bool, n)
		for j := range n {
			lack, _ := w.lack([]int{i, j})
			from := i+j == 0 || i > 0 && ok[i-1][j] || j > 0 && ok[i][j-1]
			ok[i][j] = from && (lack <= 0 || i+j == 0)
		}
	}
	return ok[m-1][n-1]
}

// When a foot lifts whatever the order, the order that lacks least is given with the
// foot's name.
func TestNoSafeOrder(t *testing.T) {
	x := stations(10, 3.9)
	front, _ := bay.spline([]float64{0, 30e-6, -40e-6, 0}, x)
	in := bay.task(x, [2][]float64{front, make([]float64, 10)}, false)
	in.Goal.LeastLoad = 0.2
	rails := in.Settle
	in.Settle = func(raise []float64) (Settled, error) {
		s, err := rails(raise)
		between := raise[1] != 0 && raise[1] > -30e-6+1e-9 || raise[2] != 0 && raise[2] < 40e-6-1e-9 || (raise[1] == 0) != (raise[2] == 0)
		if between {
			s.Loads[7], s.Lifted[7] = 100, true
		}
		return s, err
	}
	a := mustAdjust(t, in)
	p := a.Plans[a.Recommended]
	if p.FeetMoved != 2 || len(p.Steps) < 2 {
		t.Fatalf("moves %v in %d steps", p.Moves, len(p.Steps))
	}
	if !slices.ContainsFunc(a.Warnings, func(w string) bool { return strings.Contains(w, "B4 falls short") && strings.Contains(w, "900 N") }) {
		t.Errorf("warnings %q for %v in %d steps", a.Warnings, p.Moves, len(p.Steps))
	}
}

// Big moves go in small turns: of a screw of 1.5 mm a turn 12° are 50 µm.
func TestStops(t *testing.T) {
	x := stations(5, 3.9)
	stiff := bay
	stiff.load = 1e6 // no foot is near to going light
	in := stiff.task(x, [2][]float64{make([]float64, 5), make([]float64, 5)}, false)
	in.Adjusters[0] = Adjuster{Kind: Screw, Rise: 1.5e-3}
	in.Adjusters[1] = Adjuster{Kind: Shim}
	in.Goal.Shims = []float64{0.1e-3}
	tk := newTask(in)
	for _, tc := range []struct {
		foot  int
		raise float64
		turns int
	}{{0, 36 * 1.5e-3 / 360, 3}, {0, -37 * 1.5e-3 / 360, 4}, {0, 1.5e-3 / 360, 1}, {1, 0.2e-3, 1}, {2, 120e-6, 3}} {
		stops := tk.stops(tc.foot, tc.raise)
		near(t, "end", stops[len(stops)-1], tc.raise, 1e-12)
		if len(stops) != tc.turns+1 {
			t.Errorf("foot %d by %g: %d turns, want %d", tc.foot, tc.raise, len(stops)-1, tc.turns)
		}
	}
}

// A move of less than half a notch, as to a foot's gap, is one step to where it ends.
func TestStopsEndWhereTheMoveEnds(t *testing.T) {
	x := stations(15, 3.9)
	tk := newTask(bay.task(x, [2][]float64{make([]float64, len(x)), make([]float64, len(x))}, false))
	step := tk.limits.notches[0].step
	for _, raise := range []float64{0.01 * step, -0.4 * step, 7.3 * step, -40.2 * step} {
		stops := tk.stops(0, raise)
		if stops[0] != 0 || stops[len(stops)-1] != raise {
			t.Errorf("%g: %g", raise, stops)
		}
		for i := range stops[1:] {
			if !(math.Abs(stops[i+1]) > math.Abs(stops[i])) {
				t.Errorf("%g: %g turns back", raise, stops)
			}
		}
	}
}
