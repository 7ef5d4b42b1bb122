package survey

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"
)

// gain returns a warning when one run follows the others in form but not in
// scale or sign, and putting that right leaves clearly less than the scatter
// that events leave: on a way that is an arc, a drift and a scale look alike.
// The scale is that of a straight line with noise in both (Deming's), trusted
// only where the form stands well above the noise.
func gain(runs []Run, scatter float64) (found *Warning) {
	n, least := len(runs[0].Values), 0.7*scatter
	for r, run := range runs {
		if n < 4 || len(runs) == 2 && r == 0 {
			continue
		}
		rest := average(slices.Delete(slices.Clone(runs), r, r+1))
		g, rho := deming(rest, run.Values, float64(len(runs)-1))
		doubt := math.Sqrt((1 - rho*rho) / float64(n-2))
		if !(math.Abs(rho) > 0.9) || g > 0 && math.Abs(math.Log(g)) < max(0.1, 3*doubt) {
			continue
		}
		left, _ := parted(with(runs, r, func(v []float64) { floats.Scale(1/g, v) })).scatter(nil)
		if left *= math.Sqrt(math.Abs(g)); !(left < least) {
			continue
		}
		least = left
		found = &Warning{Kind: OtherScale, Run: run.Name, Than: other(runs), Size: g}
		if g < 0 {
			found.Kind = TurnedSign
		}
	}
	return found
}

// with returns the runs with one of them changed.
func with(runs []Run, r int, change func([]float64)) []Run {
	runs = slices.Clone(runs)
	runs[r].Values = slices.Clone(runs[r].Values)
	change(runs[r].Values)
	return runs
}

// other names what a run is compared with: the first of two.
func other(runs []Run) string {
	if len(runs) == 2 {
		return runs[0].Name
	}
	return ""
}

// deming returns the slope of y on x and their correlation when the noise of y
// has ratio times the variance of that of x.
func deming(x, y []float64, ratio float64) (slope, rho float64) {
	sxx, syy, sxy := stat.Variance(x, nil), stat.Variance(y, nil), stat.Covariance(x, y, nil)
	d := syy - ratio*sxx
	return (d + math.Sqrt(d*d+4*ratio*sxy*sxy)) / (2 * sxy), sxy / math.Sqrt(sxx*syy)
}
