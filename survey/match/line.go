package match

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mathext"
)

// piece is a stretch of a line on which no contact changes: from t on for long, the
// logarithm of the density is log − slope·s − ½·curve·s², s from its beginning.
type piece struct{ t, long, log, slope, curve float64 }

// mostPieces ends a line that meets too many contacts; no bed has needed it.
const mostPieces = 1000

// line draws exactly from the density along direction dz of the linear unknowns. Forces
// follow them in straight pieces, as contacts change, so the density is a Gaussian on
// each piece: one piece is drawn by its mass, and a place on it from the Gaussian between
// its ends. It is drawn within a window of the given width that lies by chance about
// where it is, so that the way back is as likely; width 0: as far as the prior reaches.
func (c *chain) line(dz []float64, width float64) {
	dd := floats.Dot(dz, dz)
	zd := floats.Dot(c.z, dz)
	lo, hi := -zd/dd-9/math.Sqrt(dd), -zd/dd+9/math.Sqrt(dd)
	if width > 0 {
		lo = -width * c.rng.Float64()
		hi = lo + width
	}
	active := c.begin(dz, lo)
	if active == nil {
		return
	}
	c.walk(active, lo, hi)
	zz := floats.Dot(c.z, c.z)
	most := math.Inf(-1)
	for i := range c.pieces { // with the prior
		p := &c.pieces[i]
		p.log -= (zz + 2*p.t*zd + p.t*p.t*dd) / 2
		p.slope += zd + p.t*dd
		p.curve += dd
		most = max(most, p.logMass())
	}
	sum := 0.0
	for i := range c.pieces {
		sum += math.Exp(c.pieces[i].logMass() - most)
	}
	u, k := c.rng.Float64()*sum, 0
	for ; k < len(c.pieces)-1; k++ {
		if u -= math.Exp(c.pieces[k].logMass() - most); u < 0 {
			break
		}
	}
	c.goTo(active, dz, c.pieces[k].t+c.pieces[k].draw(c.rng))
}

// begin stands the states that a direction changes at its beginning; nil when it changes
// none, which cannot be but for an unknown that nothing was measured of.
func (c *chain) begin(dz []float64, lo float64) (active []*stand) {
	m := c.m
	clear(c.step)
	for i, h := range m.heat {
		c.step[featHeat+i] = m.sd[h] * dz[h]
		c.phi[featHeat+i] += lo * c.step[featHeat+i]
	}
	b, t := m.factor(c.z, m.bend), m.factor(c.z, m.bend+1)
	active = c.active[:0]
	for _, d := range c.stands {
		if d.frozen || !d.respond(m, dz) {
			continue
		}
		floats.AddScaled(d.load.Built, lo, d.change.Built)
		if err := d.problem.Solve(d.load, &d.at); err != nil {
			panic(err) // balance does not depend on heights
		}
		d.glue()
		d.put(d.at.Force, b, t, c.phi)
		d.put(d.step.Force, b, t, c.step)
		active = append(active, d)
	}
	c.active = active
	return active
}

// walk fills in the pieces from lo to hi, without the prior.
func (c *chain) walk(active []*stand, lo, hi float64) {
	m := c.m
	b, t := m.factor(c.z, m.bend), m.factor(c.z, m.bend+1)
	c.pieces = c.pieces[:0]
	tiny := 1e-9 * (hi - lo)
	log := c.g.log(c.phi)
	c.g.times(c.step, c.w)
	for at := lo; at < hi && len(c.pieces) < mostPieces; {
		long := hi - at
		var next *stand
		point := -1
		for _, d := range active {
			if l, p := d.until(long); l < long {
				long, next, point = l, d, p
			}
		}
		long = max(long, tiny)
		p := piece{t: at, long: min(long, hi-at), log: log,
			slope: floats.Dot(c.w, c.phi) - floats.Dot(c.g.q, c.step), curve: floats.Dot(c.w, c.step)}
		log -= long * (p.slope + long*p.curve/2)
		for _, d := range active {
			d.pullOn(&p)
		}
		c.pieces = append(c.pieces, p)
		at += long
		floats.AddScaled(c.phi, long, c.step)
		for _, d := range active {
			d.advance(long)
		}
		if next == nil {
			break
		}
		if point >= 0 {
			floats.AddScaled(next.load.Built, tiny, next.change.Built)
			next.at.On[point] = !next.at.On[point]
			if err := next.problem.Solve(next.load, &next.at); err != nil {
				panic(err)
			}
			next.glue()
			next.put(next.at.Force, b, t, c.phi)
			next.put(next.step.Force, b, t, c.step)
			c.g.times(c.step, c.w)
		}
	}
}

