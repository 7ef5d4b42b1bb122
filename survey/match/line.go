package match

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// heading is how far, or how fast, a path goes along its direction, and along the heights
// of its hinges alone.
type heading struct {
	along float64
	alone [2]float64
}

// after returns where it is once it has gone on so long at a rate.
func (h heading) after(long float64, rate heading) heading {
	h.along += long * rate.along
	for k, v := range rate.alone {
		h.alone[k] += long * v
	}
	return h
}

// path leads from where the chain is along a direction of the linear unknowns, both ways.
// Where it has hinges, feet on one point each, it turns as one of these lets go: from there this
// foot sinks alone, for a foot that hangs moves nothing. Where two of them hang there is no path. Of two feet
// together it turns where the second lets go: from there both sink.
type path struct {
	dz       []float64
	hinges   []pivot // two at most, of one state
	together bool
}

// pivot is a foot that a path turns at: its height among the unknowns, and where it touches or hangs.
type pivot struct {
	height int
	stand  *stand
	point  int
}

// mostPieces ends a path that meets too many contacts: a bed whose weight lies over two of its feet
// may turn on them as it likes.
const mostPieces = 1000

// line draws exactly from the density along a path. Forces follow the linear unknowns in
// straight pieces, as contacts change, so the density is a Gaussian on each piece: one
// piece is drawn by its mass, and a place on it from the Gaussian between its ends. It is
// drawn within a window that lies by chance about where the chain is, so that the way back
// is as likely.
func (c *chain) line(p path) {
	u := c.rng.Float64()
	most := c.spread(&p, windowWidth*u, windowWidth*(1-u))
	if len(c.pieces) == 0 {
		return
	}
	sum := 0.0
	for i := range c.pieces {
		c.pieces[i].mass = math.Exp(c.pieces[i].mass - most)
		sum += c.pieces[i].mass
	}
	u, k, began := c.rng.Float64()*sum, 0, c.pieces[0].log
	for ; k < len(c.pieces)-1; k++ {
		if u -= c.pieces[k].mass; u < 0 {
			break
		}
	}
	to := c.pieces[k].draw(c.rng)
	c.log += c.pieces[k].at(to) - began
	c.goTo(&p, k, to)
}

// spread finds the pieces of a path as far as there is room both ways, with the logarithms
// of their masses, and returns the greatest of these.
func (c *chain) spread(p *path, ahead, behind float64) (most float64) {
	c.pieces = c.pieces[:0]
	if c.setOut(p) {
		c.walk(p, 1, ahead)
		c.walk(p, -1, behind)
	}
	most = math.Inf(-1)
	for i := range c.pieces {
		v := &c.pieces[i]
		v.mass = v.thin + v.logMass()
		if math.IsNaN(v.mass) {
			panic("match: a path without a density")
		}
		most = max(most, v.mass)
	}
	return most
}

// dot returns the product of two headings as vectors of unknowns; the chain's, that of one and of where it is.
func (p *path) dot(a, b heading) (sum float64) {
	if a.along*b.along != 0 {
		sum = a.along * b.along * floats.Dot(p.dz, p.dz)
	}
	for k, h := range p.hinges {
		sum += (a.along*b.alone[k]+a.alone[k]*b.along)*p.dz[h.height] + a.alone[k]*b.alone[k]
	}
	return sum
}

func (c *chain) dot(p *path, a heading) (sum float64) {
	if a.along != 0 {
		sum = a.along * floats.Dot(c.z, p.dz)
	}
	for k, h := range p.hinges {
		sum += a.alone[k] * c.z[h.height]
	}
	return sum
}

// to writes a heading as a vector of unknowns.
func (p *path) to(h heading, z []float64) {
	floats.ScaleTo(z, h.along, p.dz)
	for k, v := range p.hinges {
		z[v.height] += h.alone[k]
	}
}

