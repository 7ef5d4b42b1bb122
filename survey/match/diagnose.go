package match

import (
	"math"
	"slices"
	"sync"

	"footwork/internal/sample"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat"
)

// diagnosis is how well the chains agree about all that is reported: A. Vehtari,
// A. Gelman, D. Simpson, B. Carpenter and P.-C. Bürkner, Rank-normalization, folding and
// localization: an improved R̂ for assessing convergence of MCMC, Bayesian Analysis 16
// (2021) 667–718.
type diagnosis struct {
	rhat, ess float64 // the worst of each
}

const (
	rhatMost = 1.02
	essLeast = 400
)

// diagnose judges quantities over the chains, [quantity][chain][draw]: first that which was last found to be the worst,
// and the others where that one is settled, or all are asked for.
func diagnose(list [][][]float64, all bool, worst *int) diagnosis {
	judged := make([]diagnosis, len(list))
	one := func(k int) {
		judged[k] = diagnosis{rhat: 1, ess: math.Inf(1)}
		if !still(list[k]) {
			judged[k].rhat, judged[k].ess = judge(list[k])
		}
	}
	if one(*worst); !all && !judged[*worst].settled() {
		return judged[*worst]
	}
	var wg sync.WaitGroup
	for k := range list {
		if k != *worst {
			wg.Go(func() { one(k) })
		}
	}
	wg.Wait()
	d := judged[*worst]
	for k, o := range judged {
		if o.ess < judged[*worst].ess {
			*worst = k
		}
		d.rhat, d.ess = max(d.rhat, o.rhat), min(d.ess, o.ess)
	}
	return d
}

func (d diagnosis) settled() bool { return d.rhat <= rhatMost && d.ess >= essLeast }

// more returns how many draws of each chain are likely to be lacking after so many: sizes grow in proportion to them, but
// chains that do not agree yet say little.
func (d diagnosis) more(done int) int {
	part := 0.25
	if d.rhat <= rhatMost {
		part = min(max(1.05*essLeast/d.ess-1, 0.1), 0.5)
	}
	return int(math.Ceil(part * float64(done)))
}

// judge returns the greater of the rank-normalised split R̂ of a quantity and of its
// distance from the median, and the least of its effective sample sizes: for the middle,
// and for the 5 and 95 % quantiles.
func judge(v [][]float64) (rhat, ess float64) {
	h := split(v)
	z, sorted := ranked(h)
	mid := sample.Quantile(sorted, 0.5)
	folded := make([][]float64, len(h))
	for c := range h {
		for _, x := range h[c] {
			folded[c] = append(folded[c], math.Abs(x-mid))
		}
	}
	y, _ := ranked(folded)
	ess = effective(z)
	for _, q := range []float64{0.05, 0.95} {
		bar, below := sample.Quantile(sorted, q), make([][]float64, len(h))
		for c := range h {
			below[c] = make([]float64, len(h[c]))
			for i, x := range h[c] {
				if x <= bar {
					below[c][i] = 1
				}
			}
		}
		if !still(below) {
			ess = min(ess, effective(below))
		}
	}
	return max(plainRhat(z), plainRhat(y)), ess
}

// still tells whether a quantity is the same in nearly every draw (a foot that carries
// in all, a gap that is none): nothing is to be settled.
func still(v [][]float64) bool {
	first, n, same := v[0][0], 0, 0
	for _, c := range v {
		for _, x := range c {
			n++
			if x == first {
				same++
			}
		}
	}
	return same == n
}

// split halves every chain.
func split(v [][]float64) (out [][]float64) {
	for _, c := range v {
		h := len(c) / 2
		out = append(out, c[:h], c[len(c)-h:])
	}
	return out
}

// ranked replaces values by the normal quantiles of their ranks, ties by the mean rank,
// and returns them in order too.
func ranked(v [][]float64) (z [][]float64, sorted []float64) {
	sorted = slices.Concat(v...)
	slices.Sort(sorted)
	n := len(sorted)
	of := make([]float64, n) // of the first of equal values
	for from, to := 0, 0; from < n; from = to {
		for to < n && sorted[to] == sorted[from] {
			to++
		}
		of[from] = mathext.NormalQuantile((float64(from+to+1)/2 - 3./8) / (float64(n) + 1./4))
	}
	z = make([][]float64, len(v))
	for c := range v {
		for _, x := range v[c] {
			first, _ := slices.BinarySearch(sorted, x)
			z[c] = append(z[c], of[first])
		}
	}
	return z, sorted
}

func plainRhat(v [][]float64) float64 {
	within, between := spreads(v)
	n := float64(len(v[0]))
	if within == 0 {
		return 1
	}
	return math.Sqrt(((n-1)/n*within + between) / within)
}

// spreads returns the mean variance within chains and that of their means.
func spreads(v [][]float64) (within, between float64) {
	var means []float64
	for _, c := range v {
		mean, sd := stat.MeanStdDev(c, nil)
		means = append(means, mean)
		within += sd * sd / float64(len(v))
	}
	_, sd := stat.MeanStdDev(means, nil)
	return within, sd * sd
}

// effective returns the effective sample size: autocorrelations over all chains, summed
// in pairs while these are positive and falling (C. J. Geyer, Practical Markov chain
// Monte Carlo, Statistical Science 7 (1992) 473–483).
func effective(v [][]float64) float64 {
	n, m := len(v[0]), float64(len(v))
	within, between := spreads(v)
	over := float64(n-1)/float64(n)*within + between
	if over == 0 {
		return m * float64(n)
	}
	dev := make([][]float64, len(v))
	for c := range v {
		dev[c] = slices.Clone(v[c])
		floats.AddConst(-stat.Mean(v[c], nil), dev[c])
	}
	rho := func(t int) float64 {
		cov := 0.0
		for _, d := range dev {
			cov += floats.Dot(d[:n-t], d[t:]) / float64(n) / m
		}
		return 1 - (within-cov)/over
	}
	sum, before := 0.0, math.Inf(1)
	for t := 0; t+1 < n; t += 2 {
		p := rho(t) + rho(t+1)
		if p < 0 {
			break
		}
		p = min(p, before)
		sum, before = sum+p, p
	}
	s := m * float64(n)
	return s / max(2*sum-1, 1/math.Log10(s))
}
