package plan

import (
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"slices"
	"testing"

	"footwork/beam"
	"footwork/beam/shape"
	"footwork/internal/sample"
	"footwork/supports"
)

// Of one and of two feet no choice and no height on a fine grid does better than the
// plan, contact and all, where so few can load every foot: of one foot where none hangs. Where a plan
// lowers a foot, none on the grid that only raises as many, and no farther, costs less than a tenth more.
func TestEveryGrid(t *testing.T) {
	type upward struct {
		feet      int
		far, cost float64
	}
	lowers := 0
	for seed := range uint64(6) {
		task := someBed(t, seed, 3, seed%2 == 0)
		plans := made(t, task).Plans
		grid := shape.Even(-48*um, 48*um, 13)
		best := []float64{math.Inf(1), math.Inf(1), math.Inf(1)}
		raise := make([]float64, 6)
		lifted := func(f beam.FootState) bool { return f.Lifted }
		var ups []upward
		look := func(n int) {
			if st := stood(t, task, task.Draws[0], raise); !slices.ContainsFunc(st.Feet(), lifted) {
				least(task, st, &best[n])
				if slices.Min(raise) >= 0 {
					ups = append(ups, upward{n, farthest(raise), loadCost(task, st.Feet()) + zoneOf(task, task.Draws[0], st)})
				}
			}
		}
		for f := range raise {
			for _, a := range grid {
				raise[f] = a
				look(1)
				for g := range f {
					for _, b := range grid {
						raise[g] = b
						look(2)
					}
					raise[g] = 0
				}
			}
			raise[f] = 0
		}
		few := 1
		if slices.ContainsFunc(stood(t, task, task.Draws[0], nil).Feet(), lifted) {
			few = 2
		}
		for n := few; n <= 2; n++ {
			reached := math.Inf(1)
			for _, p := range plans {
				if len(p.Moves) <= n {
					reached = min(reached, costOf(t, task, total(t, task, p)))
				}
			}
			if reached > min(best[n], best[n-1])*upwards+telling {
				t.Errorf("bed %d, %d feet: the plan costs %.2f µm, a grid finds %.2f", seed, n, reached/um, best[n]/um)
			}
		}
		for _, p := range plans {
			raise, n := total(t, task, p), len(p.Moves)
			if n == 0 || slices.Min(raise) >= 0 {
				continue
			}
			lowers++
			cost := costOf(t, task, raise)
			for _, u := range ups {
				if u.feet == n && u.far <= farthest(raise) && u.cost < cost*upwards-telling {
					t.Errorf("bed %d, %d feet: lowering costs %.2f µm, only raising %.2f", seed, n, cost/um, u.cost/um)
				}
			}
		}
	}
	if lowers == 0 {
		t.Error("no plan lowers a foot")
	}
}

// No random raises do better than the plan that may move all feet; and the plan's own
// figures are those of package beam.
func TestRandomSearch(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	for seed := range uint64(6) {
		task := someBed(t, seed, 3+int(seed%2), seed%3 > 0)
		a := made(t, task)
		last := a.Plans[len(a.Plans)-1]
		raise := total(t, task, last)
		zone, feet := truth(t, task, task.Draws[0], raise)
		if math.Abs(zone-last.Zone.Value) > telling {
			t.Errorf("bed %d: zone %.4f µm, package beam has %.4f", seed, last.Zone.Value/um, zone/um)
		}
		for f, l := range last.Loads {
			if math.Abs(l.Value-feet[f].Load) > 1e-6*feet[f].Load+1e-3 {
				t.Errorf("bed %d foot %d: %.3f N, package beam has %.3f", seed, f, l.Value, feet[f].Load)
			}
		}
		own, best := costOf(t, task, raise), math.Inf(1)
		for k := range 3000 {
			try := slices.Clone(raise)
			for f := range try {
				try[f] += math.Pow(10, -5-float64(k%4)) * r.NormFloat64()
			}
			least(task, stood(t, task, task.Draws[0], try), &best)
		}
		if best < own-0.05*um-0.1*own {
			t.Errorf("bed %d: the plan costs %.3f µm, chance finds %.3f", seed, own/um, best/um)
		}
	}
}

