// Package sample works a figure out for each of many draws, side by side, and says what it is over all of them.
package sample

import (
	"cmp"
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
)

// Each does something for every one of n, by so many workers, 0: as many as there are processors; the
// error is the first in their order.
func Each(n, workers int, do func(i int) error) error {
	errs := make([]error, n)
	var wg sync.WaitGroup
	var next atomic.Int64
	for range min(n, cmp.Or(workers, runtime.GOMAXPROCS(0))) {
		wg.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				errs[i] = do(i)
			}
		})
	}
	wg.Wait()
	return cmp.Or(errs...)
}

// Quantile interpolates between the sorted values at i/(n + 1): the share of the kind, one
// more included, that lies below the i-th of n, whatever their distribution (S. S. Wilks,
// Ann. Math. Statist. 12 (1941) 91–96). All that is said of draws is said by it.
func Quantile(sorted []float64, q float64) float64 {
	if len(sorted) == 1 {
		return sorted[0]
	}
	t := q*float64(len(sorted)+1) - 1
	i := min(max(int(math.Floor(t)), 0), len(sorted)-2)
	return sorted[i] + min(max(t-float64(i), 0), 1)*(sorted[i+1]-sorted[i])
}

// Range is the median over draws and the ends of 95 % of them.
type Range struct{ Value, Low, High float64 }

// RangeOf returns that of values, which it leaves as they are.
func RangeOf(v []float64) Range {
	s := slices.Clone(v)
	slices.Sort(s)
	return Range{Quantile(s, 0.5), Quantile(s, 0.025), Quantile(s, 0.975)}
}

// Median returns that of values, which it leaves as they are.
func Median(v []float64) float64 {
	s := slices.Clone(v)
	slices.Sort(s)
	return Quantile(s, 0.5)
}
