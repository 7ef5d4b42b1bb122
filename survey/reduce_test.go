package survey

import (
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"footwork/beam/shape"

	"pgregory.net/rapid"
)

const (
	arcsec = math.Pi / 180 / 3600
	inch   = 0.0254
	foot   = 12 * inch
	µm     = 1e-6
)

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %.9g, want %.9g within %.2g", what, got, want, within)
	}
}

// told tells whether a profile's warnings are of these kinds, in this order.
func told(p Profile, kinds ...WarningKind) bool {
	return slices.EqualFunc(p.Warnings, kinds, func(w Warning, k WarningKind) bool { return w.Kind == k })
}

func reduce(t testing.TB, s Survey) Profile {
	t.Helper()
	p, err := Reduce(s)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// slopeSurvey returns a survey by autocollimator in seconds of arc.
func slopeSurvey(base float64, runs ...Run) Survey {
	return Survey{Name: "front way", Instrument: Autocollimator, Base: base, Unit: "arcsec", Scale: arcsec, Readings: Readings{Runs: runs}}
}

// A lecture's slides on straightness by autocollimator: seven rows out and back
// in minutes and seconds, the first the datum, 100 mm base, 0.5 µm a second
// taken for the base; published straightness 3 µm (+2, −1).
func TestLectureExample(t *testing.T) {
	// rows 1 to 6; what the datum row read only tilts the profile
	s := slopeSurvey(0.1,
		Run{"out", []float64{128, 131, 135, 128, 129, 134}},
		Run{"back", []float64{132, 135, 139, 128, 131, 134}})
	s.Scale = 5e-6
	p := reduce(t, s)
	about := p.AboutEnds()
	for i, want := range []float64{0, -1, -0.5, 2, 0, -1, 0} {
		near(t, "height about the ends, µm", about.Height[i]/µm, want, 1e-4)
	}
	got := p.Shape().Straightness()
	near(t, "ends, µm", got.Ends/µm, 3, 1e-4)
	near(t, "least squares, µm", got.LeastSquares/µm, 3.0357, 1e-4)
	near(t, "minimum zone, µm", got.MinimumZone/µm, 3, 1e-4)
	s.Scale = arcsec // unrounded, 0.4848 µm
	near(t, "ends with the second unrounded, µm", reduce(t, s).Shape().Straightness().Ends/µm, 2.9088, 1e-4)
}

// A student's laboratory report on a milling-machine edge: nine readings of an
// autocollimator that falls when the far foot rises, 0.5 µm a second for the
// base; an arithmetic check. Two slips of its print are corrected: height 6 is
// 46.15, not 45.15, and error 5 is positive.
func TestLaboratoryReport(t *testing.T) {
	read := []float64{268.15, 256.9, 256.7, 247.65, 243.5, 243.7, 232.1, 232.5, 226}
	run := Run{Name: "run 1"}
	for _, v := range read {
		run.Values = append(run.Values, read[0]-v)
	}
	s := slopeSurvey(0.1, run)
	s.Scale = 5e-6
	p := reduce(t, s)
	heights := []float64{0, 0, 5.625, 11.35, 21.6, 33.925, 46.15, 64.175, 82.0, 103.075}
	errors := []float64{0, 11.4528, 17.2806, 23.0084, 24.2112, 23.3389, 22.5667, 15.9944, 9.6222, 0}
	about := p.AboutEnds().Height
	for i := range heights {
		near(t, "height, µm", p.Height[i]/µm, heights[i], 1e-4)
		near(t, "error, µm", -about[i]/µm, errors[i], 1.5e-4)
	}
	got := p.Shape().Straightness()
	near(t, "ends, µm", got.Ends/µm, 24.2111, 1e-4)
	near(t, "least squares, µm", got.LeastSquares/µm, 24.7309, 1e-4)
	near(t, "minimum zone, µm", got.MinimumZone/µm, 24.2111, 1e-4)
	if !told(p, AssumedNoise) {
		t.Errorf("one run without uncertainty: %v", p.Warnings)
	}
}

// What one reading of an instrument is worth over its base.
func TestOneReading(t *testing.T) {
	for _, c := range []struct {
		name        string
		scale, base float64
		reading, in float64
		want, half  float64 // half a unit of the last digit at hand
	}{
		{"1 arcsec over 1 m, µm (definition)", arcsec, 1, 1, µm, 4.848137, 5e-7},
		{"1 arcsec over 100 mm, µm (definition)", arcsec, 0.1, 1, µm, 0.48481, 5e-6},
		{"10 arcsec over 1 ft, in (US Navy manual on lathe levelling)", arcsec, foot, 10, inch, 0.000582, 5e-7},
		{"4.1253 arcsec over 1 m, mm: a level of 0.02 mm/m (definition)", arcsec, 1, 4.1253, 1e-3, 0.02, 5e-7},
		{"a level of 0.0005 in/ft over 1 m, µm (definition)", 0.0005 / 12, 1, 1, µm, 41.667, 5e-4},
		{"8.594 arcsec over 1 ft, in: the same level", arcsec, foot, 8.594, inch, 0.0005, 5e-8},
		{"0.1 arcsec over 6 in, millionths (common practice, no source)", arcsec, 6 * inch, 0.1, inch * 1e-6, 3, 0.5},
	} {
		s := slopeSurvey(c.base, Run{"run 1", []float64{c.reading, 0}})
		s.Scale = c.scale
		near(t, c.name, reduce(t, s).Height[1]/c.in, c.want, c.half)
		s.Doubled = true
		near(t, c.name+", doubled", reduce(t, s).Height[1]/c.in, c.want/2, c.half)
	}
}

// A 0.016 in steel wire of 0.0007 lb/ft pulled by 30 lb sags wL²/8T: printed
// 0.0003 ft over 10 ft and 0.03 ft over 100 ft, 0.0225 ft at 25 ft from the
// middle (an archived discussion of taut wires). A way that follows it shows it
// to the indicator and, step by step, to the level.
func TestTautWire(t *testing.T) {
	for _, c := range []struct{ length, printed, half float64 }{{10, 0.0003, 5e-5}, {100, 0.03, 5e-3}} {
		wire := shape.Shape{}
		for i := range 41 {
			x := c.length * float64(i) / 40
			wire.X = append(wire.X, x*foot)
			wire.Y = append(wire.Y, -0.0007*x*(c.length-x)/(2*30)*foot)
		}
		level := Survey{Instrument: Level, Base: wire.X[1], Scale: 0.02e-3, Unit: "div"}
		heights := Survey{Instrument: Heights, Scale: inch, XScale: foot, Unit: "in", Readings: Readings{}}
		for _, x := range wire.X {
			heights.Readings.X = append(heights.Readings.X, x/foot)
		}
		for s, n := range map[*Survey]int{&level: 40, &heights: 41} {
			s.Readings.Runs = []Run{{"run 1", make([]float64, n)}}
			_, s.Readings.Runs[0].Values = s.Expect(wire)
			about := reduce(t, *s).AboutEnds()
			near(t, "sag, ft", -about.Height[20]/foot, c.printed, c.half)
			near(t, "a quarter of the way, ft", -about.Height[10]/foot, 0.75*0.0007*c.length*c.length/8/30, 1e-9)
			near(t, "zone, ft", about.Shape().Straightness().MinimumZone/foot, 0.0007*c.length*c.length/8/30, 1e-9)
		}
	}
}

// drawSurvey returns a survey with empty readings and a shape it could find.
func drawSurvey(t *rapid.T) (Survey, shape.Shape) {
	n := rapid.IntRange(2, 30).Draw(t, "n")
	s := Survey{
		Instrument: rapid.SampledFrom([]Instrument{Autocollimator, Level, Heights, CrossLevel}).Draw(t, "instrument"),
		Base:       rapid.Float64Range(0.05, 0.5).Draw(t, "base"),
		Start:      rapid.Float64Range(-0.2, 1).Draw(t, "start"),
		Scale:      rapid.Float64Range(1e-6, 1e-4).Draw(t, "scale"),
		XScale:     rapid.SampledFrom([]float64{1, 1e-3, inch}).Draw(t, "x scale"),
		Doubled:    rapid.Bool().Draw(t, "doubled"),
		Readings:   Readings{Runs: []Run{{"run 1", make([]float64, n)}}},
	}
	if !s.Slopes() {
		for i := range n {
			s.Readings.X = append(s.Readings.X, float64(i)+rapid.Float64Range(0, 0.9).Draw(t, "x"))
		}
		rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "order"), 0)).Shuffle(n, func(i, j int) {
			s.Readings.X[i], s.Readings.X[j] = s.Readings.X[j], s.Readings.X[i]
		})
	}
	shape := shape.Shape{X: s.stations()}
	for range shape.X {
		shape.Y = append(shape.Y, rapid.Float64Range(-1e-3, 1e-3).Draw(t, "y"))
	}
	return s, shape
}

