package survey

import (
	"math/rand/v2"
	"slices"
	"testing"

	"footwork/beam/shape"
)

// humped is a way that is no arc: a hump off its middle.
func humped(n int) (Survey, shape.Shape) {
	s := slopeSurvey(0.15, Run{"out", make([]float64, n)}, Run{"back", make([]float64, n)})
	shape := shape.Shape{X: s.stations()}
	for _, x := range shape.X {
		t := x / shape.X[n]
		shape.Y = append(shape.Y, 10*µm*(6.75*t*t*(1-t)))
	}
	for r := range s.Readings.Runs {
		_, s.Readings.Runs[r].Values = s.Expect(shape)
	}
	return s, shape
}

// A return run in the order walked is asked about, with both readings; the profile
// rests on the run out, which is right either way.
func TestReturnRunInTheOrderWalked(t *testing.T) {
	const trials = 200
	for _, way := range []func(int) (Survey, shape.Shape){bowed, humped} {
		s, shape := way(24)
		random := rand.New(rand.NewPCG(9, 9))
		named := 0
		for range trials {
			run := noisy(s, 0.3, random)
			slices.Reverse(run.Readings.Runs[1].Values)
			p := reduce(t, run)
			if !told(p, WalkedOrder, AssumedNoise) && !told(p, WalkedOrder) {
				continue
			}
			named++
			sigma := p.AboutEnds().Sigma()
			for i, h := range p.AboutEnds().Height {
				near(t, "height, m", h, shape.AboutEnds().Y[i], 5.5*sigma[i]+1e-15)
			}
			near(t, "zone with the rows turned round, m", p.Warnings[0].Other, shape.Straightness().MinimumZone, 1.5*µm)
			near(t, "σ of a reading, arcsec", p.ReadingSigma/arcsec, 0.3, 0.15)
		}
		if named < trials*95/100 {
			t.Errorf("%d of %d were asked about", named, trials)
		}
	}
}

// Turned round, a run must agree within what a reading is said to be uncertain by:
// one in a hundred that does is missed (the 99 % point of chi-squared), and of runs
// that scatter by 1.8 times that hardly one is taken for it.
func TestOrderWalkedWithinTheNoiseGiven(t *testing.T) {
	const trials = 200
	s, _ := humped(24)
	s.Uncertainty = 0.3 * arcsec
	random := rand.New(rand.NewPCG(13, 13))
	for noise, want := range map[float64][2]int{0.3: {trials * 96 / 100, trials}, 0.55: {0, trials * 12 / 100}} {
		named := 0
		for range trials {
			run := noisy(s, noise, random)
			slices.Reverse(run.Readings.Runs[1].Values)
			if p := reduce(t, run); slices.ContainsFunc(p.Warnings, func(w Warning) bool { return w.Kind == WalkedOrder }) {
				named++
			}
		}
		if named < want[0] || named > want[1] {
			t.Errorf("at %v arcsec %d of %d are asked about", noise, named, trials)
		}
	}
}

// A drift is no such run, however large, unless it undoes the way's own form.
func TestDriftIsNotTheOrderWalked(t *testing.T) {
	const n, trials = 20, 300
	for _, way := range []func(int) (Survey, shape.Shape){bowed, humped} {
		s, _ := way(n)
		random := rand.New(rand.NewPCG(10, 10))
		accused := 0
		for k := range trials {
			run := noisy(s, 0.3, random)
			for i := range n {
				rate := 0.5 * float64(k) / trials
				run.Readings.Runs[0].Values[i] += rate * float64(i)
				run.Readings.Runs[1].Values[i] += rate * float64(2*n-i)
			}
			if p := reduce(t, run); slices.ContainsFunc(p.Warnings, func(w Warning) bool { return w.Kind == WalkedOrder }) {
				accused++
			}
		}
		if accused > 1 {
			t.Errorf("%d of %d drifts were taken for the order walked", accused, trials)
		}
	}
}
