package match

import (
	"cmp"
	"errors"
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/floats"
)

var (
	errNothing   = errors.New("no way was surveyed in this standing: measure one first")
	errUnsettled = errors.New("the contact between bed and feet could not be settled")
)

const (
	chains = 4
	heats  = 12    // sweeps, in which what was read comes to say all
	faint  = 1e-3  // of it, in the first
	warmUp = 40    // sweeps then
	first  = 200   // sweeps of each chain until the draws are looked at first
	fewest = 50    // whatever they cost
	most   = 500   // for each foot, of eight at least, when nothing else is asked for
	enough = 5.8e6 // of work for all chains and the cube of the feet, of eight at least, which take three to four seconds of one processor
	utmost = 1e10  // of work
)

// point is a state of a chain worth keeping.
type point struct {
	z, amp, phi []float64
	metal       [][]float64 // of each form, amplitudes of its waves, drawn
	bed         bed
}

// anneal brings a chain from far out to where it lies for what was read, which says little at first and then more and
// more: else it may be caught where the bed lies otherwise and fits badly (S. Kirkpatrick, C. D. Gelatt and M. P. Vecchi,
// Optimization by simulated annealing, Science 220 (1983) 671–680).
func (c *chain) anneal() {
	c.lifts, c.pairs = make([][]path, len(c.m.hinges)), nil
	for i := range heats {
		c.heed = math.Pow(faint, 1-float64(i)/heats)
		c.with(c.amp)
		c.evaluate(c.z)
		c.setWhite([]tangent{c.tangentAt(c.z)})
		if i == 0 {
			c.scatter()
		}
		copy(c.center, c.z)
		c.log = c.evaluate(c.z)
		c.sweep()
	}
	c.heed = 1
	c.with(c.amp)
	c.log = c.evaluate(c.z)
}

// warm brings a chain to where it forgets how it began, and learns
// the conjugate directions: from the mean curvature over the later points met, every other one. It returns about how much of the posterior
// lies there, the mean over these of log density and logarithm of the volume that the curvature leaves.
func (c *chain) warm() (mass float64) {
	copy(c.center, c.z)
	c.evaluate(c.z)
	start := c.tangentAt(c.z)
	c.turnTo([]tangent{start})
	c.learn(start)
	var met []tangent
	mean := make([]float64, len(c.z))
	count, seen := 0.0, 0.0
	c.late = nil
	for i := range warmUp {
		c.sweep()
		if i < 10 {
			c.amplify(amplitudes)
		}
		last := i == warmUp-1
		if i >= 3 && i%2 == 0 || last {
			c.log = c.evaluate(c.z)
			t := c.tangentAt(c.z)
			c.learn(t)
			met = append(met, t)
			floats.Add(mean, c.z)
			count++
			if i >= warmUp/2 {
				mass += c.log - t.deep()
				seen++
			}
		}
		if i >= warmUp/2 {
			c.late = append(c.late, c.z[c.m.bend+2])
		}
		if i == 6 || i == 14 || last {
			floats.ScaleTo(c.center, 1/count, mean)
			c.turnTo(met)
			met = met[len(met)/2:]
		}
	}
	return mass / seen
}

// caught is by how much less of the posterior lies about one chain than about another where it would come upon none of
// some thousand draws: the logarithm, with what that is known to.
const caught = 10.0

// free warms up again, where the best of them lies, chains that were caught where next to no bed does (as populations are
// resampled while they are annealed: K. Hukushima and Y. Iba, Population annealing and its application to a spin glass, AIP
// Conference Proceedings 690 (2003) 200–206).
func free(all []*chain, mass []float64) {
	var wg sync.WaitGroup
	best := 0
	for i, v := range mass {
		if v > mass[best] {
			best = i
		}
	}
	z, amp := slices.Clone(all[best].z), slices.Clone(all[best].amp)
	for i, c := range all {
		if mass[i] < mass[best]-caught {
			wg.Go(func() {
				copy(c.z, z)
				c.with(amp)
				c.lifts, c.pairs = make([][]path, len(c.m.hinges)), nil
				c.warm()
			})
		}
	}
	wg.Wait()
}

// turnTo takes directions from the points met, and of hinges from the later of them.
func (c *chain) turnTo(met []tangent) {
	c.setWhite(met)
	for k, l := range c.lifts {
		c.lifts[k] = l[len(l)/2:]
	}
	c.pairs = c.pairs[len(c.pairs)/2:]
	c.log = c.evaluate(c.z)
	c.least = c.log - deepest
}

