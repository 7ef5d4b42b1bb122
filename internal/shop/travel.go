package shop

import (
	"cmp"
	"fmt"
	"slices"

	"gonum.org/v1/gonum/floats"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/beam/ride"
	"footwork/beam/shape"
	"footwork/reports"
)

// travelling is how many beds the table travels over, and are moved from one standing to
// another.
const travelling = 32

// mostTravel is what a travel over them may take, one to three seconds of one processor, and a page has two: of 32
// beds on four rigid bearings, 640 points, one is asked.
const mostTravel = 4e9 // multiplications

// Travel answers what the table does on its way over the stroke in one standing.
func (s *Shop) Travel(standing string, asked reports.State) (*reports.Travel, error) {
	if s.Table == nil {
		return nil, askf("the job has no [table] to move: add one with its length and weight")
	}
	draws, state, err := s.Draws(standing, asked)
	if err != nil {
		return nil, err
	}
	v, err := s.ridesOn(standing)
	if err != nil {
		return nil, err
	}
	beds := some(draws, travelling)
	all, err := s.travelled(v, beds)
	if err != nil {
		return nil, fmt.Errorf("standing %q: %w", standing, err)
	}
	onAllPlaces(all)
	out := journey(all)
	out.Standing, out.State = standing, state
	reach := s.Table.Reach(s.Bed)
	out.Stroke = reports.Stroke{From: reach.From, To: reach.To, Assumed: s.Table.Stroke == nil}
	out.Warnings = append(s.caveats(standing, state), travelDoubts(all[0])...)
	if len(all) < len(beds) {
		out.Warnings = append(out.Warnings, reports.FewBeds{Beds: len(all)})
	}
	return out, nil
}

// travelled is the table's travel over the first of the beds, and over as many others as the work for it allows.
func (s *Shop) travelled(v *ride.Bed, beds []beam.Draw) (all []ride.Travel, err error) {
	travel, err := s.tables.get(v, func() (func(beam.Draw) (ride.Travel, error), error) { return v.Travels(*s.Table) })
	if err != nil {
		return nil, err
	}
	first, err := travel(beds[0])
	if err != nil || len(beds) == 1 {
		return []ride.Travel{first}, err
	}
	others, err := atOnce(some(beds[1:], max(0, int(s.travels/first.Effort)-1)), travel)
	return append([]ride.Travel{first}, others...), err
}

func travelDoubts(t ride.Travel) (out []reports.Warning) {
	out = each(t.Tips, func(tip ride.TravelTip) reports.Warning { return tip })
	if t.Missed {
		out = append(out, reports.NeverUnderTool{Tool: t.Table.Tool})
	}
	return append(out, each(t.Idle, func(f ride.FootIdle) reports.Warning { return f })...)
}

// onAllPlaces leaves only the places at which no bed tips.
func onAllPlaces(all []ride.Travel) {
	stands := map[float64]int{}
	for _, t := range all {
		for _, p := range t.Places {
			stands[p.At]++
		}
	}
	for i := range all {
		all[i].Places = slices.DeleteFunc(all[i].Places, func(p ride.Place) bool { return stands[p.At] < len(all) })
	}
}

// journey sums the travels up, place by place.
func journey(all []ride.Travel) *reports.Travel {
	zone := over(all, func(t ride.Travel) float64 { return t.Zone })
	out := &reports.Travel{X: all[0].X, PressureX: all[0].Along, AtToolStraightness: zone.Value, AtToolLow: zone.Low, AtToolHigh: zone.High}
	out.Ways = each(all[0].Ways, func(w casting.Way) reports.TravelWay { return reports.TravelWay{Name: w.Name} })
	out.Feet = each(all[0].Places[0].Feet, func(f beam.FootState) string { return f.Name })
	for k, first := range all[0].Places {
		places := each(all, func(t ride.Travel) ride.Place { return t.Places[k] })
		of := func(figure func(ride.Place) float64) float64 { return over(places, figure).Value }
		out.TableAt = append(out.TableAt, first.At)
		out.Path = append(out.Path, reports.PathPoint{Under: first.Under,
			Height: of(func(p ride.Place) float64 { return p.Height }), Pitch: of(func(p ride.Place) float64 { return p.Pitch }),
			Roll: of(func(p ride.Place) float64 { return p.Roll }), AtTool: of(func(p ride.Place) float64 { return p.AtTool })})
		for w := range out.Ways {
			height, _, _ := band(places, func(p ride.Place) []float64 { return p.Shapes[w] })
			out.Ways[w].Height = append(out.Ways[w].Height, height)
		}
		pressure, _, _ := band(places, func(p ride.Place) []float64 { return summed(p.Pressure) })
		out.Pressure = append(out.Pressure, pressure)
		mid, _, _ := band(places, loadsAt)
		low, high := jointly(each(places, loadsAt))
		out.FootLoads, out.FootLow, out.FootHigh = append(out.FootLoads, mid), append(out.FootLow, low), append(out.FootHigh, high)
	}
	return out
}

func loadsAt(p ride.Place) []float64 { return loadsOf(p.Feet) }

// summed adds the rows up, column by column.
func summed(rows [][]float64) []float64 {
	sum := make([]float64, len(rows[0]))
	for _, row := range rows {
		floats.Add(sum, row)
	}
	return sum
}

// Between fills in what was not said of a change: to is the standing worked in, from
// what it comes after.
func (s *Shop) Between(from, to string) (string, string, error) {
	to = s.Working(to)
	st, err := s.Standing(to)
	if err != nil {
		return "", "", AskError{err}
	}
	if from = cmp.Or(from, st.After); from == "" {
		return "", "", askf(`say the standing the bed comes from: --from NAME, or after = "NAME" in the standing %q`, to)
	}
	if _, err = s.Standing(from); err != nil {
		err = AskError{err}
	}
	return from, to, err
}

// Change answers what moving the bed does to its ways: the shape in the standing moved
// to, which has a state, less that of the same bed in the other, which is as drawn.
// The metal is in both and cancels.
func (s *Shop) Change(from, to string, asked reports.State, tableAt *float64) (*reports.Change, error) {
	after, err := s.standIn(to, asked, tableAt)
	if err != nil {
		return nil, err
	}
	draws, stood := some(after.draws, travelling), some(after.stood, travelling)
	before, err := s.standAll(from, elsewhere(draws), nil)
	if err != nil {
		return nil, err
	}
	x := s.stations(fine, from, to)
	return &reports.Change{From: from, To: to, State: after.state, X: x, Warnings: append(s.caveats(to, after.state), s.lightFeet(footLoads(after.stood))...),
		Ways: s.moved(x, stood, before)}, nil
}

// moved sums up at stations x how the ways of beds go from one place to another.
func (s *Shop) moved(x []float64, to, from []stood) []reports.WayShape {
	return s.wayShapes(x, func(way int) (changes [][]float64, straight []shape.Straightness) {
		was := s.over(from, way, x)
		for bed, is := range s.over(to, way, x) {
			changes = append(changes, minus(is, was[bed]))
			straight = append(straight, shape.Shape{X: x, Y: changes[bed]}.Straightness())
		}
		return changes, straight
	})
}
