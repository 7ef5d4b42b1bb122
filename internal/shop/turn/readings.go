package turn

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/floats"

	"footwork/beam"
)

// zero is what an instrument reads at a place beyond what a bed shows there: known by its
// readings there, the better the more they are · doubt: the probability that the one that set it
// was misread.
type zero struct{ mean, variance, doubt float64 }

// misread is how often a reading is wrong altogether, and by how many times what it scatters: a
// division or two of the scale (assumed).
const misread, misreadBy = 0.02, 15

// likely returns the logarithm of how likely a reading is that is so far off, and the probability
// that neither it nor the one that set the zero was misread: a normal density with another, far
// wider (J. W. Tukey, in Contributions to Probability and Statistics, Stanford 1960, 448–485).
func (z zero) likely(off, noise float64) (log, sound float64) {
	wide := misreadBy * noise
	right, wrong := z.variance+noise*noise, z.variance+noise*noise+wide*wide
	p := misread + z.doubt
	a := math.Log(1-p) - off*off/(2*right) - math.Log(right)/2
	b := math.Log(p) - off*off/(2*wrong) - math.Log(wrong)/2
	log = max(a, b) + math.Log1p(math.Exp(-math.Abs(a-b)))
	return log, math.Exp(a - log)
}

// shows returns what an instrument shows on a bed, but for its zero and the metal, which
// no turn changes.
func (b *beds) shows(st *beam.State, p Place) float64 {
	return b.Shows(p.Instrument, p.At, int(p.At), func(way int, x float64) float64 { return st.Read(b.probe(b.Ways[way].Of, x))[0] })
}

// eye keeps the probes of places that were looked at: all beds share them.
type eye struct {
	sync.Mutex
	probes map[eyed]*beam.Probe
}

// eyed is a place on a way of the bed, m.
type eyed struct {
	way int
	x   float64
}

func (b *beds) probe(way int, x float64) *beam.Probe {
	b.eye.Lock()
	defer b.eye.Unlock()
	at := eyed{way, x}
	if b.eye.probes[at] == nil {
		b.eye.probes[at] = b.Solver.Probe([]float64{x}, b.Bed.Ways[way].Offset)
	}
	return b.eye.probes[at]
}

// note gives an instrument a new zero, by what it reads now.
func (b *beds) note(p Place, value float64) {
	noise := b.Instruments[p.Instrument].Noise
	_ = b.each(func(_ int, one *bed) error {
		one.zero[p] = zero{value - b.shows(one.state, p), noise * noise, misread}
		return nil
	})
}

// tell lets a reading tell of the zero of its instrument on a bed that stands so (the
// filter of R. E. Kalman, J. Basic Eng. 82 (1960) 35–45, of one number). By lot it is misread, or
// the one that set the zero was, as the bed makes it likely · lot from 0 to 1.
func (one *bed) tell(p Place, value, shown, noise, lot float64) {
	z := one.zero[p]
	off := value - shown - z.mean
	_, sound := z.likely(off, noise)
	switch before := z.doubt / (misread + z.doubt); {
	case lot < sound:
		gain := z.variance / (z.variance + noise*noise)
		one.zero[p] = zero{z.mean + gain*off, (1 - gain) * z.variance, 0}
	case lot < sound+(1-sound)*before:
		one.zero[p] = zero{value - shown, noise * noise, 0}
	default:
		one.zero[p] = zero{z.mean, z.variance, 0}
	}
}

// again takes in a reading at a place that was read before, with nothing turned since the
// last reading: it tells of the bed as much as of its zero, which has crept since by what a
// reading scatters (assumed), or is another, for all that is known.
func (b *beds) again(p Place, value float64) {
	noise := b.Instruments[p.Instrument].Noise
	likely, lots := make([]float64, len(b.all)), b.lots(b.rng.Float64)
	for i, one := range b.all {
		z := one.zero[p]
		z.variance, z.doubt = z.variance+noise*noise, max(z.doubt, misread)
		one.zero[p] = z
		shown := b.shows(one.state, p)
		likely[i], _ = z.likely(value-shown-z.mean, noise)
		one.tell(p, value, shown, noise, lots[i])
	}
	b.reweigh(likely)
}

// fit is how a change of reading sits with what the beds foretell of it.
type fit struct {
	expected, sd float64 // of the change, over the beds, slip and noise with it
	change       float64
}

// off is by how many standard deviations the change is not what was expected.
func (f fit) off() float64 { return (f.change - f.expected) / f.sd }

