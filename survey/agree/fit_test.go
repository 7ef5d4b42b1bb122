package agree

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"footwork/beam/shape"
	"footwork/survey"
)

// Two surveys are compared from two stations more than terms are taken out: two of a line, one of a level's zero.
func TestStationsThatAreCompared(t *testing.T) {
	for instrument, fewest := range map[survey.Instrument]int{survey.Heights: 4, survey.CrossLevel: 3} {
		for n := fewest - 1; n <= fewest; n++ {
			one := survey.Record{Survey: survey.Survey{Instrument: instrument, Uncertainty: 1}, Profile: survey.Profile{X: shape.Even(0, 1, n), Height: make([]float64, n), Cov: mat.NewSymDense(n, nil)}}
			for i := range n {
				one.Profile.Cov.SetSym(i, i, 1)
			}
			if _, ok := (constraint{}).fit([]survey.Record{one, one}); ok != (n == fewest) {
				t.Errorf("%s, %d stations: compared %v", instrument, n, ok)
			}
		}
	}
}

// Two surveys of one way by slopes at the same stations: with the line taken out
// their heights differ as their slopes less the mean slope do, which are
// independent, so rᵀC⁻¹r is the sum of squares over the variance of a difference.
func TestMisfitOfSlopes(t *testing.T) {
	tr := newTruth(3)
	list := tr.surveys()[:1]
	again := tr.read(survey.Survey{Name: "again", Way: "front", Instrument: survey.Autocollimator, Unit: "arcsec", Scale: arcsec, Base: 0.15, Start: 0.05}, tr.shape(-0.25), 0.5)
	list = append(list, again)
	for i := range list {
		list[i].Uncertainty = 0.6 * arcsec
	}
	r := records(t, list)
	m, ok := constraint{of: []int{0, 1}}.fit(r)
	n := len(r[0].Profile.X) - 1
	var d []float64
	for i := range n {
		one := func(p survey.Profile) float64 { return (p.Height[i+1] - p.Height[i]) / 0.15 }
		d = append(d, one(r[1].Profile)-one(r[0].Profile))
	}
	mean, want := 0.0, 0.0
	for _, v := range d {
		mean += v / float64(n)
	}
	for _, v := range d {
		want += (v - mean) * (v - mean) / (0.36 * arcsec * arcsec) // two means of two runs
	}
	if !ok || math.Abs(m.squares/want-1) > 1e-3 || m.free != n-1 {
		t.Errorf("%v with %d degrees of freedom, not %v with %d", m.squares, m.free, want, n-1)
	}
	for i := range r { // nobody gave their noise and no repeats told it: three times as much is let pass
		r[i].Survey.Uncertainty, r[i].Profile.Free = 0, 0
	}
	if unsure, _ := (constraint{of: []int{0, 1}}).fit(r); math.Abs(unsure.squares*9/m.squares-1) > 1e-9 {
		t.Errorf("%v of surveys of assumed noise, not a ninth of %v", unsure.squares, m.squares)
	}
	cold, warm, same := 0.0, 0.05, 0.01
	for g, want := range map[*float64]bool{nil: false, &warm: true, &same: false} {
		r[0].Survey.Gradient, r[1].Survey.Gradient = &cold, g
		if differ(r) != want {
			t.Errorf("warmed differently: %v at %v", !want, g)
		}
	}
}

// A bow between two surveys is told as what heat does, with its size; where the
// gradients were measured and differ it is no contradiction at all.
func TestHeat(t *testing.T) {
	tr := newTruth(8)
	list := tr.surveys()[:1]
	warm := tr.shape(-0.25)
	end := tr.length
	for i, x := range warm.X {
		warm.Y[i] += 12 * µm * 4 * x * (end - x) / (end * end)
	}
	list = append(list, tr.read(survey.Survey{Name: "noon", Way: "front", Instrument: survey.Autocollimator, Unit: "arcsec", Scale: arcsec, Base: 0.15, Start: 0.05}, warm, 0.2))
	found := Check(ways, records(t, list))
	if len(found) != 1 || len(found[0].Remedy) != 1 || found[0].Remedy[0].Slip != Warmed || found[0].Remedy[0].Survey != "noon" || math.Abs(found[0].Remedy[0].Bow/(12*µm)-1) > 0.2 {
		t.Errorf("%+v", found)
	}
	morning, noon := 0.0, 0.5
	list[0].Gradient, list[1].Gradient = &morning, &noon
	if found := Check(ways, records(t, list)); len(found) != 0 {
		t.Errorf("the heat was measured: %+v", found)
	}
}

// A place where two surveys differ is told, with its size.
func TestWhere(t *testing.T) {
	tr := newTruth(9)
	list := tr.surveys()[:1]
	dent := tr.shape(-0.25)
	at := 0.05 + 0.15*8
	for i, x := range dent.X {
		if math.Abs(x-at) < 0.1 {
			dent.Y[i] -= 8 * µm
		}
	}
	list = append(list, tr.read(survey.Survey{Name: "dented", Way: "front", Instrument: survey.Autocollimator, Unit: "arcsec", Scale: arcsec, Base: 0.15, Start: 0.05}, dent, 0.2))
	found := Check(ways, records(t, list))
	if len(found) != 1 || math.Abs(found[0].At-at) > 1e-9 || math.Abs(found[0].Off-8*µm) > 2*µm || found[0].Noise > µm {
		t.Errorf("%+v", found)
	}
}

// The degrees of freedom behind a difference of two like surveys are those of Welch
// and Satterthwaite: of 10 and 30 behind equal variances, 4/(1/10 + 1/30) = 30.
func TestDegreesBehind(t *testing.T) {
	tr := newTruth(3)
	r := records(t, append(tr.surveys()[:1:1], tr.read(survey.Survey{Name: "again", Way: "front", Instrument: survey.Autocollimator, Unit: "arcsec", Scale: arcsec, Base: 0.15, Start: 0.05}, tr.shape(-0.25), 0.4)))
	r[1].Profile.Cov = r[0].Profile.Cov
	r[0].Profile.Free, r[1].Profile.Free = 10, 30
	if m, _ := (constraint{of: []int{0, 1}}).fit(r); math.Abs(m.behind-30) > 1e-9 {
		t.Errorf("%v, not 30", m.behind)
	}
	if p := scaled(r[0].Profile, 2); math.Abs(p.Cov.At(5, 7)/r[0].Profile.Cov.At(5, 7)-4) > 1e-12 || p.Height[5] != 2*r[0].Profile.Height[5] {
		t.Error("readings twice as large have not four times the covariance")
	}
}

// Where nobody gave an uncertainty and one run tells none, an instrument that is
// twice as noisy as others is not doubted.
func TestAssumedNoiseIsNotHeldAgainstASurvey(t *testing.T) {
	for seed := range uint64(20) {
		tr := newTruth(seed)
		var list []survey.Survey
		for _, name := range []string{"morning", "noon"} {
			s := tr.read(survey.Survey{Name: name, Way: "front", Instrument: survey.Autocollimator, Unit: "arcsec", Scale: arcsec, Base: 0.15, Start: 0.05}, tr.shape(-0.25), 1)
			s.Readings.Runs = s.Readings.Runs[:1]
			list = append(list, s)
		}
		if found := Check(ways, records(t, list)); len(found) > 0 {
			t.Errorf("seed %d: %+v", seed, found)
		}
	}
}
