package convex

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// The linear programme becomes a row of quadratic ones: minimise θ·cᵀy + ½|y − yₖ|²
// with yₖ the answer before. Where it stands still it is at an optimum of the linear
// programme, with multipliers u/θ, and for linear programmes it gets there in finitely
// many steps. Each step begins with the active set of the one before.
//
// None of these decides what an answer is, for each is checked, only how many steps it takes: tests against every vertex
// and of the conditions hold with firstPull from 1 to 100, morePull from 3 to 100, mostPull from 1e2 to 1e6, still ten
// times, nearly and steepest a thousand times as much, and 1 to 8 rounds of flattening.
const (
	firstPull  = 10.0 // θ of the first step, in scaled unknowns of order one
	morePull   = 10.0 // growth of θ from step to step
	mostPull   = 1e4  // beyond, rounding would show: θ·10⁻¹⁶ is lost
	mostSteps  = 200
	patience   = 100   // steps after which a gradient within half the accuracy is enough
	still      = 1e-12 // a step this small of |y| is none
	nearly     = 1e-8  // a step this small is repeated with the first θ, whose rounding is less
	steepest   = 1e-10 // an objective that falls less than this per length does not fall
	flattening = 3     // rounds of evening out rows and columns
)

// Linear returns a minimum of a programme without H; where several points are minima,
// one of them. Errors: ErrInfeasible, ErrUnsettled, or that the objective falls without end.
func Linear(p Program) (Solution, error) {
	p.mustMatch()
	if p.H != nil {
		panic("convex: Linear takes no matrix H")
	}
	if !p.finite() {
		return Solution{}, unsettled("a number in the programme is not finite")
	}
	s := p.evened()
	d, err := newDual(&scaled{c: make([]float64, len(s.c)), rows: s.rows, equal: s.equal,
		col: s.col, gain: s.gain, cost: s.cost})
	if err == nil {
		err = d.approach(s.c)
	}
	sol, err := s.checked(p, d, err)
	if err == nil && !p.closed(sol) {
		return Solution{}, unsettled("the objective and its bound do not meet")
	}
	return sol, err
}

// approach repeats the proximal step until it stands still, and leaves the multipliers
// of the linear programme in u. Steps that follow one another along the same edge are
// taken at once, to its end.
func (d *dual) approach(c []float64) error {
	before := make([]float64, len(c))
	var edge []int
	for i := range d.rows { // unknowns that the objective presses against a bound begin there
		if r := &d.rows[i]; len(r.at) == 1 && r.b == 0 && r.a[0]*c[r.at[0]] >= 0 && d.aim(i) > 0 {
			d.push(i, 0)
		}
	}
	for k, pull := 0, firstPull; k < mostSteps; k++ {
		copy(before, d.y)
		floats.ScaleTo(d.c, -1, before)
		floats.AddScaled(d.c, pull, c)
		if err := d.solve(); err != nil {
			return err
		}
		way := floats.SubTo(before, d.y, before)
		step, size := largest(way), max(1, largest(d.y))
		if step <= still*size || k >= patience && step <= accuracy/2*pull {
			floats.Scale(1/pull, d.u)
			return nil
		}
		if slices.Equal(d.set, edge) {
			t := d.end(way, 1e-6) // what a row parallel up to rounding is broken by, the next step mends
			if math.IsInf(t, 1) {
				t = d.end(way, 1e-12)
			}
			if !math.IsInf(t, 1) {
				floats.AddScaled(d.y, t, way)
			} else if step > steepest*pull {
				return errUnbounded
			}
		}
		edge = slices.Clone(d.set)
		if pull = min(mostPull, morePull*pull); step <= nearly*size {
			pull = firstPull
		}
	}
	return unsettled("the proximal steps did not come to rest")
}

// end returns how many times y can go on by v, along which the rows of the set stay
// equal, before another row is broken; rows that come nearer by no more than the
// given part of the way do not count.
func (d *dual) end(v []float64, level float64) float64 {
	t := math.Inf(1)
	level *= floats.Norm(v, 2)
	for i := range d.rows {
		r := &d.rows[i]
		if fall := -r.dot(v); fall > level && !d.in[i] && i >= d.equal {
			t = min(t, max(0, r.dot(d.y)-r.b)/fall)
		}
	}
	return t
}

// closed reports whether the objective meets its bound E·EqMult + B·InMult.
func (p Program) closed(s Solution) bool {
	gap, size := s.Value, 0.0
	for j, c := range p.C {
		size += math.Abs(c * s.X[j])
	}
	for i := range len(p.E) + len(p.B) {
		_, b := p.rawRow(i)
		t := b * multiplier(s.EqMult, s.InMult, i)
		gap -= t
		size += math.Abs(t)
	}
	return math.Abs(gap) <= accuracy*size
}

// evened returns the programme with rows and columns of like size, unknowns of the
// order of one as far as the right-hand side tells, and |c| = 1.
func (p Program) evened() *scaled {
	s := newScaled(p, slices.Repeat([]float64{1}, len(p.C)))
	for range flattening {
		s.narrow(s.shares())
	}
	s.even()
	size := 0.0
	for i := range s.rows {
		size = max(size, math.Abs(s.rows[i].b))
	}
	if size > 0 {
		s.stretch(size)
	}
	if cost := floats.Norm(s.c, 2); cost > 0 {
		floats.Scale(1/cost, s.c)
		s.cost = cost
	}
	return s
}

// stretch makes the unknowns smaller by the factor, without changing their rows.
func (s *scaled) stretch(by float64) {
	floats.Scale(by, s.col)
	floats.Scale(by, s.c)
	floats.Scale(1/by, s.gain)
	for i := range s.rows {
		s.rows[i].b /= by
	}
}

// shares returns the largest part that each column has in a row, rows with one entry
// apart, which fit any scale; 1 of a column without a part.
func (s *scaled) shares() []float64 {
	most := make([]float64, len(s.col))
	for i := range s.rows {
		r := &s.rows[i]
		size := largest(r.a)
		for k, a := range r.a {
			if len(r.a) > 1 && a != 0 {
				j := r.column(k)
				most[j] = max(most[j], math.Abs(a)/size)
			}
		}
	}
	for j, v := range most {
		if v == 0 {
			most[j] = 1
		}
	}
	return most
}

// narrow makes each unknown larger by its factor.
func (s *scaled) narrow(by []float64) {
	floats.Div(s.col, by)
	floats.Div(s.c, by)
	for i := range s.rows {
		r := &s.rows[i]
		for k := range r.a {
			r.a[k] /= by[r.column(k)]
		}
	}
}
