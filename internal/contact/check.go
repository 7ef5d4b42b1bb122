package contact

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/floats"
)

// Tip says that no set of forces that only push balances a body.
type Tip struct {
	Body int
	X, Y float64 // the way it falls, a vector of length one
	Over float64 // m, how far its weight acts beyond the points; 0 on the very edge
}

func (e *Tip) Error() string {
	return fmt.Sprintf("body %d tips: its weight acts %.3g m beyond its points", e.Body, e.Over)
}

// Contradiction says that rigid points cannot all be in contact as they are held:
// no body fits them, and the forces between them would have no end.
type Contradiction struct {
	Points []int
	By     float64 // m, how far the one that is farthest off stands from where the others put the body
}

func (e *Contradiction) Error() string {
	return fmt.Sprintf("rigid points %v contradict one another by %.3g m", e.Points, e.By)
}

// How well an answer holds: heights to a part of what they are the sum of, forces and
// their resultants to a part of the weight. Pivoting asks for a tenth of it, so that
// what it finds passes.
const (
	heightAccuracy = 1e-11
	forceAccuracy  = 1e-9
)

// measure sets what heights (m) and forces (N) are measured against: what they are the
// sum of, and the weight with the force that would bend the heights in.
func (p *Problem) measure(l Load, a *Answer) {
	built, sum := 0.0, 0.0
	for i, c := range l.Built {
		built = max(built, math.Abs(c))
		sum += math.Abs(a.Force[i])
	}
	p.height, p.force = built+p.most*sum, math.Abs(l.Resultant[0][0])
	if p.most > 0 {
		p.force += built / p.most
	}
}

// violations lists in p.wrong the points whose contact is wrong: pulling where they
// can only push, or sunk into a support that does not push.
func (p *Problem) violations(a *Answer) {
	force, height := -forceAccuracy/10*p.force, -heightAccuracy/10*p.height
	for i, on := range a.On {
		if on && !p.points[i].Held && a.Force[i] < force || !on && a.Gap[i] < height {
			p.wrong = append(p.wrong, i)
		}
	}
}

// confirm tells whether an answer without violations holds, corrected once if need be.
func (p *Problem) confirm(f *factor, l Load, a *Answer) bool {
	if !p.holds(l, a) {
		p.correct(f, l, a)
		p.gaps(l, a)
		if !p.holds(l, a) {
			return false
		}
	}
	a.clear()
	return true
}

// holds checks balance, sign and gap.
func (p *Problem) holds(l Load, a *Answer) bool {
	height, force := heightAccuracy*p.height, forceAccuracy*p.force
	for i, on := range a.On {
		g, r := a.Gap[i], a.Force[i]
		switch {
		case math.IsNaN(r) || !(g >= -height):
			return false
		case on && (g > height || !p.points[i].Held && r < -force):
			return false
		}
	}
	for _, body := range p.unbalanced(l, a) {
		for _, v := range body {
			if !(math.Abs(v) <= force) {
				return false
			}
		}
	}
	return true
}

// unbalanced returns what the forces lack of each body's scaled resultant.
func (p *Problem) unbalanced(l Load, a *Answer) (left [2][3]float64) {
	for i, body := range p.bodies {
		left[i] = body.scaled(l.Resultant[i])
		if body.count == 2 {
			left[i][2] = 0
		}
	}
	for i, f := range a.Force {
		e, b := &p.e[i], &left[p.points[i].Body]
		b[0], b[1], b[2] = b[0]-e[0]*f, b[1]-e[1]*f, b[2]-e[2]*f
	}
	return left
}

// correct takes one step of iterative refinement.
func (p *Problem) correct(f *factor, l Load, a *Answer) {
	c := Load{Built: p.built}
	copy(c.Built, a.Gap)
	left := p.unbalanced(l, a)
	for i, body := range p.bodies {
		c.Resultant[i] = body.raw(left[i])
	}
	p.fit(&p.more)
	p.glue(f, c, &p.more)
	floats.Add(a.Force, p.more.Force)
	for i := range p.bodies {
		floats.Add(a.Rigid[i][:], p.more.Rigid[i][:])
	}
}

// stray returns the forces without energy that would grow without end because the
// heights contradict one another; nil when these agree.
func (p *Problem) stray(f *factor, l Load) []float64 {
	d := make([]float64, len(p.points))
	for _, v := range f.free {
		c := v.dot(l.Built)
		for k, i := range v.at {
			d[i] -= c * v.of[k]
		}
	}
	size := floats.Norm(l.Built, math.Inf(1)) + p.most*math.Abs(l.Resultant[0][0])
	if floats.Norm(d, math.Inf(1)) <= heightAccuracy*size {
		return nil
	}
	return d
}

// letGo lists the points that such forces pull at and that cannot pull; where there is
// none, d proves the contradiction.
func (p *Problem) letGo(f *factor, l Load, d []float64) error {
	most := floats.Norm(d, math.Inf(1))
	e := &Contradiction{}
	for _, v := range f.free {
		e.By = max(e.By, math.Abs(v.dot(l.Built))/floats.Norm(v.of, math.Inf(1)))
	}
	for i, v := range d {
		if v < -1e-6*most && !p.points[i].Held {
			p.wrong = append(p.wrong, i)
		}
		if math.Abs(v) > 1e-6*most {
			e.Points = append(e.Points, i)
		}
	}
	if len(p.wrong) > 0 {
		return nil
	}
	return e
}

// upright is a *Tip when a body's points lie so that nothing keeps it from turning.
func (p *Problem) upright(l Load) error {
	for i, f := range p.bodies {
		b := f.scaled(l.Resultant[i])
		if f.flat || f.count == 2 && math.Abs(b[2]) > 1e-9*math.Abs(b[0]) {
			return p.tip(l, i)
		}
	}
	return nil
}

// tip finds the way a body falls: from the nearest place of its points' convex hull to
// where its weight acts.
func (p *Problem) tip(l Load, body int) *Tip {
	b := l.Resultant[body]
	e := &Tip{Body: body, X: 1}
	if b[0] == 0 {
		return e
	}
	x, y := b[1]/b[0], b[2]/b[0]
	e.Over = math.Inf(1)
	for i, t := range p.points {
		for _, u := range p.points[:i+1] {
			if t.Body != body || u.Body != body {
				continue
			}
			dx, dy := x-t.X, y-t.Y
			ux, uy := u.X-t.X, u.Y-t.Y
			if s := ux*ux + uy*uy; s > 0 {
				k := min(max((dx*ux+dy*uy)/s, 0), 1)
				dx, dy = dx-k*ux, dy-k*uy
			}
			if far := math.Hypot(dx, dy); far < e.Over {
				e.Over = far
				if far > 0 {
					e.X, e.Y = dx/far, dy/far
				}
			}
		}
	}
	return e
}
