package plan

import (
	"math"

	"gonum.org/v1/gonum/floats"

	"footwork/beam/shape"
	"footwork/internal/sample"
	"footwork/supports"
)

// verdict is what moves are worth over draws.
type verdict struct {
	figure float64 // m, median of what is made least
	wrong  float64 // m, median, on the side that is not allowed
	over   float64 // mean foot loads, median of what a foot carries beyond its rating, or beyond what it carries now
	short  float64 // mean foot loads, expected to lack of what is kept of the least, and lacking of it on the average, of all feet
	broken float64 // probability, beyond 5 % and its chance in so few draws, that a foot misses the least or passes its rating
}

// cost weighs moves: what is made least, dearer by what lies on the wrong side, by the load that
// feet are expected to lack, and by the probability of missing what is promised.
func (p *planner) cost(v verdict) float64 {
	return v.figure + wrongPrice*v.wrong + lackPrice*v.short + p.dear*v.over + p.riskPrice()*v.broken
}

// outcomes stands draws on feet that are moved, as a person moves them.
func (p *planner) outcomes(beds []*bed, m moves) ([]state, error) {
	out := make([]state, len(beds))
	err := sample.Each(len(beds), 0, func(i int) (err error) {
		out[i], err = beds[i].stand(p.raised(beds[i], m, true))
		return err
	})
	p.spendOn(beds, 1)
	return out, err
}

// judged weighs moves over the choosing draws; a draw that tips is worth nothing.
func (p *planner) judged(m moves) (verdict, []state) {
	ends, err := p.outcomes(p.choose, m)
	if err != nil {
		return verdict{figure: math.Inf(1)}, nil
	}
	return p.verdict(p.choose, m, ends), ends
}

func (p *planner) verdict(beds []*bed, m moves, ends []state) verdict {
	var v verdict
	v.figure = sample.Median(p.figures(beds, ends))
	wrong := make([]float64, len(ends))
	for i, s := range ends {
		wrong[i] = p.wrongOf(s.height)
	}
	v.wrong = sample.Median(wrong)
	if p.mayStay(m, ends) {
		return v
	}
	v.over = p.over(beds, ends)
	each, out, loaded, mean := 1/float64(len(ends)), 0.0, 0.0, make([]float64, p.feet)
	for i, s := range ends {
		for f := range p.feet {
			if !p.ByFeel {
				v.short += each * max(0, p.lack(s, f)-p.Goal.LeastLoad+p.kept())
			}
			mean[f] += each * p.lack(s, f)
		}
		beyond := p.beyond(beds[i], s) > unnoticed
		if beyond {
			loaded += each
		}
		if p.misses(beds[i], m, s) > unnoticed || beyond && !p.ByFeel {
			out += each
		}
	}
	for _, lack := range mean {
		v.short += max(0, lack)
	}
	v.broken = max(0, out-p.mayMiss(p.ByFeel), loaded-p.mayMiss(false))
	return v
}

// mayMiss is the share of the choosing draws in which any foot may miss what is promised: a
// twentieth, at the bed a hundredth, or half of them where a hand feels the feet after each step,
// which does not feel that one is loaded beyond its rating, and what chance adds to it in so few.
func (p *planner) mayMiss(felt bool) float64 {
	may := missed
	switch {
	case felt:
		may = even
	case p.next:
		may = missedNext
	}
	return may + math.Sqrt(may*(1-may)/float64(len(p.choose)))
}

// over returns by how much feet are loaded beyond their ratings, more likely than not, and beyond
// what they carry as they are, mean foot loads.
func (p *planner) over(beds []*bed, ends []state) (over float64) {
	for f, a := range p.Feet {
		if a.Rated > 0 {
			loads, now := make([]float64, len(ends)), make([]float64, len(ends))
			for i, s := range ends {
				loads[i], now[i] = s.load[f], beds[i].now.load[f]
			}
			over += max(0, sample.Median(loads)-max(a.Rated, sample.Median(now))) / p.mean
		}
	}
	return over
}

// misses returns by how much any foot misses what is promised, mean foot loads: at the bed a
// foot that a step leaves no lighter than it is in that draw misses nothing.
func (p *planner) misses(b *bed, m moves, s state) (most float64) {
	for f := range p.feet {
		lack := p.lack(s, f) - p.Goal.LeastLoad + p.kept()
		if p.next {
			lack = min(lack, (b.now.load[f]-s.load[f])/p.mean)
		}
		if p.ByFeel || !p.inDoubt(m, f) {
			most = max(most, lack)
		}
	}
	return most
}

