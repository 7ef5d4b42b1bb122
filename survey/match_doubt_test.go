package survey

import (
	"slices"
	"testing"
)

// TestFalseFeelIsDoubted: what a hand says of every foot is believed when it is
// true, and doubted when the foot that carries most is called loose. (A foot that
// hangs and is called tight is not contradicted: one that just touches leaves the
// bed in the same shape.)
func TestFalseFeelIsDoubted(t *testing.T) {
	beds := 12
	if testing.Short() {
		beds = 3
	}
	for seed := range uint64(beds) {
		w := newWorld(t, 4, seed)
		st, err := w.solver.Solve(w.truth)
		if err != nil {
			t.Fatal(err)
		}
		in, most := w.input(), 0
		w.survey(t, &in, "2026-03-02")
		for i, f := range st.Feet() {
			row := Felt{Standing: "floor", Foot: f.Name, State: "tight"}
			if f.Load < looseShare*st.Weight()/8 {
				row.State = "loose"
			}
			in.Felt = append(in.Felt, row)
			if f.Load > st.Feet()[most].Load {
				most = i
			}
		}
		m, err := Match(in)
		if err != nil {
			t.Fatal(err)
		}
		if len(m.Doubts) > 0 {
			t.Errorf("bed %d: %+v of true rows", seed, m.Doubts)
		}
		in.Felt[most].State = "loose"
		if m, err = Match(in); err != nil {
			t.Fatal(err)
		}
		if !slices.ContainsFunc(m.Doubts, func(d Doubt) bool { return d.Felt != nil && *d.Felt == in.Felt[most] }) {
			t.Errorf("bed %d: %s called loose, doubts are %+v", seed, in.Felt[most].Foot, m.Doubts)
		}
	}
}

// TestFalseMoveIsDoubted: a move written down with the wrong sign is doubted in
// three of four beds at least (in the rest another contact explains as well what the
// surveys saw), one written down as it was in none.
func TestFalseMoveIsDoubted(t *testing.T) {
	if testing.Short() {
		t.Skip("forty matches")
	}
	const beds = 20
	caught := 0
	for seed := range uint64(beds) {
		for _, sign := range []float64{1, -1} {
			w := newWorld(t, 4, seed)
			in := w.input()
			w.truth.Heights[2] = 40e-6 // it carries, before and after
			w.survey(t, &in, "2026-03-02")
			w.truth.Heights[2] += 20e-6
			in.Moves = []Move{{Date: "2026-03-03", Standing: "floor", Foot: "F2", Raise: sign * 20e-6}}
			w.survey(t, &in, "2026-03-04")
			m, err := Match(in)
			if err != nil {
				t.Fatal(err)
			}
			switch {
			case sign < 0 && len(m.Doubts) > 0 && m.Doubts[0].Raise > 0:
				caught++
			case sign > 0 && len(m.Doubts) > 0:
				t.Errorf("bed %d: %+v of a true move", seed, m.Doubts)
			}
		}
	}
	if 4*caught < 3*beds {
		t.Errorf("%d of %d false moves doubted", caught, beds)
	}
}
