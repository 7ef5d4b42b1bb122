package agree

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"footwork/survey"
)

// change is a slip of one record, or of two that are exchanged.
type change struct {
	slip       Slip
	record, to int
}

func (c change) remedy(records []survey.Record) Remedy {
	r := Remedy{Slip: c.slip, Survey: records[c.record].Survey.Name}
	if c.slip == Exchanged {
		r.With = records[c.to].Survey.Name
	}
	return r
}

// changes returns the slips that may have befallen some of the records.
func changes(of []int, records []survey.Record) (list []change) {
	for _, i := range of {
		s := records[i].Survey
		for _, slip := range []Slip{TurnedSign, FarEnd, FarRows, Early, Late} {
			list = append(list, change{slip, i, i})
		}
		if s.Instrument == survey.Autocollimator {
			slip := Doubled
			if s.Doubled {
				slip = Halved
			}
			list = append(list, change{slip, i, i})
		}
		for j, other := range records {
			if j != i && exchangeable(records[i], other) && !slices.Contains(list, change{Exchanged, j, i}) {
				list = append(list, change{Exchanged, i, j})
			}
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
	p := &records[c.record].Profile
	switch c.slip {
	case TurnedSign:
		*p = scaled(*p, -1)
	case Doubled:
		*p = scaled(*p, 0.5)
	case Halved:
		*p = scaled(*p, 2)
	case FarEnd, FarRows:
		*p = turned(*p, c.slip, records[c.record].Survey.Instrument == survey.CrossLevel)
	case Early:
		*p = moved(*p, 1)
	case Late:
		*p = moved(*p, -1)
	}
	return []int{c.record}
}

// scaled returns a profile whose readings are times what they were.
func scaled(p survey.Profile, times float64) survey.Profile {
	h := mat.NewVecDense(len(p.Height), slices.Clone(p.Height))
	h.ScaleVec(times, h)
	p.Height = h.RawVector().Data
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
	for i := range p.X {
		p.X[i] += stations * step
	}
	return p
}
