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
	warmUp = 40  // sweeps
	first  = 200 // sweeps of each chain until the draws are looked at first
	fewest = 50  // whatever they cost
	most   = 500 // for each foot, of eight at least, when nothing else is asked for
	enough = 7e9 // of work for all chains, some five seconds of one processor
)

// point is a state of a chain worth keeping.
type point struct {
	z, amp, phi []float64
	metal       [][]float64 // of each form, amplitudes of its waves, drawn
	bed         bed
}

// warm brings a chain from a point near the maximum to where it forgets it, and learns
// the conjugate directions: from the mean curvature over the later points met.
func (c *chain) warm(start tangent, number int) {
	c.setWhite([]tangent{start})
	if number > 0 {
		c.scatter()
	}
	copy(c.center, c.z)
	c.lifts = make([][]raising, len(c.m.hinges))
	c.log = c.evaluate(c.z)
	c.learn(start)
	var met []tangent
	mean := make([]float64, len(c.z))
	count := 0.0
	for i := range warmUp {
		c.sweep()
		if i < 10 {
			for range 2 * amplitudes {
				c.amplify()
			}
		}
		if i >= 3 {
			t := c.tangentAt(c.z)
			c.learn(t)
			met = append(met, t)
			floats.Add(mean, c.z)
			count++
		}
		if i == 8 || i == 18 || i == warmUp-1 {
			floats.ScaleTo(c.center, 1/count, mean)
			c.turnTo(met)
			met = met[len(met)/2:]
		}
	}
}

// turnTo takes directions from the points met, and of hinges from the later of them.
func (c *chain) turnTo(met []tangent) {
	c.setWhite(met)
	for k, l := range c.lifts {
		c.lifts[k] = l[len(l)/2:]
	}
	c.log = c.evaluate(c.z)
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
	all[0].toMode(40)
	start := all[0].tangentAt(all[0].z)
	for _, c := range all[1:] {
		copy(c.z, all[0].z)
	}
	var wg sync.WaitGroup
	for i, c := range all {
		wg.Go(func() { c.warm(start, i) })
	}
	wg.Wait()
	return all, nil
}

// sample runs the chains until every reported quantity is settled, or the budget is spent.
func (m *model) sample(s *sums) (list [chains][]*point, d diagnosis, err error) {
	all, err := m.begin(s)
	if err != nil {
		return list, d, err
	}
	var wg sync.WaitGroup
	worst := 0
	for more := max(fewest, min(first, m.room(all, 0))); more > 0; {
		for i, c := range all {
			wg.Go(func() {
				for range more {
					c.sweep()
					list[i] = append(list[i], c.keep())
				}
			})
		}
		wg.Wait()
		done := len(list[0])
		more = min(done/4, m.room(all, done))
		if d = diagnose(m.quantities(list), more <= 0, &worst); d.settled {
			break
		}
	}
	return list, d, nil
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
	each := spent / float64(done+warmUp)
	return min(most*max(8, len(m.heights))-done, int((enough*cmp.Or(m.in.Work, 1)-spent)/each))
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