// walk adds the pieces of a path that lie one way, as far as room lets it go: in units of
// the direction, and of one deviation of the height alone. It ends before a place where
// contacts would change without end, or that has none, or where they change although next to no bed lies there: that is
// a matter of the place, so the way back ends there as well.
func (c *chain) walk(p *path, sign, room float64) {
	rate, thin := c.outset(sign)
	var at heading
	log, tiny := 0.0, 1e-9*room
	for room > 0 && len(c.pieces) < mostPieces {
		long, next, point := c.nearest(room)
		long = min(max(long, tiny), room)
		log -= c.goOn(p, piece{long: long, log: log, thin: thin, from: at, rate: rate})
		room -= long
		at = at.after(long, rate)
		if next == nil || c.log+c.pieces[len(c.pieces)-1].at(long)-c.pieces[0].log < c.least {
			return
		}
		if point < 0 { // what was felt pulls otherwise from here
			continue
		}
		if k := p.hinge(next, point); k >= 0 && p.turns(k) {
			if rate, thin = c.turn(p, k); rate == (heading{}) {
				return
			}
		} else if !c.exchange(p, rate, room, next, point) {
			return
		}
	}
}

// hinge returns which of a path's hinges a point of a state is, −1 for none.
func (p *path) hinge(d *stand, point int) int {
	return slices.IndexFunc(p.hinges, func(h pivot) bool { return h.stand == d && h.point == point })
}

// turns tells whether a path turns where one of its hinges touches or lets go.
func (p *path) turns(k int) bool { return !p.together || !p.hinges[1-k].on() }

// on tells whether a foot touches where the path is.
func (h pivot) on() bool { return h.stand.way.On[h.point] }

// goOn adds a piece, with what was felt and the prior, and goes to its end. It returns what the metal and what was read
// take off the logarithm there.
func (c *chain) goOn(p *path, v piece) (less float64) {
	v.slope = floats.Dot(c.w, c.way) - floats.Dot(c.g.q, c.step)
	v.curve = max(0, floats.Dot(c.w, c.step)) // below 0 by rounding alone
	less = v.long * (v.slope + v.long*v.curve/2)
	for _, d := range c.stands {
		d.pullOn(&v)
		d.advance(v.long)
	}
	v.log -= c.dot(p, v.from) + p.dot(v.from, v.from)/2
	v.slope += c.dot(p, v.rate) + p.dot(v.from, v.rate)
	v.curve += p.dot(v.rate, v.rate)
	c.pieces = append(c.pieces, v)
	c.spent += perPiece + perPoint*c.points
	floats.AddScaled(c.way, v.long, c.step)
	return less
}

// exchange lets a point of a state touch or go; not when there is no contact beyond, or when others
// would have to touch or go with it.
func (c *chain) exchange(p *path, rate heading, room float64, d *stand, point int) bool {
	d.way.On[point] = !d.way.On[point]
	return c.head(p, rate, d) && !d.falls(point, room)
}

// nearest returns how far it is until a state changes, which, and its point; none when that
// is farther than most.
func (c *chain) nearest(most float64) (long float64, next *stand, point int) {
	long, point = most, -1
	for _, d := range c.stands {
		if l, p := d.until(long); l < long {
			long, next, point = l, d, p
		}
	}
	return long, next, point
}

// start is how a path sets out, forwards: up for a hinge that hangs.
type start struct {
	rate    heading
	thin    float64
	step, w []float64
}

// setOut heads a path forwards and notes that; not where two of its hinges hang that do not go together.
func (c *chain) setOut(p *path) bool {
	for _, d := range c.stands {
		d.leave()
		d.trail, d.trailOn = d.trail[:0], d.trailOn[:0]
	}
	c.out.rate, c.out.thin = heading{along: 1}, 0
	hang, first := 0, 0 // how many, and which of them touches first
	for k, h := range p.hinges {
		if h.on() {
			continue
		}
		if hang++; hang == 1 || c.high(p, k) < c.high(p, first) {
			first = k
		}
	}
	switch {
	case hang == 2 && !p.together:
		return false
	case hang == 2:
		c.out.rate, c.out.thin = heading{alone: [2]float64{1, 1}}, c.thinness(p, first)
	case hang == 1 && !p.together:
		c.out.rate, c.out.thin = heading{}, c.thinness(p, first)
		c.out.rate.alone[first] = 1
	}
	c.head(p, c.out.rate, nil)
	c.out.step, c.out.w = append(c.out.step[:0], c.step...), append(c.out.w[:0], c.w...)
	for _, d := range c.stands {
		d.out.moves, d.out.force, d.out.gap = d.moves, append(d.out.force[:0], d.step.Force...), append(d.out.gap[:0], d.step.Gap...)
	}
	return true
}

