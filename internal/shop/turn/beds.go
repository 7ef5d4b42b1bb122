package turn

import (
	"errors"
	"maps"
	"math"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync"

	"gonum.org/v1/gonum/stat"

	"footwork/beam"
	"footwork/supports/plan"
)

// beds are what the bed on the floor may be while its feet are turned: a particle
// filter. A turn moves a foot by what was meant and an unknown slip; a reading before
// and one after tell the slip, and how likely each bed was (the optimal proposal of
// A. Doucet, S. Godsill, C. Andrieu, Statistics and Computing 10 (2000) 197–208).
type beds struct {
	plan.Task
	all []*bed
	rng *rand.Rand
}

// bed is one of them.
type bed struct {
	draw   beam.Draw
	state  *beam.State
	seen   map[Place]float64 // what its instruments showed, but for their zeros, when they were read last
	moved  float64           // m, by the last move
	weight float64
}

// Place is an instrument of the task and where it stands.
type Place struct {
	Instrument int
	At         float64 // m; of a carriage the trailing foot
}

// move is one turn of one foot.
type move struct {
	foot  int
	touch bool    // until it just touched, first
	nut   bool    // its lock nut was tightened
	raise float64 // m, meant
	sd    float64 // m
}

func newBeds(t plan.Task) (*beds, error) {
	b := &beds{Task: t, rng: rand.New(rand.NewPCG(2026, 3))}
	for _, d := range t.Draws {
		if d.Heights == nil {
			for _, f := range t.Standing.Feet {
				d.Heights = append(d.Heights, f.Height)
			}
		}
		b.all = append(b.all, &bed{draw: d, seen: map[Place]float64{}, weight: 1 / float64(len(t.Draws))})
	}
	return b, b.each(func(_ int, one *bed) error { return b.settle(one) })
}

// each does something with every bed, side by side.
func (b *beds) each(f func(i int, one *bed) error) error {
	errs := make([]error, len(b.all))
	var wg sync.WaitGroup
	workers := min(runtime.GOMAXPROCS(0), len(b.all))
	for w := range workers {
		wg.Go(func() {
			for i := w; i < len(b.all); i += workers {
				errs[i] = f(i, b.all[i])
			}
		})
	}
	wg.Wait()
	return errors.Join(errs...)
}

// settle finds how a bed stands on its feet as they are.
func (b *beds) settle(one *bed) (err error) {
	c := b.Loads
	c.Draw = one.draw
	if one.state != nil {
		c.Contact = one.state.Contact()
	}
	one.state, err = b.Solver.Solve(c)
	return err
}

// carry moves a foot of every bed, each by its own slip.
func (b *beds) carry(m move) error {
	slips := b.normal()
	return b.each(func(i int, one *bed) error {
		one.draw.Heights = slices.Clone(one.draw.Heights)
		if m.touch {
			one.draw.Heights[m.foot] += one.state.Feet()[m.foot].Gap
		}
		slip := m.sd * slips[i]
		if m.touch { // what just touches carries a little
			slip = math.Abs(slip)
		}
		one.moved = m.raise + slip
		one.draw.Heights[m.foot] += one.moved
		return b.settle(one)
	})
}

// gap is how far a foot hangs, m, on the average of the beds.
func (b *beds) gap(foot int) (mean float64) {
	for _, one := range b.all {
		mean += one.weight * one.state.Feet()[foot].Gap
	}
	return mean
}

// normal draws a number for every bed, in their order.
func (b *beds) normal() []float64 {
	v := make([]float64, len(b.all))
	for i := range v {
		v[i] = b.rng.NormFloat64()
	}
	return v
}

// shows returns what an instrument shows on a bed, but for its zero and the metal, which
// no turn changes.
func (b *beds) shows(st *beam.State, p Place) float64 {
	in := b.Instruments[p.Instrument]
	on := func(way int, x ...float64) []float64 {
		return st.Read(b.Solver.Probe(x, b.Bed.Ways[b.Ways[way].Of].Offset))
	}
	switch {
	case in.At == nil: // beside a foot: its height on the line through the ways' heights there
		return b.beside(st, p.At)
	case in.Way == plan.Across:
		last := len(b.Ways) - 1
		return (on(last, p.At)[0] - on(0, p.At)[0]) / (b.Bed.Ways[b.Ways[last].Of].Offset - b.Bed.Ways[b.Ways[0].Of].Offset)
	case in.Base == 0:
		return on(in.Way, p.At)[0]
	}
	h := on(in.Way, p.At, p.At+in.Base)
	return (h[1] - h[0]) / in.Base
}

// beside returns the bed's height over the foot that stands at a place coded by its index.
func (b *beds) beside(st *beam.State, foot float64) float64 {
	f := b.Standing.Feet[int(foot)]
	return st.Read(b.Solver.Probe([]float64{f.At}, f.Offset))[0]
}

// note keeps what every bed shows at a place when it is read.
func (b *beds) note(p Place) {
	_ = b.each(func(_ int, one *bed) error { one.seen[p] = b.shows(one.state, p); return nil })
}

