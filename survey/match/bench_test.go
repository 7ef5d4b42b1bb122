package match

import "testing"

// BenchmarkMatch is a bed of eight feet, a move between two rounds of three surveys each.
func BenchmarkMatch(b *testing.B) {
	in, _, _ := twoSurveys(b, 5)
	in.Sweeps, in.Epochs[1].Felt = 0, nil
	settled := 0
	for b.Loop() {
		r, err := Match(in)
		if err != nil {
			b.Fatal(err)
		}
		if r.Settled {
			settled++
		}
	}
	b.ReportMetric(float64(settled)/float64(b.N), "settled")
}
