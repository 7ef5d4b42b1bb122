// Package contact finds how one or two elastic bodies rest on points that can push,
// and pull only where they are held: forces, rigid motions and gaps. It is the convex
// programme of least complementary energy,
//
//	minimise ½RᵀHR + cᵀR   with   EᵀR = b   and   R ≥ 0 at points not held,
//
// whose conditions of optimality are those of contact: the gap g = HR + c + Eq is 0
// where a point pushes or is held, and nowhere negative.
//
//	R  forces of the points, N, upwards on the body they hold up
//	H  compliance between the points, with each support's own give on the diagonal, m/N
//	c  gap at each point under no force and no rigid motion: the built-in body's
//	   height less its support's, m
//	E  rows 1, x, y of each point in the balance of its body
//	b  resultant of each body: ΣR, ΣRx, ΣRy that carry its weights
//	q  rigid motion of each body: height, pitch, roll; the multipliers of the balance
//
// Method: block pivoting from a guess (J. J. Júdice and F. M. Pires, A block
// principal pivoting algorithm for large-scale strictly monotone linear
// complementarity problems, Computers & Operations Research 21 (1994) 587–596), and
// the dual active set of package convex, which always ends, when that does not close.
// Every answer is held against balance, sign and gap before it leaves.
//
// Rigid points may be redundant: three across a section that does not bend, or two at
// one place. Then H leaves some combination d of their forces without energy (Hd = 0,
// Eᵀd = 0). If the heights agree (cᵀd = 0) the forces are shared in the sense of least
// squares and the answer says which; if they do not, points that can only push let go,
// and where none can the points contradict one another and that is an error.
package contact

import (
	"errors"
	"slices"
)

// errUnsettled says that no answer was found that holds to working accuracy.
var errUnsettled = errors.New("no contact was found that holds to working accuracy")

// Point is one place of contact.
type Point struct {
	X, Y float64 // m, along and across, in coordinates of the body it holds up
	Held bool    // pulls as well as pushes
	Body int     // 0 or 1: the body that it holds up
}

// Load is what changes from one solution to the next.
type Load struct {
	Built     []float64     // m, c at each point
	Resultant [2][3]float64 // N, N·m, N·m of each body
}

// Answer is how the bodies rest. Its slices are used again when it is solved into again.
type Answer struct {
	Force  []float64     // N, of each point; 0 where it does not touch
	Gap    []float64     // m, of each point; 0 where it touches
	Rigid  [2][3]float64 // m, rad, rad: of each body at x = y = 0
	On     []bool        // the points that touch; the guess when solved into
	Shared []int         // points of which only the sum and the moments of their forces are told
}

// Problem is an arrangement of points, to be solved for many loads. The zero value is
// ready for Reset. It keeps the factors of the contact sets met last and allocates
// nothing once these have been met. Not for several goroutines at once.
type Problem struct {
	Work    float64 // of all that was solved, about in multiplications: what a budget counts
	points  []Point
	bodies  []frame
	rows    int          // of the balance of all bodies
	e       [][3]float64 // centred and scaled 1, x, y of each point
	h       []float64    // n×n
	k       []float64    // H + ρEEᵀ, rows of its lower triangle one after another
	rho     [2]float64   // m/N, mean compliance of each body's points
	most    float64      // m/N, largest compliance of a point
	stale   bool         // h may have been written to since k was made
	kept    []*factor    // of contact sets, oldest overwritten first
	live    int          // how many of these are of the present H
	next    int
	updated factor  // of the set met last in pivoting
	height  float64 // m, what gaps are measured against
	force   float64 // N, what forces are measured against
	wrong   []int
	built   []float64 // gaps that a correction is to close
	rhs     []float64
	more    Answer // the correction
}

// Reset makes the problem ready for the points and returns its compliance matrix H,
// n×n row by row, to be filled in whole. Points of body 0 come first; body 1 may be absent.
func (p *Problem) Reset(points []Point) (h []float64) {
	p.forget(0)
	return p.reset(points)
}

// Ride is Reset for another body 1: body 0, its points and the compliance between them are
// as they were, and so are the rows of factors that are of them.
func (p *Problem) Ride(points []Point) (h []float64) {
	same := slices.IndexFunc(points, func(t Point) bool { return t.Body == 1 })
	p.forget(max(same, 0))
	return p.reset(points)
}

func (p *Problem) reset(points []Point) (h []float64) {
	n := len(points)
	p.points = append(p.points[:0], points...)
	p.h, p.k = sized(p.h, n*n), sized(p.k, n*(n+1)/2)
	p.built, p.rhs = sized(p.built, n), sized(p.rhs, n)
	p.frames()
	p.stale = true
	return p.h
}

// Refill returns the compliance matrix to be written to, and forgets the factors.
func (p *Problem) Refill() (h []float64) {
	p.forget(0)
	p.stale = true
	return p.h
}

// forget leaves of all factors what is of the first points.
func (p *Problem) forget(but int) {
	for _, f := range p.kept {
		f.on = f.on[:min(but, len(f.on))]
	}
}

// sized returns s at another length; what was there stays.
func sized[T any](s []T, n int) []T {
	if cap(s) < n {
		return append(s[:cap(s)], make([]T, n-cap(s))...)
	}
	return s[:n]
}

