package survey

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"footwork/beam/shape"

	"pgregory.net/rapid"
)

// bowed returns a survey of two runs over n steps of 0.15 m, its shape an arc
// with a wave on it, and the readings without noise.
func bowed(n int) (Survey, shape.Shape) {
	s := slopeSurvey(0.15, Run{"out", make([]float64, n)}, Run{"back", make([]float64, n)})
	shape := shape.Shape{X: s.stations()}
	length := shape.X[n]
	for _, x := range shape.X {
		shape.Y = append(shape.Y, 40*µm*4*x*(length-x)/(length*length)+3*µm*math.Sin(7*x))
	}
	for r := range s.Readings.Runs {
		_, s.Readings.Runs[r].Values = s.Expect(shape)
	}
	return s, shape
}

// noisy returns s with every reading off by a normal error of standard
// deviation sd, in its own unit.
func noisy(s Survey, sd float64, random *rand.Rand) Survey {
	s.Readings.Runs = slices.Clone(s.Readings.Runs)
	for r, run := range s.Readings.Runs {
		s.Readings.Runs[r].Values = slices.Clone(run.Values)
		for i := range run.Values {
			s.Readings.Runs[r].Values[i] += sd * random.NormFloat64()
		}
	}
	return s
}

// Between tied ends, n steps of b with slopes known to σ leave the height i a
// variance of b²σ²·i(n−i)/n, the variance of a Brownian bridge (common practice
// of JCGM 100): 5 b²σ² in the middle of 20 steps, 3.75 at a quarter.
func TestVarianceBetweenTiedEnds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 40).Draw(t, "n")
		runs := rapid.IntRange(1, 3).Draw(t, "runs")
		b := rapid.Float64Range(0.05, 0.5).Draw(t, "base")
		s := slopeSurvey(b)
		for range runs {
			s.Readings.Runs = append(s.Readings.Runs, Run{"run", make([]float64, n)})
		}
		s.Uncertainty = 0.3 * arcsec
		p, err := Reduce(s)
		if err != nil {
			t.Fatal(err)
		}
		one := square(b*s.Uncertainty) / float64(runs)
		free, tied := p.Sigma(), p.AboutEnds()
		for i, sigma := range tied.Sigma() {
			if want := one * float64(i*(n-i)) / float64(n); math.Abs(sigma*sigma-want) > 1e-12*one*float64(n) {
				t.Fatalf("height %d of %d: %v b²σ², want %v", i, n, sigma*sigma/one, want/one)
			}
			if math.Abs(free[i]*free[i]-one*float64(i)) > 1e-12*one*float64(n) {
				t.Fatalf("open height %d: %v b²σ²", i, free[i]*free[i]/one)
			}
		}
		if n == 20 {
			for i, want := range map[int]float64{10: 5, 5: 3.75} {
				if math.Abs(tied.Cov.At(i, i)/one-want) > 1e-10 {
					t.Fatalf("height %d of 20: %v b²σ²", i, tied.Cov.At(i, i)/one)
				}
			}
		}
	})
}

// On a steep way a reading's error lifts the far foot by b·dt/cos²t: the
// covariance follows the heights themselves, differenced.
func TestSteepWay(t *testing.T) {
	height := func(reading float64) Profile {
		s := slopeSurvey(0.15, Run{"run 1", []float64{reading, 0}})
		s.Uncertainty = arcsec
		return reduce(t, s)
	}
	const steep = 40000 // arcsec, 0.194 rad
	lift := (height(steep + 1).Height[1] - height(steep - 1).Height[1]) / 2
	near(t, "sigma against lift", height(steep).Sigma()[1]/lift, 1, 1e-6)
}

