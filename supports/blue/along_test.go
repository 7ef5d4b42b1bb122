package blue

import (
	"math"
	"testing"

	"footwork/beam/shape"
)

// A joint bears nothing and takes no colour: a master longer than it lies over it, and one
// that rests on both its sides presses hardest there.
func TestJoint(t *testing.T) {
	m := Iron(2, 0.22, 110e9)
	m.Film = 1e-6
	s := lay(t, m, Face{LeaveOut: []shape.Span{{From: 1.8, To: 2.2}}}).Faces[0]
	if len(s.Prints) != 2 {
		t.Fatalf("prints %+v", s.Prints)
	}
	within(t, "up to it", s.Prints[0].To, 1.8, 1e-12)
	within(t, "from it on", s.Prints[1].From, 2.2, 1e-12)
	sum := 0.0
	for i, x := range shape.Even(1+1./64, 3-1./64, 64) {
		if x > 1.8 && x < 2.2 && s.Pressure[i] != 0 {
			t.Errorf("%g N/m over the joint at %g m", s.Pressure[i], x)
		}
		sum += s.Pressure[i] * 2 / 64
	}
	within(t, "weight", sum, m.Weight, 1e-6*m.Weight)
	if s.Pressure[25] <= 1.1*s.Pressure[12] {
		t.Errorf("beside the joint %g N/m, away from it %g", s.Pressure[25], s.Pressure[12])
	}
}

// What stepping may add, nine times in ten, with a film of 2 µm: own random walks elsewhere.
func TestSteppingBow(t *testing.T) {
	for _, c := range []struct{ length, edge, overlap, nine float64 }{
		{6, 2, 1, 6}, {6, 1, 0.5, 19}, {12, 2, 1, 19}, {12, 3, 1.5, 10}, {12, 2, 0.5, 35},
	} {
		m := Master{Length: c.edge, Film: 2e-6}
		n := int(math.Ceil((c.length-c.edge)/(c.edge-c.overlap)-1e-9)) + 1
		within(t, "nine in ten, µm", 1.645*1e6*m.stepping(c.length, shape.Even(0, c.length-c.edge, n)), c.nine, 0.22*c.nine)
	}
}

// Two places joined by half of each, in the middle: it rises by half of its distance from either end.
func TestSteppingOnce(t *testing.T) {
	within(t, "bow", Master{Length: 2, Film: 2e-6}.stepping(3, []float64{0, 1}), 1.5/2*2e-6, 1e-15)
	within(t, "bow", Master{Length: 1.6, Film: 2e-6}.stepping(2.4, []float64{0, 0.8}), 1.2/2*2e-6/0.8, 1e-15)
}

// A master is stepped in as few places as overlap by half of it, flush with both ends; one as long as the way lies once.
func TestStepping(t *testing.T) {
	for long, want := range map[float64]struct {
		places  int
		overlap float64
	}{4: {1, 4}, 3: {2, 2}, 2: {3, 1}, 1.5: {5, 0.875}} {
		m := stiff()
		m.Length = long
		a, err := Bed{shop(t, 4, rigid), m, []Face{{}}}.Along(4)
		if err != nil {
			t.Fatal(err)
		}
		if n := len(a.Steps); n != want.places || a.Steps[0].At != 0 || math.Abs(a.Steps[n-1].At+long-4) > 1e-12 {
			t.Errorf("%g m long it lies at %d places", long, n)
		}
		within(t, "overlap", a.Overlap, want.overlap, 1e-12)
	}
}

// Twelve metres with a two-metre edge.
func BenchmarkTwelveMetres(b *testing.B) {
	for b.Loop() {
		m := Iron(2, 0.22, 110e9)
		m.Film = 2.5e-6
		bed := Bed{shop(b, 12, 110e9), m, []Face{{Offset: -0.25, Width: 0.11, Metal: shape.Shape{X: shape.Even(0, 12, 25), Y: make([]float64, 25)}}}}
		for i := range bed.Faces[0].Metal.Y {
			bed.Faces[0].Metal.Y[i] = 8e-6 * math.Sin(float64(i*i))
		}
		if _, err := bed.Along(12); err != nil {
			b.Fatal(err)
		}
	}
}
