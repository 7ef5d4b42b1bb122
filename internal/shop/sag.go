package shop

import (
	"sync"

	"gonum.org/v1/gonum/floats"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/beam/shape"
	"footwork/reports"
)

// stood is how one bed stands.
type stood struct {
	*beam.State
	draw     beam.Draw
	feet     []beam.FootState
	bearings []beam.BearingState
	ways     func() []shape.Shape // m, of the bed, without metal
}

// over returns the heights of a way of every bed at places, with its metal.
func (s *Shop) over(all []stood, way int, x []float64) [][]float64 {
	var p *beam.Probe
	if len(all[0].bearings) == 0 {
		p = all[0].Probe(x, s.Bed.Ways[way].Offset)
	}
	return s.read(all, p, way, x)
}

// read is over by a probe; nil where the bed lies on bearings, of so many points that the whole
// way is worked out sooner.
func (s *Shop) read(all []stood, p *beam.Probe, way int, x []float64) [][]float64 {
	return each(all, func(st stood) (h []float64) {
		if p != nil {
			h = st.Read(p)
		} else {
			h = st.ways()[way].Over(x)
		}
		if metal, ok := formOf(st.draw, way); ok {
			addHeld(h, metal, x, 1)
		}
		return h
	})
}

// straightness returns how straight a way of every bed is: one that was surveyed at the
// survey's stations, others all along.
func (s *Shop) straightness(all []stood, way int) []shape.Straightness {
	metal, surveyed := formOf(all[0].draw, way)
	if !surveyed {
		return each(all, func(st stood) shape.Straightness {
			ways, _ := st.Ways(s.Bed.Ways[way].Offset)
			return ways[0].Straightness()
		})
	}
	return each(s.over(all, way, metal.X), func(h []float64) shape.Straightness { return shape.Shape{X: metal.X, Y: h}.Straightness() })
}

// twist returns that of every bed at places, rad: what two lines beside the bed, where no table
// presses and a metre apart, do against each other.
func (s *Shop) twist(all []stood, x []float64) [][]float64 {
	beside := 1.
	for _, w := range s.Bed.Ways {
		beside = max(beside, w.Offset+1)
	}
	near, far := all[0].Probe(x, beside), all[0].Probe(x, beside+1)
	return each(all, func(st stood) []float64 { return minus(st.Read(far), st.Read(near)) })
}

// addHeld adds so many times a shape to heights at places x, which increase; beyond its ends it is as high as these.
func addHeld(h []float64, s shape.Shape, x []float64, times float64) {
	from, to := s.X[0], s.X[len(s.X)-1]
	held := make([]float64, len(x))
	for i, at := range x {
		held[i] = min(max(at, from), to)
	}
	floats.AddScaled(h, times, s.Over(held))
}

// formOf returns the metal of a way where the bed has it.
func formOf(d beam.Draw, way int) (shape.Shape, bool) {
	if way >= len(d.Form) || len(d.Form[way].X) == 0 {
		return shape.Shape{}, false
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
	solve := v.Under(c)
	offsets := each(s.Bed.Ways, func(w casting.Way) float64 { return w.Offset })
	return atOnce(draws, func(d beam.Draw) (stood, error) {
		st, err := solve(d, nil)
		if err != nil {
			return stood{}, err
		}
		ways := sync.OnceValue(func() []shape.Shape { ways, _ := st.Ways(offsets...); return ways })
		return stood{st, d, st.Feet(), st.Bearings(), ways}, nil
	})
}

// beds are those that a standing may be in a state, and how each stands.
type beds struct {
	state    reports.State
	draws    []beam.Draw
	stood    []stood
	straight []func() []shape.Straightness // how straight each way of all is
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
		b := beds{state: state, draws: draws, stood: all}
		for way := range s.Bed.Ways {
			b.straight = append(b.straight, sync.OnceValue(func() []shape.Straightness { return s.straightness(all, way) }))
		}
		return b, err
	})
}

// Sag answers for the standings named, each in the state asked for or its own.
func (s *Shop) Sag(names []string, state reports.State, tableAt *float64) (*reports.Sag, error) {
	v := &reports.Sag{}
	for _, name := range names {
		one, err := s.sagOf(name, state, tableAt, fine)
		if err != nil {
			return nil, err
		}
		b, err := s.standIn(one.Name, one.State, tableAt) // the page has no use for its twist
		if err != nil {
			return nil, err
		}
		one.Twist, _, _ = band(s.twist(b.stood, one.X), itself)
		v.Standings = append(v.Standings, one)
	}
	return v, nil
}

