package doc

import (
	"errors"
	"fmt"
	"testing"

	"footwork/beam"
	"footwork/beam/ride"
	"footwork/internal/unit"
	"footwork/reports"
)

// Why a bed cannot be worked out is said in the shop's own units.
func TestRefused(t *testing.T) {
	clash := fmt.Errorf("later: %w", &beam.ClashError{Standing: "floor", Feet: []string{"B", "C", "D"}, By: 5.08e-6})
	want := "standing “floor”: B, C and D are rigid and contradict one another by 0.20 thou: they cannot all touch the bed as they are held; " +
		"give them a stiffness, bring them to one height, or let one go (held = false)"
	if got := asciiOf(Refused(clash), unit.Inches); got != want {
		t.Errorf("%s\nwant %s", got, want)
	}
	tip := &beam.TipError{Standing: "floor", Side: "left end", Over: 0.3}
	want = "standing “floor”: the bed would tip: its weight acts 300 mm beyond its supports towards the left end; put a foot there, or hold one down (held = true) elsewhere"
	if got := asciiOf(Refused(tip), unit.Metric); got != want {
		t.Errorf("%s\nwant %s", got, want)
	}
	if got := asciiOf(Warning(ride.TravelTip{From: 1, To: 2, Table: true, Side: "right end"}), unit.Inches); got != "left out with the table's left end from 39.4 in to 78.7 in: the table would tip towards the right end" {
		t.Error(got)
	}
	if got := asciiOf(Warning(reports.FewBeds{Beds: 16}), unit.Metric); got != "the range is of 16 beds, and so a little narrow: with so many points of contact, more would take too long" {
		t.Error(got)
	}
	if Refused(errors.New("else")) != nil {
		t.Error("any error is refused")
	}
}