// beyond returns by how much any foot is loaded beyond its rating, at the bed no more than beyond what
// it carries in that draw, mean foot loads.
func (p *planner) beyond(b *bed, s state) (most float64) {
	for f, a := range p.Feet {
		over := s.load[f] - a.Rated
		if p.next {
			over = min(over, s.load[f]-b.now.load[f])
		}
		if a.Rated > 0 {
			most = max(most, over/p.mean)
		}
	}
	return most
}

// lack returns what a foot lacks of the least load, mean foot loads.
func (p *planner) lack(s state, f int) float64 {
	if !p.counts[f] {
		return math.Inf(-1)
	}
	return p.Goal.LeastLoad - s.load[f]/p.mean
}

// kept is the share of the mean load that is promised of every foot: half the least, all of which it
// has on the average. Where all of it is promised, what is not known of loads and what slips do to
// them keep beds from being straight that can be (closed-loop trial by angle, with feel).
func (p *planner) kept() float64 { return p.Goal.LeastLoad / 2 }

// inDoubt: the foot hangs by a gap that nothing tells and that touching does not do
// away with. Raised blindly it may bend the bed by all that its gap is less than feared,
// so its load is only expected, not promised.
func (p *planner) inDoubt(m moves, f int) bool { return p.hangs[f] > doubtful && !m.touch[f] }

// mayStay: nothing moves, and no foot is more likely too light than not. A doubt about
// how a good bed stands is for a hand to settle, not for a screw.
func (p *planner) mayStay(m moves, ends []state) bool {
	if m.count() > 0 || p.next { // a hand is at the screws already
		return false
	}
	for f := range p.feet {
		lacks := make([]float64, len(ends))
		for i, s := range ends {
			lacks[i] = p.lack(s, f)
		}
		if sample.Median(lacks) > 1e-6 {
			return false
		}
	}
	return true
}

// figures returns what is made least in each draw, m.
func (p *planner) figures(beds []*bed, ends []state) []float64 {
	if p.Goal.Aim != supports.AtRest {
		return p.zones(beds, ends)
	}
	out := make([]float64, len(ends))
	for i, s := range ends {
		out[i] = restPrice * p.departure(beds[i], s)
	}
	return out
}

func (p *planner) zones(beds []*bed, ends []state) []float64 {
	out := make([]float64, len(ends))
	must(sample.Each(len(ends), 0, func(i int) error {
		out[i] = p.zone(beds[i], ends[i].height)
		return nil
	}))
	return out
}

// zone returns the larger of the ways' own least zones or, when tied, that of all
// stations about one plane, over the wanted form, of a draw that stands so.
func (p *planner) zone(b *bed, height []float64) (zone float64) {
	h := floats.SubTo(b.above, height, p.crown)
	if p.tied() {
		zone, _, _, _ = b.planes.Zone(h)
		return zone
	}
	for w := range p.Ways {
		zone = max(zone, shape.Zone(p.x[p.from[w]:p.from[w+1]], h[p.from[w]:p.from[w+1]]))
	}
	return zone
}

// wrongOf returns how far the worst station lies from the line through the ends of its
// way on the side that is not allowed, ≥ 0.
func (p *planner) wrongOf(height []float64) (worst float64) {
	side := sideOf(p.Goal.Allow)
	if side == 0 {
		return 0
	}
	h := make([]float64, len(height))
	floats.SubTo(h, height, p.crown)
	for w := range p.Ways {
		for _, d := range p.aboutEnds(h, w) {
			worst = max(worst, -side*d)
		}
	}
	return worst
}

// aboutEnds returns the heights of a way about the line through its ends.
func (p *planner) aboutEnds(h []float64, w int) []float64 {
	from, to := p.from[w], p.from[w+1]
	return shape.Shape{X: p.x[from:to], Y: h[from:to]}.AboutEnds().Y
}

// departure is the root mean square over the feet of how far loads are from those on
// level feet, mean foot loads.
func (p *planner) departure(b *bed, s state) float64 {
	level, sum := b.level(), 0.0
	for f, load := range s.load {
		d := (load - level[f]) / p.mean
		sum += d * d
	}
	return math.Sqrt(sum / float64(p.feet))
}

// must panics with our own mistakes.
func must(err error) {
	if err != nil {
		panic("plan: " + err.Error())
	}
}
