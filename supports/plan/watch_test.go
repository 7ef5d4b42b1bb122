package plan

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"footwork/beam"
	"footwork/beam/shape"
	"footwork/internal/sample"
	"footwork/supports"
)

// watched is a bed on screws with an autocollimator for each way, a cross level and an
// indicator.
func watchedBed(t testing.TB, seed uint64) Task {
	task := someBed(t, seed, 4, true)
	for f := range task.Feet {
		task.Feet[f] = supports.Adjuster{Kind: supports.Screw, Rise: 1.5e-3}
		task.Draws[0].Heights[f] /= 5 // all feet carry
		task.Slip = append(task.Slip, 4.8*um)
	}
	const base = 0.15
	var at []float64
	for x := 0.1; x+base < task.Bed.Length-0.05; x += base {
		at = append(at, x)
	}
	x := append(slices.Clone(at), at[len(at)-1]+base)
	task.Ways = []Way{{0, x}, {1, x}}
	task.Draws[0].Form = []shape.Shape{{X: x, Y: make([]float64, len(x))}, {X: x, Y: make([]float64, len(x))}}
	for w := range 2 {
		task.Instruments = append(task.Instruments, Instrument{Name: "collimator", Way: w, Base: base, At: at, Noise: 1.5e-6})
	}
	task.Instruments = append(task.Instruments, Instrument{Name: "twist", Way: Across, At: x, Noise: 1.5e-6})
	return task
}

// read is what an instrument shows, by package beam alone.
func read(t *testing.T, task Task, in Instrument, at float64, raise []float64) float64 {
	d := task.Draws[0]
	d.Heights = slices.Clone(d.Heights)
	for f, r := range raise {
		d.Heights[f] += r
	}
	st, err := task.Solver.Solve(beam.Case{Draw: d})
	if err != nil {
		t.Fatal(err)
	}
	height := func(w int, x float64) float64 {
		return st.Read(task.Solver.Probe([]float64{x}, task.Bed.Ways[w].Offset))[0]
	}
	if in.Way == Across {
		return (height(1, at) - height(0, at)) / (task.Bed.Ways[1].Offset - task.Bed.Ways[0].Offset)
	}
	return (height(in.Way, at+in.Base) - height(in.Way, at)) / in.Base
}

// No other place tells a foot's move much better, and none is over the foot itself.
func TestWatchTellsMost(t *testing.T) {
	for seed := range uint64(3) {
		task := watchedBed(t, seed)
		p, err := newPlanner(&task, nil)
		if err != nil {
			t.Fatal(err)
		}
		still := make([]float64, 8)
		for f, w := range p.watch {
			if w == nil {
				t.Fatalf("bed %d foot %d: no watch", seed, f)
			}
			raise := make([]float64, 8)
			raise[f] = 5 * um
			best := math.Inf(1)
			sd := func(in Instrument, at float64) float64 {
				return math.Sqrt2 * in.Noise * raise[f] / math.Abs(read(t, task, in, at, raise)-read(t, task, in, at, still))
			}
			for _, in := range task.Instruments {
				for _, at := range in.At {
					if math.Abs(at+in.Base/2-task.Standing.Feet[f].At) >= in.Base {
						best = min(best, sd(in, at))
					}
				}
			}
			own := sd(task.Instruments[w.instrument], w.at)
			if own > asWell*best*1.02 || math.Abs(own-p.sd[f]) > 0.02*own {
				t.Errorf("bed %d foot %d: %.2f µm, said %.2f, another place %.2f", seed, f, own/um, p.sd[f]/um, best/um)
			}
			in := task.Instruments[w.instrument]
			if in.Base > 0 && math.Abs(w.at+in.Base/2-task.Standing.Feet[f].At) < in.Base {
				t.Errorf("bed %d foot %d: watched over itself", seed, f)
			}
		}
	}
}