// Stacks of shims are the best of all stacks, tried one by one.
func TestEveryStack(t *testing.T) {
	for seed := range uint64(3) {
		task := someBed(t, seed, 3, true)
		task.Draws[0] = drawn(rand.New(rand.NewPCG(seed, 9)), task, 0)
		for f, h := range []float64{0, 0, 40, 0, 0, -30} {
			task.Draws[0].Heights[f] = h * um
			task.Feet[f] = supports.Adjuster{Kind: supports.Fixed}
		}
		movable := []int{1, 2, 5}
		for _, f := range movable {
			task.Feet[f] = supports.Adjuster{Kind: supports.Shim}
		}
		task.Goal.Shims, task.Goal.MostMove = []float64{20 * um, 50 * um}, 120*um
		a := made(t, task)
		own := costOf(t, task, total(t, task, a.Plans[len(a.Plans)-1]))
		best := costOf(t, task, nil)
		var stacks []float64
		for _, s := range stacksOf(task) {
			stacks = append(stacks, s, -s)
		}
		stacks = append(stacks, 0)
		raise := make([]float64, 6)
		for _, raise[1] = range stacks {
			for _, raise[2] = range stacks {
				for _, raise[5] = range stacks {
					least(task, stood(t, task, task.Draws[0], raise), &best)
				}
			}
		}
		if own > best*upwards+telling {
			t.Errorf("bed %d: the plan costs %.3f µm, the best stacks %.3f", seed, own/um, best/um)
		}
		for _, m := range a.Plans[len(a.Plans)-1].Moves {
			sum := 0.0
			for _, l := range m.Leaves {
				sum += l
			}
			if math.Abs(sum-math.Abs(m.Raise)) > telling || len(m.Leaves) > 4 {
				t.Errorf("bed %d: %.1f µm of leaves %v", seed, m.Raise/um, m.Leaves)
			}
		}
	}
}

// In beds drawn anew every foot keeps half the least load, all together, as often as is
// promised, 95 %, and each has the least on the average.
func TestLoadsHoldTogether(t *testing.T) {
	held, all := 0, 0
	for seed := range uint64(3) {
		task := someBed(t, seed, 3+int(seed%2), true)
		task.Goal.LeastLoad = 0.4
		fresh := about(task, 301, 4*um)
		task.Draws = about(task, 200, 4*um)
		a := made(t, task)
		p := a.Plans[a.Recommended]
		sum := make([]float64, len(task.Standing.Feet))
		for _, d := range fresh {
			before := stood(t, task, d, nil).Feet()
			raise := make([]float64, len(before))
			for _, m := range p.Moves {
				raise[m.Foot] = m.Raise
				if m.Touch {
					raise[m.Foot] += before[m.Foot].Gap
				}
			}
			feet := stood(t, task, d, raise).Feet()
			mean, least := 0.0, math.Inf(1)
			for _, f := range feet {
				mean, least = mean+f.Load/float64(len(feet)), min(least, f.Load)
			}
			for i, f := range feet {
				sum[i] += f.Load / mean / float64(len(fresh))
			}
			if all++; least >= task.Goal.LeastLoad/2*mean*(1-1e-6) {
				held++
			}
		}
		if slices.Min(sum) < task.Goal.LeastLoad-unnoticed {
			t.Errorf("bed %d: a foot carries %.3f on the average", seed, slices.Min(sum))
		}
	}
	share := float64(held) / float64(all)
	t.Logf("held in %.3f of %d beds", share, all)
	if share < 0.94 || all < 900 {
		t.Errorf("loads held in %.3f of %d beds", share, all)
	}
}

