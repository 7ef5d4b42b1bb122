package shape

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"footwork/internal/convex"
)

// brutePlaneZone is the greatest zone of any four points, any three on one line in
// plan, and any two at one place: by Helly's theorem that is the zone of all. The
// zone of points with Σλ = Σλx = Σλy = 0 is 2|Σλh|/Σ|λ|.
func brutePlaneZone(x, y, h []float64) (zone float64) {
	area := func(i, j, k int) float64 { return (x[j]-x[i])*(y[k]-y[i]) - (x[k]-x[i])*(y[j]-y[i]) }
	try := func(lambda []float64, at ...int) {
		sum, size := 0.0, 0.0
		for i, l := range lambda {
			sum += l * h[at[i]]
			size += math.Abs(l)
		}
		if size > 1e-9 {
			zone = max(zone, 2*math.Abs(sum)/size)
		}
	}
	n := len(h)
	for i := range n {
		for j := i + 1; j < n; j++ {
			if math.Hypot(x[j]-x[i], y[j]-y[i]) == 0 {
				try([]float64{1, -1}, i, j)
			}
			for k := j + 1; k < n; k++ {
				if math.Abs(area(i, j, k)) < 1e-9 {
					u := func(m int) float64 { return (x[j]-x[i]+x[k]-x[i])*x[m] + (y[j]-y[i]+y[k]-y[i])*y[m] }
					if u(j) == u(i) && u(k) == u(i) { // j and k opposite of each other about i
						u = func(m int) float64 { return (x[j]-x[i])*x[m] + (y[j]-y[i])*y[m] }
					}
					try([]float64{u(j) - u(k), u(k) - u(i), u(i) - u(j)}, i, j, k)
				}
				for l := k + 1; l < n; l++ {
					try([]float64{area(j, k, l), -area(i, k, l), area(i, j, l), -area(i, j, k)}, i, j, k, l)
				}
			}
		}
	}
	return zone
}

// points in plan: two ways, one line along, one line askew, a small grid with places
// met twice, one line across, or anywhere.
func planPoints(r *rand.Rand, kind, n int) (x, y, h []float64) {
	for range n {
		var u, v float64
		switch kind {
		case 0:
			u, v = 4*r.Float64(), 0.3*float64(r.IntN(2))
		case 1:
			u = float64(r.IntN(9))
		case 2:
			u = float64(r.IntN(9)) / 2
			v = 2*u - 1
		case 3:
			u, v = float64(r.IntN(4)), float64(r.IntN(3))
		case 4:
			u, v = 2, float64(r.IntN(9))
		default:
			u, v = 4*r.Float64(), r.Float64()
		}
		x, y, h = append(x, u), append(y, v), append(h, 1e-3*u-2e-4*v+1e-5*math.Round(3*r.NormFloat64()))
	}
	return x, y, h
}

func TestPlaneZoneAgainstEveryFour(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 0))
		x, y, h := planPoints(r, rapid.IntRange(0, 5).Draw(t, "kind"), rapid.IntRange(1, 14).Draw(t, "n"))
		zone, a, b, c := NewPlanes(x, y).Zone(h)
		for i := range h {
			if e := h[i] - a - b*x[i] - c*y[i]; !(math.Abs(e) <= zone/2+1e-12*largestOf(h)) {
				t.Fatalf("point %d lies %g from the plane, half a zone is %g", i, e, zone/2)
			}
		}
		if want := brutePlaneZone(x, y, h); math.Abs(zone-want) > 1e-12*largestOf(h) {
			t.Fatalf("zone %.12g, want %.12g\n%v\n%v\n%v", zone, want, x, y, h)
		}
	})
}

func largestOf(v []float64) (m float64) {
	for _, x := range v {
		m = max(m, math.Abs(x))
	}
	return m
}

// TestPlaneZoneByProgramme: the least z ≥ ±(h − a − bx − cy) as a linear programme is another path to half the zone.
func TestPlaneZoneByProgramme(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for i := range 300 {
		x, y, h := planPoints(r, i%6, 60)
		p := convex.Program{C: []float64{0, 0, 0, 1}, In: mat.NewDense(2*len(h), 4, nil)}
		for k, v := range h {
			for n, side := range []float64{1, -1} {
				p.In.SetRow(2*k+n, []float64{side, side * x[k], side * y[k], 1})
				p.B = append(p.B, side*v)
			}
		}
		best, err := convex.Linear(p)
		if err != nil {
			t.Errorf("set %d: %v", i, err)
			continue
		}
		if zone, _, _, _ := NewPlanes(x, y).Zone(h); math.Abs(zone-2*best.Value) > 1e-9*largestOf(h) {
			t.Errorf("set %d: zone %g, by the programme %g", i, zone, 2*best.Value)
		}
	}
}