// The covariance and the uncertainty of the zone against 20 000 surveys of the
// same way (seeded): a sample variance of N has a relative spread of √(2/N),
// one in a hundred; five of these are allowed.
func TestCovarianceAgainstManySurveys(t *testing.T) {
	const trials, n, sd = 20000, 20, 0.4
	s, _ := bowed(n)
	s.Uncertainty = sd * arcsec
	want := reduce(t, s)
	tied := want.AboutEnds()
	random := rand.New(rand.NewPCG(1, 2))
	var zone, zone2 float64
	sum := make([]float64, n+1)
	cross := 0.0 // of heights 6 and 13
	for range trials {
		h := average(noisy(s, sd, random).tilts())
		heights := shape.Shape{X: want.X, Y: make([]float64, n+1)}
		for i, v := range h {
			heights.Y[i+1] = heights.Y[i] + s.Base*math.Tan(v)
		}
		about := heights.AboutEnds().Y
		for i, y := range about {
			sum[i] += square(y - tied.Height[i])
		}
		cross += (about[6] - tied.Height[6]) * (about[13] - tied.Height[13])
		z := shape.Zone(heights.X, heights.Y)
		zone, zone2 = zone+z, zone2+z*z
	}
	spread := math.Sqrt(2.0 / trials)
	for i := 1; i < n; i++ {
		near(t, "variance ratio", sum[i]/trials/tied.Cov.At(i, i), 1, 5*spread)
	}
	near(t, "covariance ratio", cross/trials/tied.Cov.At(6, 13), 1, 10*spread)
	mean := zone / trials
	// the contacts change from survey to survey, so linearisation is near, not exact
	near(t, "zone's sigma ratio", math.Sqrt(zone2/trials-mean*mean)/want.ZoneSigma(), 1, 0.1)
	near(t, "zone's sigma knows no line", tied.ZoneSigma()/want.ZoneSigma(), 1, 1e-9)
}

// Two runs of two rows differ in one thing, half of which is noise of each: one degree of freedom.
func TestLeastRepeats(t *testing.T) {
	p := reduce(t, slopeSurvey(0.15, Run{"run 1", []float64{10, 12}}, Run{"run 2", []float64{10, 16}}))
	if p.Free != 1 || math.Abs(p.ReadingSigma-2*arcsec) > 1e-12*arcsec {
		t.Errorf("%g arcsec with %d degrees of freedom, want 2 with 1", p.ReadingSigma/arcsec, p.Free)
	}
	same := slopeSurvey(0.15, Run{"run 1", []float64{3, 3, 3}})
	if p := reduce(t, same); p.ReadingSigma != same.typical() {
		t.Errorf("readings that are all one are known to %g arcsec", p.ReadingSigma/arcsec)
	}
}

// Repeats tell the noise that was put in: s²ν/σ² is chi-squared, so the mean of
// s² over 400 surveys is within 5√(2/ν/400) of σ².
func TestNoiseFromRepeats(t *testing.T) {
	const trials, n = 400, 20
	s, _ := bowed(n)
	random := rand.New(rand.NewPCG(3, 4))
	mean := 0.0
	for range trials {
		p := reduce(t, noisy(s, 0.4, random))
		mean += square(p.ReadingSigma/arcsec) / trials
		if p.Free < n-3 {
			t.Fatalf("%d degrees of freedom from 2 runs of %d: %v", p.Free, n, p.Warnings)
		}
	}
	near(t, "σ², arcsec²", mean/0.16, 1, 5*math.Sqrt(2.0/(n-1)/trials))
}

