package plan

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"footwork/internal/convex"
	"footwork/supports"
)

// Prices, in metres of zone. A foot without load is worth more than straightness, but
// not any: beds are known to a few micrometres of zone and a twentieth of a load, so
// that 50 µm a load weighs both alike. Chosen by the closed-loop trial: with a risk at the bed at 50 µm
// a quarter of the guided beds stay short of their best, with 20 one in eight; what goes light all the
// same is mended at the bed.
const (
	lackPrice  = 50e-6  // for a mean foot load that a foot is expected to lack
	limitPrice = 200e-6 // for one of a limit, at least
	riskPrice  = 10e-6  // for the certainty of missing what is promised of loads
	nextPrice  = 20e-6  // likewise at the bed
	wrongPrice = 10     // for a metre on the side that is not allowed
	movePrice  = 1e-4   // for a metre of move: of plans as good as one another the one that moves less
	restPrice  = lackPrice
	twistFirst = 3 // times, that the twist of loads counts more than what is left of their departure
	noise      = 1e-10
)

// choice is a set of feet and how far each may go, m.
type choice struct {
	feet      []int
	low, high []float64
}

// choice returns that of feet within all their limits; upward: none is lowered.
func (p *planner) choice(feet []int, upward bool) choice {
	c := choice{feet: feet}
	for _, f := range feet {
		high := min(p.Goal.MostMove, p.notch[f].reach())
		low := -high
		if left := p.Feet[f].Left; left != nil {
			gap := 0.0
			if p.touch[f] {
				gap = p.gap[f]
			}
			low, high = max(low, -left.Down), max(0, min(high, left.Up-gap))
		}
		if upward {
			low = 0
		}
		c.low, c.high = append(c.low, low), append(c.high, high)
	}
	return c
}

func (p *planner) riskPrice() float64 {
	if p.next {
		return nextPrice
	}
	return riskPrice
}

// layout says which unknown stands where: raises, their sizes, the zone, reference lines or the plane,
// what each foot lacks, the probability that it misses what is promised, by how much all of these are
// more than they may be, and the depth on the wrong side.
type layout struct{ size, zone, line, lack, risk, over, wrong, width int }

func (p *planner) layout(c choice) layout {
	k := len(c.feet)
	l := layout{size: k, zone: 2 * k, line: 2*k + 1}
	l.lack = l.line + 2*len(p.Ways)
	if p.tied() {
		l.lack = l.line + 3
	}
	l.risk = l.lack + p.feet
	l.over = l.risk + p.feet
	l.wrong = l.over + 1
	l.width = l.wrong + 1
	return l
}

func (p *planner) tied() bool { return p.Tied && len(p.Ways) > 1 }

// solve returns the best raises of a choice, m of every foot, and what they are worth
// in metres of zone.
func (p *planner) solve(l *linear, c choice) (raise []float64, value float64, err error) {
	switch {
	case p.Goal.Aim == supports.AtRest && len(c.feet) == 0:
		return make([]float64, p.feet), 0, nil
	case p.Goal.Aim == supports.AtRest:
		return p.settleLoads(l, c)
	}
	w := p.layout(c)
	q := convex.Program{C: make([]float64, w.width)}
	q.C[w.zone], q.C[w.wrong] = 1, wrongPrice
	for f := range p.feet {
		q.C[w.lack+f] = p.dear / handy
	}
	q.C[w.over] = p.riskPrice() / handy
	for k := range c.feet {
		q.C[w.size+k] = movePrice
		p.moveRows(&q, w, c, k)
	}
	p.stationRows(&q, w, c, l)
	p.wrongRows(&q, w, c, l)
	for f := range p.feet {
		p.loadRows(&q, w, c, l, f)
	}
	p.riskRow(&q, w)
	wipe(q.In.RawMatrix().Data)
	p.spend(4 * len(q.B) * w.width * (w.width + 10))
	s, err := linearProgramme(q)
	if err != nil {
		return nil, math.Inf(1), err
	}
	return p.spreadOut(c, s.X), s.Value * handy, nil
}

// wipe clears what rounding leaves where nothing stands.
func wipe(a []float64) {
	for i, v := range a {
		if math.Abs(v) < noise {
			a[i] = 0
		}
	}
}

// spreadOut returns the raise of every foot from the unknowns.
func (p *planner) spreadOut(c choice, x []float64) []float64 {
	raise := make([]float64, p.feet)
	for k, f := range c.feet {
		if v := x[k] * handy; math.Abs(v) > telling/10 {
			raise[f] = min(max(v, c.low[k]), c.high[k])
		}
	}
	return raise
}

// moveRows bound a raise and keep its size above it.
func (p *planner) moveRows(q *convex.Program, w layout, c choice, k int) {
	if !math.IsInf(c.low[k], 0) {
		q.AtLeast(c.low[k] / handy)[k] = 1
	}
	if !math.IsInf(c.high[k], 0) {
		q.AtLeast(-c.high[k] / handy)[k] = -1
	}
	for _, side := range []float64{1, -1} {
		row := q.AtLeast(0)
		row[w.size+k], row[k] = 1, side
	}
}

