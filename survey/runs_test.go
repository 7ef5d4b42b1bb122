package survey

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// A steady drift of the zero leaves the mean of out and back untouched and is
// reported: row i is read out at time i and back at time 2n−i.
func TestDriftOutAndBack(t *testing.T) {
	const n, rate = 20, 0.3 // arcsec from one reading to the next
	s, shape := bowed(n)
	clean := reduce(t, s).AboutEnds()
	s = noisy(s, 0.05, rand.New(rand.NewPCG(1, 1)))
	for i := range n {
		s.Readings.Runs[0].Values[i] += rate * float64(i)
		s.Readings.Runs[1].Values[i] += rate * float64(2*n-i)
	}
	p := reduce(t, s)
	near(t, "drift, arcsec", p.Warnings[0].Size/arcsec, rate*2*n, 0.4)
	near(t, "σ of a reading, arcsec", p.ReadingSigma/arcsec, 0.05, 0.03)
	sigma := p.AboutEnds().Sigma()
	for i, h := range p.AboutEnds().Height {
		near(t, "height, m", h, clean.Height[i], 5*sigma[i]+1e-15)
	}
	near(t, "middle, m", shape.AboutEnds().Y[n/2], p.AboutEnds().Height[n/2], 5*sigma[n/2])
	if !told(p, Drifted) {
		t.Errorf("%v", p.Warnings)
	}
	s.Readings.Runs[0], s.Readings.Runs[1] = s.Readings.Runs[1], s.Readings.Runs[0]
	near(t, "drift with the columns the other way round", reduce(t, s).Warnings[0].Size, p.Warnings[0].Size, 1e-15)
}

// A knock is named with its station and size, and the truth stays within the
// band although the mean holds half of it.
func TestKnock(t *testing.T) {
	const n, at, size = 20, 8, 3.0
	s, shape := bowed(n)
	s = noisy(s, 0.2, rand.New(rand.NewPCG(2, 2)))
	for i := range n {
		s.Readings.Runs[1].Values[i] += size
		if i >= at {
			s.Readings.Runs[0].Values[i] += size
		}
	}
	p := reduce(t, s)
	if !told(p, Knocked) || p.Warnings[0].Row != at {
		t.Fatalf("%v", p.Warnings)
	}
	near(t, "the second run lacks, arcsec", p.Warnings[0].Size/arcsec, -size, 0.5)
	about, sigma := p.AboutEnds(), p.AboutEnds().Sigma()
	off := math.Abs(about.Height[at] - shape.AboutEnds().Y[at])
	bend := size / 2 * arcsec * s.Base * at * (n - at) / n // of the mean, at the knock
	near(t, "the mean is bent, m", off, bend, 0.3*bend)
	near(t, "and its band says so, m", sigma[at], bend, 0.3*bend)
	near(t, "σ of a reading, arcsec", p.ReadingSigma/arcsec, 0.2, 0.1)
}

// Two slips in one run, which would hide each other from a test of one.
func TestSlips(t *testing.T) {
	s, _ := bowed(20)
	s.Readings.Runs = append(s.Readings.Runs, s.Readings.Runs[0])
	s.Readings.Runs[0].Name, s.Readings.Runs[1].Name, s.Readings.Runs[2].Name = "run 1", "run 2", "run 3"
	s = noisy(s, 0.2, rand.New(rand.NewPCG(3, 3)))
	s.Readings.Runs[1].Values[4] += 10
	s.Readings.Runs[1].Values[13] -= 10
	p := reduce(t, s)
	if !told(p, Misread, Misread) || p.Warnings[0].Run != "run 2" || p.Warnings[0].Row+p.Warnings[1].Row != 4+13 || p.Warnings[0].Size*p.Warnings[1].Size > 0 {
		t.Errorf("%v", p.Warnings)
	}
	for _, w := range p.Warnings {
		near(t, "slip, arcsec", math.Abs(w.Size)/arcsec, 10, 0.8)
	}
	near(t, "σ of a reading, arcsec", p.ReadingSigma/arcsec, 0.2, 0.06)
}

