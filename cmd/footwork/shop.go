package main

import (
	"fmt"

	"footwork/beam"
	"footwork/internal/job"
	"footwork/internal/unit"
	"footwork/reports"
	"footwork/survey"
)

// shop is a job read and made ready: each standing's solver is made once.
type shop struct {
	*job.Job
	read    []string // the files it was read from, which nothing is written over
	units   unit.System
	solvers map[string]*beam.Solver
	matches map[string]survey.Matched
}

// open reads a job file and the surveys beside it.
func (t *terminal) open(file string) (*shop, error) {
	in := inputs{job: file}
	data, err := in.own()
	if err != nil {
		return nil, usagef("the job file %s cannot be read: %w", file, err)
	}
	j, err := job.Read(file, data, in.beside)
	if err != nil {
		return nil, err
	}
	for _, n := range j.Notes {
		t.note(n.Error())
	}
	sys, err := t.system(j.Units)
	return &shop{Job: j, read: in.read, units: sys, solvers: map[string]*beam.Solver{}, matches: map[string]survey.Matched{}}, err
}

func (s *shop) solver(standing string) (*beam.Solver, error) {
	if v := s.solvers[standing]; v != nil {
		return v, nil
	}
	st, err := s.Standing(standing)
	if err != nil {
		return nil, usageError{err}
	}
	v, err := beam.NewSolver(s.Bed, st.Standing, beam.Options{})
	if err == nil {
		s.solvers[standing] = v
	}
	return v, err
}

// stand solves a standing, with the table parked at a place when one is given.
func (s *shop) stand(standing string, tableAt *float64) (*beam.State, error) {
	v, err := s.solver(standing)
	if err != nil {
		return nil, err
	}
	c, err := s.parked(tableAt)
	if err != nil {
		return nil, err
	}
	return v.Solve(c)
}

// parked is the case with the table's left end at a place; nil leaves it off.
func (s *shop) parked(tableAt *float64) (beam.Case, error) {
	if tableAt == nil {
		return beam.Case{}, nil
	}
	if s.Table == nil {
		return beam.Case{}, usagef("the job has no [table] to park")
	}
	lines, err := s.Table.Park(s.Bed, *tableAt)
	return beam.Case{Lines: lines}, err
}

// working returns the standing that the machine works in: the one asked for, the
// one to be adjusted, the one surveyed, or else the last.
func (s *shop) working(asked string) string {
	switch surveyed := s.Surveyed(); {
	case asked != "":
		return asked
	case s.Goal != nil && s.Goal.Standing != "":
		return s.Goal.Standing
	case len(surveyed) > 0:
		return surveyed[len(surveyed)-1]
	}
	return s.Standings[len(s.Standings)-1].Name
}

// stations returns a thousandth-of-length spacing with every foot of the
// standings on it: where curves are given.
func (s *shop) stations(standings ...string) []float64 {
	var feet []float64
	for _, name := range standings {
		if st, err := s.Standing(name); err == nil {
			for _, f := range st.Feet {
				feet = append(feet, f.At)
			}
		}
	}
	return merged(s.Bed.Length, 1000, feet)
}

// wayShapes gives every way of the bed at stations x.
func (s *shop) wayShapes(x []float64, shape func(offset float64) beam.Shape) []reports.WayShape {
	ways := []reports.WayShape{}
	for _, w := range s.Bed.Ways {
		full := shape(w.Offset)
		ways = append(ways, reports.WayShape{Name: w.Name, Offset: w.Offset,
			Height: at(full, x), Straightness: straightness(full)})
	}
	return ways
}

func straightness(s beam.Shape) reports.Straightness {
	v := s.Straightness()
	return reports.Straightness{Ends: v.Ends, LeastSquares: v.LeastSquares, MinimumZone: v.MinimumZone}
}

func at(s beam.Shape, x []float64) []float64 {
	y := make([]float64, len(x))
	for i := range x {
		y[i] = s.At(x[i])
	}
	return y
}

// lightFeet puts into words which feet carry nothing or little.
func (s *shop) lightFeet(st *beam.State) (notes []string) {
	feet := st.Feet()
	least := s.leastLoad(feet)
	h, n := s.units.Height(), s.units.Force(st.Weight())
	for _, f := range feet {
		switch {
		case f.Lifted:
			notes = append(notes, fmt.Sprintf("foot %s carries nothing and stands %s clear: raise it %s, or hold it down", f.Name, h.Text(f.Gap), h.Text(f.Gap)))
		case f.Load < 0:
			notes = append(notes, fmt.Sprintf("foot %s is pulled up with %s and stays only because it is held", f.Name, n.Text(-f.Load)))
		case f.Load < least:
			notes = append(notes, fmt.Sprintf("foot %s carries only %s, less than the %s asked for: raise it a little", f.Name, n.Text(f.Load), n.Text(least)))
		}
	}
	return notes
}

// leastLoad returns what each foot should carry, N.
func (s *shop) leastLoad(feet []beam.FootState) float64 {
	if s.Goal == nil || len(feet) == 0 {
		return 0
	}
	var sum float64
	for _, f := range feet {
		sum += f.Load
	}
	return s.Goal.LeastLoad * sum / float64(len(feet))
}