func TestReduceOfReadingsIsTheShape(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, shape := drawSurvey(t)
		_, s.Readings.Runs[0].Values = s.Expect(shape)
		p, err := Reduce(s)
		if err != nil {
			t.Fatal(err)
		}
		first := 0.0
		if s.Slopes() {
			first = shape.Y[0]
			if p.Height[0] != 0 || p.Cov.At(0, 0) != 0 {
				t.Fatal("the first height is not exactly zero")
			}
		}
		for i, h := range p.Height {
			if p.X[i] != shape.X[i] || math.Abs(h-(shape.Y[i]-first)) > 1e-14 {
				t.Fatalf("station %d: %v at %v, want %v at %v", i, h, p.X[i], shape.Y[i]-first, shape.X[i])
			}
		}
	})
}

// A constant error of the zero changes no straightness, and a wrong scale
// scales it.
func TestZeroAndScaleErrors(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, shape := drawSurvey(t)
		_, s.Readings.Runs[0].Values = s.Expect(shape)
		a, err := Reduce(s)
		zero := rapid.Float64Range(-1e-3, 1e-3).Draw(t, "zero") / s.One()
		for i := range s.Readings.Runs[0].Values {
			s.Readings.Runs[0].Values[i] += zero
		}
		s.Scale *= 1.05
		b, err2 := Reduce(s)
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		// tan is straight to θ³/3: 0.02 rad³ and its change by the zero
		was, is := a.Shape().Straightness(), b.Shape().Straightness()
		if within := 1e-3*was.Ends + 1e-12; math.Abs(is.Ends-1.05*was.Ends) > within || math.Abs(is.MinimumZone-1.05*was.MinimumZone) > within {
			t.Fatalf("%v became %v", was, is)
		}
	})
}

