package match

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats"

	"footwork/beam"
)

// written is a job in which one thing was written wrong · foot that was moved, another that carries.
type written struct {
	name string
	kind DoubtKind
	say  func(in *Input, foot, other int)
}

var slips = []written{
	{"turned sign", WrongSign, func(in *Input, foot, other int) { in.Epochs[1].Moves[0].Raise *= -1 }},
	{"ten times", TenTimes, func(in *Input, foot, other int) { in.Epochs[1].Moves[0].Raise *= 10 }},
	{"a tenth", TenthPart, func(in *Input, foot, other int) { in.Epochs[1].Moves[0].Raise /= 10 }},
	{"wrong foot", WrongFoot, func(in *Input, foot, other int) { in.Epochs[1].Moves[0].Foot = other }},
	{"not written", MoveNotWritten, func(in *Input, foot, other int) { in.Epochs[1].Moves = nil }},
	{"felt", FeltWrong, func(in *Input, foot, other int) { // no foot carries nearly all of the bed
		load := 0.8 * in.Standings[0].Solver.Linear(beam.Case{}).Resultant[0]
		in.Epochs[1].Felt = append(in.Epochs[1].Felt, Felt{Foot: other, Load: &load, Sigma: 0.02 * load, Heat: 1})
	}},
	{"felt free", FeltWrong, func(in *Input, foot, other int) {
		for i, f := range in.Epochs[1].Felt {
			if f.Foot == other {
				in.Epochs[1].Felt[i] = Felt{Foot: other, Touch: Free, Heat: 1}
			}
		}
	}},
	{"turned survey", TurnedSurvey, func(in *Input, foot, other int) {
		y := &in.Epochs[1].Surveys[0].Profile.Height
		*y = slices.Clone(*y)
		floats.Scale(-1, *y)
	}},
	{"undated", Undated, func(in *Input, foot, other int) { in.Epochs[1].Moves[0].Undated = true }},
}

// twoSurveys hides a bed, surveys it, raises or lowers a foot that carries, surveys it again and
// feels every foot; other is the foot that carries most beside it.
func twoSurveys(t testing.TB, seed uint64) (in Input, foot, other int) {
	h, _ := invent(t, seed, wear(seed%uint64(wears)))
	in = h.input()
	in.Sweeps = 25
	g := 0.3
	h.survey(t, &in, hiddenEpoch{0, h.draw.Heights, g}, nil, Heat{g, 0.1})
	load := func(e int, but ...int) (most int) {
		feet, most := h.state(t, h.epochs[e]).Feet(), -1
		for f, v := range feet {
			if !slices.Contains(but, f) && (most < 0 || v.Load > feet[most].Load) {
				most = f
			}
		}
		return most
	}
	foot = load(0)
	by := math.Copysign(25e-6+20e-6*h.rng.Float64(), h.rng.Float64()-0.5)
	moved := slices.Clone(h.draw.Heights)
	moved[foot] += by + h.moveErr*h.rng.NormFloat64()
	h.survey(t, &in, hiddenEpoch{0, moved, g}, []Move{{Foot: foot, Raise: by}}, Heat{g, 0.1})
	h.felt(t, &in)
	return in, foot, load(1, foot)
}

// What was written wrong is named first in nine of ten jobs, and true jobs raise a doubt in one of
// a hundred; in every run one of every other kind is tried.
func TestDoubts(t *testing.T) {
	n, full := trialBeds(1)
	first := func(s written, seed uint64) DoubtKind { // −1: none, or of another foot
		in, foot, other := twoSurveys(t, seed)
		s.say(&in, foot, other)
		r, err := Match(in)
		if err != nil {
			t.Fatal(err)
		}
		if len(r.Doubts) == 0 {
			return -1
		}
		d := r.Doubts[0]
		if s.kind == FeltWrong && d.Kind == FeltWrong && d.Foot != other || s.kind == MoveNotWritten && d.Kind == MoveNotWritten && d.Foot != foot && d.Other != foot {
			return -1
		}
		return d.Kind
	}
	for i, s := range slips {
		if !full && i%2 > 0 {
			continue
		}
		named, kinds := 0, map[DoubtKind]int{}
		for seed := range uint64((n + 9) / 10) {
			k := first(s, seed+7)
			if kinds[k]++; k == s.kind {
				named++
			}
		}
		if full {
			t.Logf("%s: %v, wanted %d", s.name, kinds, s.kind)
		}
		if 10*named < 9*((n+9)/10) {
			t.Errorf("%s: kinds %v, not %d", s.name, kinds, s.kind)
		}
	}
	alarms := 0
	for seed := range uint64(n) {
		if k := first(written{kind: Undated, say: func(in *Input, foot, other int) {}}, seed); k >= 0 {
			alarms++
			t.Logf("seed %d: kind %d", seed, k)
		}
	}
	if 100*alarms > n {
		t.Errorf("%d false alarms on %d true jobs", alarms, n)
	}
}

// Where the work that it may take ends before all was tried that may be wrong, that is said last.
func TestDoubtsUntried(t *testing.T) {
	in, _, other := twoSurveys(t, 7)
	slips[5].say(&in, 0, other)
	for work, want := range map[float64]DoubtKind{0: FeltWrong, 1e-9: Untried} {
		in.Work = work
		r, err := Match(in)
		if err != nil {
			t.Fatal(err)
		}
		if n := len(r.Doubts); n == 0 || r.Doubts[n-1].Kind != want {
			t.Errorf("with %g of the work: %+v, not %d", work, r.Doubts, want)
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
	if _, in, _ := hide(t, 1, hollow, onThree); true { // the metal is told: what tells heights of feet
		r, err := Match(in)
		if err != nil {
			t.Fatal(err)
		}
		if a := r.Advice[0]; !a.OfFeet || a.Heights[1] > 0.9*a.Heights[0] {
			t.Errorf("after standing on three the advice is %+v", a)
		}
	}
	for range in.Standings[0].Feet { // hardly any thread is left
		in.Standings[0].Left = append(in.Standings[0].Left, [2]float64{1e-6, 1e-6})
	}
	if r, err = Match(in); err != nil {
		t.Fatal(err)
	}
	for _, a := range r.Advice {
		if a.Do == StandOnThree || a.Do == KnownMove {
			t.Errorf("thread is asked for that is not there: %+v", a)
		}
	}
}

// Of a bed on three feet no experiment tells heights, for they are none.
func TestThreeFeetHaveNoHeights(t *testing.T) {
	if w := (Advice{OfFeet: true, Minutes: 20, People: 1}).worth(); w != 0 {
		t.Errorf("worth %g", w)
	}
}