func TestSteadyRunsAreNotAccused(t *testing.T) {
	const trials = 1000
	s, _ := bowed(16)
	random := rand.New(rand.NewPCG(4, 4))
	accused := 0
	for range trials {
		if p := reduce(t, noisy(s, 0.4, random)); len(p.Warnings) > 0 {
			accused++
		}
	}
	// an event at 1 %, a little more for the later rounds; the constant at 3σ√(n/2) hardly ever
	if accused > trials*25/1000 {
		t.Errorf("%d of %d clean surveys were doubted", accused, trials)
	}
}

// A knock of six times the noise in the middle is seen nearly always: the means
// of ten and ten differences differ by 6σ with a spread of σ√2·√(2/10), nine spreads.
func TestKnocksAreSeen(t *testing.T) {
	const trials = 300
	s, _ := bowed(20)
	floats.AddConst(2.4, s.Readings.Runs[1].Values[10:])
	random := rand.New(rand.NewPCG(5, 5))
	seen := 0
	for range trials {
		if p := reduce(t, noisy(s, 0.4, random)); slices.ContainsFunc(p.Warnings, func(w Warning) bool { return w.Kind == Knocked }) {
			seen++
		}
	}
	if seen < trials*98/100 {
		t.Errorf("%d of %d knocks were seen", seen, trials)
	}
}

func TestTurnedSignAndOtherScale(t *testing.T) {
	for _, c := range []struct {
		factor float64
		runs   int
		want   []WarningKind
		than   string
	}{
		{-1, 2, []WarningKind{TurnedSign}, "out"}, {2, 2, []WarningKind{OtherScale}, "out"}, {0.5, 2, []WarningKind{OtherScale}, "out"}, {1, 2, nil, ""},
		{-1, 3, []WarningKind{TurnedSign}, ""}, {2, 3, []WarningKind{OtherScale}, ""}, {1, 3, nil, ""},
	} {
		s, _ := bowed(20)
		s.Readings.Runs = append(s.Readings.Runs, Run{"again", s.Readings.Runs[0].Values})[:c.runs]
		s = noisy(s, 0.4, rand.New(rand.NewPCG(6, 6)))
		floats.Scale(c.factor, s.Readings.Runs[1].Values)
		p := reduce(t, s)
		if !told(p, c.want...) || len(c.want) > 0 && (p.Warnings[0].Than != c.than || math.Abs(p.Warnings[0].Size/c.factor-1) > 0.15) {
			t.Errorf("back of %d runs times %v: %v", c.runs, c.factor, p.Warnings)
		}
	}
}

// A twentieth more or less is no other unit.
func TestNearlyOneScale(t *testing.T) {
	for _, factor := range []float64{0.95, 1.05} {
		s, _ := bowed(20)
		s = noisy(s, 0.02, rand.New(rand.NewPCG(8, 8)))
		floats.Scale(factor, s.Readings.Runs[1].Values)
		if p := reduce(t, s); slices.ContainsFunc(p.Warnings, func(w Warning) bool { return w.Kind == OtherScale }) {
			t.Errorf("times %g: %v", factor, p.Warnings)
		}
	}
}

func TestConstantBetweenRuns(t *testing.T) {
	s, _ := bowed(20)
	s = noisy(s, 0.2, rand.New(rand.NewPCG(7, 7)))
	straight := reduce(t, s).Shape().Straightness()
	floats.AddConst(5, s.Readings.Runs[1].Values)
	p := reduce(t, s)
	if !told(p, Shifted) || math.Abs(p.Warnings[0].Size/arcsec-5) > 0.3 || p.Warnings[0].Bow != 0 {
		t.Errorf("%v", p.Warnings)
	}
	near(t, "at the far end, m", p.Warnings[0].Apart, 20*p.Warnings[0].Size*s.Base, 1e-12)
	near(t, "straightness, m", p.Shape().Straightness().MinimumZone, straight.MinimumZone, 1e-12)
	s.Readings.Runs[0].Name, s.Readings.Runs[1].Name = "run 1", "run 2"
	// a zero that drifts by δ in every run bends slopes by δ, a bow of δbn/8
	if p = reduce(t, s); !told(p, Shifted) || math.Abs(p.Warnings[0].Bow/(20*p.Warnings[0].Size*s.Base/8)-1) > 1e-9 {
		t.Errorf("%v", p.Warnings)
	}
}

