package survey

import (
	"errors"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// Tie brings the profile of a second way into the frame of the first by a cross
// level: it returns the second profile with the offset and tilt that agree best
// with the measured slopes across, and with their uncertainty added to its
// covariance · across is the second way's offset less the first's, m. Each
// profile keeps its own straightness; only their twist is new. It is an error
// when the cross level has fewer than two stations.
func Tie(first, second, cross Profile, across float64) (Profile, error) {
	n := len(cross.X)
	if n < 2 {
		return Profile{}, errors.New("a cross level ties two ways only with two stations or more")
	}
	a, b := first.Shape(), second.Shape()
	lacks := make([]float64, n) // what the second way lacks at each station
	for i, x := range cross.X {
		lacks[i] = cross.Height[i]*across - (b.At(x) - a.At(x))
	}
	lift, tilt := stat.LinearRegression(cross.X, lacks, nil, false)
	tied := second
	tied.Height = make([]float64, len(second.X))
	for i, x := range second.X {
		tied.Height[i] = second.Height[i] + lift + tilt*x
	}
	tied.Cov = tieCovariance(second, cross, across)
	return tied, nil
}

// tieCovariance adds to a profile's covariance that of the line of Tie, from the
// cross level's own: of least squares, var(lift at the mean) and var(tilt) are
// σ²/n and σ²/Σ(x−x̄)².
func tieCovariance(second, cross Profile, across float64) *mat.SymDense {
	n := float64(len(cross.X))
	mean := stat.Mean(cross.X, nil)
	spread := stat.Variance(cross.X, nil) * (n - 1)
	variance := across * across * mat.Trace(cross.Cov) / n
	cov := mat.NewSymDense(len(second.X), nil)
	cov.CopySym(second.Cov)
	one, lever := make([]float64, len(second.X)), make([]float64, len(second.X))
	for i, x := range second.X {
		one[i], lever[i] = 1, x-mean
	}
	cov.SymRankOne(cov, variance/n, mat.NewVecDense(len(one), one))
	cov.SymRankOne(cov, variance/spread, mat.NewVecDense(len(lever), lever))
	return cov
}
