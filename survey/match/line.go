package match

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// heading is how far, or how fast, a path goes along its direction, and along the height
// of one foot alone.
type heading struct{ along, alone float64 }

// path leads from where the chain is along a direction of the linear unknowns, both ways.
// Where it has a hinge, a foot on one point, it turns as this foot lets go: from there the
// foot sinks alone, for a foot that hangs moves nothing.
type path struct {
	dz     []float64
	height int    // unknown, of the hinge; −1: straight all the way
	stand  *stand // where the hinge touches or hangs
	point  int
}

// mostPieces ends a path that meets too many contacts, mostStuck one that does not get on between them: a bed whose
// weight lies over two of its feet may turn on them as it likes.
const (
	mostPieces = 1000
	mostStuck  = 30
)

// line draws exactly from the density along a path. Forces follow the linear unknowns in
// straight pieces, as contacts change, so the density is a Gaussian on each piece: one
// piece is drawn by its mass, and a place on it from the Gaussian between its ends. It is
// drawn within a window that lies by chance about where the chain is, so that the way back
// is as likely.
func (c *chain) line(p path) {
	u := c.rng.Float64()
	most := c.spread(&p, windowWidth*u, windowWidth*(1-u))
	sum := 0.0
	for i := range c.pieces {
		c.pieces[i].mass = math.Exp(c.pieces[i].mass - most)
		sum += c.pieces[i].mass
	}
	u, k := c.rng.Float64()*sum, 0
	for ; k < len(c.pieces)-1; k++ {
		if u -= c.pieces[k].mass; u < 0 {
			break
		}
	}
	v := &c.pieces[k]
	s := v.draw(c.rng)
	c.goTo(&p, heading{v.from.along + s*v.rate.along, v.from.alone + s*v.rate.alone})
}

// spread finds the pieces of a path as far as there is room both ways, with the logarithms
// of their masses, and returns the greatest of these.
func (c *chain) spread(p *path, ahead, behind float64) (most float64) {
	c.pieces = c.pieces[:0]
	c.walk(p, 1, ahead)
	c.walk(p, -1, behind)
	zd, dd := floats.Dot(c.z, p.dz), floats.Dot(p.dz, p.dz)
	ze, de := 0.0, 0.0
	if p.height >= 0 {
		ze, de = c.z[p.height], p.dz[p.height]
	}
	most = math.Inf(-1)
	for i := range c.pieces { // with the prior
		v := &c.pieces[i]
		a, b, ra, rb := v.from.along, v.from.alone, v.rate.along, v.rate.alone
		v.log -= a*(zd+a*dd/2+b*de) + b*(ze+b/2)
		v.slope += ra*(zd+a*dd+b*de) + rb*(ze+a*de+b)
		v.curve += ra*ra*dd + 2*ra*rb*de + rb*rb
		v.mass = v.logMass()
		if math.IsNaN(v.mass) {
			panic("match: a path without a density")
		}
		most = max(most, v.mass)
	}
	return most
}

// walk adds the pieces of a path that lie one way, as far as room lets it go: in units of
// the direction, and of one deviation of the height alone. It ends before a place where
// contacts would change without end, or that has none.
func (c *chain) walk(p *path, sign, room float64) {
	for _, d := range c.stands {
		d.leave()
	}
	copy(c.way, c.phi)
	rate, thin := c.setOut(p, sign)
	var at heading
	log, tiny, stuck := 0.0, 1e-9*room, 0
	for room > 0 && len(c.pieces) < mostPieces && stuck < mostStuck {
		long, next, point := c.nearest(room)
		if stuck++; long > tiny {
			stuck = 0
		}
		long = min(max(long, tiny), room)
		log -= c.goOn(piece{long: long, log: log + thin, from: at, rate: rate})
		room -= long
		at.along, at.alone = at.along+long*rate.along, at.alone+long*rate.alone
		switch {
		case next == nil:
			return
		case point < 0: // what was felt pulls otherwise from here
		case next == p.stand && point == p.point:
			if rate, thin = c.turn(p); rate == (heading{}) {
				return
			}
		default:
			if !c.exchange(p, at, rate, room, next, point) {
				return
			}
		}
	}
}

// goOn adds a piece and goes to its end. It returns what the metal and what was read take off the logarithm there.
func (c *chain) goOn(v piece) (less float64) {
	v.slope = floats.Dot(c.w, c.way) - floats.Dot(c.g.q, c.step)
	v.curve = max(0, floats.Dot(c.w, c.step)) // below 0 by rounding alone
	less = v.long * (v.slope + v.long*v.curve/2)
	for _, d := range c.stands {
		d.pullOn(&v)
		d.advance(v.long)
	}
	c.pieces = append(c.pieces, v)
	floats.AddScaled(c.way, v.long, c.step)
	return less
}

