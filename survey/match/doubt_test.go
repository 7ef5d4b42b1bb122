package match

import (
	"testing"
)

// written is a job in which one thing was written wrong.
type written struct {
	name string
	kind DoubtKind
	say  func(in *Input)
}

// twoSurveys hides a bed, surveys it, raises a foot and surveys it again.
func twoSurveys(t testing.TB, seed uint64) Input {
	h, _ := invent(t, seed, hollow)
	in := h.input()
	in.Sweeps = 25
	g := 0.3
	h.survey(t, &in, hiddenEpoch{0, h.draw.Heights, g}, nil, Heat{g, 0.1})
	up := append([]float64(nil), h.draw.Heights...)
	up[2] += 32e-6
	h.survey(t, &in, hiddenEpoch{0, up, g}, []Move{{Foot: 2, Raise: 31e-6}}, Heat{g, 0.1})
	return in
}

// What was written wrong is named, and a true job raises no doubt.
func TestDoubts(t *testing.T) {
	load := 40e3
	slips := []written{
		{"true", -1, func(in *Input) {}},
		{"turned sign", WrongSign, func(in *Input) { in.Epochs[1].Moves[0].Raise *= -1 }},
		{"ten times", TenTimes, func(in *Input) { in.Epochs[1].Moves[0].Raise *= 10 }},
		{"a tenth", TenthPart, func(in *Input) { in.Epochs[1].Moves[0].Raise /= 10 }},
		{"wrong foot", WrongFoot, func(in *Input) { in.Epochs[1].Moves[0].Foot = 3 }},
		{"not written", MoveNotWritten, func(in *Input) { in.Epochs[1].Moves = nil }},
		{"felt", FeltWrong, func(in *Input) {
			in.Epochs[1].Felt = append(in.Epochs[1].Felt, Felt{Foot: 1, Load: &load, Sigma: 500, Heat: 1})
		}},
		{"undated", Undated, func(in *Input) { in.Epochs[1].Moves[0].Undated = true }},
	}
	for _, s := range slips {
		in := twoSurveys(t, 7)
		s.say(&in)
		r, err := Match(in)
		if err != nil {
			t.Fatal(err)
		}
		var kinds []DoubtKind
		for _, d := range r.Doubts {
			kinds = append(kinds, d.Kind)
		}
		if s.kind < 0 && len(kinds) > 0 || s.kind >= 0 && (len(kinds) == 0 || kinds[0] != s.kind) {
			t.Errorf("%s: doubts %v, want %d: %+v", s.name, kinds, s.kind, r.Doubts)
		}
	}
}

// The advice is to stand the bed on three where one survey cannot tell, never in a
// standing that is over.
func TestAdvice(t *testing.T) {
	h, _ := invent(t, 1, hollow)
	in := h.input()
	in.Sweeps = 50
	h.survey(t, &in, hiddenEpoch{0, h.draw.Heights, 0.1}, nil, Heat{0, 0.5})
	grinder := in.Standings[0]
	grinder.Name, grinder.Over, grinder.Like = "grinder", true, -1
	in.Standings = append(in.Standings, grinder)
	r, err := Match(in)
	if err != nil {
		t.Fatal(err)
	}
	best := r.Advice[0]
	if best.Do != StandOnThree || best.Three == nil {
		t.Fatalf("the advice is %+v", best)
	}
	if best.After > best.Before/3 {
		t.Errorf("on three the metal's share goes from %.2f to %.2f of the zone", best.Before, best.After)
	}
	if best.Three.Least < leastShare || best.Three.Margin <= 0 {
		t.Errorf("the weight stands %g m inside the three", best.Three.Margin)
	}
	for _, a := range r.Advice {
		if a.Do == StandOther {
			t.Errorf("a standing that is over is advised: %+v", a)
		}
		if a.After > a.Before*(1+1e-9) {
			t.Errorf("an experiment tells less than nothing: %+v", a)
		}
	}
}