// Stood by package beam, the draws that a plan hands on have the plan's own figures.
func TestPlannedDraws(t *testing.T) {
	task := someBed(t, 3, 4, true)
	task.Draws = about(task, 200, 3*um)
	task.Slip = slices.Repeat([]float64{3 * um}, 8)
	a := made(t, task)
	for _, p := range a.Plans {
		var zones []float64
		for _, d := range p.Draws {
			zone, _ := truth(t, task, d, nil)
			zones = append(zones, zone)
		}
		r := sample.RangeOf(zones)
		for k, off := range []float64{r.Value - p.Zone.Value, r.Low - p.Zone.Low, r.High - p.Zone.High} {
			if math.Abs(off) > telling {
				t.Errorf("%d feet, figure %d: off by %.4f µm", len(p.Moves), k, off/um)
			}
		}
	}
}

// Where no foot can be moved there is nothing to do next, whatever the aim.
func TestNothingToMove(t *testing.T) {
	for _, aim := range []supports.Aim{supports.Straight, supports.AtRest} {
		task := someBed(t, 2, 3, true)
		task.Goal.Aim = aim
		for f := range task.Feet {
			task.Feet[f].Kind = supports.Fixed
		}
		if a, err := Next(task, nil, nil); err != nil || a.Recommended != 0 {
			t.Errorf("%s: %+v, %v", aim, a, err)
		}
	}
}

// At rest every foot carries what it does on level feet.
func TestAtRest(t *testing.T) {
	task := someBed(t, 2, 4, true)
	task.Goal.Aim = supports.AtRest
	a := made(t, task)
	last := a.Plans[len(a.Plans)-1]
	if last.Departure.Value > 1e-3 || a.Plans[0].Departure.Value < 0.1 {
		t.Errorf("departure of loads %.4f before, %.5f after", a.Plans[0].Departure.Value, last.Departure.Value)
	}
	level := stood(t, task, beam.Draw{Heights: make([]float64, 8), Form: task.Draws[0].Form}, nil).Feet()
	after := stood(t, task, task.Draws[0], total(t, task, last)).Feet()
	for f := range level {
		if math.Abs(level[f].Load-after[f].Load) > 2e-3*level[f].Load {
			t.Errorf("foot %d: %.0f N, on level feet %.0f", f, after[f].Load, level[f].Load)
		}
	}
}

// Ratings and thread are limits.
func TestRatedAndLeft(t *testing.T) {
	task := someBed(t, 1, 4, true)
	free := made(t, task)
	last := free.Plans[len(free.Plans)-1]
	most, foot := 0.0, 0
	for f, l := range last.Loads {
		if l.Value > most {
			most, foot = l.Value, f
		}
	}
	task.Feet[foot].Rated = 0.8 * most
	far := slices.MaxFunc(last.Moves, func(a, b Move) int { return int(1e9 * (math.Abs(a.Raise) - math.Abs(b.Raise))) })
	task.Feet[far.Foot].Left = &supports.Thread{Up: 3 * um, Down: 3 * um}
	bound := made(t, task)
	for _, p := range bound.Plans[1:] {
		if p.Loads[foot].Value > max(task.Feet[foot].Rated, bound.Plans[0].Loads[foot].Value)*1.001 {
			t.Errorf("a foot rated %.0f N is loaded with %.0f", task.Feet[foot].Rated, p.Loads[foot].Value)
		}
		for _, m := range p.Moves {
			if m.Foot == far.Foot && math.Abs(m.Raise) > 3.001*um {
				t.Errorf("a foot with 3 µm of thread left is moved %.1f", m.Raise/um)
			}
		}
	}
	best := bound.Plans[len(bound.Plans)-1]
	if best.Loads[foot].Value > task.Feet[foot].Rated*1.001 {
		t.Errorf("the best plan loads a foot rated %.0f N with %.0f", task.Feet[foot].Rated, best.Loads[foot].Value)
	}
}

