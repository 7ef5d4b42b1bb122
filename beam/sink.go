package beam

import (
	"math"
)

// sums are the grid's running sums Σ sᵏ·bend and Σ sᵏ·shear over the cells left of
// each node, s the cell's middle. With them the built-in bed's bending under a straight
// line load is known at any place without a pass along the bed: M and V under the load
// are polynomials of s.
type sums struct {
	g     *grid
	bend  [5][]float64
	shear [3][]float64
}

func (g *grid) sums() *sums {
	u := &sums{g: g}
	run := func(of []float64, k int) []float64 {
		out := make([]float64, len(g.x))
		for i, v := range of {
			s := (g.x[i] + g.x[i+1]) / 2
			for range k {
				v *= s
			}
			out[i+1] = out[i] + v
		}
		return out
	}
	for k := range u.bend {
		u.bend[k] = run(g.bend, k)
	}
	for k := range u.shear {
		u.shear[k] = run(g.shear, k)
	}
	return u
}

// place is one on the bed, found once: a cell's share t counts as left of it.
type place struct {
	x    float64
	cell int
	t    float64
}

// pose is a place, or where a foot's force enters.
type pose struct {
	place
	spread float64  // m, of a foot: half its force enters so far left of it, half so far right
	ends   [2]place // then
}

func (g *grid) place(x float64) place {
	i, t := g.cell(x)
	return place{x, i, t}
}

// foot returns the place of a foot whose force enters the bed so far left and right of it.
func (g *grid) foot(at place, spread float64) pose {
	p := pose{place: at, spread: spread}
	if spread > 0 {
		p.ends = [2]place{g.place(at.x - spread), g.place(at.x + spread)}
	}
	return p
}

// enters returns where a force enters, half and half.
func (p *pose) enters() [2]place {
	if p.spread == 0 {
		return [2]place{p.place, p.place}
	}
	return p.ends
}

func (u *sums) pose(x float64) pose { return pose{place: u.g.place(x)} }

func (p place) read(sum []float64) float64 {
	return sum[p.cell] + p.t*(sum[p.cell+1]-sum[p.cell])
}

// between returns the height at p, offset y, for a unit upward force at q,
// offset v, m/N, by bending and by twist: grid.compliance between nodes. Within a cell
// bending is shared between its nodes, as heights are read and loads are put on
// everywhere; shear is exact, for its kink under a force would be lost.
func (u *sums) between(p pose, y float64, q pose, v float64) (bent, twisted float64) {
	c, o := p, q
	if q.x < p.x {
		c, o = q, p
	}
	i, g := c.cell, u.g
	half := (g.x[i+1] - g.x[i]) / 2
	arm := o.x - g.x[i] - half
	if o.cell == i {
		arm = half * o.t
	}
	bent = c.x*o.x*g.b0[i] - (c.x+o.x)*g.b1[i] + g.b2[i] + g.sh[i] + c.t*(half*arm*g.bend[i]+g.shear[i])
	kink, twistKink := g.blunt(p, y, q, v)
	return bent - kink, g.twister.between(p, y, q, v) - twistKink
}

// pressed is a line load made ready: a cell left of it bears its resultant, one
// within it the part that lies to the right, by polynomials in s.
type pressed struct {
	from, to     pose
	y            float64
	force, first float64    // N, and its moment about x = 0, N·m
	v            [3]float64 // V(s) = Σ vₖsᵏ of the load right of s
	m            [4]float64 // M(s) about s
}

// press makes a line load ready. With q = α + βx, V = ∫q and M = ∫V from s to the end.
func (u *sums) press(q Line) pressed {
	p := pressed{from: u.pose(q.From), to: u.pose(q.To), y: q.Offset}
	long := q.To - q.From
	beta := (q.End - q.Start) / long
	alpha := q.Start - beta*q.From
	p.force = (q.Start + q.End) / 2 * long
	p.first = alpha*(q.To*q.To-q.From*q.From)/2 + beta*(q.To*q.To*q.To-q.From*q.From*q.From)/3
	b := q.To
	p.v = [3]float64{alpha*b + beta*b*b/2, -alpha, -beta / 2}
	p.m = [4]float64{alpha*b*b/2 + beta*b*b*b/3, -p.v[0], alpha / 2, beta / 6}
	return p
}

// sink returns how far the line load bends the built-in bed down at p, m.
func (u *sums) sink(p pose, l pressed) (down float64) {
	a := p.place // the cells left of both p and the load
	if l.from.x < p.x {
		a = l.from.place
	}
	down = a.left(u.bend[:], [2]float64{l.first, -l.force}, p.x) + l.force*a.read(u.shear[0]) + u.chord(p, l)
	if p.x <= l.from.x {
		return down
	}
	b := p.place
	if l.to.x < p.x {
		b = l.to.place
	}
	for k, v := range l.v {
		down += v * (b.read(u.shear[k]) - a.read(u.shear[k]))
	}
	for k, m := range l.m {
		down += m * (p.x*(b.read(u.bend[k])-a.read(u.bend[k])) - b.read(u.bend[k+1]) + a.read(u.bend[k+1]))
	}
	return down
}

// turn returns the twist of the built-in bed by one pass along it, under line loads that
// begin and end together; nil when they do not twist it.
func (u *sums) turn(lines []pressed) *curves {
	var down, round, most float64 // of the whole loads: force, N, and torque about the centre line, N·m
	var v, t [3]float64           // of what lies right of s
	for _, l := range lines {
		down, round, most = down+l.force, round+l.force*l.y, most+math.Abs(l.force*l.y)
		for k := range v {
			v[k], t[k] = v[k]+l.v[k], t[k]+l.v[k]*l.y
		}
	}
	tw := u.g.twister
	if tw.centred && math.Abs(round) <= 1e-12*most {
		return nil
	}
	torque := make([]float64, len(tw.cells))
	from, to := lines[0].from.x, lines[0].to.x
	for i := range torque {
		s, e := (u.g.x[i]+u.g.x[i+1])/2, tw.cells[i].centre
		if s >= to {
			break
		}
		torque[i] = e*down - round
		if s > from {
			torque[i] = e*v[0] - t[0] + s*(e*v[1]-t[1]+s*(e*v[2]-t[2]))
		}
	}
	c := &curves{}
	c.phi, c.side = tw.under(torque, 0)
	return c
}

// left returns Σ (x−s)(m₀+m₁s)·bend over the cells left of p.
func (p place) left(bend [][]float64, m [2]float64, x float64) (sum float64) {
	for k, v := range m {
		sum += v * (x*p.read(bend[k]) - p.read(bend[k+1]))
	}
	return sum
}

// chord returns what a straight line between the nodes of p's cell adds to the
// hinge's own shape within it.
func (u *sums) chord(p pose, l pressed) float64 {
	h := u.g.x[p.cell+1] - u.g.x[p.cell]
	s := u.g.x[p.cell] + h/2
	m := 0.0
	switch {
	case s <= l.from.x:
		m = l.first - l.force*s
	case s < l.to.x:
		m = l.m[0] + s*(l.m[1]+s*(l.m[2]+s*l.m[3]))
	}
	return p.t * (1 - p.t) * h * m * u.g.bend[p.cell]
}