// Turned until the reading has changed as the step says, a bed stiffer than thought by a
// fifth ends as straight as the plan says; turned by the same angles it does not end
// straighter. The spread is the instrument's.
func TestTurnedToReadings(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	for seed := range uint64(3) {
		task := watchedBed(t, seed)
		one := task.Draws[0]
		task.Draws = about(task, 60, 0)
		a := made(t, task)
		p := a.Plans[a.Recommended]
		task.Draws = []beam.Draw{one}
		task.Draws[0].Bending, task.Draws[0].Twist = 1.2, 1.2
		var ends []float64
		for range 10 {
			raise := make([]float64, 8)
			for _, s := range p.Steps {
				if s.Watch == nil {
					raise[s.Foot] += s.Raise
					continue
				}
				in := task.Instruments[s.Watch.Instrument]
				before := read(t, task, in, s.Watch.At, raise)
				try := slices.Clone(raise)
				try[s.Foot] += 1 * um
				rate := (read(t, task, in, s.Watch.At, try) - before) / um
				raise[s.Foot] += (s.Watch.Change + math.Sqrt2*in.Noise*r.NormFloat64()) / rate
			}
			zone, _ := truth(t, task, task.Draws[0], raise)
			ends = append(ends, zone)
		}
		if m := sample.Median(ends); m < p.Zone.Low-0.1*um || m > p.Zone.High+0.1*um {
			t.Errorf("bed %d: %.2f µm, foretold %.2f to %.2f", seed, m/um, p.Zone.Low/um, p.Zone.High/um)
		}
	}
}

// One set-up serves as many feet as it can, and feet watched from one place follow one
// another.
func TestFewSetups(t *testing.T) {
	task := watchedBed(t, 1)
	a := made(t, task)
	changes, moved := 0, 0
	var last *Watch
	for _, s := range a.Plans[len(a.Plans)-1].Steps {
		if s.Watch == nil {
			continue
		}
		if last != nil && (last.Instrument != s.Watch.Instrument || last.At != s.Watch.At) {
			changes++
		}
		last = s.Watch
		moved++
	}
	if moved < 2 || changes >= moved-1 {
		t.Errorf("%d changes of set-up for %d feet", changes, moved)
	}
}

// What is seen nearly as well from where the instrument stands already is watched from there.
func TestWatchFromWhereItStands(t *testing.T) {
	task, moved := watchedBed(t, 1), 0
	p, _ := newPlanner(&task, nil)
	by, err := p.responses(p.choose)
	if err != nil {
		t.Fatal(err)
	}
	p.sd = make([]float64, len(p.watch)) // of the angle: nothing is known, so that any place will do
	for f := range p.watch {
		for _, w := range p.options(f, by) {
			q, _ := newPlanner(&task, &Step{Foot: f, Watch: &Watch{Instrument: w.instrument, At: w.at, Less: w.less}})
			if q.watch[f].setup() != w.setup() {
				t.Errorf("foot %d is seen from %v, and watched from %v", f, w.setup(), q.watch[f].setup())
			}
			if w.setup() != p.watch[f].setup() {
				moved++
			}
		}
	}
	if moved == 0 {
		t.Error("no foot is seen from two places")
	}
}

// A vial of 0.02 mm/m does not see 10 µm, and by angle nothing is watched.
func TestBlind(t *testing.T) {
	task := watchedBed(t, 0)
	for i := range task.Instruments {
		task.Instruments[i].Noise = 20e-6
	}
	task.Goal.By = supports.Reading
	p, _ := newPlanner(&task, nil)
	for f, w := range p.watch {
		if w != nil {
			t.Errorf("foot %d is watched by an instrument that does not see it", f)
		}
	}
	task = watchedBed(t, 0)
	task.Goal.By = supports.Angle
	for _, s := range made(t, task).Plans[1].Steps {
		if s.Watch != nil {
			t.Error("watched by angle")
		}
	}
	// beside the foot an indicator of 1 µm sees it
	task.Goal.By = supports.Reading
	task.Instruments = []Instrument{{Name: "indicator", Noise: 1 * um}}
	p, _ = newPlanner(&task, nil)
	for f, w := range p.watch {
		if w == nil || p.sd[f] > 4*um || p.sd[f] < 1.4*um {
			t.Errorf("foot %d beside an indicator of 1 µm: %v, %.2f µm", f, w, p.sd[f]/um)
		}
	}
}

// Where a set-up drifts, two places that move opposite ways are read.
func TestPairOfPlaces(t *testing.T) {
	task := watchedBed(t, 0)
	for i := range task.Instruments {
		task.Instruments[i].Drift = 20e-6
	}
	task.Instruments = task.Instruments[:2]
	p, _ := newPlanner(&task, nil)
	pairs := 0
	for f, w := range p.watch {
		if w == nil {
			continue
		}
		if w.less == nil {
			t.Errorf("foot %d: one place though the set-up drifts", f)
		}
		pairs++
	}
	if pairs < 4 {
		t.Errorf("%d feet are watched", pairs)
	}
}
