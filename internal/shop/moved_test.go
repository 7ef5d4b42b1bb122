package shop

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"gonum.org/v1/gonum/floats"

	"footwork/beam"
	"footwork/survey/log"
	"footwork/survey/match"
)

// How far a foot went that was turned until the instrument read so is unsure by a third, as the help
// says; one of nothing was its nut being slackened; a turn that no reading of the same place and zero follows is as good as its
// angle, and a leaf laid in as its thickness.
func TestTurnStoppedByReading(t *testing.T) {
	const read, turn = "2026-03-05,read,front way at 225 mm,1\n", "2026-03-05,turn,F1,up 60 µm\n2026-03-05,feel,F1,solid\n"
	last := func(lines string) match.Move {
		_, in, _ := believedWith(t, lines, func(text string) string { return text + "\n[log]\nfile = \"log.csv\"\n" })
		for _, e := range slices.Backward(in.Epochs) {
			if len(e.Moves) > 0 {
				return e.Moves[len(e.Moves)-1]
			}
		}
		t.Fatalf("nothing moved by %q", lines)
		return match.Move{}
	}
	byAngle, byReading := last(turn).SD, math.Hypot(unsureStop, 60e-6/3)
	for lines, want := range map[string]float64{
		read + turn + read: byReading,
		read + strings.ReplaceAll(turn, "60", "0") + read: byLock,
		turn + read: byAngle,
		read + turn: byAngle,
		read + turn + "2026-03-05,read,front way at 525 mm,1\n": byAngle,
		read + turn + "2026-03-05,set up,front way,\n" + read:   byAngle,
		read + "2026-03-05,shim,F1,in 0.06 mm\n" + read:         byAngle,
	} {
		if m := last(lines); math.Abs(m.SD-want) > 1e-12 {
			t.Errorf("after %q it went %g m ± %g, not ± %g", lines, m.Raise, m.SD, want)
		}
	}
	if !strings.Contains(strings.Join(log.Help(), " "), "taken as good to a third") {
		t.Error("the help does not say so")
	}
}

// How far feet came stands in place of turns and nuts of them, and of what was read and felt between turns, from the
// survey, or where they touched, to where they were turned last; what was felt after that is felt of it. Another foot's
// turn stays.
func TestCame(t *testing.T) {
	const day, b1, f1 = "2026-03-05,", "came,B1,down 4 µm ± 1 µm", "came,F1,up 6 µm ± 2 µm"
	read := "read,front way at 225 mm,1"
	lines := []string{"feel,F2,solid", read, "turn,B1,down 9°", read, "feel,F2,free", "lock,B1,", read, b1, "turn,F1,to touch", "feel,F1,nips", read,
		"turn,F1,up 3°", read, "turn,B2,up 5 µm", "gap,F2,20 µm", "lock,F1,", read, "feel,F2,solid", f1}
	s, in, _ := believedWith(t, day+strings.Join(lines, "\n"+day), func(text string) string { return text + "\n[log]\nfile = \"log.csv\"\n" })
	floor := in.Standings[in.Asked]
	named := func(name string) int {
		return slices.IndexFunc(floor.Feet, func(f beam.Foot) bool { return f.Name == name })
	}
	came := func(foot string, raise, sd float64) match.Move {
		return match.Move{Foot: named(foot), Raise: raise, SD: math.Hypot(sd, math.Hypot(unsureStop, unsureRate*raise))}
	}
	byHand := match.Move{Foot: named("B2"), Raise: 5e-6, SD: moveSD(s.standing(floor.Name).Adjusters[named("B2")])}
	want := []match.Epoch{
		{Felt: []match.Felt{{Foot: named("F2"), Touch: match.Solid}}},
		{Felt: []match.Felt{{Foot: named("F1"), Touch: match.Nips}}, Moves: []match.Move{came("B1", -4e-6, 1e-6), {Foot: named("F1"), SD: floor.HeightSD}}},
		{Felt: []match.Felt{{Foot: named("F2"), Touch: match.Solid}}, Moves: []match.Move{byHand, came("F1", 6e-6, 2e-6)}},
	}
	got := slices.Clone(in.Epochs[len(in.Epochs)-3:])
	got[0] = match.Epoch{Felt: got[0].Felt[len(got[0].Felt)-1:]} // with the survey
	want[2].Readings = got[2].Readings[:1]                       // of what may be turned next
	if diff := cmp.Diff(want, got, cmpopts.EquateApprox(1e-9, 1e-15), cmpopts.IgnoreFields(match.Felt{}, "Heat"), cmpopts.IgnoreFields(match.Epoch{}, "Standing")); diff != "" {
		t.Error(diff)
	}
}

// What turns since a survey did to the ways is by how far feet came, where the log says it, as the match has it.
func TestSurveyedAndCame(t *testing.T) {
	heights := func(lines string) (y []float64) {
		s, _, m := believedWith(t, lines, func(text string) string { return text + "\n[log]\nfile = \"log.csv\"\n" })
		if err := s.bringUp(m); err != nil {
			t.Fatal(err)
		}
		for _, r := range m.readings {
			y = append(y, r.Height...)
		}
		return y
	}
	const turn, came = "2026-03-15,turn,B2,up 60 µm\n2026-03-15,lock,B2,\n", "2026-03-15,came,B2,up 20 µm ± 1 µm\n"
	want := heights(turn + came)
	if diff := cmp.Diff(want, heights(strings.Replace(turn, "60", "33", 1)+came), cmpopts.EquateApprox(0, 1e-12)); diff != "" {
		t.Errorf("by another turn it came otherwise: %s", diff)
	}
	if by := floats.Distance(want, heights(turn), math.Inf(1)); by < 1e-6 {
		t.Errorf("three times as far moves the ways by %g m", by)
	}
}