// scatter begins about twice as far out as the draws will lie.
func (c *chain) scatter() {
	for k := range c.dz {
		c.dz[k] = 2 * c.rng.NormFloat64()
	}
	lowerT(c.white, len(c.dz), c.dz)
	floats.AddTo(c.trial, c.z, c.dz)
	for math.IsInf(c.evaluate(c.trial), -1) {
		floats.Add(c.trial, c.z)
		floats.Scale(0.5, c.trial)
	}
	copy(c.z, c.trial)
}

// setWhite factors the mean curvature, prior and all. It only gives directions: where rounding
// leaves it without a factor its diagonal is raised.
func (c *chain) setWhite(met []tangent) {
	n := len(c.z)
	mean := make([]float64, n*n)
	for _, t := range met {
		floats.AddScaled(mean, 1/float64(len(met)), t.curve)
	}
	for raise := 1e-12; ; raise *= 10 {
		c.white = slices.Clone(mean)
		for k := range n {
			c.white[k*n+k] = (1+raise)*mean[k*n+k] + 1
		}
		if cholesky(c.white, n) {
			return
		}
	}
}

// keep returns the point where the chain is, with the metal drawn.
func (c *chain) keep() *point {
	p := &point{z: append([]float64(nil), c.z...), amp: append([]float64(nil), c.amp...), phi: append([]float64(nil), c.phi...)}
	for i := range c.sums.forms {
		t := &c.g.metal[i]
		n := len(t.dev)
		a := make([]float64, n)
		c.sums.forms[i].left(c.phi, a)
		floats.Mul(a, t.dev)
		lower(t.l, n, a)
		for k := range a {
			a[k] += c.rng.NormFloat64()
		}
		lowerT(t.l, n, a)
		floats.Mul(a, t.dev)
		p.metal = append(p.metal, a)
	}
	p.bed = c.bed(p)
	c.spent += perDraw * float64(len(c.z))
	return p
}

// begin returns the chains warmed up.
func (m *model) begin(s *sums) (all [chains]*chain, err error) {
	for i := range all {
		all[i] = m.newChain(s, m.in.Seed, uint64(i))
	}
	if math.IsInf(all[0].evaluate(all[0].z), -1) {
		return all, m.whyNot()
	}
	var wg sync.WaitGroup
	mass := make([]float64, chains)
	for i, c := range all {
		wg.Go(func() {
			c.anneal()
			mass[i] = c.warm()
		})
	}
	wg.Wait()
	free(all[:], mass)
	m.pool(all[:])
	return all, nil
}

// sample runs the chains until every reported quantity is settled, or the budget is spent.
func (m *model) sample(s *sums) (list [chains][]*point, d diagnosis, err error) {
	all, err := m.begin(s)
	if err != nil {
		return list, d, err
	}
	worst, done, more := 0, 0, max(fewest, min(first, m.room(all, 0)))
	if more == first {
		run(all, &list, glance)
		done = glance
		if more -= glance; lieApart(m.quantities(list)) {
			mix(all[:], list[:])
			clear(list[:])
			more = max(fewest, min(first, m.room(all, done)))
		}
	}
	for more > 0 {
		run(all, &list, more)
		done += more
		room := m.room(all, done)
		if d = diagnose(m.quantities(list), room <= 0, &worst); d.settled() {
			break
		}
		more = min(d.more(len(list[0])), room)
	}
	return list, d, nil
}

// run sweeps each chain so many times more.
func run(all [chains]*chain, list *[chains][]*point, more int) {
	var wg sync.WaitGroup
	for i, c := range all {
		wg.Go(func() {
			for range more {
				c.sweep()
				list[i] = append(list[i], c.keep())
			}
		})
	}
	wg.Wait()
}

// room returns how many sweeps more each chain may have after so many.
func (m *model) room(all [chains]*chain, done int) int {
	if m.in.Sweeps > 0 {
		return m.in.Sweeps - done
	}
	spent := 0.0
	for _, c := range all {
		spent += c.work()
	}
	each := spent / float64(done+heats+warmUp)
	feet := max(8, len(m.heights))
	return min(most*feet-done, int((min(utmost, enough*float64(feet*feet*feet))*cmp.Or(m.in.Work, 1)-spent)/each))
}

// whyNot returns the error of the bed as given.
func (m *model) whyNot() error {
	for _, s := range m.states {
		if _, err := m.in.Standings[s.standing].Solver.Solve(s.load); err != nil {
			return err
		}
	}
	return errUnsettled
}
