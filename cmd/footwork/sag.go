package main

import (
	"github.com/spf13/cobra"

	"footwork/beam"
	"footwork/internal/unit"
	"footwork/reports"
)

func sagCommand(t *terminal) *cobra.Command {
	var standing, tableAt string
	c := t.onJob("sag", "the shape of each way, foot loads and light feet", func(s *shop) (reports.View, []string, error) {
		place, err := optionalLength("--table-at", tableAt)
		if err != nil {
			return nil, nil, err
		}
		names := s.StandingNames()
		if standing != "" {
			names = []string{standing}
		}
		v, err := s.sag(names, place)
		if err != nil {
			return nil, nil, err
		}
		var notes []string
		for _, st := range v.Standings {
			notes = append(notes, prefixed(st.Name, st.Warnings)...)
		}
		return v, notes, nil
	})
	c.Flags().StringVar(&standing, "standing", "", "only this standing")
	c.Flags().StringVar(&tableAt, "table-at", "", `the table parked with its left end here, "700 mm"`)
	return c
}

// optionalLength reads a flag that is a length; nil when it was not given.
func optionalLength(flag, text string) (*float64, error) {
	if text == "" {
		return nil, nil
	}
	v, err := unit.Length.Parse(text)
	if err != nil {
		return nil, usagef("%s: %w", flag, err)
	}
	return &v, nil
}

// prefixed puts a name before every note.
func prefixed(name string, notes []string) (out []string) {
	for _, n := range notes {
		out = append(out, name+": "+n)
	}
	return out
}

// sag solves the standings named.
func (s *shop) sag(names []string, tableAt *float64) (*reports.Sag, error) {
	v := &reports.Sag{}
	for _, name := range names {
		st, err := s.stand(name, tableAt)
		if err != nil {
			return nil, err
		}
		v.Standings = append(v.Standings, s.sagView(name, st))
	}
	return v, nil
}

func (s *shop) sagView(name string, st *beam.State) reports.SagStanding {
	x := s.stations(name)
	nodes, _, twist := st.Curves()
	v := reports.SagStanding{Name: name, X: x, Ways: s.wayShapes(x, st.Way), Weight: st.Weight(),
		Twist: at(shape(nodes, twist), x), Warnings: s.lightFeet(st)}
	for _, f := range st.Feet() {
		v.Feet = append(v.Feet, reports.FootLoad{Name: f.Name, At: f.At, Offset: f.Offset, Load: f.Load, Lifted: f.Lifted, Gap: f.Gap})
	}
	for _, b := range st.Bearings() {
		v.Bearings = append(v.Bearings, reports.BearingLoad{Load: b.Load, X: b.X, Force: b.Force})
	}
	return v
}