func TestWhoseUncertaintyIsUsed(t *testing.T) {
	s, _ := bowed(20)
	random := rand.New(rand.NewPCG(5, 6))
	for _, c := range []struct {
		name        string
		noise       float64 // arcsec
		given       float64 // arcsec
		doubled     bool
		from, until float64 // arcsec, of the tilt
		says        []WarningKind
	}{
		{"the job's", 0.2, 0.3, false, 0.3, 0.3, nil},
		{"the job's, of a doubled reading", 0.2, 0.3, true, 0.15, 0.15, nil},
		{"the repeats'", 0.2, 0, false, 0.1, 0.3, nil},
		{"the repeats' against the job", 1, 0.2, false, 0.6, 1.4, []WarningKind{Scattered}},
		{"the job's, a cautious one", 0.2, 1, false, 1, 1, nil},
		{"the job's, in a wrong unit", 0.2, 200, false, 200, 200, []WarningKind{Overstated}},
		{"no one's", 0, 0, false, 0.5, 0.5, []WarningKind{CopiedRun}},
		{"the job's, of a copied run", 0, 0.3, false, 0.3, 0.3, []WarningKind{CopiedRun}},
		{"the job's, far below a digit", 0, 0.001, false, 0.001, 0.001, nil},
	} {
		run := noisy(s, c.noise, random)
		run.Uncertainty, run.Doubled = c.given*arcsec, c.doubled
		p := reduce(t, run)
		if got := p.ReadingSigma / arcsec; got < c.from-1e-9 || got > c.until+1e-9 {
			t.Errorf("%s: %v arcsec", c.name, got)
		}
		if repeats := strings.HasPrefix(c.name, "the repeats'"); (p.Free > 0) != repeats {
			t.Errorf("%s: %d degrees of freedom behind it", c.name, p.Free)
		}
		if !told(p, c.says...) {
			t.Errorf("%s: says %v, want %v", c.name, p.Warnings, c.says)
		}
	}
}

// An uncertainty given stands until the repeats scatter beyond the 99 % point of
// chi-squared with their degrees of freedom: of runs that scatter by exactly what is
// given, about one in a hundred is doubted, and of those by 1.6 times nearly all.
// 36.19 is the 99 % point for 19 degrees, as tables of chi-squared print it.
func TestWhenRepeatsOverruleTheJob(t *testing.T) {
	if !beyond(math.Sqrt(36.20/19), 1, 19) || beyond(math.Sqrt(36.18/19), 1, 19) {
		t.Error("the limit is not 36.19 of 19 degrees")
	}
	const trials, n = 1000, 20
	s, _ := bowed(n)
	s.Uncertainty = 0.4 * arcsec
	random := rand.New(rand.NewPCG(7, 8))
	for times, share := range map[float64][2]float64{1: {0.002, 0.02}, 1.6: {0.7, 1}} {
		doubted := 0.0
		for range trials {
			if p := reduce(t, noisy(s, 0.4*times, random)); slices.ContainsFunc(p.Warnings, func(w Warning) bool { return w.Kind == Scattered }) {
				doubted += 1. / trials
			}
		}
		if doubted < share[0] || doubted > share[1] {
			t.Errorf("runs that scatter by %v times what is given are doubted in %.3f of cases", times, doubted)
		}
	}
}

// Readings to whole units hide what is less than their step.
func TestCoarseReadings(t *testing.T) {
	s := slopeSurvey(0.15, Run{"run 1", []float64{3, 5, 4, 4, 6, 2, 3, 5}}, Run{"run 2", []float64{3, 5, 4, 4, 6, 2, 3, 4}})
	near(t, "σ, arcsec", reduce(t, s).ReadingSigma/arcsec, 1/math.Sqrt(12), 0.02)
}

// Heights and cross levels are independent readings.
func TestIndependentReadings(t *testing.T) {
	for _, instrument := range []Instrument{Heights, CrossLevel} {
		s := Survey{Instrument: instrument, Scale: 1e-6, XScale: 1e-3, Uncertainty: 2e-6,
			Readings: Readings{X: []float64{900, 100, 500}, Runs: []Run{{"run 1", []float64{3, 1, 2}}, {"run 2", []float64{5, 1, 2}}}}}
		p := reduce(t, s)
		for i, want := range []float64{1, 2, 4} {
			near(t, "height", p.Height[i]/1e-6, want, 1e-12)
			near(t, "x", p.X[i], 0.1+0.4*float64(i), 1e-12)
			for j := range 3 {
				want := 0.0
				if i == j {
					want = 2
				}
				near(t, "covariance", p.Cov.At(i, j)/1e-12, want, 1e-9)
			}
		}
		tied := p.AboutEnds().Sigma()
		near(t, "tied middle: 1 + 1/4 + 1/4", square(tied[1]/1e-6)/2, 1.5, 1e-12)
	}
}