// until returns how far it is until a point of the stand touches or lets go, and which,
// or until a foot's load passes where what was felt changes, −1; most when farther.
func (d *stand) until(most float64) (long float64, point int) {
	long, point = most, -1
	for i, on := range d.at.On {
		have, rate := d.at.Gap[i], d.step.Gap[i]
		if on {
			if d.points[i].Held {
				continue
			}
			have, rate = d.at.Force[i], d.step.Force[i]
		}
		if rate < 0 {
			if l := max(have, 0) / -rate; l < long {
				long, point = l, i
			}
		}
	}
	for _, f := range d.felt {
		for _, p := range f.pulls(d.mean) {
			if p.under {
				have, _ := d.foot(f.Foot, &d.at)
				rate, _ := d.foot(f.Foot, &d.step)
				if l := (p.at - have) / rate; l > 0 && l < long {
					long, point = l, -1
				}
			}
		}
	}
	return long, point
}

// advance goes on along the line while the contact stays.
func (d *stand) advance(long float64) {
	floats.AddScaled(d.at.Force, long, d.step.Force)
	floats.AddScaled(d.at.Gap, long, d.step.Gap)
	floats.AddScaled(d.load.Built, long, d.change.Built)
}

// pullOn adds what was felt to a piece.
func (d *stand) pullOn(p *piece) {
	for _, f := range d.felt {
		load, gap := d.foot(f.Foot, &d.at)
		dLoad, dGap := d.foot(f.Foot, &d.step)
		for _, q := range f.pulls(d.mean) {
			v, r := load, dLoad
			if q.gap {
				v, r = gap, dGap
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
}

// goTo moves z and the states along a direction.
func (c *chain) goTo(active []*stand, dz []float64, by float64) {
	m := c.m
	floats.AddScaled(c.z, by, dz)
	b, t := m.factor(c.z, m.bend), m.factor(c.z, m.bend+1)
	for i, h := range m.heat {
		c.phi[featHeat+i] = m.value(c.z, h)
	}
	for _, d := range active {
		d.built(m, c.z)
		if err := d.problem.Solve(d.load, &d.at); err != nil {
			panic(err)
		}
		d.put(d.at.Force, b, t, c.phi)
	}
}

// bounds returns a piece's ends in deviations of its Gaussian, and that deviation.
func (p *piece) bounds() (a, b, sd float64) {
	sd = 1 / math.Sqrt(p.curve)
	return p.slope * sd, (p.long + p.slope/p.curve) / sd, sd
}

// logMass returns the logarithm of the integral over a piece.
func (p *piece) logMass() float64 {
	a, b, sd := p.bounds()
	if a < 0 && b > 0 {
		return p.log + a*a/2 + math.Log(sd*math.Sqrt(2*math.Pi)) + math.Log(1-tail(-a)-tail(b))
	}
	if b <= 0 {
		a, b = -b, -a
		// the end nearest to the middle is the far one: its height, not that of the beginning
		return p.log - p.long*(p.slope+p.long*p.curve/2) + math.Log(sd) + math.Log(max(0, scaledTail(a)-math.Exp((a-b)*(a+b)/2)*scaledTail(b)))
	}
	return p.log + math.Log(sd) + math.Log(max(0, scaledTail(a)-math.Exp((a-b)*(a+b)/2)*scaledTail(b)))
}

// tail is the normal distribution's beyond x ≥ 0; scaledTail is √2π·exp(x²/2) times it.
func tail(x float64) float64 { return math.Erfc(x/math.Sqrt2) / 2 }

func scaledTail(x float64) float64 {
	if x < 20 {
		return math.Sqrt(2*math.Pi) * math.Exp(x*x/2) * tail(x)
	}
	y := 1 / (x * x) // Abramowitz and Stegun 26.2.12
	return (1 - y*(1-y*(3-15*y))) / x
}

// draw returns a place on a piece, from its beginning.
func (p *piece) draw(r *rand.Rand) float64 {
	a, b, sd := p.bounds()
	s := 0.0
	if b <= 0 {
		s = p.long - sd*(beyond(-b, -a, r)+b)
	} else {
		s = sd * (beyond(a, b, r) - a)
	}
	return min(max(s, 0), p.long)
}

// beyond draws from the unit normal distribution between a and b, b > 0: by its inverse,
// and far out by rejection from an exponential (C. P. Robert, Simulation of truncated
// normal variables, Statistics and Computing 5 (1995) 121–125).
func beyond(a, b float64, r *rand.Rand) float64 {
	if a < 5 {
		far, near := math.Erfc(b/math.Sqrt2)/2, math.Erfc(a/math.Sqrt2)/2
		return -mathext.NormalQuantile(min(max(far+(near-far)*r.Float64(), 1e-300), 1-1e-16))
	}
	for {
		x := a + r.ExpFloat64()/a
		if x < b && r.Float64() < math.Exp(-square(x-a)/2) {
			return x
		}
		if b-a < 0.5/a { // too narrow for the exponential: level on it
			x = a + (b-a)*r.Float64()
			if r.Float64() < math.Exp((a-x)*(a+x)/2) {
				return x
			}
		}
	}
}