// exchange lets a point of a state touch or go, and others with it where several do at once; not
// when there is no contact beyond.
func (c *chain) exchange(p *path, at, rate heading, room float64, d *stand, point int) bool {
	d.way.On[point] = !d.way.On[point]
	if c.head(p, rate, d) && !d.falls(point, room) {
		return true
	}
	floats.AddScaledTo(c.trial, c.z, at.along, p.dz)
	if p.height >= 0 {
		c.trial[p.height] += at.alone
	}
	d.built(c.m, c.trial)
	if d.problem.Solve(d.load, &d.way) != nil {
		return false
	}
	return c.head(p, rate, d)
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

// setOut heads a path one way: forwards is up for a hinge that hangs.
func (c *chain) setOut(p *path, sign float64) (rate heading, thin float64) {
	if p.height < 0 || p.stand.at.On[p.point] {
		rate = heading{along: sign}
		c.head(p, rate, nil)
		return rate, 0
	}
	thin = c.thinness(p)
	rate = heading{alone: sign}
	c.head(p, rate, nil)
	return rate, thin
}

// thinness returns the logarithm of the time that one deviation of the hinge's height
// takes while it hangs. Time is what the density is drawn by: as it opens as fast as it did
// along the direction, as much time passes through every place where it lets go as
// comes to it.
func (c *chain) thinness(p *path) float64 {
	c.head(p, heading{along: 1}, nil)
	opens := math.Abs(p.stand.step.Gap[p.point])
	if opens < 1e-9*c.m.sd[p.height] {
		return 0
	}
	return math.Log(c.m.sd[p.height] / opens)
}

// turn takes a path around its hinge, which lets go or touches; nowhere when the direction
// does not part them.
func (c *chain) turn(p *path) (heading, float64) {
	on := &p.stand.way.On[p.point]
	if *on {
		*on = false
		thin := c.thinness(p)
		rate := heading{alone: -1}
		c.head(p, rate, nil)
		return rate, thin
	}
	c.head(p, heading{along: 1}, nil)
	opens := p.stand.step.Gap[p.point]
	if math.Abs(opens) < 1e-9*c.m.sd[p.height] {
		return heading{}, 0
	}
	*on = true
	rate := heading{along: -math.Copysign(1, opens)}
	c.head(p, rate, nil)
	return rate, 0
}

// head finds how states and features change along a path: of one state, or of all; not where
// the contact of one cannot balance it.
func (c *chain) head(p *path, rate heading, only *stand) (ok bool) {
	m := c.m
	ok = true
	if only == nil {
		floats.ScaleTo(c.trial, rate.along, p.dz)
		if p.height >= 0 {
			c.trial[p.height] += rate.alone
		}
		clear(c.step)
		for i, h := range m.heat {
			c.step[featHeat+i] = m.sd[h] * c.trial[h]
		}
	}
	for _, d := range c.stands {
		if d.frozen || only != nil && d != only || only == nil && !d.respond(m, c.trial) {
			continue
		}
		ok = d.glue(&d.way) && ok
		d.put(d.step.Force, c.phi, c.step)
	}
	c.g.times(c.step, c.w)
	c.features += float64(len(c.step) * len(c.step))
	return ok
}

// leave begins a path where the state stands.
func (d *stand) leave() {
	if d.frozen {
		return
	}
	d.way.Force = append(d.way.Force[:0], d.at.Force...)
	d.way.Gap = append(d.way.Gap[:0], d.at.Gap...)
	d.way.On = append(d.way.On[:0], d.at.On...)
}

// What a path may take from a gap, m, and from a force, of the mean load, and no contact changes for it: rounding alone.
const (
	slightGap   = 1e-13
	slightForce = 1e-10
)

// until returns how far it is until a point of the state touches or lets go, and which,
// or until a foot's load passes where what was felt changes, −1; most when farther.
func (d *stand) until(most float64) (long float64, point int) {
	long, point = most, -1
	if !d.moves {
		return long, point
	}
	for i := range d.way.On {
		if d.falls(i, most) {
			have, rate := d.parting(i)
			if l := max(have, 0) / -rate; l < long {
				long, point = l, i
			}
		}
	}
	for i := range d.pulls {
		if p := &d.pulls[i]; p.under {
			have, _ := d.foot(p.foot, &d.way)
			rate, _ := d.foot(p.foot, &d.step)
			if l := (p.at - have) / rate; l > 0 && l < long {
				long, point = l, -1
			}
		}
	}
	return long, point
}

// parting returns what keeps the contact of a point as it is, force or gap, and how it changes.
func (d *stand) parting(i int) (have, rate float64) {
	if d.way.On[i] {
		return d.way.Force[i], d.step.Force[i]
	}
	return d.way.Gap[i], d.step.Gap[i]
}

// falls tells whether that gets less on a path so long.
func (d *stand) falls(i int, long float64) bool {
	slight := slightGap
	if d.way.On[i] {
		if d.points[i].Held {
			return false
		}
		slight = slightForce * d.mean
	}
	_, rate := d.parting(i)
	return rate*long < -slight
}

// advance goes on along a path while the contact stays.
func (d *stand) advance(long float64) {
	if d.moves {
		floats.AddScaled(d.way.Force, long, d.step.Force)
		floats.AddScaled(d.way.Gap, long, d.step.Gap)
	}
}

// pullOn adds what was felt to a piece.
func (d *stand) pullOn(p *piece) {
	for i := range d.pulls {
		q := &d.pulls[i]
		v, r := q.of(d.foot(q.foot, &d.way)), 0.0
		if d.moves {
			r = q.of(d.foot(q.foot, &d.step))
		}
		if q.under && v+r*p.long/2 > q.at {
			continue
		}
		v, r = (v-q.at)/q.sd, r/q.sd
		p.log -= v * v / 2
		p.slope += v * r
		p.curve += r * r
	}
}

// goTo moves z and the states along a path; it stays where it is when one of these has no contact there.
func (c *chain) goTo(p *path, by heading) {
	m := c.m
	floats.ScaleTo(c.trial, by.along, p.dz)
	if p.height >= 0 {
		c.trial[p.height] += by.alone
	}
	floats.Add(c.z, c.trial)
	for _, d := range c.stands {
		if d.frozen || !d.respond(m, c.trial) {
			continue
		}
		d.leave()
		d.built(m, c.z)
		if d.problem.Solve(d.load, &d.way) != nil {
			floats.Sub(c.z, c.trial)
			return
		}
	}
	for i, h := range m.heat {
		c.phi[featHeat+i] = m.value(c.z, h)
	}
	for _, d := range c.stands {
		if d.moves {
			d.at, d.way = d.way, d.at
			d.put(d.at.Force, c.phi, c.phi)
		}
	}
}