// TestPlaneZoneOfTwist: a twist h = t at opposite corners of a rectangle and −t at the
// others has zone 2t about the level plane, whatever plane is added.
func TestPlaneZoneOfTwist(t *testing.T) {
	x, y, h := []float64{0, 3, 0, 3}, []float64{0, 0, 0.4, 0.4}, make([]float64, 4)
	for i, s := range []float64{1, -1, -1, 1} {
		h[i] = s*1e-5 + 7 - 0.02*x[i] + 0.1*y[i]
	}
	zone, a, b, c := NewPlanes(x, y).Zone(h)
	for i, pair := range [][2]float64{{zone, 2e-5}, {a, 7}, {b, -0.02}, {c, 0.1}} {
		if math.Abs(pair[0]-pair[1]) > 1e-14 {
			t.Errorf("value %d is %.17g, want %g", i, pair[0], pair[1])
		}
	}
}

// TestPlanesRollUp: three points of a line, of which the middle one is 1 higher, leave the planes free to roll about it until
// a fourth beside the middle, half as high, touches: they lie as high as they can over the mean of the points.
func TestPlanesRollUp(t *testing.T) {
	for _, side := range []float64{1, -1} {
		zone, a, b, c := NewPlanes([]float64{0, 1, 2, 1}, []float64{0, 0, 0, side}).Zone([]float64{0, 1, 0, 0.5})
		for i, pair := range [][2]float64{{zone, 1}, {a, 0.5}, {b, 0}, {c, side / 2}} {
			if math.Abs(pair[0]-pair[1]) > 1e-12 {
				t.Errorf("to side %g value %d is %g, want %g", side, i, pair[0], pair[1])
			}
		}
	}
}

// TestSlopeThatPointsLeaveFree: where the zone is that of two points at one place, the planes take the middle slope of all.
func TestSlopeThatPointsLeaveFree(t *testing.T) {
	zone, a, b, c := NewPlanes([]float64{0, 0, 1, 2}, []float64{0, 0, 0, 0}).Zone([]float64{0, 1, 0.25, 0.5})
	for i, pair := range [][2]float64{{zone, 1}, {a, 0.5}, {b, 0}, {c, 0}} { // slopes from −1/4 to 1/4
		if math.Abs(pair[0]-pair[1]) > 1e-12 {
			t.Errorf("value %d is %g, want %g", i, pair[0], pair[1])
		}
	}
	if zone := Zone([]float64{3}, []float64{7}); zone != 0 {
		t.Errorf("one point has a zone of %g", zone)
	}
}

func TestPlaneZoneRefuses(t *testing.T) {
	refuses := func(what string, f func()) {
		defer func() {
			if recover() == nil {
				t.Errorf("%s is taken", what)
			}
		}()
		f()
	}
	refuses("no point", func() { NewPlanes(nil, nil) })
	for _, bad := range []float64{math.NaN(), math.Inf(1)} {
		refuses("a height without end", func() { NewPlanes([]float64{0, 1}, []float64{0, 0}).Zone([]float64{0, bad}) })
	}
}

func BenchmarkPlaneZone60(b *testing.B) {
	x, y, h := planPoints(rand.New(rand.NewPCG(3, 4)), 0, 60)
	p := NewPlanes(x, y)
	for b.Loop() {
		p.Zone(h)
	}
}

// Where one way has the zone of both, planes may roll about it: they lie as high as the other lets them.
func TestPlanesLieAsHighAsTheyMay(t *testing.T) {
	x, y := []float64{0, 1, 2, 0, 1, 2}, []float64{0, 0, 0, 1, 1, 1}
	zone, a, b, c := NewPlanes(x, y).Zone([]float64{0, 4, 0, 5, 6, 5}) // 2 ± 2 in front; behind the lower plane comes to 5
	if math.Abs(zone-4)+math.Abs(a-2)+math.Abs(b)+math.Abs(c-5) > 1e-12 {
		t.Errorf("zone %g, plane %g %g %g", zone, a, b, c)
	}
}

// Three points lie in one plane: where two of them are near one another it is steep, and its
// rounding is that of the heights that its slope makes, not of the heights.
func TestSteepPlaneOfThreePoints(t *testing.T) {
	p := NewPlanes([]float64{0.625767692462173, 0.3562692578335634, 0.6279629374254377}, []float64{-0.003938185482877642, 0.003938185482877642, -0.003938185482877642})
	if zone, _, _, _ := p.Zone([]float64{-2.069947252619773e-05, 8.029201733419305e-06, 8.018319871065159e-06}); zone > 1e-16 {
		t.Error(zone)
	}
}
