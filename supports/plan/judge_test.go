package plan

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"footwork/internal/sample"
	"footwork/supports"
)

// Where a foot stands as likely too high as too low no step is expected to gain, but a
// survey would: each bed by itself can be made straight.
func TestNextAsksForASurvey(t *testing.T) {
	task := watchedBed(t, 1)
	level := task.Draws[0]
	for f := range level.Heights {
		level.Heights[f] = 0
	}
	task.Draws = nil
	for i := range 80 {
		d := level
		d.Heights = make([]float64, len(level.Heights))
		d.Heights[4] = 15 * um * math.Copysign(1, float64(i%2)-0.5)
		task.Draws = append(task.Draws, d)
	}
	all := []int{0, 1, 2, 3, 4, 5, 6, 7}
	a, err := Next(task, all, nil)
	if err != nil {
		t.Fatal(err)
	}
	if now := a.Plans[0].Zone.Value; a.Recommended != 0 || a.Known.Value > now/2 {
		t.Errorf("%.1f µm: plan %d, known %.1f µm", now/um, a.Recommended, a.Known.Value/um)
	}
	task.Draws = task.Draws[:1]
	if a, err = Next(task, all, nil); err != nil || a.Recommended == 0 {
		t.Errorf("a bed that is known: plan %d, %v", a.Recommended, err)
	}
}

// A plan of more feet is taken where it gains more than half of what its gain is unsure by and more than is
// noticed, and where it alone is surely within tolerance; by how little either is missed, the
// fewer feet are taken, whichever draws were drawn.
func TestRecommended(t *testing.T) {
	const draws = 200
	zones := func(mid, common, own float64, seed uint64) Plan {
		r, shared := rand.New(rand.NewPCG(seed, 1)), rand.New(rand.NewPCG(9, 9))
		q := Plan{figures: make([]float64, draws)}
		for i := range q.figures {
			q.figures[i] = (mid + common*shared.NormFloat64() + own*r.NormFloat64()) * 1e-6
		}
		q.Zone, q.Moves = sample.RangeOf(q.figures), make([]Move, min(1, int(20/mid)-1))
		return q
	}
	for name, c := range map[string]struct {
		tolerance float64
		few, more Plan
		want      int
	}{
		"plain gain":            {0, zones(9, 2, 0.3, 1), zones(5, 2, 0.3, 2), 2},
		"unsure gain":           {0, zones(8, 0, 4, 1), zones(6, 0, 4, 2), 1},
		"sure and noticed":      {0, zones(6, 2, 0.1, 1), zones(4.8, 2, 0.1, 2), 2},
		"sure but not noticed":  {0, zones(6, 2, 0.1, 1), zones(5.3, 2, 0.1, 2), 1},
		"alone in tolerance":    {8e-6, zones(6, 1.3, 0, 1), zones(5, 1.3, 0, 2), 2},
		"both within tolerance": {8e-6, zones(6, 0.5, 0.1, 1), zones(3, 0.5, 0.1, 2), 1},
	} {
		p := &planner{Task: &Task{Goal: supports.Goal{Tolerance: c.tolerance}}}
		if got := p.recommended([]Plan{zones(20, 2, 0, 1), c.few, c.more}); got != c.want {
			t.Errorf("%s: plan %d, want %d", name, got, c.want)
		}
	}
}

// A hand that feels the feet after each step does not feel that one is loaded beyond its rating: that
// may be missed as seldom by feel as without.
func TestRatedByFeel(t *testing.T) {
	task := someBed(t, 1, 4, true)
	task.ByFeel, task.Draws = true, slices.Repeat(task.Draws, 100)
	p, err := newPlanner(&task, nil)
	if err != nil {
		t.Fatal(err)
	}
	p.next = true
	m := p.still()
	ends, err := p.outcomes(p.judge, m)
	if err != nil {
		t.Fatal(err)
	}
	p.Feet[0].Rated = 9 * p.mean
	for i := range ends {
		if i%5 == 0 {
			ends[i].load[0] = 10 * p.mean
		}
	}
	if got, want := p.verdict(p.judge, m, ends).broken, 0.2-p.mayMiss(false); math.Abs(got-want) > 0.01 || want < 0.05 {
		t.Errorf("beyond its rating in a fifth of the draws: %.3f too often, want %.3f", got, want)
	}
}