// fit gives an answer the size of the problem; without a guess all points touch.
func (p *Problem) fit(a *Answer) {
	n := len(p.points)
	a.Force, a.Gap = sized(a.Force, n), sized(a.Gap, n)
	if len(a.On) != n {
		a.On = sized(a.On, n)
		for i := range a.On {
			a.On[i] = true
		}
	}
	for i := range p.points {
		if p.points[i].Held {
			a.On[i] = true
		}
	}
}

// spares is how many rounds may bring no fewer wrong points before one point is
// exchanged at a time, the first that is wrong (K. G. Murty, Note on a Bard-type scheme
// for solving the complementarity problem, Opsearch 11 (1974) 123–130), until there are
// fewer. Júdice and Pires allow some ten; three lose less where it circles.
const spares = 3

// Solve finds how the bodies rest, beginning with the contact in a.On when it is of
// the problem's size. Errors: *Tip, *Contradiction, or that none holds; a then holds nothing
// of use but may be solved into again.
func (p *Problem) Solve(l Load, a *Answer) error {
	p.prepare()
	p.fit(a)
	if err := p.upright(l); err != nil {
		return err
	}
	done, err := p.pivot(l, a)
	if done || err != nil {
		return err
	}
	return p.programme(l, a)
}

// pivot exchanges the points whose contact is wrong until there is none; not done
// when it circles or meets a set that cannot balance the bodies.
func (p *Problem) pivot(l Load, a *Answer) (done bool, err error) {
	r, again := rounds{len(a.On) + 1, spares}, false
	f := p.factorOf(a.On)
	for range 20 + 2*len(a.On) {
		if !f.ok {
			if again || !slices.Contains(a.On, false) {
				return false, nil
			}
			again = true
			for i := range a.On {
				a.On[i] = true
			}
			f = p.factorOf(a.On)
			continue
		}
		if err := p.misplaced(f, l, a); err != nil {
			return false, err
		}
		if len(p.wrong) == 0 {
			if done := p.confirm(f, l, a); done || f != &p.updated {
				return done, nil
			}
			f = p.factorOf(a.On)
			continue
		}
		r.exchange(p, a.On)
		f = p.exchanged(f, a.On)
	}
	return false, nil
}

// rounds are those of pivoting: the fewest wrong points so far, and how many more rounds may bring no fewer.
type rounds struct{ fewest, spare int }

// exchange exchanges the wrong points, or the first of them when no round is to spare.
func (r *rounds) exchange(p *Problem, on []bool) {
	switch {
	case len(p.wrong) < r.fewest:
		r.fewest, r.spare = len(p.wrong), spares
	case r.spare > 0:
		r.spare--
	default:
		p.wrong = p.wrong[:1]
	}
	for _, i := range p.wrong {
		on[i] = !on[i]
	}
}

// misplaced solves with the points of the factor touching and lists in p.wrong those
// whose contact is wrong. It is a *Contradiction when nothing but held points is.
func (p *Problem) misplaced(f *factor, l Load, a *Answer) error {
	p.wrong = p.wrong[:0]
	if len(f.free) > 0 {
		if d := p.stray(f, l); d != nil {
			return p.letGo(f, l, d)
		}
	}
	p.glue(f, l, a)
	p.gaps(l, a)
	p.violations(a)
	return nil
}

// Glue solves with the points of a.On touching whatever the sign of their forces, and
// without them touching whatever the gap: the response to a change of load while the
// contact stays. Rigid points that contradict one another give way in the sense of
// least squares and are named in a.Shared. It is an error when these points cannot
// balance the bodies.
func (p *Problem) Glue(l Load, a *Answer) error {
	p.prepare()
	p.fit(a)
	f := p.factorOf(a.On)
	if !f.ok {
		return errUnsettled
	}
	if len(f.free) > 0 {
		copy(p.rhs, l.Built)
		for _, d := range f.free {
			d.without(p.rhs)
		}
		l.Built = p.built
		copy(l.Built, p.rhs)
	}
	if l.gapsAlone(a.On) {
		a.Rigid, a.Shared = [2][3]float64{}, a.Shared[:0]
		clear(a.Force)
		copy(a.Gap, l.Built)
		return nil
	}
	p.glue(f, l, a)
	n := len(p.points)
	for i, on := range a.On {
		if a.Gap[i] = 0; !on {
			a.Gap[i] = p.gap(i, &l, a)
			p.Work += float64(n)
		}
	}
	return nil
}

// gapsAlone tells whether a change of load is one of gaps alone.
func (l *Load) gapsAlone(on []bool) bool {
	for i, v := range l.Built {
		if v != 0 && on[i] {
			return false
		}
	}
	return l.Resultant == [2][3]float64{}
}

// gaps fills in the gap at every point, where it touches what rounding leaves of it.
func (p *Problem) gaps(l Load, a *Answer) {
	p.measure(l, a)
	n := len(p.points)
	p.Work += float64(n * (n + fewPoints))
	for i := range p.points {
		a.Gap[i] = p.gap(i, &l, a)
	}
}

func (p *Problem) gap(i int, l *Load, a *Answer) float64 {
	t := &p.points[i]
	q := &a.Rigid[t.Body]
	return l.Built[i] + q[0] + q[1]*t.X + q[2]*t.Y + dot(a.Force, p.h[i*len(p.points):])
}

// clear leaves no gap where points touch.
func (a *Answer) clear() {
	for i, on := range a.On {
		if on {
			a.Gap[i] = 0
		}
	}
}