// Of two runs that part steadily by δ either could have drifted: the mean slopes by
// δ/2 over n steps of b, a bow of δbn/16.
func TestRunsThatPart(t *testing.T) {
	s, _ := bowed(20)
	s = noisy(s, 0.05, rand.New(rand.NewPCG(12, 12)))
	s.Readings.Runs[0].Name, s.Readings.Runs[1].Name = "run 1", "run 2"
	for i := range 20 {
		s.Readings.Runs[1].Values[i] += 6 * float64(i) / 19
	}
	p := reduce(t, s)
	if len(p.Warnings) == 0 || p.Warnings[0].Kind != Parted {
		t.Fatalf("%v", p.Warnings)
	}
	near(t, "bow, m", p.Warnings[0].Bow, 6*arcsec*s.Base*20/16, 0.05*6*arcsec*s.Base*20/16)
}

// A constant of up to three times the noise is no news.
func TestSmallConstant(t *testing.T) {
	s, _ := bowed(20)
	s.Uncertainty = 0.2 * arcsec
	for times, want := range map[float64][]WarningKind{2.5: nil, 3.5: {Shifted}} {
		run := noisy(s, 0.02, rand.New(rand.NewPCG(11, 11)))
		floats.AddConst(times*0.2, run.Readings.Runs[1].Values)
		if p := reduce(t, run); !told(p, want...) {
			t.Errorf("%v times the noise: %v", times, p.Warnings)
		}
	}
}

// Whatever the readings are, a profile is finite and its covariance is one.
func TestAnyReadingsGiveFiniteNumbers(t *testing.T) {
	value := rapid.OneOf(rapid.Float64Range(-2e4, 2e4), rapid.Map(rapid.IntRange(-2, 2), func(k int) float64 { return float64(k) }))
	rapid.Check(t, func(t *rapid.T) {
		s, _ := drawSurvey(t)
		s.Scale, s.Uncertainty = arcsec, rapid.SampledFrom([]float64{0, 1e-7}).Draw(t, "uncertainty")
		n := s.rows()
		s.Readings.Runs = nil
		for r := range rapid.IntRange(1, 4).Draw(t, "runs") {
			s.Readings.Runs = append(s.Readings.Runs, Run{fmt.Sprintf("run %d", r+1), rapid.SliceOfN(value, n, n).Draw(t, "values")})
		}
		p, err := Reduce(s)
		if err != nil {
			t.Fatal(err)
		}
		var eigen mat.EigenSym
		eigen.Factorize(p.AboutEnds().Cov, false)
		v := eigen.Values(nil)
		if most := v[len(v)-1]; v[0] < -1e-9*most {
			t.Fatalf("a covariance with an eigenvalue of %v beside %v", v[0], most)
		}
		for _, x := range slices.Concat(p.Height, p.Sigma(), v, []float64{p.ZoneSigma(), p.ReadingSigma}) {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				t.Fatalf("%+v", p)
			}
		}
		if !(p.ReadingSigma > 0) {
			t.Fatal("readings without any uncertainty")
		}
	})
}

func BenchmarkReduce(b *testing.B) {
	for _, n := range []int{60, 1000} {
		s, _ := bowed(n)
		s = noisy(s, 0.4, rand.New(rand.NewPCG(8, 8)))
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				if _, err := Reduce(s); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
