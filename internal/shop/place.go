package shop

import (
	"fmt"
	"math"
	"slices"

	"footwork/beam"
	"footwork/reports"
	"footwork/supports"
)

// Effort is how thoroughly places are searched: posts on the grid, places of
// the table, floors drawn, and the last step off the grid, m. Zeros are the
// default of supports.
type Effort struct {
	Grid, Tables, Floors int
	Finest               float64
}

// Place answers where feet would stand best, and how they and the present ones fare on
// floors drawn at random · progress is told of each kind of work.
func (s *Shop) Place(e Effort, progress func(what string) func(done, whole int)) (*reports.Place, error) {
	if s.Job.Place == nil {
		return nil, askf("the job has no [place] table: it says where feet may go")
	}
	burden, err := s.burden()
	if err != nil {
		return nil, err
	}
	goal := s.goal()
	found, err := supports.Place(supports.Sites{Burden: burden, Wish: *s.Job.Place, Stiffness: footStiffness(burden.Standing), Tolerance: goal.Tolerance,
		Grid: e.Grid, Tables: e.Tables, Finest: e.Finest, Progress: progress("places tried")})
	if err != nil {
		return nil, err
	}
	v := &reports.Place{Recommended: found.Recommended, Why: found.Why, Table: s.Table != nil, Warnings: reports.Texts(found.Warnings)}
	odds := func(feet []beam.Foot) (*reports.FloorShares, error) {
		if goal.Tolerance == 0 || len(feet) == 0 {
			return nil, nil
		}
		o, err := supports.Trial{Burden: burden, Feet: feet, Floor: s.floor(), Tolerance: goal.Tolerance, MostMove: goal.MostMove,
			Floors: e.Floors, Seed: 1, Progress: progress("floors tried")}.Odds()
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
func (s *Shop) burden() (supports.Burden, error) {
	st, err := s.standing(s.Working(""))
	if err != nil {
		return supports.Burden{}, err
	}
	b := supports.Burden{Bed: s.Bed, Standing: st.Standing, Table: s.Table}
	if st.After == "" {
		return b, nil
	}
	made, err := s.standAll(st.After, []beam.Draw{{}}, nil)
	if err != nil {
		return supports.Burden{}, err
	}
	b.Made = made[0].ways
	return b, nil
}

// floor returns how wrong feet are where nobody has adjusted them yet.
func (s *Shop) floor() supports.Floor {
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
