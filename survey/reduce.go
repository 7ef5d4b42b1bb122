package survey

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"gonum.org/v1/gonum/mat"

	"footwork/beam"
)

// Profile is a survey reduced: heights along a way with their covariance, or,
// from a cross level, slopes across the bed.
type Profile struct {
	X            []float64     // m, increasing
	Height       []float64     // m; cross level: rad
	Cov          *mat.SymDense // of Height as it stands, before any line is taken out
	ReadingSigma float64       // rad or m, standard uncertainty of one reading
	Free         int           // degrees of freedom of ReadingSigma; 0 when not from repeats
	Drift        float64       // rad or m, of the zero from the first reading out to the last back; 0 when not seen
	ReadingX     []float64     // m, where each row was read: the trailing foot
	Spread       []Run         // what each run reads above the mean of all, row by row, in the CSV's unit
	Warnings     []string
}

// Shape returns the heights as they stand.
func (p Profile) Shape() beam.Shape { return beam.Shape{X: p.X, Y: p.Height} }

// slopes tells whether the readings are slopes along the way, to be added up.
func (s Survey) slopes() bool { return s.Instrument == Autocollimator || s.Instrument == Level }

// unit returns the tilt in rad, or the height in m, of one unit of reading.
func (s Survey) unit() float64 { return s.Scale / s.fold() }

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
		if s.slopes() {
			x[i] = s.Start + float64(i)*s.Base
		} else {
			x[i] = s.Readings.X[i] * s.XScale
		}
	}
	return x
}

// Stations returns where the profile has its heights, in m, increasing: one
// more than there are slopes, as many as there are heights.
func (s Survey) Stations() []float64 {
	x := s.readingX()
	if s.slopes() {
		return append(x, s.Start+float64(len(x))*s.Base)
	}
	slices.Sort(x)
	return x
}

