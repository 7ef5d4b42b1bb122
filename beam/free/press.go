package free

import "math"

// Pressing is line loads on the bed that begin and end together, made ready to be asked about anywhere.
type Pressing struct {
	Resultant [3]float64 // N, N·m, N·m: Σ F, Σ F·x, Σ F·y
	bed       *Bed
	on        []pressed
	ways      compressions
	twist     *curves // nil: none
}

// Press makes line loads ready.
func (b *Bed) Press(lines []Line) *Pressing {
	p := &Pressing{bed: b, ways: compressing(b.bed, lines)}
	for _, q := range lines {
		l := b.press(q)
		p.on = append(p.on, l)
		p.Resultant[0] += l.force
		p.Resultant[1] += l.first
		p.Resultant[2] += l.force * l.y
	}
	p.twist = b.turn(p.on)
	return p
}

// At returns how far a place, offset y, goes down by bending and up by twist, m.
func (p *Pressing) At(at Spot, y float64) (down, up float64) {
	for _, l := range p.on {
		down += p.bed.deflect(at.place, l)
	}
	if p.twist != nil {
		_, up = p.twist.at(at.place, y)
	}
	return down, up
}

// Surface is At with what the surface is pressed in.
func (p *Pressing) Surface(at Spot, y float64) (down, up float64) {
	down, up = p.At(at, y)
	return down + p.ways.at(at.x, y), up
}

// With the grid's running sums the built-in bed's bending under a straight
// line load is known at any place without a pass along the bed: M and V under the load
// are polynomials of s.

// pressed is a line load made ready: a cell left of it bears its resultant, one
// within it the part that lies to the right, by polynomials in s.
type pressed struct {
	from, to     place
	y            float64
	force, first float64    // N, and its moment about x = 0, N·m
	v            [3]float64 // V(s) = Σ vₖsᵏ of the load right of s
	m            [4]float64 // M(s) about s
}

// press makes a line load ready. With q = α + βx, V = ∫q and M = ∫V from s to the end.
func (u *Bed) press(q Line) pressed {
	p := pressed{from: u.place(q.From), to: u.place(q.To), y: q.Offset}
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

// deflect returns how far the line load bends the built-in bed down at p, m.
func (u *Bed) deflect(p place, l pressed) (down float64) {
	a := p // the cells left of both p and the load
	if l.from.x < p.x {
		a = l.from
	}
	sums := u.further()
	down = a.left(sums.bends[:], [2]float64{l.first, -l.force}, p.x) + l.force*a.read(sums.shears[0]) + u.chord(p, l)
	if p.x <= l.from.x {
		return down
	}
	b := p
	if l.to.x < p.x {
		b = l.to
	}
	for k, v := range l.v {
		down += v * (b.read(sums.shears[k]) - a.read(sums.shears[k]))
	}
	for k, m := range l.m {
		down += m * (p.x*(b.read(sums.bends[k])-a.read(sums.bends[k])) - b.read(sums.bends[k+1]) + a.read(sums.bends[k+1]))
	}
	return down
}

// turn returns the twist of the built-in bed by one pass along it, under line loads that
// begin and end together; nil when they do not twist it.
func (u *Bed) turn(lines []pressed) *curves {
	var down, round, most float64 // of the whole loads: force, N, and torque about the centre line, N·m
	var v, t [3]float64           // of what lies right of s
	for _, l := range lines {
		down, round, most = down+l.force, round+l.force*l.y, most+math.Abs(l.force*l.y)
		for k := range v {
			v[k], t[k] = v[k]+l.v[k], t[k]+l.v[k]*l.y
		}
	}
	tw := u.twister
	if tw.centred && math.Abs(round) <= 1e-12*most {
		return nil
	}
	torque := make([]float64, len(tw.cells))
	from, to := lines[0].from.x, lines[0].to.x
	for i := range torque {
		s, e := (u.x[i]+u.x[i+1])/2, tw.cells[i].centre
		if s >= to {
			break
		}
		torque[i] = e*down - round
		if s > from {
			torque[i] = e*v[0] - t[0] + s*(e*v[1]-t[1]+s*(e*v[2]-t[2]))
		}
	}
	c := &curves{w: u.still}
	c.phi, c.side = tw.under(torque, tw.cells[0].centre*down-round-torque[0])
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
func (u *Bed) chord(p place, l pressed) float64 {
	h := u.x[p.cell+1] - u.x[p.cell]
	s := u.x[p.cell] + h/2
	m := 0.0
	switch {
	case s <= l.from.x:
		m = l.first - l.force*s
	case s < l.to.x:
		m = l.m[0] + s*(l.m[1]+s*(l.m[2]+s*l.m[3]))
	}
	return p.t * (1 - p.t) * h * m * u.bend[p.cell]
}
