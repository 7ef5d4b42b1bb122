package survey

import "testing"

// Surveys of one standing are of one bed where nobody touched a foot between them and the
// table stood within a centimetre of where it stood, or was off for both.
func TestUndisturbed(t *testing.T) {
	at := func(x float64) *float64 { return &x }
	now := Record{Survey: Survey{Standing: "floor", TableAt: at(0.7)}, Epoch: 2}
	for name, c := range map[string]struct {
		other Record
		want  bool
	}{
		"alike":              {Record{Survey: Survey{Standing: "floor", TableAt: at(0.709)}, Epoch: 2}, true},
		"table to the right": {Record{Survey: Survey{Standing: "floor", TableAt: at(0.711)}, Epoch: 2}, false},
		"table to the left":  {Record{Survey: Survey{Standing: "floor", TableAt: at(0.689)}, Epoch: 2}, false},
		"table off":          {Record{Survey: Survey{Standing: "floor"}, Epoch: 2}, false},
		"a foot touched":     {Record{Survey: Survey{Standing: "floor", TableAt: at(0.7)}, Epoch: 3}, false},
		"another standing":   {Record{Survey: Survey{Standing: "blocks", TableAt: at(0.7)}, Epoch: 2}, false},
	} {
		if got := now.Undisturbed(c.other); got != c.want || c.other.Undisturbed(now) != got {
			t.Errorf("%s: %v", name, got)
		}
	}
	if off := (Record{Survey: Survey{Standing: "floor"}}); !off.Undisturbed(off) {
		t.Error("the table off twice is one place")
	}
}

// A reading that stands alone is as uncertain as the job says of an angle shown twice.
func TestUncertaintyOfOneReading(t *testing.T) {
	s := Survey{Instrument: Autocollimator, Uncertainty: 0.4 * arcsec}
	near(t, "as given, arcsec", s.OneReading()/arcsec, 0.4, 1e-12)
	s.Doubled = true
	near(t, "of a doubled angle, arcsec", s.OneReading()/arcsec, 0.2, 1e-12)
	s.Uncertainty = 0
	near(t, "of an ordinary instrument, arcsec", s.OneReading()/arcsec, 0.5, 1e-12)
}

// How far each reading lies from the mean of its row: of two runs half their difference,
// one above and one below, in the instrument's own unit.
func TestSpread(t *testing.T) {
	s := slopeSurvey(0.15, Run{"run 1", []float64{3, 5, 4}}, Run{"run 2", []float64{4, 5, 1}})
	p := reduce(t, s)
	for i, want := range []float64{0.5, 0, -1.5} {
		near(t, "run 1", p.Spread[0].Values[i], -want, 1e-9)
		near(t, "run 2", p.Spread[1].Values[i], want, 1e-9)
	}
}
