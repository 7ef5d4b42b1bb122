package test

import (
	"slices"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/beam/ride"
	"footwork/reports"
	"footwork/supports"
)

// invented returns the invented shop's page, made of its answers.
func invented() *reports.Page {
	s := sag()
	p := &reports.Page{Title: "Surface grinder bed, bay 2", Made: "2 March 2026", Standing: "shop floor", Adjusters: map[string]supports.Adjuster{},
		Bed: casting.Bed{Length: 3.9, Ways: []casting.Way{{Name: "front", Offset: -0.25, Width: 0.11}, {Name: "back", Offset: 0.25, Width: 0.11}},
			Weights: []casting.Weight{{Name: "drive gearbox", At: 3.5, Force: 1570}}},
		Table: &ride.Table{Length: 2.4, Weight: 12700, Tool: 1.95}, Goal: &supports.Goal{Tolerance: 8e-6, LeastLoad: 0.15}}
	c, v, m, a, pl, cut := change(), surveys(), match(), adjust(), place(), cutView()
	p.Change, p.Survey, p.Match, p.Adjust, p.Place, p.Cut = &c, &v, &m, &a, &pl, &cut
	standing := beam.Standing{Name: "shop floor"}
	for _, f := range s.Standings[0].Feet {
		standing.Feet = append(standing.Feet, beam.Foot{Name: f.Name, At: f.At, Offset: f.Offset})
		p.Adjusters[f.Name] = supports.Adjuster{Kind: supports.Screw, Rise: 1.5e-3, Wrench: 0.3}
	}
	p.Standings = []beam.Standing{standing}
	for _, state := range []reports.State{reports.Given, reports.Found, reports.Planned} {
		p.States = append(p.States, stateOf(s.Standings[0], state))
	}
	return p
}

// stateOf returns the shop floor in a state, with the table off and on.
func stateOf(v reports.SagStanding, state reports.State) reports.PageState {
	v.State = state
	under, at := v, 0.7
	under.TableAt = &at
	under.Feet = slices.Clone(v.Feet)
	for i := range under.Feet {
		under.Feet[i].Load += 1587
	}
	t := travel()
	t.State = state
	return reports.PageState{State: state, Bare: v, Under: &under, Travel: &t}
}
