// Package shop answers every question about a job. A job says of each standing which
// beds it may be: one as drawn, many as found, the same after turning (Draws). Every
// answer is a function of one of them, worked out for all and summarised once.
package shop

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sync"

	"footwork/beam"
	"footwork/beam/ride"
	"footwork/beam/shape"
	"footwork/internal/job"
	"footwork/survey"
	"footwork/survey/log"
)

// Shop is a job made ready: what several answers rest on is worked out once.
// It may be asked by many goroutines at once.
type Shop struct {
	*job.Job
	Records func() []survey.Record // those of the job
	History func() log.History
	solvers memory[string, *beam.Solver]
	known   memory[string, known]
	stands  memory[stoodKey, beds]
	probes  memory[probed, *beam.Probe]
	rides   memory[string, *ride.Bed]
	tables  memory[*ride.Bed, func(beam.Draw) (ride.Travel, error)]
	plans   memory[string, planned]
	travels float64 // multiplications that the table's travel over the beds of a state may take
	until   int     // of the history's entries, how many are known; 0: all
}

// probed is a way of a standing at so many stations.
type probed struct {
	standing      string
	way, stations int
}

// Open makes a job ready.
func Open(j *job.Job) *Shop {
	return &Shop{Job: j, Records: sync.OnceValue(j.Records), History: sync.OnceValue(j.History), travels: mostTravel}
}

// AskError is a question that the job does not hold what is needed for.
type AskError struct{ error }

func (e AskError) Unwrap() error { return e.error }

func askf(format string, a ...any) error { return AskError{fmt.Errorf(format, a...)} }

// memory keeps what was worked out, each once.
type memory[K comparable, V any] struct {
	mu   sync.Mutex
	kept map[K]func() (V, error)
}

func (m *memory[K, V]) get(key K, make func() (V, error)) (V, error) {
	m.mu.Lock()
	if m.kept == nil {
		m.kept = map[K]func() (V, error){}
	}
	if m.kept[key] == nil {
		m.kept[key] = sync.OnceValues(make)
	}
	once := m.kept[key]
	m.mu.Unlock()
	return once()
}

// standing returns the standing of this name, of which there must be one: who is given a name
// asks Draws or Between first.
func (s *Shop) standing(name string) job.Standing {
	st, err := s.Standing(name)
	if err != nil {
		panic(err)
	}
	return st
}

func (s *Shop) solver(standing string) (*beam.Solver, error) {
	return s.solvers.get(standing, func() (*beam.Solver, error) {
		return beam.NewSolver(s.Bed, s.standing(standing).Standing, beam.Options{})
	})
}

// ridesOn is a standing bed for what lies and travels on it.
func (s *Shop) ridesOn(standing string) (*ride.Bed, error) {
	return s.rides.get(standing, func() (*ride.Bed, error) {
		v, err := s.solver(standing)
		if err != nil {
			return nil, err
		}
		return ride.On(v), nil
	})
}

// parked is the case with the table's left end at a place; nil leaves it off.
func (s *Shop) parked(tableAt *float64) (beam.Case, error) {
	if tableAt == nil {
		return beam.Case{}, nil
	}
	if s.Table == nil {
		return beam.Case{}, askf("the job has no [table] to park")
	}
	lines, err := s.Table.Park(s.Bed, *tableAt)
	return beam.Case{Lines: lines}, err
}

// Working returns the standing that the machine works in: the one asked for, the
// one to be adjusted, the one surveyed, or else the last.
func (s *Shop) Working(asked string) string {
	names := slices.Concat([]string{""}, s.StandingNames(), s.Surveyed())
	return cmp.Or(asked, s.goal().Standing, names[len(names)-1])
}

// surveyed tells whether anything was measured in a standing.
func (s *Shop) surveyed(standing string) bool { return slices.Contains(s.Surveyed(), standing) }

// At how many stations curves are given, besides the feet: fine ones, so that the top of a parabola over a tenth
// of the bed is met to a ten-thousandth of its height; a page's, twice as many as it draws, so to a six-hundredth;
// and those of its trial, about as many as it draws.
const fine, drawn, tried = 1001, 241, 121

// stations returns n places over the bed and every foot of the standings.
func (s *Shop) stations(n int, standings ...string) []float64 {
	x := shape.Even(0, s.Bed.Length, n)
	for _, name := range standings {
		x = append(x, each(s.standing(name).Feet, func(f beam.Foot) float64 { return f.At })...)
	}
	slices.Sort(x)
	return slices.CompactFunc(x, func(a, b float64) bool { return math.Abs(a-b) < 1e-7*s.Bed.Length })
}
