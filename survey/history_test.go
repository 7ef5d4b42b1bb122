package survey

import (
	"math"
	"strings"
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
	pass := 2
	var surveys []Survey
	var profiles []Profile
	for _, s := range []struct {
		date  string
		pass  int
		depth float64
	}{{"2026-03-09", 2, 6.1e-6}, {"2026-03-02", 0, 20e-6}, {"2026-03-05", 1, 12e-6}, {"2026-03-08", 2, 12.1e-6}, {"2026-04-20", 2, 9e-6}} {
		surveys = append(surveys, Survey{Name: s.date, Standing: "floor", Way: "front", Date: s.date, Pass: s.pass})
		profiles = append(profiles, hollow(s.depth))
	}
	h := History(surveys, profiles, []Move{{Date: "2026-03-08", Pass: &pass, Standing: "floor", Foot: "F1", Raise: 1e-6}})
	if len(h) != 1 || len(h[0].Marks) != 5 {
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
	notes := strings.Join(h[0].Notes, "\n")
	for _, want := range []string{"pass 0 to 1 took the zone from 20.0 to 12.0", "from pass 1 on", "2026-04-20: the zone went from 6.1 to 9.0"} {
		if !strings.Contains(notes, want) {
			t.Errorf("no %q in:\n%s", want, notes)
		}
	}
}
