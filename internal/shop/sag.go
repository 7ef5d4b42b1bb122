package shop

import (
	"footwork/beam"
	"footwork/reports"
)

// stood is how one bed stands.
type stood struct {
	ways     []beam.Shape        // of every way of the bed, with its metal
	straight []beam.Straightness // of every way: one that was surveyed at the survey's stations
	twist    beam.Shape
	feet     []beam.FootState
	bearings []beam.BearingState
	weight   float64
}

// standUnder returns how beds stand under the loads of a case.
func (s *Shop) standUnder(v *beam.Solver, c beam.Case) func(beam.Draw) (stood, error) {
	solve := v.Under(c)
	var offsets []float64
	for _, w := range s.Bed.Ways {
		offsets = append(offsets, w.Offset)
	}
	return func(d beam.Draw) (stood, error) {
		st, err := solve(d)
		if err != nil {
			return stood{}, err
		}
		out := stood{feet: st.Feet(), bearings: st.Bearings(), weight: st.Weight()}
		out.ways, out.twist = st.Ways(offsets...)
		for i, way := range out.ways {
			read := way
			if metal, ok := formOf(d, i); ok {
				copy(way.Y, plus(way.Y, heldOver(metal, way.X)))
				read = shape(metal.X, way.Over(metal.X))
			}
			out.straight = append(out.straight, read.Straightness())
		}
		return out, nil
	}
}

// heldOver returns the heights of a shape at places, as high as its ends beyond them.
func heldOver(s beam.Shape, x []float64) []float64 {
	held := make([]float64, len(x))
	for i, at := range x {
		held[i] = min(max(at, s.X[0]), s.X[len(s.X)-1])
	}
	return s.Over(held)
}

// formOf returns the metal of a way where the bed has it.
func formOf(d beam.Draw, way int) (beam.Shape, bool) {
	if way >= len(d.Form) || len(d.Form[way].X) == 0 {
		return beam.Shape{}, false
	}
	return d.Form[way], true
}

// standAll is how every bed that a standing may be stands, with the table parked at a
// place when one is given.
func (s *Shop) standAll(standing string, draws []beam.Draw, tableAt *float64) ([]stood, error) {
	v, err := s.solver(standing)
	if err != nil {
		return nil, err
	}
	c, err := s.parked(tableAt)
	if err != nil {
		return nil, err
	}
	return each(draws, s.standUnder(v, c))
}

// beds are those that a standing may be in a state, and how each stands.
type beds struct {
	state reports.State
	draws []beam.Draw
	stood []stood
}

// stoodKey tells one question of how beds stand from another.
type stoodKey struct {
	standing string
	state    reports.State
	table    bool
	at       float64
}

// standIn is how every bed that a standing may be in a state stands, with the table parked
// at a place when one is given.
func (s *Shop) standIn(standing string, asked reports.State, tableAt *float64) (beds, error) {
	draws, state, err := s.Draws(standing, asked)
	if err != nil {
		return beds{}, err
	}
	key := stoodKey{standing: standing, state: state}
	if tableAt != nil {
		key.table, key.at = true, *tableAt
	}
	return s.stands.get(key, func() (beds, error) {
		all, err := s.standAll(standing, draws, tableAt)
		return beds{state, draws, all}, err
	})
}

// Sag answers for the standings named, each in the state asked for or its own.
func (s *Shop) Sag(names []string, state reports.State, tableAt *float64) (*reports.Sag, error) {
	v := &reports.Sag{}
	for _, name := range names {
		one, err := s.sagOf(name, state, tableAt)
		if err != nil {
			return nil, err
		}
		v.Standings = append(v.Standings, one)
	}
	return v, nil
}

func (s *Shop) sagOf(name string, asked reports.State, tableAt *float64) (reports.SagStanding, error) {
	b, err := s.standIn(name, asked, tableAt)
	if err != nil {
		return reports.SagStanding{}, err
	}
	x, state, all := s.stations(fine, name), b.state, b.stood
	v := reports.SagStanding{Name: name, State: state, TableAt: tableAt, X: x, Weight: all[0].weight, Feet: footLoads(all), Bearings: bearingLoads(all)}
	v.Ways = s.wayShapes(x, len(all), func(bed, way int) (beam.Shape, beam.Straightness) { return all[bed].ways[way], all[bed].straight[way] })
	v.Twist, _, _ = band(all, func(st stood) []float64 { return st.twist.Over(x) })
	v.Warnings = append(s.caveats(name, state), append(s.lightFeet(v.Feet), sharing(all[0].feet)...)...)
	return v, nil
}

