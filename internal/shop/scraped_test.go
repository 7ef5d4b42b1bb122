package shop

import (
	"math"
	"testing"

	"footwork/beam/shape"
)

// A pass that ended between two stations before the last survey stands there as a step: what
// straight lines between the stations show too high is taken off, what they show too low is
// left standing, and on a flank only where it was scraped. What came off since comes off everywhere.
func TestPassesEndBetweenStations(t *testing.T) {
	d := scraped{before: []stop{{shape.Span{From: 0, To: 1.2}, 6e-6, 0}, {shape.Span{From: 2, To: 3}, 4e-6, 1}}, stations: []float64{0, 1, 2, 3}}
	same := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-12 {
			t.Errorf("%s: %g, want %g", what, got, want)
		}
	}
	x := []float64{0.5, 1, 1.1, 1.6, 2.5}
	for flank, want := range [][]float64{{0, 0, 0.6e-6, -2.4e-6, 0}, {0, 0, 0.6e-6 - 0.4e-6, -2.4e-6 - 2.4e-6, 0}} {
		taken := d.taken(x)[flank]
		for i := range x {
			same("taken before", taken[i], want[i])
		}
	}
	d.since = []stop{{shape.Span{From: 1.05, To: 3}, 2e-6, 0}}
	same("taken since", d.taken(x)[0][2], 2.6e-6)
	same("taken since, at a station", d.taken(x)[0][1], 0)
	for _, s := range d.between(d.stations) {
		for i, at := range s.X {
			if at == math.Round(at) && s.Y[i] != 0 {
				t.Errorf("at the station at %g m %g more", at, s.Y[i])
			}
		}
		for i := 1; i < len(s.X); i++ {
			if s.X[i]-s.X[i-1] > near+1e-9 {
				t.Errorf("from %g to %g m nothing is looked at", s.X[i-1], s.X[i])
			}
		}
	}
	same("before and since", d.between(d.stations)[0].At(1.1), -0.6e-6+2e-6*(0.1-1))
	if got := (scraped{stations: d.stations}).between(d.stations); got != nil {
		t.Errorf("%v where nothing was scraped", got)
	}
}

// What was scraped before a survey of the way, and what since, is told by the log; a pad and
// another survey are neither.
func TestScrapedByTheLog(t *testing.T) {
	d := humped(t, "2 µm", "2026-12-01,scrape,front,0..1200 mm 2 passes,\n", "2026-12-02,survey,front,hump.csv,\n", "2026-12-03,scrape,front,\"3 passes, 7 µm\",\n", "2026-12-03,scrape,front,pad 12 µm in 4 passes,\n").scraped(0)
	if len(d.before) != 1 || d.before[0].To != 1.2 || len(d.since) != 1 || d.since[0].To != 3 || d.since[0].deep != 7e-6 || d.passes != 3 || len(d.stations) != 13 {
		t.Errorf("%+v", d)
	}
}
