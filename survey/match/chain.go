package match

import (
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// chain draws from the posterior. Where it is: z, the amplitudes, and all that follows.
type chain struct {
	m      *model
	sums   *sums
	g      marginal // for the amplitudes
	rng    *rand.Rand
	z, phi []float64
	amp    []float64
	stands []*stand
	heed   float64   // what share of what was read counts: all, but while it warms up
	log    float64   // of the density at z, for the amplitudes
	met    float64   // of that where it was asked for last
	least  float64   // of that where a path goes on beyond a change of contact
	soft   []float64 // one over the factor of each foot's stiffness there, by its height

	white        []float64 // Cholesky factor of the mean curvature met while warming up
	center       []float64 // mean of z then
	late         []float64 // f met in the later half of that
	mid, wide    []float64 // of the ellipses of stiffnesses: of their prior, or about what all chains met
	trial        []float64 // scratch, as what follows
	dz           []float64
	step, w, way []float64 // of features
	out          start
	pieces       []piece
	metal        metal
	resid        [][]float64
	lifts        [][]path     // [hinge]
	pairs        []path       // of two hinges side by side
	mixture      []*component // to jump between: none where chains do not lie apart
	points       float64      // of all states that are not frozen
	spent        float64      // work on all but contact
}

// What there is to do besides multiplying, in multiplications: fitted to the time that fourteen jobs
// of all kinds took, 0.6 to 1.1 ns for one.
const (
	perState = 2500 // each time the bed is stood up
	perPiece = 1000 // of a path
	perPoint = 60   // of a state, on each piece
	perEntry = 5    // of a triangle that a vector is solved by
	perDraw  = 2000 // kept, for each unknown: it is ranked among the others
)

// work is what was done so far, about in multiplications: budgets are counted, not clocked.
func (c *chain) work() float64 {
	sum := c.spent
	for _, d := range c.stands {
		if sum += d.laid.problem.Work; d.gives {
			sum += d.problem.Work
		}
	}
	return sum
}

func (m *model) newChain(s *sums, seed, number uint64) *chain {
	n, d := len(m.mean), m.feats
	c := &chain{m: m, sums: s, rng: rand.New(rand.NewPCG(seed, number)), z: make([]float64, n), phi: make([]float64, d),
		amp: usual(), heed: 1, trial: make([]float64, n), soft: make([]float64, m.linear), dz: make([]float64, n),
		step: make([]float64, d), way: make([]float64, d), w: make([]float64, d), center: make([]float64, n), least: math.Inf(-1),
		mid: make([]float64, n), wide: slices.Repeat([]float64{1}, n)}
	for _, st := range m.states {
		d := newStand(st, c.stands)
		c.stands = append(c.stands, d)
		if !d.frozen {
			c.points += float64(len(d.points))
		}
	}
	k := m.waves()
	c.metal = metal{dev: make([]float64, k), l: make([]float64, k*k)}
	for range m.forms {
		c.resid = append(c.resid, make([]float64, k))
	}
	c.with(c.amp)
	return c
}

// with gives the metal other amplitudes.
func (c *chain) with(amp []float64) {
	copy(c.amp, amp)
	c.m.eliminate(c.sums, c.amp, &c.g)
	if c.heed != 1 {
		c.g.scale(c.heed)
	}
}

// evaluate stands the bed up at z and returns the logarithm of the posterior density
// there; −Inf where it cannot stand.
func (c *chain) evaluate(z []float64) float64 {
	m := c.m
	b, t := m.factor(z, m.bend), m.factor(z, m.bend+1)
	c.phi[featBend], c.phi[featTwist], c.phi[featOne] = 1/b, 1/t, 1
	c.phi[featLogBend], c.phi[featLogTwist] = math.Log(b), math.Log(t)
	for i, h := range m.heat {
		c.phi[featHeat+i] = m.value(z, h)
	}
	m.soften(z, c.soft)
	log := -floats.Dot(z, z) / 2
	for _, d := range c.stands {
		if d.frozen {
			continue
		}
		if d.gives {
			d.comply(1/b, 1/t, d.problem.Refill(), func(i int) float64 { return d.give(m, c.soft, i) })
		}
		d.built(m, z, 1/b, 1/t)
		if d.problem.Solve(d.load, &d.at) != nil {
			return math.Inf(-1)
		}
		d.put(d.at.Force, c.phi, c.phi)
		log += d.feel()
	}
	c.spent += float64(len(c.phi)*len(c.phi)) + perState
	return log + c.g.log(c.phi)
}

// feel returns the logarithm of what was felt in a state.
func (d *stand) feel() (log float64) {
	for _, p := range d.pulls {
		log += p.log(d.foot(p.foot, &d.at))
	}
	return log
}

// sweep draws everything once.
func (c *chain) sweep() {
	m := c.m
	for h := range m.hinges {
		c.hinged(h)
	}
	if n := len(c.pairs); n > 0 {
		c.line(c.pairs[c.rng.IntN(n)])
	}
	for k := range m.linear {
		c.column(k)
		c.line(path{dz: c.dz})
	}
	if len(c.mixture) > 1 {
		c.jump(jumps)
	}
	c.log = c.evaluate(c.z)
	for k := m.bend; k < m.bend+2; k++ {
		c.column(k)
		c.slice(3)
		c.stiffen(k, k+1)
	}
	for range ellipses {
		c.ellipse(m.bend)
	}
	for range softens {
		c.stiffen(m.bend+2, len(c.z))
	}
	if c.rng.IntN(2) == 0 {
		c.amplify(1)
	}
}

const (
	windowWidth = 12 // deviations of the mean curvature
	ellipses    = 2
	softens     = 3
	deepest     = 20 // logarithm of the density about the end of the warm-up for one where a path still goes on; at 60 a draw costs an eighth more for the same size
)

// column fills c.dz with column k of L⁻ᵀ: it moves unknown k, and those before it so
// that what was read changes least.
func (c *chain) column(k int) {
	clear(c.dz)
	c.dz[k] = 1
	n := len(c.dz)
	lowerT(c.white, n, c.dz)
	c.spent += perEntry * float64((k+1)*(k+1)) / 2
}

// slice draws along c.dz.
func (c *chain) slice(width float64) {
	slice(c.rng, 0, c.log, width, c.along)
	c.settle()
}

func (c *chain) along(t float64) float64 {
	floats.AddScaledTo(c.trial, c.z, t, c.dz)
	c.met = c.evaluate(c.trial)
	return c.met
}

// ellipse draws the unknowns from first on together, on an ellipse through where it is
// and a draw from their Gaussian met while warming up: the density is that Gaussian times
// the rest.
func (c *chain) ellipse(first int) {
	n := len(c.z)
	at, to := make([]float64, n-first), make([]float64, n-first)
	rest := 0.0
	for k := first; k < n; k++ { // w = Lᵀ(z − center)
		for i := k; i < n; i++ {
			at[k-first] += c.white[i*n+k] * (c.z[i] - c.center[i])
		}
		to[k-first] = c.rng.NormFloat64()
		rest += square(at[k-first]) / 2
	}
	c.rotate(c.log+rest, func(cos, sin float64) float64 {
		clear(c.dz)
		rest = 0
		for k := range at {
			w := at[k]*cos + to[k]*sin
			rest += w * w / 2
			c.dz[first+k] = w - at[k]
		}
		lowerT(c.white, n, c.dz)
		c.spent += perEntry * float64(n*n) / 2
		return c.along(1) + rest
	})
	c.settle()
}

// rotate draws an angle of an ellipse by the density that at returns there, now where the
// angle is nothing (I. Murray, R. P. Adams and D. J. C. MacKay, Elliptical slice sampling,
// AISTATS 2010). The chain then is where at was asked for last.
func (c *chain) rotate(now float64, at func(cos, sin float64) float64) {
	level := now - c.rng.ExpFloat64()
	angle := 2 * math.Pi * c.rng.Float64()
	lo, hi := angle-2*math.Pi, angle
	for at(math.Cos(angle), math.Sin(angle)) < level && hi-lo > 1e-9 {
		if angle < 0 {
			lo = angle
		} else {
			hi = angle
		}
		angle = lo + (hi-lo)*c.rng.Float64()
	}
}

// settle goes to where the density was asked for last.
func (c *chain) settle() { c.z, c.trial, c.log = c.trial, c.z, c.met }

// amplify draws amplitudes of the metal one after another, with the metal integrated out.
func (c *chain) amplify(times int) {
	for i := range c.sums.forms {
		c.sums.forms[i].left(c.phi, c.resid[i])
	}
	before := c.metalLog()
	log := before
	for range times {
		i := c.rng.IntN(amplitudes)
		is, other := c.amp[i]-math.Log(shortMedian), shortSD*c.rng.NormFloat64()
		c.rotate(log, func(cos, sin float64) float64 {
			c.amp[i] = math.Log(shortMedian) + is*cos + other*sin
			log = c.metalLog()
			return log
		})
	}
	c.log += log - before
	c.with(c.amp)
	w, d := float64(c.m.waves()), float64(c.m.feats)
	for i := range c.sums.forms {
		f := &c.sums.forms[i]
		c.spent += f.terms + f.cells*d + w*d*d/2
	}
}

// slice draws from a density of which log is the logarithm, now where it stands (R. M. Neal,
// Slice sampling, Annals of Statistics 31 (2003) 705–767, figures 3 and 5). What log was
// last asked for is the draw.
func slice(r *rand.Rand, at, now, width float64, log func(float64) float64) {
	if math.IsInf(now, -1) { // no contact is found again: it stays
		log(at)
		return
	}
	level := now - r.ExpFloat64()
	if math.IsNaN(level) {
		panic("match: a slice without a density")
	}
	lo := at - width*r.Float64()
	hi := lo + width
	for log(lo) > level {
		lo -= width
	}
	for log(hi) > level {
		hi += width
	}
	for to := lo + (hi-lo)*r.Float64(); log(to) < level; to = lo + (hi-lo)*r.Float64() {
		switch {
		case hi-lo < 1e-9:
			log(at)
			return
		case to < at:
			lo = to
		default:
			hi = to
		}
	}
}

// metalLog returns what of the likelihood at c.phi depends on the amplitudes.
func (c *chain) metalLog() (log float64) {
	t, n := &c.metal, len(c.metal.dev)
	for i := range c.sums.forms {
		c.spent += c.sums.forms[i].terms + 2*float64(n*n)
		c.m.variances(c.amp, t.dev)
		det := t.factor(&c.sums.forms[i], n)
		if math.IsInf(det, 1) {
			return math.Inf(-1)
		}
		log -= det / 2
		y := c.g.column
		floats.MulTo(y, t.dev, c.resid[i])
		lower(t.l, n, y)
		log += floats.Dot(y, y) / 2
	}
	return log * c.heed
}
