package agree

import (
	"math"
	"math/rand/v2"
	"testing"

	"footwork/beam/shape"
	"footwork/survey"
)

// truth is an invented bed: what both ways share, and in what they differ.
type truth struct {
	length        float64
	common, apart []float64 // m, amplitudes of half-waves over the length
	twist         float64   // m over the length
	r             *rand.Rand
}

func newTruth(seed uint64) *truth {
	r := rand.New(rand.NewPCG(seed, 7))
	t := &truth{length: 2.5 + 4*r.Float64(), twist: 60 * µm * r.NormFloat64(), r: r}
	for k := range 8 {
		fall := 1 / (1 + 0.5*float64(k))
		t.common = append(t.common, 10*µm*fall*r.NormFloat64())
		t.apart = append(t.apart, 5*µm*fall*r.NormFloat64())
	}
	return t
}

// height is that of a way, m.
func (t *truth) height(offset, x float64) float64 {
	h := offset / 0.5 * t.twist * x / t.length
	for k := range t.common {
		wave := math.Sin(math.Pi * float64(k+1) * x / t.length)
		h += (t.common[k] + math.Copysign(t.apart[k], offset)) * wave
	}
	return h
}

func (t *truth) shape(offset float64) (s shape.Shape) {
	for i := range 401 {
		x := t.length * float64(i) / 400
		s.X, s.Y = append(s.X, x), append(s.Y, t.height(offset, x))
	}
	return s
}

// cross is the slope across the bed.
func (t *truth) cross() shape.Shape {
	front, back := t.shape(-0.25), t.shape(0.25)
	for i := range back.Y {
		back.Y[i] = (back.Y[i] - front.Y[i]) / 0.5
	}
	return back
}

// read returns a survey with readings of a shape to a tenth of their unit, noise in
// that unit, and a zero that drifts a little from the first reading out to the last
// back.
func (t *truth) read(s survey.Survey, of shape.Shape, noise float64) survey.Survey {
	s.Standing = "shop floor"
	n := int((t.length - 0.1) / s.Base)
	if s.Instrument == survey.CrossLevel {
		s.Readings.X = nil
		for x := 0.1; x < t.length; x += 0.3 {
			s.Readings.X = append(s.Readings.X, x)
		}
		n, s.XScale = len(s.Readings.X), 1
	}
	for _, name := range []string{"out", "back"} {
		s.Readings.Runs = append(s.Readings.Runs, survey.Run{Name: name, Values: make([]float64, n)})
	}
	_, clean := s.Expect(of)
	drift := noise / float64(n) * t.r.NormFloat64() // from one reading to the next
	for back, run := range s.Readings.Runs {
		for i, v := range clean {
			when := float64(i + 2*back*(n-i))
			run.Values[i] = math.Round(10*(v+noise*t.r.NormFloat64()+drift*when)) / 10
		}
	}
	return s
}

// surveys is a day's work on the bed: both ways by collimator, one of them by level
// too, and the cross level.
func (t *truth) surveys() []survey.Survey {
	sight := survey.Survey{Instrument: survey.Autocollimator, Unit: "arcsec", Scale: arcsec, Base: 0.15, Start: 0.05}
	level := survey.Survey{Instrument: survey.Level, Unit: "div", Scale: 2e-5, Base: 0.2, Start: 0.05}
	name := func(s survey.Survey, name, way string) survey.Survey { s.Name, s.Way = name, way; return s }
	sigma := 0.2 + 0.3*t.r.Float64()
	list := []survey.Survey{
		t.read(name(sight, "front", "front"), t.shape(-0.25), sigma),
		t.read(name(sight, "back", "back"), t.shape(0.25), sigma),
		t.read(survey.Survey{Name: "twist", Instrument: survey.CrossLevel, Unit: "div", Scale: 2e-5}, t.cross(), 0.05+0.05*t.r.Float64()),
		t.read(name(level, "front by level", "front"), t.shape(-0.25), 0.08),
	}
	if t.r.IntN(2) == 0 {
		for i := range list {
			list[i].Uncertainty = []float64{0.5 * arcsec, 0.5 * arcsec, 0.1 * 2e-5, 0.1 * 2e-5}[i]
		}
	}
	return list
}

func records(t testing.TB, list []survey.Survey) (out []survey.Record) {
	for _, s := range list {
		p, err := survey.Reduce(s)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, survey.Record{Survey: s, Profile: p})
	}
	return out
}

func each(s *survey.Survey, do func([]float64)) {
	for _, run := range s.Readings.Runs {
		do(run.Values)
	}
}

func scale(v []float64, by float64) {
	for i := range v {
		v[i] *= by
	}
}
