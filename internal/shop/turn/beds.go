package turn

import (
	"maps"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"

	"footwork/beam"
	"footwork/internal/sample"
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
	few bool // hardly any of the draws is left that all readings since then fit
	eye *eye

	stands func(d beam.Draw, first []bool) (*beam.State, error) // by draw, with all else on it
}

// bed is one of them.
type bed struct {
	draw   beam.Draw
	state  *beam.State
	zero   map[Place]zero // of its instruments
	moved  float64        // m, by the last move
	went   []float64      // m, of each foot, by all moves
	said   []float64      // m, of that, what lines of the log say
	nut    []float64      // m, by which tightening each lock nut raises its foot; 0 where none has shown it
	felt   []felt         // how a hand felt each foot last
	weight float64
	from   int // the draw of the task that it was at first
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
	nut   bool    // its lock nut was tightened: each bed's own does what it did, and raise beyond that
	slack bool    // or slackened, and nothing turned
	raise float64 // m, meant
	sd    float64 // m
}

func newBeds(t plan.Task) (*beds, error) {
	b := &beds{Task: t, rng: rand.New(rand.NewPCG(2026, 3)), eye: &eye{probes: map[eyed]*beam.Probe{}}, stands: t.Solver.Under(t.Loads)}
	for i, d := range t.Draws {
		if d.Heights == nil {
			for _, f := range t.Standing.Feet {
				d.Heights = append(d.Heights, f.Height)
			}
		}
		n := len(t.Standing.Feet)
		b.all = append(b.all, &bed{draw: d, zero: map[Place]zero{}, went: make([]float64, n), said: make([]float64, n), nut: make([]float64, n), felt: make([]felt, n), weight: 1 / float64(len(t.Draws)), from: i})
	}
	return b, b.each(func(_ int, one *bed) error { return b.settle(one) })
}

// each does something with every bed, side by side.
func (b *beds) each(f func(i int, one *bed) error) error {
	return sample.Each(len(b.all), 0, func(i int) error { return f(i, b.all[i]) })
}

// of is a move as a bed has it, whose lock nuts are its own.
func (m move) of(one *bed) move {
	if m.nut {
		m.raise += one.nut[m.foot]
	} else if m.slack {
		m.raise -= one.nut[m.foot]
	}
	return m
}

// settle finds how a bed stands on its feet as they are.
func (b *beds) settle(one *bed) (err error) {
	var first []bool
	if one.state != nil {
		first = one.state.Contact()
	}
	one.state, err = b.stands(one.draw, first)
	return err
}

// raised returns a bed with a foot raised, m.
func (b *beds) raised(one *bed, foot int, by float64) (bed, error) {
	there := *one
	there.draw.Heights = slices.Clone(one.draw.Heights)
	there.draw.Heights[foot] += by
	return there, b.settle(&there)
}

// carry moves a foot of every bed, each by its own slip.
func (b *beds) carry(m move) error {
	slips := b.lots(b.rng.NormFloat64)
	return b.each(func(i int, one *bed) error {
		one.draw.Heights = slices.Clone(one.draw.Heights)
		if m.touch {
			by, _ := b.untilTouch(one, m.foot)
			one.goes(m.foot, by)
		}
		one.moved = m.of(one).raise + m.sd*slips[i]
		one.goes(m.foot, one.moved)
		return b.settle(one)
	})
}

// goes takes down that a foot went up.
func (one *bed) goes(foot int, by float64) {
	one.draw.Heights[foot] += by
	one.went[foot] += by
}

// mean is an average over the beds.
func (b *beds) mean(of func(i int, one *bed) (float64, error)) (float64, error) {
	v := make([]float64, len(b.all))
	err := b.each(func(i int, one *bed) (err error) {
		v[i], err = of(i, one)
		v[i] *= one.weight
		return err
	})
	return floats.Sum(v), err
}

// share is that of the beds of which something holds.
func (b *beds) share(holds func(i int, one *bed) bool) float64 {
	share, _ := b.mean(func(i int, one *bed) (float64, error) {
		if holds(i, one) {
			return 1, nil
		}
		return 0, nil
	})
	return share
}

// responds is what a raise of a foot of a bed by so much does to a reading, for each metre.
func (b *beds) responds(one *bed, p Place, foot int, step float64) (float64, error) {
	there, err := b.raised(one, foot, step)
	if err != nil {
		return 0, err
	}
	return (b.shows(there.state, p) - b.shows(one.state, p)) / step, nil
}

// rate is the same on the average of the beds.
func (b *beds) rate(p Place, foot int, step float64) (float64, error) {
	return b.mean(func(_ int, one *bed) (float64, error) { return b.responds(one, p, foot, step) })
}

// light returns the share of the beds in which a foot carries less than so many mean foot loads.
func (b *beds) light(foot int, least float64) float64 {
	return b.share(func(_ int, one *bed) bool { return one.state.Feet()[foot].Load < least*b.meanLoad(one) })
}

// load is what a foot carries, mean foot loads, on the average of the beds.
func (b *beds) load(foot int) float64 {
	load, _ := b.mean(func(_ int, one *bed) (float64, error) { return one.state.Feet()[foot].Load / b.meanLoad(one), nil })
	return load
}

// meanLoad is that of the feet of a bed, N.
func (b *beds) meanLoad(one *bed) float64 { return one.state.Weight() / float64(len(b.Standing.Feet)) }

// unnoticed is how much lighter a foot that is light may get, mean foot loads (assumed).
const unnoticed = 0.02

