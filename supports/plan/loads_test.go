package plan

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/floats"
)

// What a programme makes least is, but for its tangents, the zone of the mean with the price of the
// probability that any foot misses half the least load, each a normal one: no moves do better, and
// its own are no dearer than tangents hide, 0.011 a foot. Here loads are so unsure that more are
// missed than may be.
func TestRiskIsChosenWithTheMoves(t *testing.T) {
	for seed := range uint64(6) {
		task := someBed(t, seed, 3, seed%2 == 0)
		task.Goal.LeastLoad, task.Slip = 0.5, []float64{3 * um, 3 * um, 3 * um, 3 * um, 3 * um, 3 * um}
		task.Draws = about(task, 120, 14*um)
		p, err := newPlanner(&task, nil)
		if err != nil {
			t.Fatal(err)
		}
		feet := p.movable()
		l, err := p.carrying(feet)
		if err != nil {
			t.Fatal(err)
		}
		over := 0.0
		exact := func(raise []float64) float64 {
			h, risk, price := append([]float64(nil), l.height...), -p.mayMiss(p.ByFeel), 0.0
			for f, r := range raise {
				floats.AddScaled(h, r, l.by[f])
				price += movePrice * math.Abs(r)
			}
			for f, load := range l.loads(raise) {
				price += p.dear * max(0, task.Goal.LeastLoad-load/p.mean)
				if p.inDoubt(moves{touch: p.touch}, f) {
					continue // nothing is promised of it
				}
				v := l.spread[f] * l.spread[f]
				for _, g := range feet {
					v += l.loadBy[g][f] * l.loadBy[g][f] * task.Slip[g] * task.Slip[g]
				}
				z := (load/p.mean - task.Goal.LeastLoad/2 + unnoticed) / (math.Sqrt(v) / p.mean)
				if risk += math.Erfc(z/math.Sqrt2) / 2; z < 0 {
					risk += 0.5 - z/math.Sqrt(2*math.Pi) - math.Erfc(z/math.Sqrt2)/2
				}
			}
			over = max(0, risk)
			return p.zone(p.choose[0], h) + price + riskPrice*over
		}
		f := p.solved(feet, false)
		own := exact(f.raise)
		if hidden := 0.011 * float64(len(feet)) * riskPrice; own < f.value-telling || own > f.value+hidden {
			t.Errorf("bed %d: the programme says %.3f µm, its moves cost %.3f", seed, f.value/um, own/um)
		}
		r := rand.New(rand.NewPCG(seed, 5))
		for range 300 {
			raise := append([]float64(nil), f.raise...)
			for _, g := range feet {
				raise[g] += 2 * um * r.NormFloat64()
			}
			if other := exact(raise); other < f.value-telling {
				t.Fatalf("bed %d: the programme says %.3f µm, other moves cost %.3f", seed, f.value/um, other/um)
			}
		}
	}
}
