package plan

import (
	"cmp"
	"math"
	"slices"

	"footwork/beam/shape"
	"footwork/internal/sample"
	"footwork/supports"
)

// watched is where a foot's move is read.
type watched struct {
	instrument int
	at         float64
	less       *float64
	rate       float64 // rad/m or m/m, of the reading for a raise, mean over draws
	within     float64 // standard uncertainty of a change that is read
}

const (
	watchedDraws = 16   // draws that choose places: a mean of so many is good to a few hundredths
	asWell       = 1.25 // times the least uncertainty of a foot's move: a place that tells as well
	pairWorth    = 2    // times less uncertain must a pair of places be to be worth the walk between them
	leastRatio   = 1.0 / 3
)

// reading returns what an instrument shows at a place of the bed as it stands, without
// its unknown zero.
func (p *planner) reading(i int, at float64, foot int, height []float64) float64 {
	return p.Shows(i, at, foot, func(w int, x float64) float64 {
		from, to := p.from[w], p.from[w+1]
		return shape.Shape{X: p.x[from:to], Y: height[from:to]}.At(x)
	})
}

// change is the same of a watch.
func (p *planner) change(w *watched, foot int, height []float64) float64 {
	v := p.reading(w.instrument, w.at, foot, height)
	if w.less != nil {
		v -= p.reading(w.instrument, *w.less, foot, height)
	}
	return v
}

// watches chooses where each foot is watched, where that tells its move better than an
// angle does: few set-ups first, then few places, then the best of them.
func (p *planner) watches() {
	if p.Goal.By == supports.Angle || len(p.Instruments) == 0 {
		return
	}
	responses, err := p.responses(p.choose[:min(watchedDraws, len(p.choose))])
	if err != nil {
		return
	}
	options := make([][]watched, p.feet)
	for f := range options {
		if a := p.Feet[f].Kind; a == supports.Screw || a == supports.Free {
			options[f] = p.options(f, responses)
		}
	}
	p.cover(options)
	for f, w := range p.watch {
		if w != nil {
			p.sd[f], p.notch[f].any = w.sd(), true
		}
		if p.Nut != nil {
			p.sd[f] = math.Hypot(p.sd[f], p.Nut[f])
		}
	}
	p.byReading(p.choose)
	if len(p.judge) > 0 && p.judge[0] != p.choose[0] {
		p.byReading(p.judge)
	}
}

// responses returns heights for a raise of each foot [draw][foot], feet that are to be
// touched carrying.
func (p *planner) responses(beds []*bed) ([][][]float64, error) {
	out := make([][][]float64, len(beds))
	err := sample.Each(len(beds), 0, func(i int) error {
		on := slices.Clone(beds[i].on)
		for k, t := range p.linear.Points {
			on[k] = on[k] || t.Foot >= 0 && p.touch[t.Foot]
		}
		for f := range p.feet {
			r, err := beds[i].respond(on, f, p.feet)
			if err != nil {
				return err
			}
			out[i] = append(out[i], r.height)
		}
		return nil
	})
	p.spendOn(beds, p.feet)
	return out, err
}

// options returns the places that tell a foot's move nearly as well as the best of them.
func (p *planner) options(foot int, responses [][][]float64) (out []watched) {
	for i := range p.Instruments {
		out = append(out, p.placesOf(i, foot, responses)...)
	}
	best := math.Inf(1)
	for _, w := range out {
		best = min(best, w.sd())
	}
	return slices.DeleteFunc(out, func(w watched) bool {
		return w.sd() > asWell*best || p.sd[foot] > 0 && w.sd() >= p.sd[foot]
	})
}

// placesOf returns what an instrument shows of a foot's move at its places, and at two of them
// read one off the other where drift makes that worth the walk.
func (p *planner) placesOf(i, foot int, responses [][][]float64) (own []watched) {
	in := p.Instruments[i]
	for _, at := range in.Places(p.Standing.Feet[foot]) {
		w := watched{instrument: i, at: at, within: in.Within()}
		for _, r := range responses {
			w.rate += p.change(&w, foot, r[foot]) / float64(len(responses))
		}
		own = append(own, w)
	}
	if len(own) < 2 || in.Drift == 0 {
		return own
	}
	rate := func(a, b watched) int { return cmp.Compare(a.rate, b.rate) }
	low, high := slices.MinFunc(own, rate), slices.MaxFunc(own, rate)
	pair := watched{instrument: i, at: high.at, less: &low.at, rate: high.rate - low.rate, within: 2 * in.Noise}
	if pair.sd()*pairWorth < min(high.sd(), low.sd()) {
		own = append(own, pair)
	}
	return own
}

// sd is the standard uncertainty of a move that is read so, m.
func (w watched) sd() float64 {
	if w.rate == 0 {
		return math.Inf(1)
	}
	return w.within / math.Abs(w.rate)
}

// setup is an instrument and a place of it.
type setup struct {
	instrument int
	at, less   float64
}

func (w watched) setup() setup { return setupOf(w.instrument, w.at, w.less) }

func (w Watch) setup() setup { return setupOf(w.Instrument, w.At, w.Less) }

func setupOf(instrument int, at float64, less *float64) setup {
	if less == nil {
		return setup{instrument, at, math.Inf(-1)}
	}
	return setup{instrument, at, *less}
}

// cover gives every foot a watch from as few instruments, and of these as few places, as
// serve all: first from where one stands, then again and again that which serves most of the
// feet left over, of equals the one that serves them best.
func (p *planner) cover(options [][]watched) {
	used := map[int]bool{}
	not := map[bool]int{false: 1}
	for {
		serves, all := p.serving(options)
		if len(all) == 0 {
			return
		}
		rank := func(s setup) (rank [2]int, least float64) {
			for _, w := range serves[s] {
				least += w.sd() / float64(len(serves[s]))
			}
			return [2]int{not[p.last != nil && p.last.Watch != nil && s == p.last.Watch.setup()], not[used[s.instrument]]}, least
		}
		best := slices.MinFunc(all, func(a, b setup) int {
			first, sdA := rank(a)
			second, sdB := rank(b)
			return cmp.Or(slices.Compare(first[:], second[:]), len(serves[b])-len(serves[a]), cmp.Compare(sdA, sdB))
		})
		used[best.instrument] = true
		for f := range options {
			if i := slices.IndexFunc(options[f], func(w watched) bool { return w.setup() == best }); p.watch[f] == nil && i >= 0 {
				p.watch[f] = &options[f][i]
			}
		}
	}
}

// serving returns which set-ups serve feet that have no watch yet, in the order of the feet.
func (p *planner) serving(options [][]watched) (serves map[setup][]*watched, all []setup) {
	serves = map[setup][]*watched{}
	for f := range options {
		if p.watch[f] != nil {
			continue
		}
		for k := range options[f] {
			w := &options[f][k]
			if serves[w.setup()] == nil {
				all = append(all, w.setup())
			}
			serves[w.setup()] = append(serves[w.setup()], w)
		}
	}
	return serves, all
}

// byReading finds what each foot of the draws is moved by when it is turned until the
// reading has changed as it does on the mean of draws.
func (p *planner) byReading(beds []*bed) {
	responses, err := p.responses(beds)
	if err != nil {
		return
	}
	for i, b := range beds {
		for f, w := range p.watch {
			if w != nil {
				b.ratio[f] = min(max(w.rate/p.change(w, f, responses[i][f]), leastRatio), 1/leastRatio)
			}
		}
	}
}