// outset goes back to where a path begins and heads as it set out, times a sign.
func (c *chain) outset(sign float64) (rate heading, thin float64) {
	copy(c.way, c.phi)
	floats.ScaleTo(c.step, sign, c.out.step)
	floats.ScaleTo(c.w, sign, c.out.w)
	for _, d := range c.stands {
		d.leave()
		if d.moves = d.out.moves; d.moves {
			floats.ScaleTo(d.step.Force, sign, d.out.force)
			floats.ScaleTo(d.step.Gap, sign, d.out.gap)
		}
	}
	return heading{}.after(sign, c.out.rate), c.out.thin
}

// high returns how many deviations of its height a hinge hangs clear.
func (c *chain) high(p *path, k int) float64 {
	h := &p.hinges[k]
	return h.stand.way.Gap[h.point] / c.m.sd[h.height]
}

// opens returns how fast a hinge that hangs opens along the path's direction.
func (c *chain) opens(p *path, k int) float64 {
	h := &p.hinges[k]
	if !h.stand.respond(c.m, p.dz) || !h.stand.glue(&h.stand.way) {
		return 0
	}
	return h.stand.step.Gap[h.point]
}

// thinness returns the logarithm of the time that one deviation of a hinge's height
// takes while it hangs. Time is what the density is drawn by: as it opens as fast as it did
// along the direction, as much time passes through every place where it lets go as
// comes to it.
func (c *chain) thinness(p *path, k int) float64 {
	opens, sd := math.Abs(c.opens(p, k)), c.m.sd[p.hinges[k].height]
	if opens < 1e-9*sd {
		return 0
	}
	return math.Log(sd / opens)
}

// turn takes a path around a hinge, which lets go or touches; nowhere when the direction
// does not part them.
func (c *chain) turn(p *path, k int) (rate heading, thin float64) {
	h := &p.hinges[k]
	on := &h.stand.way.On[h.point]
	if *on {
		*on = false
		thin = c.thinness(p, k)
		if rate.alone[k] = -1; p.together {
			rate.alone[1-k] = -1
		}
	} else {
		opens := c.opens(p, k)
		if math.Abs(opens) < 1e-9*c.m.sd[h.height] {
			return rate, 0
		}
		*on = true
		rate.along = -math.Copysign(1, opens)
	}
	c.head(p, rate, nil)
	return rate, thin
}

// head finds how states and features change along a path: of one state, or of all; not where
// the contact of one cannot balance it.
func (c *chain) head(p *path, rate heading, only *stand) (ok bool) {
	m := c.m
	ok = true
	p.to(rate, c.trial)
	if only == nil {
		clear(c.step)
		for i, h := range m.heat {
			c.step[featHeat+i] = m.sd[h] * c.trial[h]
		}
	}
	for _, d := range c.stands {
		if d.frozen || only != nil && d != only || !d.respond(m, c.trial) {
			continue
		}
		ok = d.glue(&d.way) && ok
		d.put(d.step.Force, c.phi, c.step)
	}
	c.spent += c.g.times(c.step, c.w)
	return ok
}

// goTo moves z and the states so far along a piece of a path.
func (c *chain) goTo(p *path, k int, s float64) {
	m, v := c.m, &c.pieces[k]
	p.to(v.from.after(s, v.rate), c.trial)
	floats.Add(c.z, c.trial)
	for i, h := range m.heat {
		c.phi[featHeat+i] = m.value(c.z, h)
	}
	for _, d := range c.stands {
		if n := len(d.points); !d.frozen {
			copy(d.at.On, d.trailOn[k*n:])
			was := d.trail[4*k*n:]
			floats.AddScaledTo(d.at.Force, was[:n], s, was[2*n:3*n])
			floats.AddScaledTo(d.at.Gap, was[n:2*n], s, was[3*n:4*n])
			d.put(d.at.Force, c.phi, c.phi)
		}
	}
}