// fit is how a change of reading sits with what the beds foretell of it.
type fit struct {
	expected, sd float64 // of the change, over the beds, slip and noise with it
	change       float64
}

// off is by how many standard deviations the change is not what was expected.
func (f fit) off() float64 { return (f.change - f.expected) / f.sd }

// foretell returns what a change of reading since it was noted there should be.
func (b *beds) foretell(p Place, change float64) fit {
	var mean, square float64
	for _, one := range b.all {
		d := b.shows(one.state, p) - one.seen[p]
		mean, square = mean+one.weight*d, square+one.weight*d*d
	}
	noise := b.Instruments[p.Instrument].Noise
	return fit{mean, math.Sqrt(max(0, square-mean*mean) + 2*noise*noise), change}
}

// rates returns what a raise of the moved foot does to a reading of every bed.
func (b *beds) rates(p Place, m move) ([]float64, error) {
	out := make([]float64, len(b.all))
	const step = 1e-6
	return out, b.each(func(i int, one *bed) error {
		raised := *one
		raised.draw.Heights = slices.Clone(one.draw.Heights)
		raised.draw.Heights[m.foot] += step
		if err := b.settle(&raised); err != nil {
			return err
		}
		out[i] = (b.shows(raised.state, p) - b.shows(one.state, p)) / step
		return nil
	})
}

// learn takes in the change of a reading since it was noted there: every bed's last move
// is drawn anew from what the change tells of it, and beds are kept by how likely the
// change was.
func (b *beds) learn(p Place, change float64, m move) error {
	rates, err := b.rates(p, m)
	if err != nil {
		return err
	}
	noise := math.Sqrt2 * b.Instruments[p.Instrument].Noise
	anew, likely := b.normal(), make([]float64, len(b.all))
	err = b.each(func(i int, one *bed) error {
		at := b.shows(one.state, p) - one.seen[p] + rates[i]*(m.raise-one.moved) // the slip that was drawn is forgotten
		spread := math.Hypot(m.sd*rates[i], noise)
		likely[i] = math.Log(one.weight) - (change-at)*(change-at)/(2*spread*spread) - math.Log(spread)
		gain := m.sd * m.sd * rates[i] / (spread * spread)
		to := m.raise + gain*(change-at) + m.sd*noise/spread*anew[i]
		if m.touch {
			to = max(0, to)
		}
		one.draw.Heights[m.foot] += to - one.moved
		one.moved = to
		return b.settle(one)
	})
	if err != nil {
		return err
	}
	b.reweigh(likely)
	return nil
}

// reweigh gives the beds weights of these logarithms, and draws them anew where few of
// them are left.
func (b *beds) reweigh(likely []float64) {
	most, sum, squares := slices.Max(likely), 0.0, 0.0
	for i, one := range b.all {
		one.weight = math.Exp(likely[i] - most)
		sum += one.weight
	}
	for _, one := range b.all {
		one.weight /= sum
		squares += one.weight * one.weight
	}
	if n := float64(len(b.all)); 1/squares > n/2 {
		return
	}
	b.resample()
}

// resample draws the beds anew by their weights, at even steps from a random beginning.
func (b *beds) resample() {
	n := len(b.all)
	out := make([]*bed, 0, n)
	at, sum := b.rng.Float64(), 0.0
	for _, one := range b.all {
		sum += one.weight * float64(n)
		for float64(len(out))+at < sum && len(out) < n {
			c := one.copy()
			c.weight = 1 / float64(n)
			out = append(out, c)
		}
	}
	b.all = out
}

// draws returns the beds as the planner takes them: all as likely as one another.
func (b *beds) draws() []beam.Draw {
	c := *b
	c.rng = rand.New(rand.NewPCG(7, uint64(len(b.all))))
	c.resample()
	out := make([]beam.Draw, len(c.all))
	for i, one := range c.all {
		out[i] = one.draw
	}
	return out
}

// feels keeps beds by what a hand feels of a foot: that it carries or hangs. A hand is
// wrong about one time in twenty (assumed).
func (b *beds) feels(foot int, carries bool) {
	const wrong = 0.05
	likely := make([]float64, len(b.all))
	for i, one := range b.all {
		likely[i] = math.Log(one.weight)
		if one.state.Feet()[foot].Lifted == carries {
			likely[i] += math.Log(wrong)
		}
	}
	b.reweigh(likely)
}

// copy returns beds that may be moved without these.
func (b *beds) copy() *beds {
	c := *b
	c.all = make([]*bed, len(b.all))
	for i, one := range b.all {
		c.all[i] = one.copy()
	}
	return &c
}

func (one *bed) copy() *bed {
	c := *one
	c.draw.Heights = slices.Clone(one.draw.Heights)
	c.seen = maps.Clone(one.seen)
	return &c
}

// came returns by how much the last move raised the foot, m: mean and standard deviation.
func (b *beds) came() (mean, sd float64) {
	v, w := make([]float64, len(b.all)), make([]float64, len(b.all))
	for i, one := range b.all {
		v[i], w[i] = one.moved, one.weight*float64(len(b.all))
	}
	mean, variance := stat.MeanVariance(v, w)
	return mean, math.Sqrt(max(0, variance))
}
