package shape

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// Two worked examples: heights in µm at equal stations, and their straightness
// to the digits at hand. The end-line figure of the first (+2, −1) and the
// heights and errors of the second are printed in their sources; least squares
// and minimum zone were worked out separately.
var workedProfiles = []struct {
	name          string
	y             []float64
	about         []float64 // printed heights about the ends
	ends, ls, mz  float64
	peak, val, rq float64
}{
	{"seven stations, 100 mm base: lecture slides on straightness by autocollimator",
		[]float64{0, 0, 1.5, 5, 4, 4, 6},
		[]float64{0, -1, -0.5, 2, 0, -1, 0},
		3, 3.0357, 3, 2.0714, 0.9643, 0.9415},
	{"milling-machine edge, nine readings: student laboratory report (arithmetic only; height 46.15 and the sign of error 5 corrected)",
		[]float64{0, 0, 5.625, 11.35, 21.6, 33.925, 46.15, 64.175, 82.0, 103.075},
		[]float64{0, -11.4528, -17.2806, -23.0083, -24.2111, -23.3389, -22.5667, -15.9944, -9.6222, 0},
		24.2111, 24.7309, 24.2111, 15.3323, 9.3986, 8.7831},
}

func TestStraightnessOfWorkedExamples(t *testing.T) {
	for _, c := range workedProfiles {
		s := Shape{X: make([]float64, len(c.y)), Y: c.y}
		for i := range s.X {
			s.X[i] = float64(i)
		}
		got := s.Straightness()
		p, v, q := leastSquaresParts(s)
		want := []float64{c.ends, c.ls, c.mz, c.peak, c.val, c.rq}
		for i, g := range []float64{got.Ends, got.LeastSquares, got.MinimumZone, p, v, q} {
			if math.Abs(g-want[i]) > 0.5e-4 {
				t.Errorf("%s: figure %d is %.5f, want %.4f", c.name, i, g, want[i])
			}
		}
		for i, y := range s.AboutEnds().Y {
			if math.Abs(y-c.about[i]) > 1e-4 {
				t.Errorf("%s: height %d about the ends %.5f, want %.4f", c.name, i, y, c.about[i])
			}
		}
	}
}

func ExampleShape_Straightness() {
	s := Shape{X: []float64{0, 1, 2, 3, 4, 5, 6}, Y: workedProfiles[0].y}
	fmt.Printf("%.4f\n", s.Straightness())
	// Output: {3.0000 3.0357 3.0000}
}

func drawShape(t *rapid.T, most int) Shape {
	n := rapid.IntRange(2, most).Draw(t, "n")
	s := Shape{X: make([]float64, n), Y: drawHeights(t, n)}
	x := rapid.Float64Range(-2, 2).Draw(t, "x0")
	for i := range s.X {
		s.X[i] = x
		x += rapid.Float64Range(0.01, 1).Draw(t, "dx")
	}
	return s
}

// drawHeights draws any heights, often many alike.
func drawHeights(t *rapid.T, n int) []float64 {
	one := rapid.OneOf(rapid.Float64Range(-50, 50), rapid.Map(rapid.IntRange(-3, 3), func(k int) float64 { return float64(k) }))
	return rapid.SliceOfN(one, n, n).Draw(t, "y")
}

// bruteZone tries the slope of every pair of points.
func bruteZone(s Shape) float64 {
	best := math.Inf(1)
	for i := range s.X {
		for j := range i {
			best = min(best, s.spread(Line{B: (s.Y[i] - s.Y[j]) / (s.X[i] - s.X[j])}))
		}
	}
	return best
}

