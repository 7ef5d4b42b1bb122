package supports

import (
	"errors"
	"math"
	"slices"

	"footwork/internal/convex"
	"gonum.org/v1/gonum/mat"
)

// choice is a choice of feet to move, with the best moves of them.
type choice struct {
	*task
	*contact
	feet      []int
	low, high []float64 // m, how far each may go
	best      verdict
	cost      float64   // m, the least that the programme found
	moves     []float64 // m, of each of feet
	least     bool      // moves are the least that are as good
}

func (t *task) choose(feet []int) *choice {
	c := &choice{task: t, contact: t.contactOf(feet), feet: feet}
	for _, f := range feet {
		high := min(t.Goal.MostMove, t.limits.notches[f].reach())
		low := -high
		if t.limits.gap[f] > 0 {
			low = 0
		}
		c.low, c.high = append(c.low, low), append(c.high, high)
	}
	return c
}

// raised returns heights above the wanted form and foot loads when feet are moved, as
// long as the contact is the chosen one.
func (c *choice) raised(moves []float64) (heights [][]float64, loads []float64) {
	loads = append([]float64(nil), c.Loads...)
	for _, h := range c.want {
		heights = append(heights, append([]float64(nil), h...))
	}
	for k, f := range c.feet {
		c.addRaise(heights, loads, f, moves[k]-c.limits.gap[f])
	}
	return heights, loads
}

func (c *choice) addRaise(heights [][]float64, loads []float64, f int, raise float64) {
	addScaled(loads, raise, c.Load[f])
	for w := range heights {
		addScaled(heights[w], raise, c.contact.Ways[w].Height[f])
	}
}

// handy is the length that the programmes reckon in, m: moves and zones are some of it.
const handy = 1e-5

// noise is an entry that is rounding only: all entries that mean something are of the
// order of one, or a foot has no part in the row.
const noise = 1e-10

// rows gathers the rows of a linear programme.
type rows struct {
	width int
	a, b  []float64
}

// add adds the row a·x ≥ b and returns a for the caller to fill.
func (r *rows) add(b float64) []float64 {
	r.a = append(r.a, make([]float64, r.width)...)
	r.b = append(r.b, b)
	return r.a[len(r.a)-r.width:]
}

// layout says which unknown stands where: the moves come first, then the reference
// lines or plane, the zone, the depth on the wrong side, and what feet lack.
type layout struct {
	line, perWay, zone, wrong, lack, width int
	soft                                   []int // feet that lack load now
}

func (c *choice) layout() layout {
	l := layout{line: len(c.feet), perWay: 2}
	l.zone = l.line + 2*len(c.want)
	if c.Tied {
		l.perWay, l.zone = 0, l.line+3
	}
	l.wrong = l.zone + 1
	l.lack = l.wrong
	if c.Goal.Allow.side() != 0 {
		l.lack++
	}
	for f, load := range c.Loads {
		if c.limits.counts[f] && load < c.limits.least && !slices.Contains(c.clear, f) {
			l.soft = append(l.soft, f)
		}
	}
	l.width = l.lack + len(l.soft)
	return l
}

// solve finds the best moves within low and high: unknowns as in layout, all stations
// between two lines or planes the zone apart, all loads kept. A cheap limit that the
// feet break now (load, wrong side) may stay broken at its price, so there is always
// an answer.
func (c *choice) solve() error {
	l := c.layout()
	p := convex.Program{C: make([]float64, l.width)}
	p.C[l.zone] = 1
	if l.lack > l.wrong {
		p.C[l.wrong] = wrongCosts
	}
	for k := range l.soft {
		p.C[l.lack+k] = c.limits.lackCosts / handy
	}
	r := c.constraints(l)
	p.In, p.B = mat.NewDense(len(r.b), r.width, r.a), r.b
	s, err := linear(p)
	if err != nil {
		return err
	}
	c.moves, c.cost = inMetres(s.X[:len(c.feet)]), s.Value*handy
	c.best = c.judge(c.raised(c.moves))
	return nil
}

// linear solves a programme; when the answer does not hold when checked, as may happen
// where many rows meet in one point, once more with every row loosened by a hair.
func linear(p convex.Program) (convex.Solution, error) {
	const tries, hair = 4, 1e-6 // 0.01 nm, 1e-6 of a mean load
	for try := 1; ; try++ {
		s, err := convex.Linear(p)
		if try == tries || !errors.Is(err, convex.ErrUnsettled) {
			return s, err
		}
		for i := range p.B {
			p.B[i] -= hair * float64(i*7919%101) / 101
		}
	}
}

