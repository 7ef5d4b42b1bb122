package shop

import (
	"slices"
	"testing"

	"footwork/supports"
)

// A foot with less thread than it is raised by, on the way from nothing to a level bed, is named.
func TestThreadForLevelling(t *testing.T) {
	s := longShop(t, "", "", "")
	st := s.Standings[0]
	raised := 0.0
	for _, turn := range s.levelling(st).Turns {
		for _, m := range turn.Moves {
			if m.Foot == "F10" {
				raised += m.Raise
			}
		}
	}
	for share, want := range map[float64][]string{0.9: {"F10"}, 1.1: nil} {
		st.Adjusters[2].Left = &supports.Thread{Up: raised * share / 2, Down: raised * share / 2}
		if got := s.levelling(st).Short; !slices.Equal(got, want) {
			t.Errorf("%g of %g m of thread: %v, want %v", share, raised, got, want)
		}
	}
}