// wayShapes sums every way of the beds up at stations x · of gives a bed's way, and how
// straight it is.
func (s *Shop) wayShapes(x []float64, beds int, of func(bed, way int) (beam.Shape, beam.Straightness)) []reports.WayShape {
	ways := []reports.WayShape{}
	for k, w := range s.Bed.Ways {
		over, straight := make([]beam.Shape, beds), make([]beam.Straightness, beds)
		for bed := range beds {
			over[bed], straight[bed] = of(bed, k)
			over[bed] = shape(x, over[bed].Over(x))
		}
		one := reports.WayShape{Name: w.Name, Offset: w.Offset, Straightness: straightness(straight)}
		one.Height, one.Low, one.High = aboutEnds(over)
		ways = append(ways, one)
	}
	return ways
}

// aboutEnds returns the pointwise median and band of a way of every bed about the line
// through its ends, laid on the median of those lines: how high a bed stands as a whole,
// no survey tells.
func aboutEnds(all []beam.Shape) (mid, low, high []float64) {
	mid, low, high = band(all, func(s beam.Shape) []float64 { return s.AboutEnds().Y })
	x := all[0].X
	ends, _, _ := band(all, func(s beam.Shape) []float64 { return []float64{s.Y[0], s.Y[len(s.Y)-1]} })
	on := shape([]float64{x[0], x[len(x)-1]}, ends).Over(x)
	return plus(mid, on), plus(low, on), plus(high, on)
}

func straightness(all []beam.Straightness) reports.Straightness {
	zone := over(all, func(v beam.Straightness) float64 { return v.MinimumZone })
	return reports.Straightness{
		Ends:         over(all, func(v beam.Straightness) float64 { return v.Ends }).mid,
		LeastSquares: over(all, func(v beam.Straightness) float64 { return v.LeastSquares }).mid,
		MinimumZone:  zone.mid, Low: zone.low, High: zone.high}
}

// footLoads sums up how each foot stands.
func footLoads(all []stood) (out []reports.FootLoad) {
	if len(all[0].feet) == 0 {
		return nil
	}
	loads := make([][]float64, len(all))
	for i, st := range all {
		for _, f := range st.feet {
			loads[i] = append(loads[i], f.Load)
		}
	}
	low, high := jointly(loads)
	for i, f := range all[0].feet {
		of := func(figure func(beam.FootState) float64) float64 {
			return over(all, func(st stood) float64 { return figure(st.feet[i]) }).mid
		}
		one := reports.FootLoad{Name: f.Name, At: f.At, Offset: f.Offset, Low: low[i], High: high[i],
			Load: of(func(f beam.FootState) float64 { return f.Load }), Gap: of(func(f beam.FootState) float64 { return f.Gap })}
		for _, st := range all {
			if !st.feet[i].Lifted {
				one.Carries += 1 / float64(len(all))
			}
		}
		one.Lifted = one.Carries < 0.5
		out = append(out, one)
	}
	return out
}

// bearingLoads sums up how each bearing carries.
func bearingLoads(all []stood) (out []reports.BearingLoad) {
	for i, b := range all[0].bearings {
		one := reports.BearingLoad{X: b.X, Load: over(all, func(st stood) float64 { return st.bearings[i].Load }).mid}
		one.Force, _, _ = band(all, func(st stood) []float64 { return st.bearings[i].Force })
		out = append(out, one)
	}
	return out
}

// lightFeet tells which feet most likely carry nothing or little.
func (s *Shop) lightFeet(feet []reports.FootLoad) (out []reports.Warning) {
	least := s.leastLoad(feet)
	for _, f := range feet {
		switch {
		case f.Lifted:
			out = append(out, reports.FootLifts{Foot: f.Name, Gap: f.Gap})
		case f.Load < 0:
			out = append(out, reports.FootPulls{Foot: f.Name, Load: f.Load})
		case f.Load < least:
			out = append(out, reports.FootLight{Foot: f.Name, Load: f.Load, Least: least})
		}
	}
	return out
}

// sharing names the rigid feet whose loads are told only together.
func sharing(feet []beam.FootState) []reports.Warning {
	var w reports.LoadsShared
	for _, f := range feet {
		if f.Shared {
			w.Feet = append(w.Feet, f.Name)
		}
	}
	if w.Feet == nil {
		return nil
	}
	return []reports.Warning{w}
}

// leastLoad returns what each foot should carry, N.
func (s *Shop) leastLoad(feet []reports.FootLoad) float64 {
	if s.Goal == nil || len(feet) == 0 {
		return 0
	}
	var sum float64
	for _, f := range feet {
		sum += f.Load
	}
	return s.Goal.LeastLoad * sum / float64(len(feet))
}

// caveats are what makes an answer in a state less sure than it looks.
func (s *Shop) caveats(standing string, state reports.State) []reports.Warning {
	if state == reports.Given {
		return nil
	}
	if k, err := s.knownOf(standing); err == nil && k.unmatched != nil {
		return []reports.Warning{reports.NotMatched{Because: k.unmatched.Error()}}
	}
	return nil
}
