package survey

import (
	"math"
	"slices"

	"footwork/beam/shape"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// walked looks for a run whose rows may stand in the order walked, the far end
// first: turned round it agrees with the others within noise, and clearly better
// than as written (beyond the 99.9 % point of F), both as they stand or both with
// a drift taken out. On a way that is an arc the two look alike, as a drift and a
// run in the order walked do: which it is only the person knows. It returns the
// run and what is left of it when turned round; −1 when there is none.
func (s Survey) walked(runs []Run, noise float64) (run int, scatter float64, free int) {
	for r := 1; r < len(runs); r++ {
		was, is := parted(runs), parted(with(runs, r, slices.Reverse))
		for _, drift := range [][]event{nil, {{kind: ramp, run: r}}} {
			before, free := was.scatter(drift)
			after, _ := is.scatter(drift)
			if free < 3 || after > s.mostNoise(noise, free) {
				continue
			}
			k := float64(free)
			if square(before) > (distuv.F{D1: k, D2: k}).Quantile(0.999)*square(max(after, noise/3, 1e-3*s.typical())) {
				return r, after, free
			}
		}
	}
	return -1, 0, 0
}

// mostNoise returns how far repeats may scatter and still agree · noise what one
// reading is uncertain by, 0 when nobody says: then three times what is typical.
func (s Survey) mostNoise(noise float64, free int) float64 {
	if s.Uncertainty > 0 {
		return noise * math.Sqrt(distuv.ChiSquared{K: float64(free)}.Quantile(0.99)/float64(free))
	}
	return 3 * max(s.typical(), noise)
}

// walkedWarning shows both readings of such a run: the zone with its rows as
// written and with the rows turned round, m; none of slopes across.
func (s Survey) walkedWarning(runs []Run, r int) Warning {
	w := Warning{Kind: WalkedOrder, Run: runs[r].Name, Than: other(runs)}
	if s.Instrument == CrossLevel {
		return w
	}
	zone := func(runs []Run) float64 { return shape.Zone(s.stations(), s.heights(average(runs))) }
	w.Size, w.Other = zone(runs), zone(with(runs, r, slices.Reverse))
	return w
}

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

// WarningKind is what a survey's runs, or its file, say of its worth.
type WarningKind string

const (
	Drifted        WarningKind = "drifted"          // the zero, steadily by Size from the first reading out to the last back; the mean is free of it
	Parted         WarningKind = "parted"           // Run comes to read Size more than Than, steadily; the mean may be bowed by Bow
	Knocked        WarningKind = "knocked"          // Run reads Size more than Than from Row on
	Misread        WarningKind = "misread"          // Run reads Size more than Than at Row alone
	Shifted        WarningKind = "shifted"          // Run reads Size more than Than throughout: Apart at the far end; bowed by Bow if it was drift
	TurnedSign     WarningKind = "turned sign"      // Run has the opposite sign of Than
	OtherScale     WarningKind = "other scale"      // Run reads Size times as much as Than
	WalkedOrder    WarningKind = "walked order"     // Run fits Than in the opposite order of rows: a zone of Size as written, of Other if so
	Scattered      WarningKind = "scattered"        // the runs scatter by Size, more than the Other given, and that is used
	Overstated     WarningKind = "overstated"       // the runs scatter by Size, far less than the Other given
	AssumedNoise   WarningKind = "assumed noise"    // one run does not tell it: Size is assumed
	CopiedRun      WarningKind = "copied run"       // the runs agree in every digit: Size is assumed
	ManyStations   WarningKind = "many stations"    // of Other stations one in Size is reckoned with
	StepUnlikeBase WarningKind = "step unlike base" // stations are Size apart, the carriage's feet Other
)

// Warning is a fact about a survey that makes it doubtful, with its numbers. Sizes
// are SI: rad of tilt or m of height for readings.
type Warning struct {
	Kind  WarningKind
	Run   string // that departs
	Than  string // the run it departs from; "" for the mean of the others
	Row   int    // of readings, from 0
	Size  float64
	Other float64
	Bow   float64 // m, what the mean may be bowed by
	Apart float64 // m, between the profiles of the two at the far end
}

// errorKind is why a survey cannot be reduced.
type errorKind string

const (
	tooFewRows   errorKind = "too few rows"  // Value of them
	noStations   errorKind = "no stations"   // heights or cross slopes without a column x
	TooSteep     errorKind = "too steep"     // Run at Row reads Value, rad
	StationTwice errorKind = "station twice" // Value, as written
	StationBack  errorKind = "station back"  // Value comes after Other, as written
	StationApart errorKind = "station apart" // Value comes after Other, not a step First on
)

// Error is what keeps a survey from making a profile.
type Error struct {
	Kind                errorKind
	Survey              string
	Row                 int // of readings, from 0; −1: the survey as a whole
	Run                 string
	Value, Other, First float64
}

func (e *Error) Error() string { return "survey " + e.Survey + ": " + string(e.Kind) }
