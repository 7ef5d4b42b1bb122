package job

import (
	"math"
	"slices"
	"strings"

	"footwork/beam/shape"
	"footwork/internal/unit"
	"footwork/survey"
)

// surveySlips asks about a survey whose geometry or uncertainty is unlikely.
func (b *builder) surveySlips(r *reader, i int) {
	s, before := &b.job.Surveys[i], b.job.Surveys[:i]
	if s.OfTable || len(s.Readings.Runs) == 0 {
		return
	}
	length := b.job.Bed.Length
	if s.Base > 0 && s.Base < shortestBase*length {
		r.unlikely("base", ifMeant(r.table.keys["base"].text), "is short for a bed of %s", b.length(length))
	}
	if from, to := b.covered(s); to-from < leastCovered*length {
		r.note("", "check base, start, and the stations and their unit", ofLog(s)+"covers only %s to %s of the bed of %s", b.length(from), b.length(to), b.length(length))
	} else if s.Base > 0 {
		b.shortSlip(r, s, from, to)
	}
	b.uncertainSlips(r, s)
	b.sizeSlips(r, s)
	b.signSlip(r, s)
	b.baseSlip(r, s, before)
	b.copySlip(r, s, before)
}

// baseSlip asks about a base that is nearly that of a survey before it, as 6 in is nearly
// 150 mm.
func (b *builder) baseSlip(r *reader, s *survey.Survey, before []survey.Survey) {
	for _, t := range before {
		if off := math.Abs(s.Base/t.Base - 1); off > 1e-6 && off < 0.05 {
			r.note("base", "check whether it is the same carriage", ofLog(s)+"was taken on a base of %s, and %s on %s", b.length(s.Base), unit.Quote(t.Name), b.length(t.Base))
			return
		}
	}
}

// signSlip asks about a slope that would lie among its neighbours with the opposite sign,
// and is far from them as it stands: in the first run, of which the others are held against.
func (b *builder) signSlip(r *reader, s *survey.Survey) {
	values := s.Readings.Runs[0].Values
	if s.Base == 0 || len(values) < leastForSign {
		return
	}
	among, from := make([]float64, len(values)-2), make([]float64, len(values)-2)
	for i := range among {
		among[i] = (values[i] + values[i+2]) / 2
		from[i] = math.Abs(values[i+1] - among[i])
	}
	usual := slices.Sorted(slices.Values(from))[len(from)/2]
	for i, off := range from {
		if v := values[i+1]; off > farFrom*usual && math.Abs(v+among[i]) < 0.1*off {
			r.note("reading", "check its sign", ofLog(s)+"station %d is %+.3g, and would lie among the others as %+.3g; it is taken as written", i+2, v, -v)
		}
	}
}

// How many times as far from its neighbours as the middle one of all a slope must be, of so
// many at least, to be asked about: eight standard deviations, the middle one being 0.67 of one.
const farFrom, leastForSign = 12., 8

// copySlip asks about a survey whose readings are those of one before it.
func (b *builder) copySlip(r *reader, s *survey.Survey, before []survey.Survey) {
	same := func(a, b survey.Run) bool { return slices.Equal(a.Values, b.Values) }
	for _, t := range before {
		if slices.EqualFunc(s.Readings.Runs, t.Readings.Runs, same) {
			r.note("file", "name the file of its own readings", ofLog(s)+"has the readings of %s, to the last digit", unit.Quote(t.Name))
			return
		}
	}
}

// What ways are out of straight, or turn between the outer ones: less than any
// instrument of a shop can tell, and more than any bed that is worth a survey.
// And how far out of level a bed stands at most that is surveyed by a level.
const leastOut, mostOut, mostTilt = 0.02 * unit.UM, 0.5 * unit.MM, 2e-3