// settleLeast finds, of all moves as good as the best, those that sum to least; when
// that does not succeed the moves stay as they are, which is no worse a plan.
func (c *choice) settleLeast() {
	l := c.layout()
	k := len(c.feet)
	r := c.constraints(l)
	wide := rows{width: l.width + k}
	for i, b := range r.b {
		copy(wide.add(b), r.a[i*r.width:(i+1)*r.width])
	}
	for j := range k { // size ≥ ±move + a little
		for _, sign := range []float64{1, -1} {
			row := wide.add(telling / 10 / handy)
			row[j], row[l.width+j] = sign, 1
		}
	}
	row := wide.add(-(c.cost + telling/10) / handy)
	row[l.zone] = -1
	if l.lack > l.wrong {
		row[l.wrong] = -wrongCosts
	}
	for j := range l.soft {
		row[l.lack+j] = -c.limits.lackCosts / handy
	}
	p := convex.Program{C: make([]float64, wide.width), In: mat.NewDense(len(wide.b), wide.width, wide.a), B: wide.b}
	for j := range k {
		p.C[l.width+j] = 1
	}
	if s, err := linear(p); err == nil {
		c.moves = inMetres(s.X[:k])
	}
}

func inMetres(v []float64) []float64 {
	out := make([]float64, len(v))
	addScaled(out, handy, v)
	return out
}

func (c *choice) constraints(l layout) *rows {
	r := &rows{width: l.width}
	r.add(telling / 10 / handy)[l.zone] = 1 // an objective of 0 has no digits to be checked by
	for k := range c.feet {
		if !math.IsInf(c.low[k], 0) {
			r.add(c.low[k] / handy)[k] = 1
		}
		if !math.IsInf(c.high[k], 0) {
			r.add(-c.high[k] / handy)[k] = -1
		}
	}
	heights, loads := c.raised(make([]float64, len(c.feet)))
	heights = level(c.task.Ways, c.Tied, heights)
	c.stationRows(r, l, heights)
	c.wrongRows(r, l, heights)
	c.loadRows(r, l, loads)
	c.clearRows(r)
	for i, a := range r.a {
		if math.Abs(a) < noise {
			r.a[i] = 0
		}
	}
	return r
}

// stationRows keep every station within half a zone of the line or plane.
func (c *choice) stationRows(r *rows, l layout, heights [][]float64) {
	far := 1e-12
	for _, m := range c.task.Ways {
		far = max(far, math.Abs(m.X[0]), math.Abs(m.X[len(m.X)-1]), math.Abs(m.Offset))
	}
	for w, h := range heights {
		x, at := c.contact.Ways[w].X, l.line+w*l.perWay
		for i := range h {
			for _, sign := range []float64{1, -1} {
				row := r.add(-sign * h[i] / handy)
				for k, f := range c.feet {
					row[k] = sign * c.bend[f][w][i]
				}
				row[at], row[at+1] = -sign, -sign*x[i]/far
				if c.Tied {
					row[at+2] = -sign * c.task.Ways[w].Offset / far
				}
				row[l.zone] = 0.5
			}
		}
	}
}

// wrongRows keep the middle on the allowed side of the line through the ends.
func (c *choice) wrongRows(r *rows, l layout, heights [][]float64) {
	side := c.Goal.Allow.side()
	if side == 0 {
		return
	}
	r.add(0)[l.wrong] = 1
	for w, h := range heights {
		x, end := c.contact.Ways[w].X, len(h)-1
		for i := 1; i < end; i++ {
			s := (x[i] - x[0]) / (x[end] - x[0])
			over := func(h []float64) float64 { return side * (h[i] - (1-s)*h[0] - s*h[end]) }
			row := r.add(-over(h) / handy)
			for k, f := range c.feet {
				row[k] = over(c.bend[f][w])
			}
			row[l.wrong] = 1
		}
	}
}

// loadRows keep the load on every foot that pushes: the least load on those that have
// it now, at least some on the others, whose lack is priced.
func (c *choice) loadRows(r *rows, l layout, loads []float64) {
	mean, soft := c.limits.mean, 0
	row := func(f int, least float64) []float64 {
		a := r.add((least - loads[f]) / mean)
		for k, g := range c.feet {
			a[k] = c.Load[g][f] * handy / mean
		}
		return a
	}
	for f, now := range c.Loads {
		switch {
		case !c.limits.counts[f] || slices.Contains(c.clear, f):
		case now >= c.limits.least:
			row(f, c.limits.least)
		default:
			row(f, min(0, now))
			row(f, c.limits.least)[l.lack+soft] = 1
			r.add(0)[l.lack+soft] = 1
			soft++
		}
	}
}

// clearRows keep the bed above the feet that stay clear of it.
func (c *choice) clearRows(r *rows) {
	for i, v := range c.clear {
		b := -c.limits.gap[v]
		row := r.add(0)
		for k, f := range c.feet {
			row[k] = c.follow[f][i]
			b += c.follow[f][i] * c.limits.gap[f]
		}
		r.b[len(r.b)-1] = b / handy
	}
}
