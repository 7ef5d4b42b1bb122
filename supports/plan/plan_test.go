package plan

import (
	"math"
	"math/rand/v2"
	"reflect"
	"runtime"
	"slices"
	"testing"

	"gonum.org/v1/gonum/floats"

	"footwork/beam"
	"footwork/beam/shape"
	"footwork/supports"
)

// stood is how a draw of a task stands by package beam alone, raised.
func stood(t testing.TB, task Task, d beam.Draw, raise []float64) *beam.State {
	t.Helper()
	d.Heights = slices.Clone(d.Heights)
	for f, r := range raise {
		d.Heights[f] += r
	}
	st, err := task.Solver.Solve(beam.Case{Draw: d})
	if err != nil {
		t.Fatal(err)
	}
	return st
}

// lines are the ways of a bed made ready to be read, and planes over their stations.
type lines struct {
	ways   []*beam.Probe
	planes *shape.Planes
}

// ready keeps the lines of every bed.
var ready = map[*beam.Solver]lines{}

func linesOf(task Task) lines {
	l, ok := ready[task.Solver]
	if !ok {
		var x, y []float64
		for _, way := range task.Ways {
			offset := task.Bed.Ways[way.Of].Offset
			l.ways = append(l.ways, task.Solver.Probe(way.X, offset))
			x, y = append(x, way.X...), append(y, slices.Repeat([]float64{offset}, len(way.X))...)
		}
		l.planes = shape.NewPlanes(x, y)
		ready[task.Solver] = l
	}
	return l
}

// zoneOf returns the zone of the ways of a draw that stands so.
func zoneOf(task Task, d beam.Draw, st *beam.State) (zone float64) {
	l := linesOf(task)
	var h []float64
	for w, way := range task.Ways {
		heights := st.Read(l.ways[w])
		floats.Add(heights, d.Form[w].Y)
		h, zone = append(h, heights...), max(zone, shape.Zone(way.X, heights))
	}
	if task.Tied {
		zone, _, _, _ = l.planes.Zone(h)
	}
	return zone
}

// truth stands a draw of a task, raised, and returns the zone of its ways and how its feet stand.
func truth(t testing.TB, task Task, d beam.Draw, raise []float64) (zone float64, feet []beam.FootState) {
	t.Helper()
	st := stood(t, task, d, raise)
	return zoneOf(task, d, st), st.Feet()
}

// costOf is what a certain bed's raises cost, by the rule of doc.go.
func costOf(t testing.TB, task Task, raise []float64) float64 {
	t.Helper()
	zone, feet := truth(t, task, task.Draws[0], raise)
	return zone + loadCost(task, feet)
}

// loadCost is what feet that stand so add to it.
func loadCost(task Task, feet []beam.FootState) (cost float64) {
	mean, most, sum := 0.0, 0.0, 0.0
	for _, f := range feet {
		mean += f.Load / float64(len(feet))
	}
	for _, f := range feet {
		lack := max(0, task.Goal.LeastLoad-f.Load/mean)
		most, sum = max(most, lack), sum+lack
	}
	if most > unnoticed {
		cost += 200e-6 * (0.95 - math.Sqrt(0.05*0.95))
	}
	return cost + 50e-6*sum
}

// least lowers best to what a bed costs that stands so: its zone is asked for only where loads leave
// it open.
func least(task Task, st *beam.State, best *float64) {
	if c := loadCost(task, st.Feet()); c < *best {
		*best = min(*best, c+zoneOf(task, task.Draws[0], st))
	}
}

// total returns what a plan raises each foot of the certain bed by, touching and all.
func total(t testing.TB, task Task, p Plan) []float64 {
	feet := stood(t, task, task.Draws[0], nil).Feet()
	raise := make([]float64, len(feet))
	for _, m := range p.Moves {
		raise[m.Foot] = m.Raise
		if m.Touch {
			raise[m.Foot] += feet[m.Foot].Gap
		}
	}
	return raise
}

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

func stacksOf(task Task) (out []float64) {
	for a := range 5 {
		for b := range 5 - a {
			if s := float64(a)*task.Goal.Shims[0] + float64(b)*task.Goal.Shims[1]; s > 0 && s <= task.Goal.MostMove*(1+1e-9) {
				out = append(out, s)
			}
		}
	}
	return out
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
		r := RangeOf(zones)
		for k, off := range []float64{r.Value - p.Zone.Value, r.Low - p.Zone.Low, r.High - p.Zone.High} {
			if math.Abs(off) > telling {
				t.Errorf("%d feet, figure %d: off by %.4f µm", len(p.Moves), k, off/um)
			}
		}
	}
}

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