func TestReduceRefuses(t *testing.T) {
	good := slopeSurvey(0.15, Run{"run 1", []float64{1, 2, 3}}, Run{"run 2", []float64{1, 2, 4}})
	reduce(t, good)
	near := good
	near.Readings.X = []float64{1, 2, 3.009} // steps within a hundredth are alike
	reduce(t, near)
	for _, c := range []struct {
		name  string
		want  Error
		spoil func(*Survey)
	}{
		{"no readings", Error{Kind: tooFewRows, Row: -1}, func(s *Survey) { s.Readings = Readings{} }},
		{"one reading", Error{Kind: tooFewRows, Row: -1, Value: 1}, func(s *Survey) { s.Readings.Runs = []Run{{"run 1", []float64{1}}} }},
		{"heights without stations", Error{Kind: noStations, Row: -1, Value: 3}, func(s *Survey) { s.Instrument, s.XScale = Heights, 1 }},
		{"the same station twice", Error{Kind: StationTwice, Row: 2, Value: 2}, func(s *Survey) { s.Instrument, s.XScale, s.Readings.X = Heights, 1, []float64{2, 1, 2} }},
		{"rows from the far end", Error{Kind: StationBack, Row: 1, Value: 2, Other: 3}, func(s *Survey) { s.Readings.X = []float64{3, 2, 1} }},
		{"a gap in the steps", Error{Kind: StationApart, Row: 2, Value: 4, Other: 2, First: 1}, func(s *Survey) { s.Readings.X = []float64{1, 2, 4} }},
		{"a gap of little more than a hundredth", Error{Kind: StationApart, Row: 2, Value: 2.989, Other: 2, First: 1}, func(s *Survey) { s.Readings.X = []float64{1, 2, 2.989} }},
		{"wrong unit", Error{Kind: TooSteep, Row: 1, Run: "run 1", Value: 0.22}, func(s *Survey) { s.Scale = 0.11 }},
	} {
		s := good
		s.Readings.Runs = slices.Clone(good.Readings.Runs)
		c.spoil(&s)
		c.want.Survey = s.Name
		_, err := Reduce(s)
		var got *Error
		if !errors.As(err, &got) || *got != c.want {
			t.Errorf("%s: %+v, want %+v", c.name, got, c.want)
		}
	}
}

func TestStepAgainstBase(t *testing.T) {
	s := slopeSurvey(0.15, Run{"run 1", []float64{1, 2, 3}})
	s.Uncertainty, s.XScale = arcsec, 1e-3
	for step, want := range map[float64][]WarningKind{150: nil, 1: nil, 151.4: nil, 151.6: {StepUnlikeBase}, 148.4: {StepUnlikeBase}} {
		s.Readings.X = []float64{step, 2 * step, 3 * step}
		if p := reduce(t, s); !told(p, want...) {
			t.Errorf("steps of %v mm on a base of 150: %v", step, p.Warnings)
		}
	}
}

// Of a survey of very many stations some are reckoned with, the first and the last among them, with
// the heights and the covariance that they have among all: of slopes b²σ² a step walked before the
// earlier of the two.
func TestManyStations(t *testing.T) {
	const n, base, sigma = 1000, 0.01, 2 * arcsec
	s := slopeSurvey(base, Run{Name: "run 1"})
	s.Uncertainty = sigma
	shape := shape.Shape{X: s.stations()}
	for i := range n + 1 {
		x := float64(i) * base
		shape.X, shape.Y = append(shape.X[:i], x), append(shape.Y, 20*µm*(math.Sin(x)+x/3))
	}
	s.Readings.Runs[0].Values = make([]float64, n)
	_, s.Readings.Runs[0].Values = s.Expect(shape)
	p := reduce(t, s)
	if k := len(p.X); k > mostStations || k < mostStations/2 || p.X[0] != 0 {
		t.Fatalf("%d stations from %g", k, p.X[0])
	}
	if !told(p, ManyStations) || p.Warnings[0].Other != n+1 {
		t.Errorf("told %+v", p.Warnings)
	}
	near(t, "the last station, m", p.X[len(p.X)-1], n*base, 1e-12)
	for i, x := range p.X {
		near(t, "height, m", p.Height[i], shape.At(x), 1e-14)
		for j := i; j < len(p.X); j++ {
			near(t, "covariance, m²", p.Cov.At(i, j), base*x*sigma*sigma, 1e-6*base*sigma*sigma)
		}
	}
}