// Expect returns what this survey would read on a way of the given shape ·
// shape in m, from a cross level the slope across the bed in rad. x in m and
// value in the CSV's own unit have a row for each of the CSV's, in its order.
// Reduce takes value back to shape, up to the first height.
func (s Survey) Expect(shape beam.Shape) (x, value []float64) {
	x = s.readingX()
	value = make([]float64, len(x))
	for i, at := range x {
		if s.slopes() {
			next := s.Start + float64(i+1)*s.Base
			value[i] = math.Atan((shape.At(next)-shape.At(at))/s.Base) / s.unit()
		} else {
			value[i] = shape.At(at) / s.unit()
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
// one direction looks like a bow and cannot be seen in them. Errors say what
// the survey lacks; one that concerns a row of readings wraps a RowError.
func Reduce(s Survey) (Profile, error) {
	if err := s.check(); err != nil {
		return Profile{}, fmt.Errorf("survey %q: %w", s.Name, err)
	}
	runs := s.tilts()
	mean := average(runs)
	c := s.compare(runs)
	p := Profile{
		X: s.Stations(), ReadingX: s.readingX(), Spread: s.spread(runs, mean),
		Drift: c.drift, Warnings: append(s.stepWarnings(), c.warnings...),
	}
	var warning string
	if p.ReadingSigma, p.Free, warning = s.oneReading(runs, c); warning != "" {
		p.Warnings = append(p.Warnings, warning)
	}
	p.Height, p.Cov = s.build(mean, p.ReadingSigma/math.Sqrt(float64(len(runs))), c.effects)
	return p, nil
}

// tilts returns every run in rad or m, out before back.
func (s Survey) tilts() []Run {
	runs := make([]Run, len(s.Readings.Runs))
	for r, run := range s.Readings.Runs {
		runs[r] = Run{Name: run.Name, Values: make([]float64, len(run.Values))}
		for i, v := range run.Values {
			runs[r].Values[i] = v * s.unit()
		}
	}
	if runs[0].Name == "back" {
		slices.Reverse(runs)
	}
	return runs
}

func average(runs []Run) []float64 {
	mean := make([]float64, len(runs[0].Values))
	for _, run := range runs {
		for i, v := range run.Values {
			mean[i] += v / float64(len(runs))
		}
	}
	return mean
}

func (s Survey) spread(runs []Run, mean []float64) []Run {
	out := make([]Run, len(runs))
	for r, run := range runs {
		out[r] = Run{Name: run.Name, Values: make([]float64, len(mean))}
		for i, v := range run.Values {
			out[r].Values[i] = (v - mean[i]) / s.unit()
		}
	}
	return out
}

// RowError is what is wrong with one row of a survey's readings.
type RowError struct {
	Row int // counted from 0
	error
}

func rowErrorf(row int, format string, a ...any) error {
	return RowError{row, fmt.Errorf(format, a...)}
}

// steepest is more than any way leans: beyond it the unit is wrong.
const steepest = 0.2 // rad

// check returns what makes the survey impossible to reduce.
func (s Survey) check() error {
	n := s.rows()
	switch {
	case n < 2:
		return fmt.Errorf("has %d rows of readings: two at least make a profile", n)
	case !(s.unit() > 0) || math.IsInf(s.unit(), 0):
		return fmt.Errorf("does not say what one unit of reading is worth: give reading or division")
	case s.slopes() && !(s.Base > 0):
		return fmt.Errorf("has no base: give the distance between the carriage's feet")
	case !s.slopes() && len(s.Readings.X) != n:
		return fmt.Errorf("has no stations: %s readings need a first column x", s.Instrument)
	case !s.slopes() && !(s.XScale > 0):
		return fmt.Errorf("does not say what unit its column x is in")
	}
	for _, run := range s.Readings.Runs {
		if len(run.Values) != n {
			return fmt.Errorf("%s has %d readings, %s has %d: they must be at the same stations",
				run.Name, len(run.Values), s.Readings.Runs[0].Name, n)
		}
		for i, v := range run.Values {
			if s.Instrument != Heights && !(math.Abs(v*s.unit()) < steepest) {
				return rowErrorf(i, "%s at %s reads %s, a slope of %.3g degrees: is the unit of the readings right?",
					run.Name, s.place(i), s.size(v*s.unit()), v*s.unit()*180/math.Pi)
			}
		}
	}
	return s.checkStations()
}

// checkStations returns what is wrong with the stations. Of heights they may
// come in any order, but only once each; of slopes, they must follow one another.
func (s Survey) checkStations() error {
	x := s.Readings.X
	if !s.slopes() {
		for i := range x {
			for _, before := range x[:i] {
				if before*s.XScale == x[i]*s.XScale {
					return rowErrorf(i, "station %g is there twice: put repeats into columns run 1, run 2, …", x[i])
				}
			}
		}
		return nil
	}
	for i := 1; i < len(x); i++ {
		step, first := x[i]-x[i-1], x[1]-x[0]
		if step <= 0 {
			return rowErrorf(i, "station %g comes after %g: write the rows in the order of increasing x", x[i], x[i-1])
		}
		if math.Abs(step-first) > 0.01*first {
			return rowErrorf(i, "the step from station %g to %g is not the first step, %g: slopes add up only when each reading begins where the last ended",
				x[i-1], x[i], first)
		}
	}
	return nil
}

// stepWarnings compares the step of the station column with the base. A step
// of one is a count of stations.
func (s Survey) stepWarnings() []string {
	if !s.slopes() || len(s.Readings.X) < 2 || s.XScale <= 0 {
		return nil
	}
	step := s.Readings.X[1] - s.Readings.X[0]
	if step == 1 || math.Abs(step*s.XScale-s.Base) <= 0.01*s.Base {
		return nil
	}
	return []string{fmt.Sprintf("the stations are %.4g mm apart but the carriage's feet %.4g mm: step by the base, or put base right",
		step*s.XScale*1e3, s.Base*1e3)}
}

// place names row i for a person, by the file's own number if it has one.
func (s Survey) place(i int) string {
	if len(s.Readings.X) > i {
		return fmt.Sprintf("station %g", s.Readings.X[i])
	}
	return fmt.Sprintf("reading %d (x = %.4g m)", i+1, s.Start+float64(i)*s.Base)
}

// size writes a tilt or height in the readings' unit.
func (s Survey) size(v float64) string { return figure(v/s.unit()) + " " + s.Unit }

// excess writes a difference in words.
func (s Survey) excess(v float64) string {
	if v < 0 {
		return s.size(-v) + " less"
	}
	return s.size(v) + " more"
}

// figure writes v to three figures, without an exponent.
func figure(v float64) string {
	short, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 3, 64), 64)
	return strconv.FormatFloat(short, 'f', -1, 64)
}
