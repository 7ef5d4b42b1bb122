package survey

import (
	"math"
	"slices"

	"footwork/beam/shape"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// typical returns the standard uncertainty of one reading where neither the
// job nor repeats tell it, rad or m. From memory, of ordinary instruments in a
// shop: a visual autocollimator reads to half a second of arc, a block level of
// 0.02 mm/m to a quarter of a division, an indicator to a micrometre.
func (s Survey) typical() float64 {
	switch s.Instrument {
	case Autocollimator:
		return 0.5 * math.Pi / 180 / 3600
	case Heights:
		return 1e-6
	default:
		return 0.02e-3 / 4
	}
}

// overstated is how many times the scatter of repeats an uncertainty may be: ten
// times is a slip of the unit and no caution.
const overstated = 10

// OneReading returns the standard uncertainty of a reading that nothing is read again
// beside, rad or m: the job's own, else the typical one.
func (s Survey) OneReading() float64 {
	if s.Uncertainty > 0 {
		return s.Uncertainty / s.fold()
	}
	return s.typical()
}

// oneReading returns the standard uncertainty of one reading and the degrees of
// freedom behind it: the job's own, unless the repeats scatter by clearly more
// (beyond the 99 % point of chi-squared); else from the repeats, but not below
// the reading's own step over √12 (JCGM 100, F.2.2.1); else the typical one.
func (s Survey) oneReading(runs []Run, c comparison) (sigma float64, free int, warnings []Warning) {
	given, step := s.Uncertainty/s.fold(), resolution(runs)
	repeated := c.free > 0 && c.sigma > 1e-6*step
	switch {
	case given > 0 && repeated && beyond(c.sigma, given, c.free):
		return c.sigma, c.free, []Warning{{Kind: Scattered, Size: c.sigma, Other: given}}
	case given > 0 && repeated && given > overstated*max(c.sigma, step/math.Sqrt(12)) && c.free > 3:
		return given, 0, []Warning{{Kind: Overstated, Size: c.sigma, Other: given}}
	case given > 0 && !repeated && copied(runs, step/given):
		return given, 0, []Warning{{Kind: CopiedRun, Size: given}}
	case given > 0:
		return given, 0, nil
	case repeated:
		return max(c.sigma, step/math.Sqrt(12)), c.free, nil
	}
	kind := AssumedNoise
	if len(runs) > 1 {
		kind = CopiedRun
	}
	sigma = max(s.typical(), step/math.Sqrt(12))
	return sigma, 0, []Warning{{Kind: kind, Size: sigma}}
}

// copied tells whether runs that agree in every digit cannot have been read, one in a
// hundred times at most, where digits are so many times the noise of a reading: two
// readings fall on one digit with the chance q/2√π, the density of their difference at 0.
func copied(runs []Run, digit float64) bool {
	rows := len(runs[0].Values) * (len(runs) - 1)
	return rows > 0 && math.Pow(min(1, digit/2/math.Sqrt(math.Pi)), float64(rows)) < 0.01
}

// beyond tells whether a scatter with so many degrees of freedom lies beyond what
// 99 in 100 show where one reading has the standard uncertainty sigma.
func beyond(scatter, sigma float64, free int) bool {
	return square(scatter/sigma)*float64(free) > distuv.ChiSquared{K: float64(free)}.Quantile(0.99)
}

// resolution returns the least difference between readings, 0 when all are one.
func resolution(runs []Run) float64 {
	var all []float64
	for _, run := range runs {
		all = append(all, run.Values...)
	}
	slices.Sort(all)
	least := 0.0
	for i := range all[1:] {
		d := all[i+1] - all[i]
		if d > 1e-9*max(-all[0], all[len(all)-1]) && (least == 0 || d < least) {
			least = d
		}
	}
	return least
}

// heights returns the height of every station from the mean readings.
func (s Survey) heights(mean []float64) []float64 {
	return s.stacked(mean, func(_ int, t float64) float64 { return s.Base * math.Tan(t) })
}

// effect returns what an error of the mean readings does to the height of every station.
func (s Survey) effect(mean, e []float64) []float64 {
	return s.stacked(e, func(i int, v float64) float64 { return s.lever(mean[i]) * v })
}

// stacked returns the rows in the order of their stations; of slopes the sum up to every
// station of what each makes of a step, h = Bs with B lower triangular.
func (s Survey) stacked(rows []float64, rise func(i int, v float64) float64) []float64 {
	if !s.Slopes() {
		order := make([]int, len(rows))
		floats.Argsort(slices.Clone(s.Readings.X), order)
		return pick(rows, order)
	}
	sum := make([]float64, len(rows)+1)
	for i, v := range rows {
		sum[i+1] = sum[i] + rise(i, v)
	}
	return sum
}

// covariance returns that of the heights of some stations · sigma of each mean reading,
// independent; effects: errors of the mean readings that are known in form but not in sign, one
// standard deviation each.
//
// For slopes cov h = B cov(s) Bᵀ (the law of propagation of JCGM 100, 5.2): between stations
// i ≤ j it is the variance of h_i, the sum of b²σ² over the steps before i.
func (s Survey) covariance(mean []float64, sigma float64, effects [][]float64, at []int) *mat.SymDense {
	variance := s.stacked(slices.Repeat([]float64{square(sigma)}, len(mean)), func(i int, _ float64) float64 { return square(s.lever(mean[i]) * sigma) })
	cov := mat.NewSymDense(len(at), nil)
	for a, i := range at {
		cov.SetSym(a, a, variance[i])
		for b := a + 1; b < len(at) && s.Slopes(); b++ {
			cov.SetSym(a, b, variance[i])
		}
	}
	for _, e := range effects {
		cov.SymRankOne(cov, 1, mat.NewVecDense(len(at), pick(s.effect(mean, e), at)))
	}
	return cov
}

// lever returns how far the far foot rises for a change of the slope t, m/rad.
func (s Survey) lever(t float64) float64 { return s.Base / square(math.Cos(t)) }

func pick(v []float64, at []int) []float64 {
	out := make([]float64, len(at))
	for i, k := range at {
		out[i] = v[k]
	}
	return out
}

// AboutEnds returns the profile above the line through its ends, with the
// covariance that remains: nothing at the ends, and between them for n equal
// steps of b, slopes known to σ, a variance of b²σ²·i(n−i)/n.
func (p Profile) AboutEnds() Profile {
	last := len(p.X) - 1
	q := p
	q.Height = p.Shape().AboutEnds().Y
	q.Cov = mat.NewSymDense(last+1, nil)
	t := func(i int) float64 { return (p.X[i] - p.X[0]) / (p.X[last] - p.X[0]) }
	half := func(i, j int) float64 { // row i of the projection, against height j
		return p.Cov.At(i, j) - (1-t(i))*p.Cov.At(0, j) - t(i)*p.Cov.At(last, j)
	}
	for i := 1; i < last; i++ {
		first, end := half(i, 0), half(i, last)
		for j := i; j < last; j++ {
			q.Cov.SetSym(i, j, half(i, j)-(1-t(j))*first-t(j)*end)
		}
	}
	return q
}

// Sigma returns the standard uncertainty of each height.
func (p Profile) Sigma() []float64 {
	sigma := make([]float64, len(p.X))
	for i := range sigma {
		sigma[i] = math.Sqrt(max(0, p.Cov.At(i, i)))
	}
	return sigma
}

// ZoneSigma returns the standard uncertainty of the minimum-zone straightness.
// The zone is the distance of one height from the line through two others, the
// three that touch; their weights 1, −(1−t), −t carry the covariance, and any
// line taken out beforehand cancels. It holds while the same three touch: for a
// way straight to within its noise, the zone itself is mostly noise, and larger
// than the way's own.
func (p Profile) ZoneSigma() float64 {
	c := shape.Touch(p.X, p.Height)
	t := (p.X[c.At] - p.X[c.Left]) / (p.X[c.Right] - p.X[c.Left])
	w := [3]float64{1, t - 1, -t}
	k := [3]int{c.At, c.Left, c.Right}
	variance := 0.0
	for a := range k {
		for b := range k {
			variance += w[a] * w[b] * p.Cov.At(k[a], k[b])
		}
	}
	return math.Sqrt(max(0, variance))
}

func square(v float64) float64 { return v * v }
