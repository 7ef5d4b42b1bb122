package survey

import (
	"math"
	"math/bits"

	"gonum.org/v1/gonum/floats"

	"footwork/beam"
)

// stand is a standing's contact, small enough to be solved thousands of times:
// with K = Compliance/b + give/f, E the balance and c the height of the loaded
// bed over its feet,
//
//	K·R + c + E·q = 0 on the points in contact,  Eᵀ·R = weight,
//
// R ≥ 0 where a point cannot pull, and a gap ≥ 0 elsewhere.
type stand struct {
	beam.Linear
	compliance [][]float64 // m/N, bending and twist together
	n          int
	foot       []int
	row        [][3]float64 // 1, x, y of each point, centred and scaled
	want       [3]float64   // the resultant likewise
	big        float64      // m/N, mean compliance
	solver     *beam.Solver
	load       beam.Case // what the standing carries besides its own
	slots      []inverse
	scratch    []float64
	dr, dg     []float64
	cache      []inverse // for the factors below
	b, f       float64
}

// inverse is that of the bordered matrix [K E; Eᵀ 0] over the points in contact,
// in full size with rows of zeros elsewhere.
type inverse struct {
	on uint64
	ok bool
	m  []float64
}

// pose is how a stand rests: forces, rigid motion in scaled terms, contact.
type pose struct {
	force []float64 // N
	gap   []float64 // m
	rigid [3]float64
	on    uint64
}

// mostPoints is how many contact points a standing with unknown feet may have.
const mostPoints = 40

func newStand(v *beam.Solver, load beam.Case) *stand {
	l := v.Linear(load)
	n := len(l.Points)
	s := &stand{Linear: l, n: n, solver: v, load: load}
	s.compliance = make([][]float64, n)
	for i := range s.compliance {
		s.compliance[i] = make([]float64, n)
		for j := range n {
			s.compliance[i][j] = l.Bent[i][j] + l.Twisted[i][j]
		}
		s.Loaded[i] += l.Turned[i]
	}
	lo, hi := [3]float64{}, [3]float64{}
	for i, p := range l.Points {
		at := [3]float64{1, p.X, p.Y}
		for d := range at {
			if i == 0 || at[d] < lo[d] {
				lo[d] = at[d]
			}
			if i == 0 || at[d] > hi[d] {
				hi[d] = at[d]
			}
		}
		s.foot = append(s.foot, p.Foot)
		s.big += (s.compliance[i][i] + p.Give) / float64(n)
	}
	size, mid := [3]float64{1, 1, 1}, [3]float64{}
	for d := 1; d < 3; d++ {
		mid[d] = (lo[d] + hi[d]) / 2
		size[d] = max((hi[d]-lo[d])/2, 1e-3)
	}
	s.want[0] = l.Resultant[0]
	for d := 1; d < 3; d++ {
		s.want[d] = (l.Resultant[d] - l.Resultant[0]*mid[d]) / size[d]
	}
	for _, p := range l.Points {
		s.row = append(s.row, [3]float64{1, (p.X - mid[1]) / size[1], (p.Y - mid[2]) / size[2]})
	}
	return s
}

func (s *stand) all() uint64 { return 1<<s.n - 1 }

// inverseOf returns the inverse for a contact at the present factors.
func (s *stand) inverseOf(b, f float64, on uint64) *inverse {
	if b != s.b || f != s.f {
		s.cache, s.b, s.f = s.cache[:0], b, f
	}
	for i := range s.cache {
		if s.cache[i].on == on {
			return &s.cache[i]
		}
	}
	if s.slots == nil {
		s.slots, s.scratch = make([]inverse, mostInverses), make([]float64, (s.n+3)*(s.n+3))
	}
	if len(s.cache) == mostInverses {
		s.cache = s.cache[:0]
	}
	s.cache = s.slots[:len(s.cache)+1]
	inv := &s.cache[len(s.cache)-1]
	inv.on = on
	s.invert(b, f, inv)
	return inv
}

// mostInverses is how many contacts are kept at once.
const mostInverses = 24

// invert solves the bordered matrix by elimination with pivoting, in the scale
// of the mean compliance.
func (s *stand) invert(b, f float64, inv *inverse) {
	var points [mostPoints]int
	at := points[:0]
	for i := range s.n {
		if inv.on>>i&1 == 1 {
			at = append(at, i)
		}
	}
	k := len(at)
	w := k + 3
	a := s.scratch[:w*w]
	clear(a)
	for p, i := range at {
		for q, j := range at {
			a[p*w+q] = s.compliance[i][j] / b / s.big
		}
		a[p*w+p] += s.Points[i].Give/f/s.big + 1e-12
		for d := range 3 {
			a[p*w+k+d] = s.row[i][d]
			a[(k+d)*w+p] = s.row[i][d]
		}
	}
	inv.ok = k >= 3 && gaussJordan(a, w)
	if !inv.ok {
		return
	}
	full := s.n + 3
	if inv.m == nil {
		inv.m = make([]float64, full*full)
	}
	clear(inv.m)
	place := func(p int) int {
		if p < k {
			return at[p]
		}
		return s.n + p - k
	}
	for p := range w {
		for q := range w {
			v := a[p*w+q]
			if p < k && q < k {
				v /= s.big
			} else if p >= k && q >= k {
				v *= s.big
			}
			inv.m[place(p)*full+place(q)] = v
		}
	}
}

