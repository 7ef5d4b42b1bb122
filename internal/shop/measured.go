package shop

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"footwork/beam"
	"footwork/internal/job"
	"footwork/reports"
	"footwork/survey"
)

// reading is a survey with its profile.
type reading struct {
	survey.Survey
	survey.Profile
	epoch int // how often the bed's feet had been touched
}

// surveyed is one way as surveyed.
type surveyed struct {
	Name   string
	X      []float64     // m, stations, increasing
	Height []float64     // m, one a station; of tied ways in one frame
	Cov    *mat.SymDense // m², of Height
}

// measured is what was last surveyed in one standing: each way in its own
// reading, and all of them in one frame when a cross level ties them.
type measured struct {
	standing job.Standing
	ways     []beam.Way
	readings []reading // one a way
	cross    *reading  // nil without one
	framed   []surveyed
	tied     bool
	notes    []reports.Warning // what makes it less than measured
}

// measured gathers the latest survey of each way of a standing, brought up to what was
// moved since.
func (s *Shop) measured(standing string) (*measured, error) {
	m, err := s.surveys(standing)
	if err != nil {
		return nil, err
	}
	if err := s.bringUp(m); err != nil {
		return nil, err
	}
	return m, m.frame()
}

// surveys gathers the latest survey of each way of a standing.
func (s *Shop) surveys(standing string) (*measured, error) {
	st, err := s.standing(standing)
	if err != nil {
		return nil, err
	}
	m := &measured{standing: st}
	for _, w := range s.Bed.Ways {
		if r := s.latest(standing, func(v survey.Survey) bool { return v.Way == w.Name && v.UpAndDown() }); r != nil {
			m.ways, m.readings = append(m.ways, w), append(m.readings, *r)
		}
	}
	if len(m.ways) == 0 {
		return nil, askf("no way was surveyed in the standing %q: add a [[survey]]", standing)
	}
	m.cross = s.latest(standing, func(v survey.Survey) bool { return v.Instrument == survey.CrossLevel && v.UpAndDown() })
	return m, m.frame()
}

// latest returns the latest survey of a standing that is wanted, of any where none is
// named; nil without one.
func (s *Shop) latest(standing string, want func(survey.Survey) bool) *reading {
	for _, r := range slices.Backward(s.Records()) {
		if (standing == "" || r.Survey.Standing == standing) && want(r.Survey) {
			return &reading{r.Survey, r.Profile, r.Epoch}
		}
	}
	return nil
}

// frame puts each way about the line through its ends and, with a cross level,
// the others into the frame of the first.
func (m *measured) frame() error {
	m.tied = m.cross != nil && len(m.ways) > 1
	m.framed = nil
	first := m.readings[0].AboutEnds()
	for i, w := range m.ways {
		p := m.readings[i].AboutEnds()
		if m.tied && i > 0 {
			var err error
			if p, err = survey.Tie(first, p, m.cross.Profile, w.Offset-m.ways[0].Offset); err != nil {
				return fmt.Errorf("survey %q: %w", m.cross.Name, err)
			}
		}
		m.framed = append(m.framed, surveyed{Name: w.Name, X: p.X, Height: p.Height, Cov: p.Cov})
	}
	return nil
}

// stations returns where a way was read; nil where it was not.
func (m *measured) stations(way string) []float64 {
	for _, w := range m.framed {
		if w.Name == way {
			return w.X
		}
	}
	return nil
}

// expect returns what every instrument should read after the ways have changed
// by so much · change by way, at its stations, m.
func (m *measured) expect(change [][]float64) (out []reports.Reading) {
	for i, r := range m.readings {
		after := shape(r.X, plus(r.Height, change[i]))
		x, value := r.Expect(after)
		out = append(out, reports.Reading{Survey: r.Name, X: x, Value: value, Unit: r.Unit})
	}
	if m.tied {
		first, last := 0, len(m.ways)-1
		a, b := shape(m.readings[first].X, change[first]), shape(m.readings[last].X, change[last])
		slope := shape(m.cross.X, nil)
		for i, x := range slope.X {
			slope.Y = append(slope.Y, m.cross.Height[i]+(b.At(x)-a.At(x))/(m.ways[last].Offset-m.ways[first].Offset))
		}
		x, value := m.cross.Expect(slope)
		out = append(out, reports.Reading{Survey: m.cross.Name, X: x, Value: value, Unit: m.cross.Unit})
	}
	return out
}

// row is what a survey reads at places of its own.
type row struct{ reports.Reading }

// at returns the reading at the place nearest to x.
func (r row) at(x float64) float64 {
	best := 0
	for i, v := range r.X {
		if math.Abs(v-x) < math.Abs(r.X[best]-x) {
			best = i
		}
	}
	return r.Value[best]
}

// reads returns what a survey reads now.
func (m *measured) reads(name string) row {
	still := make([][]float64, len(m.ways))
	for i := range still {
		still[i] = make([]float64, len(m.readings[i].X))
	}
	for _, r := range m.expect(still) {
		if r.Survey == name {
			return row{r}
		}
	}
	panic("shop: no survey " + name)
}

func shape(x, y []float64) beam.Shape { return beam.Shape{X: x, Y: y} }

func plus(a, b []float64) []float64 { return floats.AddTo(make([]float64, len(a)), a, b) }

func minus(a, b []float64) []float64 { return floats.SubTo(make([]float64, len(a)), a, b) }