func TestZoneIsTheLeastOfAllPairs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawShape(t, 14)
		got, want := s.Straightness(), bruteZone(s)
		if math.Abs(got.MinimumZone-want) > 1e-9 {
			t.Fatalf("zone %v, every pair %v", got.MinimumZone, want)
		}
		if got.MinimumZone > min(got.Ends, got.LeastSquares)+1e-9 {
			t.Fatalf("the least zone is wider than another: %v", got)
		}
		if c := Touch(s.X, drawHeights(t, len(s.X))).Again(s.X, s.Y); math.Abs(math.Abs(s.Y[c.At]-(Shape{X: []float64{s.X[c.Left], s.X[c.Right]}, Y: []float64{s.Y[c.Left], s.Y[c.Right]}}).At(s.X[c.At]))-want) > 1e-9 {
			t.Fatalf("from where other heights touch: %v, not the zone of %v", c, want)
		}
		y := s.AboutMinimumZone().Y
		if lo, hi := slices.Min(y), slices.Max(y); math.Abs(lo+hi) > 1e-9 || math.Abs(hi-lo-want) > 1e-9 {
			t.Fatalf("heights about the middle line run from %v to %v in a zone of %v", lo, hi, want)
		}
	})
}

func TestStraightnessKnowsNoTilt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawShape(t, 40)
		l := Line{rapid.Float64Range(-1e3, 1e3).Draw(t, "a"), rapid.Float64Range(-1e3, 1e3).Draw(t, "b")}
		a, b := s.Straightness(), s.About(l).Straightness()
		for _, d := range []float64{a.Ends - b.Ends, a.LeastSquares - b.LeastSquares, a.MinimumZone - b.MinimumZone} {
			if math.Abs(d) > 1e-7 { // heights to 4·10⁴ cost four of the sixteen digits
				t.Fatalf("%v, tilted by %v %v", a, l, b)
			}
		}
	})
}

func TestLeastSquaresResidualsAreNormal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawShape(t, 40)
		var sum, moment float64
		for i, d := range s.AboutLeastSquares().Y {
			sum += d
			moment += d * s.X[i]
		}
		if math.Abs(sum) > 1e-8 || math.Abs(moment) > 1e-7 {
			t.Fatalf("residuals sum to %v with moment %v", sum, moment)
		}
	})
}

func TestStraightnessOfTooFewPoints(t *testing.T) {
	for _, s := range []Shape{{}, {X: []float64{1}, Y: []float64{7}}} {
		if got := s.Straightness(); got != (Straightness{}) {
			t.Errorf("%v: %v", s, got)
		}
		for _, a := range []Shape{s.AboutEnds(), s.AboutLeastSquares(), s.AboutMinimumZone()} {
			if len(a.Y) != len(s.Y) || len(a.Y) == 1 && a.Y[0] != 0 {
				t.Errorf("%v about a line: %v", s, a)
			}
		}
	}
}

// bumpyShape is a long arc with short waves on it.
func bumpyShape(n int) Shape {
	s := Shape{X: make([]float64, n), Y: make([]float64, n)}
	for i := range s.X {
		x := 4 * float64(i) / float64(n-1)
		s.X[i], s.Y[i] = x, 1e-5*x*(4-x)+1e-6*math.Sin(37*x)
	}
	return s
}

func BenchmarkZone(b *testing.B) {
	for _, n := range []int{60, 500, 4000} {
		s := bumpyShape(n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				Zone(s.X, s.Y)
			}
		})
	}
}

// leastSquaresParts returns STRp, the greatest height above the LSLI, STRv, the
// greatest depth below it, and STRq, the root mean square about it. ISO 12780-1
// has them for the LSLI only; STRp + STRv = STRt.
func leastSquaresParts(s Shape) (p, v, q float64) {
	if len(s.X) == 0 {
		return 0, 0, 0
	}
	for _, d := range s.AboutLeastSquares().Y {
		p, v, q = max(p, d), max(v, -d), q+d*d
	}
	return p, v, math.Sqrt(q / float64(len(s.X)))
}

// A walk over places gives what each asks for alone, beyond the ends and backwards too.
func TestOverIsAt(t *testing.T) {
	s := Shape{X: []float64{0, 1, 1.5, 4}, Y: []float64{2, -1, 3, 0}}
	for _, s := range []Shape{s, {X: s.X[:1], Y: s.Y[:1]}, {X: s.X[:2], Y: s.Y[:2]}} {
		x := []float64{-3, 0, 0.2, 1, 1, 1.2, 1.5, 3.9, 4, 7, 0.5, 1.6}
		for i, y := range s.Over(x) {
			if y != s.At(x[i]) {
				t.Errorf("%d stations, at %g: %g, alone %g", len(s.X), x[i], y, s.At(x[i]))
			}
		}
	}
}
