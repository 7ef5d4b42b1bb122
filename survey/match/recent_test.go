package match

import (
	"math"
	"slices"
	"testing"
)

// A bed that was surveyed twenty times, a foot turned or set anew before each, and across its ways
// once at first: the last surveys are reckoned with and the one across, and every foot is as high
// beforehand, and as unsure, as with all of them.
func TestRecent(t *testing.T) {
	h, _ := invent(t, 3, 0)
	in := h.input()
	for i := range 20 {
		var moves []Move
		if i > 0 {
			moves = []Move{{Foot: i % 3, Raise: float64(i) * 1e-6, SD: float64(i) * 1e-7, Anew: i == 5}}
		}
		h.survey(t, &in, hiddenEpoch{0, h.draw.Heights, 0.1}, moves, Heat{0.1 + float64(i)/100, 0.1})
	}
	for e := 1; e < 20; e++ {
		in.Epochs[e].Surveys = slices.DeleteFunc(in.Epochs[e].Surveys, func(s Survey) bool { return s.Way < 0 })
	}
	out, left := in.recent()
	if want := 8 * len(in.Epochs[1].Surveys); left != want {
		t.Errorf("%d surveys are left out, not %d", left, want)
	}
	if n := len(out.Epochs); n != mostEpochs {
		t.Errorf("%d epochs are left", n)
	}
	for e := range out.Epochs {
		was := in.Epochs[len(in.Epochs)-len(out.Epochs)+e]
		if e == 0 {
			was = in.Epochs[0]
		}
		for i, s := range out.Epochs[e].Surveys {
			if s.Name != was.Surveys[i].Name || out.Heats[s.Heat] != in.Heats[was.Surveys[i].Heat] {
				t.Errorf("survey %d of epoch %d is another", i, e)
			}
		}
	}
	for f := range in.Standings[0].Feet {
		height := func(in Input) (mean, variance float64) {
			m, err := newModel(in, nil)
			if err != nil {
				t.Fatal(err)
			}
			for _, l := range m.states[m.now].lift {
				if slices.Contains(m.states[m.now].under[f], l.point) {
					mean, variance = mean+l.by/m.sd[l.index]*m.mean[l.index], variance+l.by*l.by
				}
			}
			return mean, variance
		}
		mean, variance := height(in)
		if a, b := height(out); math.Abs(a-mean) > 1e-12 || math.Abs(b-variance) > 1e-18 {
			t.Errorf("foot %d: %g m and %g m², not %g and %g", f, a, b, mean, variance)
		}
	}
}

// Of thirty turns since the survey, each read with the zero of ten and felt, the first and the last reading
// of each zero are kept, how each foot felt last, the newest turns, and what all of them did.
func TestRecentTurns(t *testing.T) {
	in := Input{Standings: make([]Standing, 1), Heats: make([]Heat, 1), Epochs: []Epoch{{Surveys: []Survey{{}}}}}
	for i := range 30 {
		in.Epochs = append(in.Epochs, Epoch{Moves: []Move{{Foot: i % 3, Raise: 1e-6}},
			Readings: []Reading{{Zero: i / 10, Value: float64(i)}}, Felt: []Felt{{Foot: i % 5}}})
	}
	out, _ := in.recent()
	var read, felt []int
	moved := make([]float64, 3)
	for _, e := range out.Epochs {
		for _, v := range e.Moves {
			moved[v.Foot] += v.Raise
		}
		for i, r := range e.Readings {
			read, felt = append(read, int(r.Value)), append(felt, e.Felt[i].Foot)
		}
	}
	if want := []int{0, 9, 10, 19, 20, 24, 25, 26, 27, 28, 29}; !slices.Equal(read, want) || len(out.Epochs) != mostEpochs {
		t.Errorf("of %d epochs readings %v are kept, not %v", len(out.Epochs), read, want)
	}
	for f := range 5 {
		if !slices.Contains(felt[len(felt)-5:], f) {
			t.Errorf("foot %d is not as it felt last: %v", f, felt)
		}
	}
	for f, v := range moved {
		if math.Abs(v-10e-6) > 1e-12 {
			t.Errorf("foot %d was moved by %g m", f, v)
		}
	}
}

// A reading whose zero no other shares tells nothing, whether it always was alone or the others are too long ago.
func TestLoneReading(t *testing.T) {
	in := Input{Standings: make([]Standing, 1), Heats: make([]Heat, 1)}
	for zero, times := range []int{20, mostEpochs - 2, 1} {
		if zero < 2 {
			in.Epochs = append(in.Epochs, Epoch{Surveys: []Survey{{}}})
		}
		for range times {
			in.Epochs = append(in.Epochs, Epoch{Moves: []Move{{Raise: 1e-6}}, Readings: []Reading{{Zero: zero}}})
		}
	}
	out, _ := in.recent()
	count := make([]int, 3)
	for _, e := range out.Epochs {
		for _, r := range e.Readings {
			count[r.Zero]++
		}
	}
	if want := []int{0, mostEpochs - 2, 0}; !slices.Equal(count, want) {
		t.Errorf("%v readings of each zero are kept, not %v", count, want)
	}
}