// foretell returns what a reading should be and is, since another there.
func (b *beds) foretell(p Place, value, was float64) fit {
	var mean, square float64
	noise := b.Instruments[p.Instrument].Noise
	for _, one := range b.all {
		d := b.shows(one.state, p) + one.zero[p].mean - was
		mean, square = mean+one.weight*d, square+one.weight*(d*d+one.zero[p].variance)
	}
	return fit{mean, math.Sqrt(max(0, square-mean*mean) + noise*noise), value - was}
}

// reach is how far about what was meant a slip is looked for, in its standard deviations, and
// nodes are how many readings are foretold within it: between two of them at most one foot
// comes to carry or leaves off.
const (
	reach = 3.5
	nodes = 15
	fine  = 10 // parts of the way from one node to the next
)

// along returns what is shown of a bed for how far the foot went: at nodes from
// reach standard deviations below what was meant to as many above. It is a broken line, for
// feet come to carry and leave off.
func (b *beds) along(one *bed, p Place, m move) ([]float64, error) {
	out := make([]float64, nodes)
	for k := range out {
		there, err := b.raised(one, m.foot, m.at(k*fine)-one.moved)
		if err != nil {
			return nil, err
		}
		out[k] = b.shows(there.state, p)
	}
	return out, nil
}

// at is how far a foot went at a place of the fine grid, m.
func (m move) at(k int) float64 {
	return m.raise + m.sd*reach*(2*float64(k)/(fine*(nodes-1))-1)
}

// went draws how far the foot of a bed went, m, from what its slip and a reading make
// likely, and returns the logarithm of how likely the reading was · shown as from along, z its
// zero, noise of the reading, lot from 0 to 1.
func (m move) went(shown []float64, value float64, zero zero, noise, lot float64) (raise, likely float64) {
	var log [fine*(nodes-1) + 1]float64
	for k := range log {
		i, t := min(k/fine, nodes-2), float64(k)/fine
		t -= float64(i)
		z := (m.at(k) - m.raise) / m.sd
		like, _ := zero.likely(value-zero.mean-shown[i]*(1-t)-shown[i+1]*t, noise)
		log[k] = like - z*z/2
	}
	whole := floats.LogSumExp(log[:])
	sum := 0.0
	for k, l := range log {
		share := math.Exp(l - whole)
		if sum+share >= lot || k == len(log)-1 {
			step := m.at(1) - m.at(0)
			return m.at(k) + step*((lot-sum)/share-0.5), whole
		}
		sum += share
	}
	panic("turn: shares that do not sum to one")
}

// misguided: a turn that went by the instrument went wrong by as much as the reading before it was
// misread, and shows nothing of that. Some beds, by lot, have it so, more of them than is likely at
// less weight each: returned is by how much, m, and the logarithm of the weight · shown as from
// along, doubt of its zero, lot from 0 to 1, far a normal one.
func (m move) misguided(shown []float64, doubt, noise, lot, far float64) (by, weight float64) {
	const tried = 0.1 // share of the beds
	rate := (shown[nodes-1] - shown[0]) / (2 * reach * m.sd)
	switch {
	case m.touch || m.nut || m.slack || doubt == 0 || rate == 0:
		return 0, 0
	case lot < tried:
		return far * misreadBy * noise / rate, math.Log(doubt / tried)
	}
	return 0, math.Log((1 - doubt) / (1 - tried))
}

// learn takes in a reading after a move: every bed's last move is drawn anew from what the
// reading tells of it, its zero follows, and beds are kept by how likely the reading was.
func (b *beds) learn(p Place, value float64, m move) error {
	noise := b.Instruments[p.Instrument].Noise
	likely, lots, others, far := make([]float64, len(b.all)), b.lots(b.rng.Float64), b.lots(b.rng.Float64), b.lots(b.rng.NormFloat64)
	err := b.each(func(i int, one *bed) error {
		m := m.of(one)
		shown, err := b.along(one, p, m)
		if err != nil {
			return err
		}
		to, like := m.went(shown, value, one.zero[p], noise, lots[i])
		by, weight := m.misguided(shown, one.zero[p].doubt, noise, others[i], far[i])
		likely[i] = like + weight
		one.goes(m.foot, to+by-one.moved)
		one.moved = to + by
		if err := b.settle(one); err != nil {
			return err
		}
		if shows := b.shows(one.state, p); by != 0 {
			one.zero[p] = zero{value - shows, noise * noise, 0}
		} else {
			one.tell(p, value, shows, noise, others[i])
		}
		return nil
	})
	if err == nil {
		b.reweigh(likely)
	}
	return err
}