// sizeSlips asks about readings that add up to what no way is.
func (b *builder) sizeSlips(r *reader, s *survey.Survey) {
	p, err := survey.Reduce(*s)
	if err != nil {
		return
	}
	out, what := 0.0, "its way would be %s out of straight"
	if s.Instrument == survey.CrossLevel {
		out, what = (slices.Max(p.Height)-slices.Min(p.Height))*b.job.Across(), "the outer ways would twist by %s"
	} else {
		out = shape.Zone(p.X, p.Height)
	}
	if out < leastOut || out > mostOut {
		h := b.job.Units.Height()
		r.note("reading", "check the unit of the readings", ofLog(s)+what+", which is unusual; they are taken as written", h.Fine(out).Text(out))
	}
	n := len(p.X) - 1
	if tilt := math.Abs(p.Height[n]-p.Height[0]) / (p.X[n] - p.X[0]); s.Instrument == survey.Level && tilt > mostTilt {
		r.note("instrument", "check whether they are an autocollimator's", ofLog(s)+"its readings of a level say that the bed stands %s out of level, which is unusual; they are taken as written", b.in(tilt, "mm/m"))
	}
}

// ofLog begins what is said of readings that the log names, whose set-up stands in
// the job file.
func ofLog(s *survey.Survey) string {
	if s.SetUp == "" {
		return ""
	}
	return strings.ReplaceAll(unit.Quote(s.Name), "%", "%%") + " "
}

// covered returns where the readings begin and end, m along the bed.
func (b *builder) covered(s *survey.Survey) (from, to float64) {
	if s.Base > 0 {
		return s.Start, s.Start + float64(len(s.Readings.Runs[0].Values))*s.Base
	}
	return slices.Min(s.Readings.X) * s.XScale, slices.Max(s.Readings.X) * s.XScale
}

// shortSlip asks about a survey that ends one base further from its end of the
// bed than it began from the other, or that differs by one station, or by where it
// starts, from another with the same carriage.
func (b *builder) shortSlip(r *reader, s *survey.Survey, from, to float64) {
	later := false
	for i := range b.job.Surveys {
		t := &b.job.Surveys[i]
		later = later || t == s
		if t == s || t.OfTable || len(t.Readings.Runs) == 0 || t.Base != s.Base || t.Instrument != s.Instrument {
			continue
		}
		switch more := len(t.Readings.Runs[0].Values) - len(s.Readings.Runs[0].Values); {
		case more == 1 && t.Start == s.Start:
			r.note("file", "check whether a station was left out", ofLog(s)+"has one station less than %s, taken with the same base from the same start", unit.Quote(t.Name))
			return
		case more == 0 && t.Start != s.Start && !later:
			r.note("start", "check start", ofLog(s)+"begins at %s, and %s, taken with the same base at as many stations, at %s", b.length(s.Start), unit.Quote(t.Name), b.length(t.Start))
			return
		}
	}
	if rest := b.job.Bed.Length - to; from > 0 && math.Abs(rest-from-s.Base) < 0.1*s.Base {
		r.note("file", "check whether a station was left out, or start", ofLog(s)+"begins %s from one end of the bed and ends %s from the other, one base more", b.length(from), b.length(rest))
	}
}

// uncertainSlips asks about an uncertainty that cannot be told from a slip of units.
func (b *builder) uncertainSlips(r *reader, s *survey.Survey) {
	if s.Uncertainty == 0 {
		return
	}
	lo, hi := s.Span()
	step, most := s.Uncertainty, largestHeight
	if s.Base > 0 {
		step, most = s.Uncertainty*s.Base, largestStepError
	} else if s.Instrument == survey.CrossLevel {
		step, most = s.Uncertainty*b.job.Across(), largestHeight
	}
	switch {
	case s.Uncertainty*s.One()/s.Scale > hi-lo && len(s.Readings.Runs[0].Values) > 4:
		r.unlikely("uncertainty", "check its unit", "is more than all readings differ from one another")
	case step > most:
		r.unlikely("uncertainty", "check its unit", "is %s a step", b.job.Units.Height().Text(step))
	}
}