// gaussJordan replaces a, w×w, by its inverse.
func gaussJordan(a []float64, w int) bool {
	var swapped [mostPoints + 3]int
	for c := range w {
		best := c
		for r := c + 1; r < w; r++ {
			if math.Abs(a[r*w+c]) > math.Abs(a[best*w+c]) {
				best = r
			}
		}
		if math.Abs(a[best*w+c]) < 1e-10 {
			return false
		}
		swapped[c] = best
		row := a[c*w : (c+1)*w]
		if best != c {
			for q, v := range a[best*w : (best+1)*w] {
				a[best*w+q], row[q] = row[q], v
			}
		}
		p := 1 / row[c]
		row[c] = 1
		floats.Scale(p, row)
		for r := range w {
			if v := a[r*w+c]; r != c && v != 0 {
				a[r*w+c] = 0
				floats.AddScaled(a[r*w:(r+1)*w], -v, row)
			}
		}
	}
	for c := w - 1; c >= 0; c-- { // rows swapped are columns of the inverse to be swapped back
		if d := swapped[c]; d != c {
			for r := range w {
				a[r*w+c], a[r*w+d] = a[r*w+d], a[r*w+c]
			}
		}
	}
	return true
}

// solve finds how the stand rests for the heights of its feet (m) and a
// gradient (K), beginning with the contact in p, into p. Not ok when it would
// tip or does not settle.
func (s *stand) solve(b, f float64, heights []float64, gradient float64, p *pose) bool {
	c := s.built(b, heights, gradient, p) // scratch until the end
	on, fewest, spare := p.on, s.n+1, 3
	for range 20 + 4*s.n {
		inv := s.inverseOf(b, f, on)
		if !inv.ok {
			if on == s.all() {
				return false
			}
			on, spare = s.all(), 0
			continue
		}
		s.apply(inv, c, p)
		wrong, worst := s.wrong(b, c, p, on)
		if wrong == 0 {
			p.on = on
			s.gaps(b, c, p)
			return true
		}
		if count := bits.OnesCount64(wrong); count < fewest {
			fewest = count
		} else {
			spare--
		}
		if spare > 0 {
			on ^= wrong
		} else {
			on ^= 1 << worst // one at a time: slower, and does not circle
		}
	}
	return s.settle(b, f, heights, gradient, p)
}

// settle takes the contact from the beam's own solver, which always ends.
func (s *stand) settle(b, f float64, heights []float64, gradient float64, p *pose) bool {
	load := s.load
	load.Draw = Scenario{Heights: heights, BedFactor: b, FootFactor: f, Gradient: gradient}.Draw()
	st, err := s.solver.Solve(load)
	if err != nil {
		return false
	}
	on := uint64(0)
	for i, t := range st.Contact() {
		if t {
			on |= 1 << i
		}
	}
	return s.force(b, f, heights, gradient, on, p)
}

// built returns the gaps of the built-in bed, in p.gap.
func (s *stand) built(b float64, heights []float64, gradient float64, p *pose) []float64 {
	if p.force == nil {
		p.force, p.gap, p.on = make([]float64, s.n), make([]float64, s.n), s.all()
	}
	c := p.gap
	for i := range c {
		c[i] = s.Loaded[i]/b + gradient*s.Bowed[i]
		if s.foot[i] >= 0 {
			c[i] -= heights[s.foot[i]]
		}
	}
	return c
}

// force is solve for a contact given, right or wrong.
func (s *stand) force(b, f float64, heights []float64, gradient float64, on uint64, p *pose) bool {
	c := s.built(b, heights, gradient, p)
	inv := s.inverseOf(b, f, on)
	if !inv.ok {
		return false
	}
	s.apply(inv, c, p)
	p.on = on
	s.gaps(b, c, p)
	return true
}

// apply computes forces and rigid motion of a contact for the built-in gaps c.
func (s *stand) apply(inv *inverse, c []float64, p *pose) {
	n, full := s.n, s.n+3
	for i := range full {
		row := inv.m[i*full : (i+1)*full]
		v := row[n]*s.want[0] + row[n+1]*s.want[1] + row[n+2]*s.want[2]
		for j := range n {
			v -= row[j] * c[j]
		}
		if i < n {
			p.force[i] = v
		} else {
			p.rigid[i-n] = v
		}
	}
}

// wrong returns the points whose contact is wrong, and the worst of them.
func (s *stand) wrong(b float64, c []float64, p *pose, on uint64) (set uint64, worst int) {
	least, most := 1e-9*s.want[0], 0.0
	for i := range s.n {
		bad, by := false, 0.0
		if on>>i&1 == 1 {
			bad, by = p.force[i] < -least && !s.Points[i].Held, -p.force[i]
		} else if g := s.gapAt(b, c, p, i); g < -1e-12 {
			bad, by = true, -g/s.big
		}
		if bad {
			set |= 1 << i
			if by > most {
				most, worst = by, i
			}
		}
	}
	return set, worst
}

func (s *stand) gapAt(b float64, c []float64, p *pose, i int) float64 {
	g := 0.0
	for j, r := range p.force {
		g += s.compliance[i][j] * r
	}
	return g/b + c[i] + p.rigid[0] + p.rigid[1]*s.row[i][1] + p.rigid[2]*s.row[i][2]
}

// gaps replaces the built-in gaps by the true ones.
func (s *stand) gaps(b float64, c []float64, p *pose) {
	for i := range c {
		if p.on>>i&1 == 1 {
			c[i] = 0
		} else {
			c[i] = s.gapAt(b, c, p, i)
		}
	}
}
