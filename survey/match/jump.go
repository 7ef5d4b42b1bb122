package match

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
)

// component is a Gaussian about draws: its mean, and the Cholesky factor L of its curvature.
type component struct {
	mean, white []float64
	deep        float64 // logarithm of the factor's determinant
}

const (
	glance = 100 // sweeps of each chain until it is seen whether they lie apart
	apart  = 1.2 // R̂ from which they do: of 60 jobs in all 11 that did not settle, and in two that were slow
	abouts = 4   // draws of each chain about which there are components
	jumps  = 4   // of a sweep: the least size of seven jobs that did not settle goes from 25 to 192 in the geometric mean, with 8 to 193
)

// lieApart tells whether chains lie apart, by the R̂ of any quantity [quantity][chain][draw] over their halves.
func lieApart(list [][][]float64) bool {
	return slices.ContainsFunc(list, func(v [][]float64) bool { return plainRhat(split(v)) > apart })
}

// mix gives all chains components about draws of each of them.
func mix(all []*chain, list [][]*point) {
	var met []*component
	for i, c := range all {
		for k := range abouts {
			if one := c.about(list[i][(k+1)*len(list[i])/abouts-1], list[i]); one != nil {
				met = append(met, one)
			}
		}
		c.evaluate(c.z)
	}
	for _, c := range all {
		c.mixture = met
	}
}

// about returns a component of the curvature at a draw, about the mean of those of its chain in which the same feet carry: a
// step of least squares often leads to where others would, where next to no bed lies. It is nil where there is no factor.
func (c *chain) about(p *point, list []*point) *component {
	c.evaluate(p.z)
	t := c.tangentAt(p.z)
	k := &component{mean: make([]float64, len(p.z)), white: t.factor(), deep: t.deep()}
	if k.white == nil {
		return nil
	}
	like := 0.0
	for _, q := range list {
		if slices.EqualFunc(p.bed.loads, q.bed.loads, func(a, b float64) bool { return (a > 0) == (b > 0) }) {
			floats.Add(k.mean, q.z)
			like++
		}
	}
	floats.Scale(1/like, k.mean)
	return k
}

// whiten fills in w = Lᵀ(z − mean).
func (k *component) whiten(z, w []float64) {
	n := len(z)
	clear(w)
	for i := range n {
		floats.AddScaled(w[:i+1], z[i]-k.mean[i], k.white[i*n:i*n+i+1])
	}
}

// weigh returns logarithms of the densities of all components at a place, less what is the same for all, and of their sum.
func (c *chain) weigh(z []float64) (logs []float64, sum float64) {
	for _, k := range c.mixture {
		k.whiten(z, c.dz)
		logs = append(logs, k.deep-floats.Dot(c.dz, c.dz)/2)
	}
	c.spent += float64(len(logs) * len(z) * len(z))
	return logs, floats.LogSumExp(logs)
}

// jump carries the chain, so many times, from where it lies about one component, drawn by their densities there, to where
// it would lie likewise about another, as doc.go says (H. Tjelmeland and B. K. Hegstad, Mode jumping proposals in MCMC,
// Scandinavian Journal of Statistics 28 (2001) 205–223, from memory).
func (c *chain) jump(times int) {
	now, before := c.weigh(c.z)
	for range times {
		u, from := c.rng.Float64(), 0
		for ; from < len(now)-1; from++ {
			if u -= math.Exp(now[from] - before); u < 0 {
				break
			}
		}
		to := c.rng.IntN(len(now) - 1)
		if to >= from {
			to++
		}
		c.mixture[from].whiten(c.z, c.dz)
		lowerT(c.mixture[to].white, len(c.dz), c.dz)
		floats.AddTo(c.trial, c.mixture[to].mean, c.dz)
		then, after := c.weigh(c.trial)
		if c.met = c.evaluate(c.trial); c.met-after > c.log-before-c.rng.ExpFloat64() {
			c.settle()
			now, before = then, after
		}
	}
}
