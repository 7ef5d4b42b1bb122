package plan

import (
	"math/rand/v2"
	"slices"
	"testing"

	"footwork/beam"
	"footwork/supports"
)

// On the way no foot that carries before and after a plan goes lighter than the least
// and than both, in all but 5 % of the draws; one that is turned more than twice is told.
func TestStepsKeepLoads(t *testing.T) {
	steps, feet := 0, 0
	for seed := range uint64(4) {
		task := someBed(t, seed, 3+int(seed%2), true)
		task.Draws = about(task, 100, 3*um)
		a := made(t, task)
		p := a.Plans[a.Recommended]
		warned := slices.ContainsFunc(a.Warnings, func(w Warning) bool { return w.Kind == NoSafeOrder || w.Kind == MoreVisits })
		steps, feet = steps+len(p.Steps), feet+len(p.Moves)
		choose, _ := Split(task.Draws)
		choose = choose[:min(len(choose), orderDraws)]
		n := len(task.Standing.Feet)
		var states [][][]beam.FootState // [step][draw]
		touched := make([]bool, n)
		at := func(raised []float64) (out [][]beam.FootState) {
			for _, d := range choose {
				now := stood(t, task, d, nil).Feet()
				raise := slices.Clone(raised)
				for f := range raise {
					if touched[f] {
						raise[f] += now[f].Gap
					}
				}
				then := stood(t, task, d, raise).Feet()
				out = append(out, then)
			}
			return out
		}
		states = append(states, at(make([]float64, n)))
		visits := make([]int, n)
		for _, s := range p.Steps {
			touched[s.Foot] = touched[s.Foot] || s.Touch
			states = append(states, at(s.Raised))
			visits[s.Foot]++
		}
		last := len(states) - 1
		for k := range states {
			bad := 0
			for i := range choose {
				mean, short := 0.0, false
				for _, f := range states[k][i] {
					mean += f.Load / float64(n)
				}
				for f := range n {
					least := min(task.Goal.LeastLoad*mean, states[0][i][f].Load, states[last][i][f].Load)
					short = short || states[k][i][f].Load < least-1e-4*mean
				}
				if short {
					bad++
				}
			}
			if float64(bad) > missed*float64(len(choose)) && !warned {
				t.Errorf("bed %d: after step %d of %d feet are too light in %d of %d draws", seed, k, last, bad, len(choose))
			}
		}
		for f, n := range visits {
			told := slices.ContainsFunc(a.Warnings, func(w Warning) bool {
				return w.Kind == MoreVisits && w.Value == float64(n) && slices.Contains(w.Feet, f)
			})
			if told != (n > 2) {
				t.Errorf("bed %d: foot %d is visited %d times, and that is told: %t", seed, f, n, told)
			}
		}
	}
	t.Logf("%d steps for %d feet", steps, feet)
	if float64(steps) > 1.3*float64(feet) {
		t.Errorf("%d steps for %d feet", steps, feet)
	}
}

// A light foot that is raised comes before the foot in hand goes on, and that before another.
func TestLightFeetComeFirst(t *testing.T) {
	task := someBed(t, 1, 3, true)
	task.Goal.LeastLoad, task.Draws = 0.15, about(task, 20, um)
	for _, d := range task.Draws {
		clear(d.Heights)
		d.Heights[3] = -200 * um
	}
	p, err := newPlanner(&task, nil)
	if err != nil {
		t.Fatal(err)
	}
	w := &walk{planner: p, moves: moves{[]float64{20 * um, 0, 20 * um, 20 * um, 0, 0}, make([]bool, 6)}, feet: []int{0, 2, 3}, visits: []int{2, 1, 1}, beds: p.choose}
	if w.start, err = w.at([]int{0, 0, 0}); err != nil {
		t.Fatal(err)
	}
	if got := w.next([]int{1, 0, 0}, 0); !slices.Equal(got, []int{2, 0, 1}) {
		t.Errorf("foot 3 hangs and foot 0 is in hand: %v", got)
	}
}

// Whatever the bed, no step of any plan takes a foot beyond its thread, and none of the
// recommended one loads a foot beyond its rating that was not beyond it before: or it is said.
func TestLimitsOnTheWay(t *testing.T) {
	near := 0
	for seed := range uint64(8) {
		task := someBed(t, seed, 3, true)
		r := rand.New(rand.NewPCG(seed, 8))
		most := 0.0
		for _, l := range made(t, task).Plans[0].Loads {
			most = max(most, l.Value)
		}
		for f := range task.Feet {
			task.Feet[f].Rated = most * (0.8 + 0.3*r.Float64())
			task.Feet[f].Left = &supports.Thread{Up: 25 * um * r.Float64(), Down: 25 * um * r.Float64()}
		}
		a := made(t, task)
		said := slices.ContainsFunc(a.Warnings, func(w Warning) bool { return w.Kind == NoSafeOrder || w.Kind == Overloaded })
		for k, p := range a.Plans {
			for _, s := range p.Steps {
				for f, raised := range s.Raised {
					left := task.Feet[f].Left
					if raised > left.Up*(1+1e-9) || raised < -left.Down*(1+1e-9) {
						t.Errorf("bed %d, %d feet: foot %d goes %.2f µm with %.2f up and %.2f down left", seed, len(p.Moves), f, raised/um, left.Up/um, left.Down/um)
					}
					if raised > 0.99*left.Up || raised < -0.99*left.Down {
						near++
					}
					limit := max(task.Feet[f].Rated, a.Plans[0].Loads[f].Value)
					if k == a.Recommended && s.Loads[f] > limit*(1+1e-4) && !said {
						t.Errorf("bed %d: foot %d, rated %.0f N, carries %.0f on the way", seed, f, task.Feet[f].Rated, s.Loads[f])
					}
				}
			}
		}
	}
	if near < 8 {
		t.Errorf("only %d steps came near the end of a thread: the beds are too kind", near)
	}
}
