package survey

import (
	"errors"
	"math"
	"slices"

	"footwork/beam/shape"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"
)

// Profile is a survey reduced: heights along a way with their covariance, or,
// from a cross level, slopes across the bed.
type Profile struct {
	X            []float64     // m, increasing; two hundred at most, of more stations one in so many
	Height       []float64     // m; cross level: rad
	Cov          *mat.SymDense // of Height as it stands, before any line is taken out
	ReadingSigma float64       // rad or m, standard uncertainty of one reading
	Free         int           // degrees of freedom of ReadingSigma; 0 when not from repeats
	ReadingX     []float64     // m, where each row was read: the trailing foot
	Spread       []Run         // what each run reads above the mean of all, row by row, in the CSV's unit
	Warnings     []Warning
}

// Shape returns the heights as they stand.
func (p Profile) Shape() shape.Shape { return shape.Shape{X: p.X, Y: p.Height} }

// Slopes tells whether the readings are slopes along the way, to be added up.
func (s Survey) Slopes() bool { return s.Instrument == Autocollimator || s.Instrument == Level }

// One returns the tilt in rad, or the height in m, of one unit of reading.
func (s Survey) One() float64 { return s.Scale / s.fold() }

// Sighted tells whether the instrument looks along the way from outside: turned to another, its zero is new.
func (s Survey) Sighted() bool { return s.Instrument == Autocollimator }

// Span returns the least and the largest tilt in rad, or height in m, that was read.
func (s Survey) Span() (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, run := range s.Readings.Runs {
		lo, hi = min(lo, slices.Min(run.Values)*s.One()), max(hi, slices.Max(run.Values)*s.One())
	}
	return lo, hi
}

// fold returns how many times the tilt the readings are.
func (s Survey) fold() float64 {
	if s.Doubled {
		return 2
	}
	return 1
}

// rows returns the number of rows of readings.
func (s Survey) rows() int {
	if len(s.Readings.Runs) == 0 {
		return 0
	}
	return len(s.Readings.Runs[0].Values)
}

// readingX returns where each row was read, in m, in the order of the file.
func (s Survey) readingX() []float64 {
	x := make([]float64, s.rows())
	for i := range x {
		if s.Slopes() {
			x[i] = s.Start + float64(i)*s.Base
		} else {
			x[i] = s.Readings.X[i] * s.XScale
		}
	}
	return x
}

// stations returns where the profile has its heights, in m, increasing: one
// more than there are slopes, as many as there are heights.
func (s Survey) stations() []float64 {
	x := s.readingX()
	if s.Slopes() {
		return append(x, s.Start+float64(len(x))*s.Base)
	}
	slices.Sort(x)
	return x
}

// Expect returns what this survey would read on a way of the given shape ·
// shape in m, from a cross level the slope across the bed in rad. x in m and
// value in the CSV's own unit have a row for each of the CSV's, in its order.
// Reduce takes value back to shape, up to the first height.
func (s Survey) Expect(shape shape.Shape) (x, value []float64) {
	x = s.readingX()
	value = make([]float64, len(x))
	for i, at := range x {
		if s.Slopes() {
			next := s.Start + float64(i+1)*s.Base
			value[i] = math.Atan((shape.At(next)-shape.At(at))/s.Base) / s.One()
		} else {
			value[i] = shape.At(at) / s.One()
		}
	}
	return x, value
}

// Reduce returns the profile that the survey measured: the mean of its runs,
// and for slopes along the way their sum, h_{i+1} = h_i + b·tan(s_i), from a
// first height of exactly zero. What the runs say of each other (drift, knocks,
// slips, a turned sign) is told in the warnings and widens the covariance;
// nothing is mended in silence. A zero error that stays only tilts the profile,
// and what drifts steadily leaves the mean of out and back; a drift in runs of
// one direction looks like a bow and cannot be seen in them. An error is an *Error.
func Reduce(s Survey) (Profile, error) {
	if err := s.check(); err != nil {
		err.Survey = s.Name
		return Profile{}, err
	}
	runs := s.tilts()
	c := s.compare(runs)
	if c.without >= 0 {
		runs = slices.Delete(runs, c.without, c.without+1)
	}
	mean := average(runs)
	x := s.stations()
	at, step := taken(len(x))
	p := Profile{
		X: pick(x, at), ReadingX: s.readingX(), Spread: s.spread(s.tilts(), mean),
		Warnings: append(s.stepWarnings(), c.warnings...),
	}
	if step > 1 {
		p.Warnings = append(p.Warnings, Warning{Kind: ManyStations, Size: float64(step), Other: float64(len(x))})
	}
	var noise []Warning
	p.ReadingSigma, p.Free, noise = s.oneReading(runs, c)
	p.Warnings = append(p.Warnings, noise...)
	p.Height = pick(s.heights(mean), at)
	p.Cov = s.covariance(mean, p.ReadingSigma/math.Sqrt(float64(len(runs))), c.effects, at)
	return p, nil
}

