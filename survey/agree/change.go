package agree

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"footwork/survey"
)

// change is a slip of one record, or of two: exchanged, or both read by the same
// instrument.
type change struct {
	slip       Slip
	record, to int
	times      float64 // of Division and OtherUnit
}

func (c change) remedy(records []survey.Record) Remedy {
	r := Remedy{Slip: c.slip, Survey: records[c.record].Survey.Name, Times: c.times}
	if c.to != c.record {
		r.With = records[c.to].Survey.Name
	}
	return r
}

// misread are the slips of a division: levels come in steps of 1, 2 and 5, and a nought
// is soon lost.
var misread = []float64{0.1, 0.2, 0.4, 0.5, 2, 2.5, 5, 10}

// slopes are what readings of tilt are written in, rad: arcsec, arcmin, µm/m, mm/m,
// thou/ft and in/ft.
var slopes = []float64{math.Pi / 648000, math.Pi / 10800, 1e-6, 1e-3, 1e-3 / 12, 1. / 12}

// changes returns the slips that may have befallen the records of the first that does not hold,
// one at a time, or with them others that were taken alike and are doubted too.
func changes(open []constraint, records []survey.Record) (list []change) {
	for _, i := range open[0].of {
		s := records[i].Survey
		for _, slip := range []Slip{TurnedSign, FarEnd, FarRows, Early, Late} {
			list = append(list, change{slip: slip, record: i, to: i})
		}
		switch s.Instrument {
		case survey.Autocollimator:
			list = collimated(list, i, open, records)
		case survey.Level, survey.CrossLevel:
			for _, times := range misread {
				list = append(list, change{Division, i, i, times})
			}
		}
		for j, other := range records {
			if j != i && exchangeable(records[i], other) && !slices.Contains(list, change{slip: Exchanged, record: j, to: i}) {
				list = append(list, change{slip: Exchanged, record: i, to: j})
			}
		}
	}
	return list
}

// collimated adds what befalls readings of a collimator: another unit, the beam's angle for the tilt, in one or in two
// that were taken alike.
func collimated(list []change, i int, open []constraint, records []survey.Record) []change {
	s, slip := records[i].Survey, Doubled
	if s.Doubled {
		slip = Halved
	}
	for _, one := range slopes {
		if times := one / s.Scale; math.Abs(math.Log(times)) > 0.01 {
			list = append(list, change{OtherUnit, i, i, times})
		}
	}
	list = append(list, change{slip: slip, record: i, to: i})
	for j, other := range records {
		doubted := slices.ContainsFunc(open, func(c constraint) bool { return slices.Contains(c.of, j) })
		if doubted && exchangeable(records[i], other) && other.Survey.Doubled == s.Doubled && !slices.Contains(list, change{slip: slip, record: j, to: i}) {
			list = append(list, change{slip: slip, record: i, to: j})
		}
	}
	return list
}

// exchangeable tells whether the files of two surveys may have been mistaken for
// one another: they are of two ways, taken alike.
func exchangeable(a, b survey.Record) bool {
	return a.Survey.Way != b.Survey.Way && a.Survey.Way != "" && b.Survey.Way != "" && a.Survey.Instrument == b.Survey.Instrument &&
		a.Survey.Against == b.Survey.Against && a.Survey.Sideways == b.Survey.Sideways && a.Survey.OfTable == b.Survey.OfTable && a.Undisturbed(b)
}

// apply undoes the slip and returns which records changed.
func (c change) apply(records []survey.Record) []int {
	if c.slip == Exchanged {
		a, b := &records[c.record], &records[c.to]
		a.Profile, b.Profile = b.Profile, a.Profile
		return []int{c.record, c.to}
	}
	r := &records[c.record]
	given := r.Profile.Cov
	r.Profile = c.undone(r.Profile, r.Survey.Instrument == survey.CrossLevel)
	if (c.slip == Division || c.slip == OtherUnit) && r.Survey.Uncertainty > 0 { // which may have been given as a slope
		r.Profile.Cov = given
	}
	if c.to == c.record {
		return []int{c.record}
	}
	return append(change{c.slip, c.to, c.to, c.times}.apply(records), c.record)
}

// undone returns a profile without the slip.
func (c change) undone(p survey.Profile, across bool) survey.Profile {
	switch c.slip {
	case TurnedSign:
		return scaled(p, -1)
	case Doubled:
		return scaled(p, 0.5)
	case Halved:
		return scaled(p, 2)
	case Division, OtherUnit:
		return scaled(p, c.times)
	case FarEnd, FarRows:
		return turned(p, c.slip, across)
	case Early:
		return moved(p, 1)
	}
	return moved(p, -1)
}

// scaled returns a profile whose readings are times what they were.
func scaled(p survey.Profile, times float64) survey.Profile {
	p.Height = floats.ScaleTo(make([]float64, len(p.Height)), times, p.Height)
	cov := mat.NewSymDense(len(p.X), nil)
	cov.ScaleSym(times*times, p.Cov)
	p.Cov = cov
	return p
}

// turned returns a profile seen from its other end. Slopes taken from
// the far end have the other sign there, so the heights are the mirror image; rows
// in the opposite order with their signs as they should be give its negative. Across
// the bed it is the other way round: who turns about has the sides exchanged.
func turned(p survey.Profile, slip Slip, across bool) survey.Profile {
	n := len(p.X)
	q := p
	q.X, q.Height, q.Cov = make([]float64, n), make([]float64, n), mat.NewSymDense(n, nil)
	for i := range n {
		q.X[i] = p.X[0] + p.X[n-1] - p.X[n-1-i]
		q.Height[i] = p.Height[n-1-i]
		for j := i; j < n; j++ {
			q.Cov.SetSym(i, j, p.Cov.At(n-1-i, n-1-j))
		}
	}
	if (slip == FarRows) != across {
		return scaled(q, -1)
	}
	return q
}

// moved returns a profile so many stations further along.
func moved(p survey.Profile, stations float64) survey.Profile {
	n := len(p.X)
	step := (p.X[n-1] - p.X[0]) / math.Max(1, float64(n-1))
	p.X = slices.Clone(p.X)
	floats.AddConst(stations*step, p.X)
	return p
}
