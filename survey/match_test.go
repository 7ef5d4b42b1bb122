package survey

import (
	"testing"
)

// TestMatchFindsTheLoads: what the feet carry and the zone they cause must lie in
// the intervals, nine times of ten for intervals of 95 %.
func TestMatchFindsTheLoads(t *testing.T) {
	in95, all := 0, 0
	for seed := range uint64(12) {
		w := newWorld(t, 4, seed)
		in := w.input()
		w.survey(t, &in, "2026-03-02")
		m, err := Match(in)
		if err != nil {
			t.Fatal(err)
		}
		st, err := w.solver.Solve(w.truth)
		if err != nil {
			t.Fatal(err)
		}
		mean := st.Weight() / float64(len(m.Feet))
		for i, f := range m.Feet {
			all++
			if load := st.Feet()[i].Load; f.Load.Low-looseShare*mean <= load && load <= f.Load.High+looseShare*mean {
				in95++
			}
		}
		sum := 0.0
		for _, e := range m.Explained {
			sum += e.Value
		}
		if d := sum - m.Zone; d > 1e-9 || d < -1e-9 {
			t.Errorf("bed %d: the shares add up to %g of %g", seed, sum, m.Zone)
		}
	}
	if 10*in95 < 9*all {
		t.Errorf("%d of %d loads in their 95 %% intervals", in95, all)
	}
	t.Logf("%d of %d loads in their 95 %% intervals", in95, all)
}

// BenchmarkMatch: four surveys of about 30 stations, before and after a move, on 8 feet.
func BenchmarkMatch(b *testing.B) {
	w := newWorld(b, 4, 1)
	w.base = w.bed.Length / 31
	in := w.input()
	w.survey(b, &in, "2026-03-02")
	w.truth.Heights[2] += 20e-6
	in.Moves = []Move{{Date: "2026-03-03", Standing: "floor", Foot: "F2", Raise: 20e-6}}
	w.survey(b, &in, "2026-03-04")
	in.Surveys, in.Profiles = append(in.Surveys[:2:2], in.Surveys[3:5]...), append(in.Profiles[:2:2], in.Profiles[3:5]...)
	b.Logf("%d surveys of %d stations, %d feet", len(in.Surveys), len(in.Profiles[0].X), len(w.standing.Feet))
	for b.Loop() {
		if _, err := Match(in); err != nil {
			b.Fatal(err)
		}
	}
}
