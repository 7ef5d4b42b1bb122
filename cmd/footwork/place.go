package main

import (
	"fmt"
	"math"
	"slices"

	"github.com/spf13/cobra"

	"footwork/beam"
	"footwork/reports"
	"footwork/supports"
)

// effort is how thoroughly places are searched: posts on the grid, places of
// the table, floors drawn, and the last step off the grid, m. Zeros are the
// default of supports.
type effort struct {
	grid, tables, floors int
	finest               float64
}

// quick is the effort for the page, which has to appear at once; the command
// takes its time.
var quick = effort{grid: 25, tables: 7, floors: 100, finest: 25e-3}

func placeCommand(t *terminal) *cobra.Command {
	return t.onJob("place", "where the feet should go, and how many", func(s *shop) (reports.View, []string, error) {
		v, err := s.place(effort{}, t.progress)
		if err != nil {
			return nil, nil, err
		}
		return v, v.Warnings, nil
	})
}

// place finds where feet would stand best, and how they and the present ones
// fare on floors drawn at random.
func (s *shop) place(e effort, progress func(what string) func(done, whole int)) (*reports.Place, error) {
	if s.Place == nil {
		return nil, usagef("the job has no [place] table: it says where feet may go")
	}
	burden, err := s.burden()
	if err != nil {
		return nil, err
	}
	goal := s.goal()
	found, err := supports.Place(supports.Sites{Burden: burden, Wish: *s.Place, Stiffness: footStiffness(burden.Standing), Tolerance: goal.Tolerance,
		Grid: e.grid, Tables: e.tables, Finest: e.finest, Progress: progress("places tried")})
	if err != nil {
		return nil, err
	}
	v := &reports.Place{Recommended: found.Recommended, Why: found.Why, Table: s.Table != nil, Warnings: found.Warnings}
	odds := func(feet []beam.Foot) (*reports.FloorShares, error) {
		if goal.Tolerance == 0 || len(feet) == 0 {
			return nil, nil
		}
		o, err := supports.Trial{Burden: burden, Feet: feet, Floor: s.floor(), Tolerance: goal.Tolerance, MostMove: goal.MostMove,
			Floors: e.floors, Seed: 1, Progress: progress("floors tried")}.Odds()
		return &reports.FloorShares{AsFound: o.Met, Adjusted: o.Adjusted}, err
	}
	if v.Present, err = odds(burden.Standing.Feet); err != nil {
		return nil, err
	}
	for _, p := range found.Placements {
		one := placementView(p)
		if one.Floors, err = odds(feetOf(p)); err != nil {
			return nil, err
		}
		v.Placements = append(v.Placements, one)
	}
	return v, nil
}

// burden is the bed with all that its feet carry in the working standing.
func (s *shop) burden() (supports.Burden, error) {
	st, err := s.Standing(s.working(""))
	if err != nil {
		return supports.Burden{}, err
	}
	b := supports.Burden{Bed: s.Bed, Standing: st.Standing, Table: s.Table}
	if st.After == "" {
		return b, nil
	}
	made, err := s.stand(st.After, nil)
	if err != nil {
		return supports.Burden{}, err
	}
	for _, w := range s.Bed.Ways {
		b.Made = append(b.Made, made.Way(w.Offset))
	}
	return b, nil
}

// floor returns how wrong feet are where nobody has adjusted them yet.
func (s *shop) floor() supports.Floor {
	if s.Floor != nil {
		return *s.Floor
	}
	return supports.Floor{HeightSD: 0.1e-3, StiffnessFactor: 2}
}

// footStiffness is that of a new foot: the softest of the standing's, or rigid.
func footStiffness(st beam.Standing) float64 {
	k := math.Inf(1)
	for _, f := range st.Feet {
		k = min(k, f.Stiffness)
	}
	return k
}

func feetOf(p supports.Placement) (feet []beam.Foot) {
	for _, f := range p.Feet {
		feet = append(feet, f.Foot)
	}
	return feet
}

func placementView(p supports.Placement) reports.Placement {
	v := reports.Placement{Pairs: p.Pairs, Pattern: string(p.Pattern), At: p.At, Zone: p.Zone, Sensitivity: p.Sensitivity, SensitivityRMS: p.SensitivityRMS}
	for _, f := range p.Feet {
		v.Loads = append(v.Loads, f.Load)
		v.Feet = append(v.Feet, reports.PlacedFoot{Name: placedName(p, f), At: f.At, Offset: f.Offset, Least: f.Least, Most: f.Most})
	}
	v.Lightest = v.Feet[p.Least].Name
	return v
}

// placedName keeps a kept foot's name; a new one is called by its post, counted
// from the left, and the side on which it stands: "2−", "2+", or "1" alone.
func placedName(p supports.Placement, f supports.PlacedFoot) string {
	if f.Name != "" {
		return f.Name
	}
	post := fmt.Sprint(1 + slices.Index(p.At, f.At))
	switch {
	case f.Offset < 0:
		return post + "−"
	case f.Offset > 0:
		return post + "+"
	}
	return post
}