// lightened returns the risk of a move, and of each foot the share of the beds in which it then carries
// less than so many mean foot loads, before or not; all do where the bed tips. It risks the beds in
// which a foot then has less that had more, or is lighter that had less, or is loaded beyond its rating
// and what it carried; those in which the feet that are light are others and hang count as seldom as
// nobody feels that. What touches does so with its nut slack · slack: the nut of the foot is, and will
// be tight, before as after.
func (b *beds) lightened(m move, slack bool, least, unfelt float64) (risk float64, each []float64) {
	lots, light := b.lots(rand.New(rand.NewPCG(11, 5)).NormFloat64), make([][]bool, len(b.all)) // the same for every move
	risk, _ = b.mean(func(i int, one *bed) (risk float64, _ error) {
		before := *one
		var err error
		if slack {
			before, err = b.raised(one, m.foot, one.nut[m.foot])
		}
		by := m.raise + m.sd*lots[i]
		if m.touch {
			by = b.pastTouch(before, m.foot, by)
		}
		there, tips := b.raised(&before, m.foot, by)
		if err != nil || tips != nil {
			light[i] = slices.Repeat([]bool{true}, len(b.Standing.Feet))
			return 1, nil
		}
		for f, foot := range there.state.Feet() {
			mean := b.meanLoad(one)
			was, is := before.state.Feet()[f].Load/mean, foot.Load/mean
			light[i] = append(light[i], is < least)
			switch rated := b.Feet[f].Rated; {
			case rated > 0 && is > max(rated/mean, was)+unnoticed:
				risk = 1
			case is >= least || was < least && is >= was-unnoticed:
			case foot.Lifted && f != m.foot:
				risk = max(risk, unfelt)
			default:
				risk = 1
			}
		}
		return risk, nil
	})
	for f := range b.Standing.Feet {
		each = append(each, b.share(func(i int, _ *bed) bool { return light[i][f] }))
	}
	return risk, each
}

// gap is how far a foot hangs when it is raised, m, on the average of the beds that do not tip.
func (b *beds) gap(foot int, raised float64) float64 {
	gap, _ := b.mean(func(_ int, one *bed) (float64, error) {
		there, err := b.raised(one, foot, raised)
		if err != nil {
			return 0, nil
		}
		return there.state.Feet()[foot].Gap, nil
	})
	return gap
}

// lots draws a number for every bed, in their order.
func (b *beds) lots(draw func() float64) []float64 {
	v := make([]float64, len(b.all))
	for i := range v {
		v[i] = draw()
	}
	return v
}

// draws returns n beds as the planner takes them: all as likely as one another, with the nuts of
// feet that are slack tight.
func (b *beds) draws(slack map[int]bool, n int) []beam.Draw {
	c := *b
	c.rng = rand.New(rand.NewPCG(7, uint64(len(b.all))))
	c.resample(n)
	out := make([]beam.Draw, len(c.all))
	for i, one := range c.all {
		out[i] = one.draw
		out[i].Heights = slices.Clone(one.draw.Heights)
		for f := range out[i].Heights {
			if slack[f] {
				out[i].Heights[f] += one.nut[f]
			}
		}
	}
	return out
}

// untilTouch returns by how much a foot of a bed is raised until it just touches: its gap,
// or by Newton's method to where its load is nothing, for load goes up with height by ever
// steeper lines. Not ok where its load does not change.
func (b *beds) untilTouch(one *bed, foot int) (by float64, ok bool) {
	const step, most = 1e-6, 8
	at := *one
	for range most {
		f := at.state.Feet()[foot]
		if f.Lifted {
			return by + f.Gap, true
		}
		lower, err := b.raised(&at, foot, -step)
		if err != nil {
			return 0, false
		}
		slope := (f.Load - lower.state.Feet()[foot].Load) / step
		down := f.Load/slope + step/100
		if at, err = b.raised(&at, foot, -down); err != nil || !(slope > 0) {
			return 0, false
		}
		by -= down
	}
	return by, true
}

// pastTouch is by how much, m, a foot of a bed whose nut is tight is raised that is brought with it slack to where it
// touches, and beyond by so much once it is tight; one that carries with it slack is left as it was.
func (b *beds) pastTouch(one bed, foot int, by float64) float64 {
	slack, err := b.raised(&one, foot, -one.nut[foot])
	if touches, ok := b.untilTouch(&slack, foot); err == nil && ok && touches > 0 {
		return touches + by
	}
	return 0
}

// toTouch is by how much a foot is raised until it just touches, m, on the average of the beds.
func (b *beds) toTouch(foot int) float64 {
	by, _ := b.mean(func(_ int, one *bed) (float64, error) {
		by, _ := b.untilTouch(one, foot)
		return by, nil
	})
	return by
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
	c.draw.Heights, c.went, c.said, c.nut, c.felt = slices.Clone(one.draw.Heights), slices.Clone(one.went), slices.Clone(one.said), slices.Clone(one.nut), slices.Clone(one.felt)
	c.zero = maps.Clone(one.zero)
	return &c
}

func lately(one *bed) float64 { return one.moved }

// came returns by how much a move raised its foot, m: the median and the standard deviation of a
// normal one as wide in its middle 95 %, for what came of a misreading lies far out.
func (b *beds) came(by func(one *bed) float64) (median, sd float64) {
	v, w := make([]float64, len(b.all)), make([]float64, len(b.all))
	for i, one := range b.all {
		v[i], w[i] = by(one), one.weight
	}
	stat.SortWeighted(v, w)
	at := func(p float64) float64 { return stat.Quantile(p, stat.Empirical, v, w) }
	return at(0.5), (at(0.975) - at(0.025)) / (2 * 1.96)
}
