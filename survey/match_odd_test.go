package survey

import (
	"encoding/json"
	"strings"
	"testing"

	"gonum.org/v1/gonum/mat"

	"footwork/beam"
)

// TestOddSurveysAreMatched: whatever a user brings, there is an answer of finite
// numbers or an error, never a panic.
func TestOddSurveysAreMatched(t *testing.T) {
	odd := map[string]func(w *world, in *MatchInput){
		"exact": func(w *world, in *MatchInput) {
			for i := range in.Profiles {
				in.Profiles[i].Cov = mat.NewSymDense(len(in.Profiles[i].X), nil)
			}
		},
		"a slip of ten millimetres": func(w *world, in *MatchInput) { in.Profiles[0].Height[7] += 0.01 },
		"two stations": func(w *world, in *MatchInput) {
			in.Profiles[0] = Profile{X: []float64{0.5, 2}, Height: []float64{0, 1e-6}, Cov: mat.NewSymDense(2, []float64{1e-14, 0, 0, 1e-14})}
		},
		"other stations": func(w *world, in *MatchInput) {
			in.Surveys, in.Profiles = append(in.Surveys, in.Surveys[0]), append(in.Profiles, in.Profiles[0])
			p := &in.Profiles[len(in.Profiles)-1]
			p.X = append([]float64(nil), p.X...)
			for i := range p.X {
				p.X[i] += 0.03
			}
		},
		"a cross level alone": func(w *world, in *MatchInput) { in.Surveys, in.Profiles = in.Surveys[2:], in.Profiles[2:] },
		"one way on the bed": func(w *world, in *MatchInput) {
			in.Ways, in.Surveys, in.Profiles = in.Ways[:1], in.Surveys[:1], in.Profiles[:1]
		},
		"felt against all readings": func(w *world, in *MatchInput) {
			load := 1e6
			in.Felt = []Felt{{Standing: "floor", Foot: "F1", Load: &load}, {Standing: "floor", Foot: "F1", State: "loose"}}
		},
		"moved by a metre": func(w *world, in *MatchInput) {
			in.Moves = []Move{{Date: "2026-03-05", Standing: "floor", Foot: "F1", Raise: 1}}
		},
		"a foot that is not there": func(w *world, in *MatchInput) {
			in.Moves = []Move{{Date: "2026-03-01", Standing: "floor", Foot: "Z9", Raise: 1e-5}}
		},
		"a move without a date": func(w *world, in *MatchInput) {
			in.Moves = []Move{{Standing: "floor", Foot: "F1", Raise: 1e-5}}
		},
		"passes": func(w *world, in *MatchInput) { in.Surveys[0].Pass = 3 },
	}
	for name, change := range odd {
		t.Run(name, func(t *testing.T) {
			w := newWorld(t, 3, 1)
			in := w.input()
			w.survey(t, &in, "2026-03-02")
			change(w, &in)
			m, err := Match(in)
			if err != nil {
				t.Log(err)
				return
			}
			if _, err := json.Marshal(m); err != nil {
				t.Error(err)
			}
		})
	}
}

// TestUnknownStandingIsRefused: a standing that was never surveyed cannot be matched.
func TestUnknownStandingIsRefused(t *testing.T) {
	w := newWorld(t, 3, 1)
	in := w.input()
	if _, err := Match(in); err == nil || !strings.Contains(err.Error(), "no survey") {
		t.Errorf("without surveys: %v", err)
	}
	w.survey(t, &in, "2026-03-02")
	in.Standings = append(in.Standings, StandingModel{Standing: beam.Standing{Name: "elsewhere"}, Solver: w.solver})
	in.Standing = "elsewhere"
	if _, err := Match(in); err == nil || !strings.Contains(err.Error(), "elsewhere") {
		t.Errorf("a standing without surveys: %v", err)
	}
}