// stationRows keep every station within half a zone of its line or the plane.
func (p *planner) stationRows(q *convex.Program, w layout, c choice, l *linear) {
	q.AtLeast(telling / handy)[w.zone] = 1 // an objective of 0 has no digits to be checked by
	h := l.stations(p.site, nil)
	mid, half := p.Bed.Length/2, p.Bed.Length/2
	for way := range p.Ways {
		at := w.line + 2*way
		if p.tied() {
			at = w.line
		}
		for i := p.from[way]; i < p.from[way+1]; i++ {
			for _, side := range []float64{1, -1} {
				row := q.AtLeast(-side * h[i] / handy)
				for k, f := range c.feet {
					row[k] = side * l.by[f][i]
				}
				row[at], row[at+1] = side, side*(p.x[i]-mid)/half
				if p.tied() {
					row[at+2] = side * p.y[i] / half
				}
				row[w.zone] = 0.5
			}
		}
	}
}

// wrongRows keep the middle of each way on the allowed side of the line through its ends.
func (p *planner) wrongRows(q *convex.Program, w layout, c choice, l *linear) {
	q.AtLeast(0)[w.wrong] = 1
	side := sideOf(p.Goal.Allow)
	if side == 0 {
		return
	}
	h := l.stations(p.site, nil)
	for way := range p.Ways {
		first, last := p.from[way], p.from[way+1]-1
		for i := first + 1; i < last; i++ {
			t := (p.x[i] - p.x[first]) / (p.x[last] - p.x[first])
			over := func(h []float64) float64 { return side * (h[i] - (1-t)*h[first] - t*h[last]) }
			row := q.AtLeast(-over(h) / handy)
			for k, f := range c.feet {
				row[k] = over(l.by[f])
			}
			row[w.wrong] = 1
		}
	}
}

// sideOf returns +1 when only heights above the ends are allowed, −1 below, else 0.
func sideOf(a supports.Allow) float64 {
	switch a {
	case supports.HighOnly:
		return 1
	case supports.LowOnly:
		return -1
	}
	return 0
}

// linearProgramme solves a programme; when the answer does not hold when checked, as may
// happen where many rows meet in one point, again with every row loosened by a hair.
func linearProgramme(q convex.Program) (convex.Solution, error) {
	const tries, hair = 4, 1e-6 // 0.01 nm, 1e-6 of a mean load
	for try := 1; ; try++ {
		s, err := convex.Linear(q)
		if try == tries || !errors.Is(err, convex.ErrUnsettled) {
			return s, err
		}
		for i := range q.B {
			q.B[i] -= hair * float64(i*7919%101) / 101
		}
	}
}

// settleLoads returns the raises that bring the loads nearest to those on level feet,
// their twist first.
func (p *planner) settleLoads(l *linear, c choice) (raise []float64, value float64, err error) {
	k := len(c.feet)
	q := p.squares(l, c)
	for i := range k {
		if !math.IsInf(c.low[i], 0) {
			q.AtLeast(c.low[i] / handy)[i] = 1
			q.AtLeast(-c.high[i] / handy)[i] = -1
		}
	}
	p.spend(10 * k * k * (k + len(q.B)))
	s, err := convex.Quadratic(q)
	if err != nil {
		return nil, math.Inf(1), err
	}
	raise = p.spreadOut(c, s.X)
	left := p.away(l.loads(raise))
	return raise, restPrice * math.Sqrt(p.loadDot(left, left)/float64(p.feet)), nil
}

// away returns how far loads are from those on level feet, mean foot loads.
func (p *planner) away(loads []float64) []float64 {
	floats.Sub(loads, p.share)
	floats.Scale(1/p.mean, loads)
	return loads
}

// loadDot multiplies two departures of loads, what twists the bed weighing more.
func (p *planner) loadDot(a, b []float64) float64 {
	return floats.Dot(a, b) + (twistFirst*twistFirst-1)*floats.Dot(p.twist, a)*floats.Dot(p.twist, b)
}

// squares is the programme of least squares of the departures over the raises of a choice.
func (p *planner) squares(l *linear, c choice) convex.Program {
	k := len(c.feet)
	q := convex.Program{H: mat.NewSymDense(k, nil), C: make([]float64, k)}
	away, by, size := p.away(slices.Clone(l.load)), make([][]float64, k), 0.0
	for i, f := range c.feet {
		by[i] = slices.Clone(l.loadBy[f])
		floats.Scale(handy/p.mean, by[i])
		size = max(size, p.loadDot(by[i], by[i]))
	}
	for i := range k {
		q.C[i] = p.loadDot(by[i], away)
		for j := range i + 1 {
			q.H.SetSym(i, j, p.loadDot(by[i], by[j]))
		}
		q.H.SetSym(i, i, q.H.At(i, i)+1e-8*size) // a tilt of all feet does nothing: the least of them
	}
	return q
}
