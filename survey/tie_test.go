package survey

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
	"pgregory.net/rapid"
)

func exact(x []float64, h func(float64) float64) Profile {
	p := Profile{X: x, Cov: mat.NewSymDense(len(x), nil)}
	for _, x := range x {
		p.Height = append(p.Height, h(x))
	}
	return p
}

// However each way was tilted by its instrument, the tie brings the second back
// to where the cross level saw it.
func TestTieRestoresTheTwist(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(name string) float64 { return rapid.Float64Range(-1e-4, 1e-4).Draw(t, name) }
		bow, twist, lift, tilt := f("bow"), f("twist"), f("lift"), f("tilt")
		x := []float64{0, 0.5, 1, 1.5, 2, 2.5, 3}
		front := func(x float64) float64 { return bow * x * (3 - x) }
		back := func(x float64) float64 { return front(x) + 0.5*twist*x }
		first := exact(x, front)
		second := exact(x, func(x float64) float64 { return back(x) + lift + tilt*x })
		cross := exact([]float64{0.5, 1.5, 2.5}, func(x float64) float64 { return (back(x) - front(x)) / 0.5 })
		tied, err := Tie(first, second, cross, 0.5)
		if err != nil {
			t.Fatal(err)
		}
		for i, x := range x {
			if math.Abs(tied.Height[i]-back(x)) > 1e-15 {
				t.Fatalf("at %g m %g, want %g", x, tied.Height[i], back(x))
			}
		}
	})
}

// The covariance that Tie adds is that of many noisy cross levels.
func TestTieCarriesTheCrossLevelsNoise(t *testing.T) {
	noise := rand.New(rand.NewPCG(3, 4))
	const sigma, across, runs = 2e-6, 0.5, 20000
	x := []float64{0, 1, 2, 3}
	at := []float64{0.2, 1, 1.7, 2.9}
	flat := exact(x, func(float64) float64 { return 0 })
	ends := make([]float64, runs)
	var said float64
	for k := range ends {
		cross := exact(at, func(float64) float64 { return sigma * noise.NormFloat64() })
		for i := range at {
			cross.Cov.SetSym(i, i, sigma*sigma)
		}
		tied, err := Tie(flat, flat, cross, across)
		if err != nil {
			t.Fatal(err)
		}
		ends[k], said = tied.Height[3], tied.Cov.At(3, 3)
	}
	if seen := stat.Variance(ends, nil); math.Abs(seen/said-1) > 4*math.Sqrt(2./runs) {
		t.Errorf("variance at the end %.4g, said %.4g", seen, said)
	}
}

func TestTieNeedsTwoStations(t *testing.T) {
	flat := exact([]float64{0, 1}, func(float64) float64 { return 0 })
	if _, err := Tie(flat, flat, exact([]float64{1}, func(float64) float64 { return 0 }), 0.5); err == nil {
		t.Error("one station is no tie")
	}
}