// mostStations is how many heights of a survey are reckoned with: what follows takes work by the
// third power of their number, and two hundred show every wave that a table rides on.
const mostStations = 200

// taken returns which of n stations are reckoned with: all, or one in so many, and the last.
func taken(n int) (at []int, step int) {
	step = max(1, (n+mostStations-3)/(mostStations-1))
	for i := 0; i < n-1; i += step {
		at = append(at, i)
	}
	return append(at, n-1), step
}

// tilts returns every run in rad or m, out before back.
func (s Survey) tilts() []Run {
	runs := make([]Run, len(s.Readings.Runs))
	for r, run := range s.Readings.Runs {
		runs[r] = Run{Name: run.Name, Values: slices.Clone(run.Values)}
		floats.Scale(s.One(), runs[r].Values)
	}
	if runs[0].Name == "back" {
		slices.Reverse(runs)
	}
	return runs
}

func average(runs []Run) []float64 {
	mean := make([]float64, len(runs[0].Values))
	for _, run := range runs {
		floats.AddScaled(mean, 1/float64(len(runs)), run.Values)
	}
	return mean
}

func (s Survey) spread(runs []Run, mean []float64) []Run {
	out := make([]Run, len(runs))
	for r, run := range runs {
		out[r] = Run{Name: run.Name, Values: slices.Clone(run.Values)}
		floats.Sub(out[r].Values, mean)
		floats.Scale(1/s.One(), out[r].Values)
	}
	return out
}

// steepest is more than any way leans: beyond it the unit is wrong.
const steepest = 0.2 // rad

// check returns what makes the survey impossible to reduce.
func (s Survey) check() *Error {
	n := s.rows()
	switch {
	case !(s.One() > 0) || math.IsInf(s.One(), 0) || s.Slopes() && !(s.Base > 0) || !s.Slopes() && !(s.XScale > 0):
		panic("survey: a unit of readings or places, or a base, is not above zero")
	case n < 2:
		return &Error{Kind: tooFewRows, Row: -1, Value: float64(n)}
	case !s.Slopes() && len(s.Readings.X) != n:
		return &Error{Kind: noStations, Row: -1, Value: float64(n)}
	}
	for _, run := range s.Readings.Runs {
		for i, v := range run.Values {
			if s.Instrument != Heights && !(math.Abs(v*s.One()) < steepest) {
				return &Error{Kind: TooSteep, Row: i, Run: run.Name, Value: v * s.One()}
			}
		}
	}
	return s.checkStations()
}

// checkStations returns what is wrong with the stations. Of heights they may
// come in any order, but only once each; of slopes, they must follow one another.
func (s Survey) checkStations() *Error {
	x := s.Readings.X
	if !s.Slopes() {
		for i := range x {
			for _, before := range x[:i] {
				if before*s.XScale == x[i]*s.XScale {
					return &Error{Kind: StationTwice, Row: i, Value: x[i]}
				}
			}
		}
		return nil
	}
	for i := 1; i < len(x); i++ {
		step, first := x[i]-x[i-1], x[1]-x[0]
		if step <= 0 {
			return &Error{Kind: StationBack, Row: i, Value: x[i], Other: x[i-1]}
		}
		if math.Abs(step-first) > 0.01*first {
			return &Error{Kind: StationApart, Row: i, Value: x[i], Other: x[i-1], First: first}
		}
	}
	return nil
}

// stepWarnings compares the step of the station column with the base. A step
// of one is a count of stations.
func (s Survey) stepWarnings() []Warning {
	if !s.Slopes() || len(s.Readings.X) < 2 || s.XScale <= 0 {
		return nil
	}
	step := s.Readings.X[1] - s.Readings.X[0]
	if step == 1 || math.Abs(step*s.XScale-s.Base) <= 0.01*s.Base {
		return nil
	}
	return []Warning{{Kind: StepUnlikeBase, Size: step * s.XScale, Other: s.Base}}
}

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