// sagOf answers for one standing, at so many stations.
func (s *Shop) sagOf(name string, asked reports.State, tableAt *float64, n int) (reports.SagStanding, error) {
	b, err := s.standIn(name, asked, tableAt)
	if err != nil {
		return reports.SagStanding{}, err
	}
	x, state, all := s.stations(n, name), b.state, b.stood
	v := reports.SagStanding{Name: name, State: state, TableAt: tableAt, X: x, Weight: all[0].Weight(), Feet: footLoads(all), Bearings: bearingLoads(all)}
	v.Ways = s.wayShapes(x, func(way int) ([][]float64, []shape.Straightness) {
		return s.read(all, s.probe(name, all[0], way, x), way, x), b.straight[way]()
	})
	v.Warnings = append(s.caveats(name, state), append(s.lightFeet(v.Feet), sharing(all[0].feet)...)...)
	return v, nil
}

// probe is made once for a way of a standing and its stations x; none where the bed lies on bearings.
func (s *Shop) probe(standing string, st stood, way int, x []float64) *beam.Probe {
	if len(st.bearings) > 0 {
		return nil
	}
	p, _ := s.probes.get(probed{standing, way, len(x)}, func() (*beam.Probe, error) { return st.Probe(x, s.Bed.Ways[way].Offset), nil })
	return p
}

// wayShapes sums every way of the beds up at stations x · of gives the heights of a way of
// every bed there, and how straight it is.
func (s *Shop) wayShapes(x []float64, of func(way int) ([][]float64, []shape.Straightness)) []reports.WayShape {
	ways := []reports.WayShape{}
	for k, w := range s.Bed.Ways {
		heights, straight := of(k)
		one := reports.WayShape{Name: w.Name, Offset: w.Offset, Straightness: straightness(straight)}
		one.Height, one.Low, one.High = aboutEnds(x, heights)
		ways = append(ways, one)
	}
	return ways
}

// aboutEnds returns the pointwise median and band of a way of every bed about the line
// through its ends, laid on the median of those lines: how high a bed stands as a whole,
// no survey tells.
func aboutEnds(x []float64, all [][]float64) (mid, low, high []float64) {
	mid, low, high = band(all, func(h []float64) []float64 { return shape.Shape{X: x, Y: h}.AboutEnds().Y })
	ends, _, _ := band(all, func(h []float64) []float64 { return []float64{h[0], h[len(h)-1]} })
	on := shape.Shape{X: []float64{x[0], x[len(x)-1]}, Y: ends}.Over(x)
	return plus(mid, on), plus(low, on), plus(high, on)
}

func straightness(all []shape.Straightness) reports.Straightness {
	zone := over(all, func(v shape.Straightness) float64 { return v.MinimumZone })
	return reports.Straightness{
		Ends:         over(all, func(v shape.Straightness) float64 { return v.Ends }).Value,
		LeastSquares: over(all, func(v shape.Straightness) float64 { return v.LeastSquares }).Value,
		MinimumZone:  zone.Value, Low: zone.Low, High: zone.High}
}

// footLoads sums up how each foot stands.
func footLoads(all []stood) (out []reports.FootLoad) {
	if len(all[0].feet) == 0 {
		return nil
	}
	low, high := jointly(each(all, func(st stood) []float64 { return loadsOf(st.feet) }))
	for i, f := range all[0].feet {
		of := func(figure func(beam.FootState) float64) float64 {
			return over(all, func(st stood) float64 { return figure(st.feet[i]) }).Value
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

func loadsOf(feet []beam.FootState) []float64 {
	return each(feet, func(f beam.FootState) float64 { return f.Load })
}

// bearingLoads sums up how each bearing carries.
func bearingLoads(all []stood) (out []reports.BearingLoad) {
	for i, b := range all[0].bearings {
		one := reports.BearingLoad{X: b.X, Load: over(all, func(st stood) float64 { return st.bearings[i].Load }).Value}
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
			out = append(out, reports.FootPulls{Foot: f.Name, Pull: -f.Load})
		case f.Load < least:
			out = append(out, reports.FootLight{Foot: f.Name, Load: f.Load, Least: least})
		}
	}
	return out
}

// sharing names the rigid feet whose loads are told only together.
func sharing(feet []beam.FootState) []reports.Warning {
	shared := those(feet, func(f beam.FootState) bool { return f.Shared })
	if len(shared) == 0 {
		return nil
	}
	return []reports.Warning{reports.LoadsShared{Feet: each(shared, func(f beam.FootState) string { return f.Name })}}
}

// leastLoad returns what each foot should carry, N.
func (s *Shop) leastLoad(feet []reports.FootLoad) float64 {
	if s.Goal == nil || len(feet) == 0 {
		return 0
	}
	loads := each(feet, func(f reports.FootLoad) float64 { return f.Load })
	return s.Goal.LeastLoad * floats.Sum(loads) / float64(len(loads))
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
