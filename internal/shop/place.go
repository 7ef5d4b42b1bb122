package shop

import (
	"fmt"
	"math"
	"slices"

	"footwork/beam"
	"footwork/reports"
	"footwork/supports"
	"footwork/supports/place"
)

// Place answers where feet would stand best, and how they and the present ones fare on
// floors drawn at random · progress is told of each kind of work.
func (s *Shop) Place(progress func(what string) func(done, whole int)) (*reports.Place, error) {
	if s.Job.Place == nil {
		return nil, askf("the job has no [place] table: it says where feet may go")
	}
	loading, err := s.loading()
	if err != nil {
		return nil, err
	}
	goal := s.goal()
	found, err := place.Best(place.Task{Loading: loading, Options: *s.Job.Place, Stiffness: footStiffness(loading.Standing), Tolerance: goal.Tolerance,
		Progress: progress("places tried")})
	if err != nil {
		return nil, err
	}
	v := &reports.Place{Recommended: found.Recommended, Reason: found.Reason, Tolerance: goal.Tolerance, Warnings: placeWarnings(found)}
	if found.Stroke != nil {
		v.Stroke = &reports.Stroke{From: found.Stroke.From, To: found.Stroke.To, Assumed: s.Table.Stroke == nil}
	}
	v.Placements = each(found.Placements, placementView)
	if goal.Tolerance == 0 {
		return v, nil
	}
	return v, s.onFloors(v, loading, found.Placements, goal, progress("sets of feet tried on floors"))
}

// onFloors adds how the feet of each placement, and the present ones, fare on floors.
func (s *Shop) onFloors(v *reports.Place, loading place.Loading, placements []place.Placement, goal supports.Goal, progress func(done, whole int)) error {
	sets := each(placements, func(p place.Placement) []beam.Foot {
		return each(p.Feet, func(f place.Foot) beam.Foot { return f.Foot })
	})
	if len(loading.Standing.Feet) > 0 { // else it lies on bearings
		sets = append(sets, loading.Standing.Feet)
	}
	floor := s.floor()
	shares, err := place.Floors{Loading: loading, HeightSD: floor.HeightSD, Factor: floor.StiffnessFactor, Tolerance: goal.Tolerance,
		MostMove: goal.MostMove, Seed: 1, Progress: progress}.Shares(sets...)
	for i, o := range shares {
		on := &reports.FloorShares{AsFound: o.Met, Adjusted: o.Adjusted}
		if i == len(placements) {
			v.Present = on
		} else {
			v.Placements[i].Floors = on
		}
	}
	return err
}

// placeWarnings are the feet that go light on the way, and what was not tried.
func placeWarnings(a place.Answer) (out []reports.Warning) {
	out = each(a.LeftOut, func(n int) reports.Warning { return reports.PairsLeftOut{Pairs: n} })
	for _, p := range a.Placements {
		if f := p.Feet[p.Least]; f.Light() {
			out = append(out, reports.GoesLight{Feet: len(p.Feet), At: f.At, Least: f.Least, Most: f.Most})
		}
	}
	return out
}

// loading is the bed with all that its feet carry in the working standing.
func (s *Shop) loading() (place.Loading, error) {
	st := s.standing(s.Working(""))
	b := place.Loading{Bed: s.Bed, Standing: st.Standing, Table: s.Table}
	if st.After == "" {
		return b, nil
	}
	made, err := s.standIn(st.After, reports.Given, nil)
	if err != nil {
		return place.Loading{}, err
	}
	b.Made = made.stood[0].ways()
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

func placementView(p place.Placement) reports.Placement {
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
func placedName(p place.Placement, f place.Foot) string {
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
