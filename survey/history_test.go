package survey

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"
)

// hollow is a profile of three stations, 0, −depth, 0, each height known to 0.2 µm.
func hollow(depth float64) Profile {
	p := Profile{X: []float64{0, 1, 2}, Height: []float64{0, -depth, 0}, Cov: mat.NewSymDense(3, nil)}
	for i := range 3 {
		p.Cov.SetSym(i, i, 0.04e-12)
	}
	return p
}

func TestHistorySeesWhatPassesBring(t *testing.T) {
	var records []Record
	for _, r := range []struct {
		date       string
		epoch, cut int
		depth      float64
	}{{"2026-03-02", 0, 0, 20e-6}, {"2026-03-05", 0, 1, 12e-6}, {"2026-03-08", 0, 3, 12.1e-6}, {"2026-03-09", 1, 3, 6.1e-6}, {"2026-04-20", 1, 3, 9e-6}} {
		s := Survey{Name: r.date, Standing: "floor", Way: "front", Date: r.date, Pass: r.cut}
		records = append(records, Record{s, hollow(r.depth), r.epoch, r.cut, r.cut})
	}
	sideways := records[0]
	sideways.Survey.Sideways = true
	cross := Record{Survey: Survey{Standing: "floor", Instrument: CrossLevel}, Profile: hollow(0)}
	h := History(append(records, sideways, cross, cross))
	if len(h) != 1 || len(h[0].Marks) != 5 || h[0].Way != "front" {
		t.Fatalf("%+v", h)
	}
	marks := h[0].Marks
	for k, want := range []string{"", "pass", "pass", "move", "drift"} {
		if marks[k].Kind != want {
			t.Errorf("mark %d (%s) is %q, not %q", k, marks[k].Survey, marks[k].Kind, want)
		}
	}
	// the zone of 0, −d, 0 is d; its variance (1 + ¼ + ¼)·0.04 µm²
	if math.Abs(marks[0].Zone-20e-6) > 1e-12 || math.Abs(marks[0].Sigma-math.Sqrt(0.06)*1e-6) > 1e-12 {
		t.Errorf("zone %g ± %g", marks[0].Zone, marks[0].Sigma)
	}
	if math.Abs(marks[4].Change-2.9e-6) > 1e-12 || math.Abs(marks[4].Unsure-math.Sqrt(0.12)*1e-6) > 1e-12 {
		t.Errorf("changed by %g ± %g", marks[4].Change, marks[4].Unsure)
	}
}

// Sideways, and on the table, nothing is seen of what feet, heat and weight do.
func TestUpAndDown(t *testing.T) {
	for s, want := range map[*Survey]bool{{}: true, {Instrument: CrossLevel}: true, {Sideways: true}: false, {OfTable: true}: false} {
		if s.UpAndDown() != want {
			t.Errorf("%+v", *s)
		}
	}
}
