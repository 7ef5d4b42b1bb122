package shop

import (
	"slices"
	"testing"

	"footwork/beam/ride"
	"footwork/reports"
)

// Where a table's travel over the beds of a state takes too much work, fewer are asked,
// which is said; and only there.
func TestTravelOverFewerBeds(t *testing.T) {
	s := humped(t, "0.5 µm")
	s.Table = &ride.Table{Length: 1, Weight: 2e3, Tool: 1.5, Offset: -0.2}
	for allowed, want := range map[float64]bool{s.travels: false, 1: true} {
		s.travels = allowed
		v, err := s.Travel("floor", reports.Found)
		if err != nil {
			t.Fatal(err)
		}
		if said := slices.Contains(v.Warnings, reports.Warning(reports.FewBeds{Beds: 1})); said != want {
			t.Errorf("with %g multiplications allowed: %v", allowed, v.Warnings)
		}
	}
}
