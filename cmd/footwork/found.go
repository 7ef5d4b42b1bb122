package main

import (
	"math"

	"footwork/beam"
	"footwork/reports"
	"footwork/survey"
)

// found is the standing as the surveys tell it: the likeliest contact, and of
// the scenarios with it the one nearest to the middle of all. A mean of
// scenarios would be no standing: its contact would be none of theirs.
func (s *shop) found(standing string) (beam.Case, error) {
	m, err := s.match(standing)
	if err != nil {
		return beam.Case{}, err
	}
	best := middle(m)
	return beam.Case{Draw: best.Draw()}, nil
}

// foundView is how the bed stands as found.
func (s *shop) foundView(standing string) (*reports.SagStanding, error) {
	c, err := s.found(standing)
	if err != nil {
		return nil, err
	}
	v, err := s.solver(standing)
	if err != nil {
		return nil, err
	}
	st, err := v.Solve(c)
	if err != nil {
		return nil, err
	}
	view := s.sagView(standing, st)
	view.State = "found"
	return &view, nil
}

// middle returns the scenario nearest to the mean foot heights among those of
// the likeliest contact.
func middle(m survey.Matched) survey.Scenario {
	likely := map[string]int{}
	for _, sc := range m.Scenarios {
		likely[contactOf(sc)]++
	}
	mean := make([]float64, len(m.Scenarios[0].Heights))
	for _, sc := range m.Scenarios {
		for i, h := range sc.Heights {
			mean[i] += h / float64(len(m.Scenarios))
		}
	}
	var best survey.Scenario
	count, off := 0, math.Inf(1)
	for _, sc := range m.Scenarios {
		var d float64
		for i, h := range sc.Heights {
			d += (h - mean[i]) * (h - mean[i])
		}
		if n := likely[contactOf(sc)]; n > count || (n == count && d < off) {
			best, count, off = sc, n, d
		}
	}
	return best
}

// contactOf writes down which feet of a scenario carry.
func contactOf(sc survey.Scenario) string {
	on := make([]byte, len(sc.Gaps))
	for i, g := range sc.Gaps {
		on[i] = '1'
		if g > 0 {
			on[i] = '0'
		}
	}
	return string(on)
}