// A choice departs from what its programme took for granted where a foot that was taken to carry ends without load, or one that
// was taken to hang with some.
func TestDeparts(t *testing.T) {
	task := someBed(t, 1, 4, true)
	p, err := newPlanner(&task, nil)
	if err != nil {
		t.Fatal(err)
	}
	now := p.choose[0].now
	for f := range p.feet {
		carries := now.load[f] > nothing*p.mean
		for ends, load := range map[bool]float64{false: 0, true: p.mean} {
			s := state{load: slices.Clone(now.load)}
			s.load[f] = load
			for moved, taken := range map[int]bool{f: true, -1: carries} {
				c := &found{}
				if moved >= 0 {
					c.feet = []int{moved}
				}
				if got := p.departs(c, []state{s}); got != (taken != ends) {
					t.Errorf("foot %d, which carries %v, moved %v, ends with %g N: departs %v", f, carries, moved >= 0, load, got)
				}
			}
		}
	}
}

// No foot is moved further than is allowed, and one as far as that.
func TestMostMove(t *testing.T) {
	task := someBed(t, 1, 4, true)
	task.Goal.MostMove = 5 * um
	far := 0.0
	for _, p := range made(t, task).Plans {
		for _, m := range p.Moves {
			far = max(far, math.Abs(m.Raise))
		}
	}
	if math.Abs(far-5*um) > 1e-3*um {
		t.Errorf("of 5 µm allowed %.3f are used", far/um)
	}
}

// It is said that the least load may be missed where it is in more than one of twenty draws, and some foot is the lighter.
func TestLoadNotHeld(t *testing.T) {
	task := someBed(t, 1, 4, true)
	p, err := newPlanner(&task, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		held, low float64
		said      bool
	}{{0.94, 0.05, true}, {0.96, 0.05, false}, {0.94, 0.2, false}} {
		plan := Plan{Held: c.held, Loads: make([]Load, p.feet)}
		for f := range plan.Loads {
			plan.Loads[f].Range = sample.Range{Value: p.mean, Low: p.mean, High: p.mean}
		}
		plan.Loads[2].Low = c.low * p.mean
		p.warnings = nil
		p.commentLoads(plan)
		if said := len(p.warnings) == 1 && p.warnings[0].Kind == LoadNotHeld && slices.Equal(p.warnings[0].Feet, []int{2}); said != c.said {
			t.Errorf("%+v: %+v", c, p.warnings)
		}
	}
}

// A bed that is surely within tolerance is left alone, and one whose gain is less than
// what it is known to.
func TestLeftAlone(t *testing.T) {
	task := someBed(t, 0, 3, true)
	task.Draws[0] = drawn(rand.New(rand.NewPCG(1, 1)), task, 1*um)
	task.Draws = about(task, 100, 0.1*um)
	if a := made(t, task); a.Recommended == 0 {
		t.Errorf("without a tolerance %.2f µm are left though %.2f can be had", a.Plans[0].Zone.Value/um, a.Plans[len(a.Plans)-1].Zone.Value/um)
	}
	task.Goal.Tolerance = 60 * um
	if a := made(t, task); a.Recommended != 0 {
		t.Errorf("%.2f µm are within 60, yet %d feet are moved", a.Plans[0].Zone.High/um, len(a.Plans[a.Recommended].Moves))
	}
	task.Goal.Tolerance, task.Slip = 0, slices.Repeat([]float64{30 * um}, 6)
	if a := made(t, task); a.Recommended != 0 {
		t.Errorf("slips of 30 µm, yet feet are moved for %.2f µm", a.Plans[a.Recommended].Zone.Value/um)
	}
}

// The same answer on one processor and on two, and within a small budget an answer all
// the same, said to be cut short.
func TestSameAndBounded(t *testing.T) {
	task := someBed(t, 4, 3, true)
	task.Draws = about(task, 60, 3*um)
	a := made(t, task)
	before := runtime.GOMAXPROCS(1)
	b := made(t, task)
	runtime.GOMAXPROCS(before)
	if !reflect.DeepEqual(a, b) {
		t.Error("another answer on one processor")
	}
	task.Budget = 8_000_000
	short := made(t, task)
	if !slices.ContainsFunc(short.Warnings, func(w Warning) bool { return w.Kind == OutOfWork }) {
		t.Error("a budget of 8 million is not said to be spent")
	}
	if len(short.Plans) < 2 {
		t.Error("no plan within a small budget")
	}
}
