package shop

import (
	"math"
	"slices"

	"footwork/beam"
	"footwork/reports"
	"footwork/supports/blue"
)

// on is one bed for masters to lie on.
type on struct {
	draw   beam.Draw
	riding beam.Riding
}

// Blue answers what the masters of the job, or else its table, print on each way.
func (s *Shop) Blue(standing string, asked reports.State) (*reports.Blue, error) {
	draws, state, err := s.Draws(standing, asked)
	if err != nil {
		return nil, err
	}
	v, err := s.solver(standing)
	if err != nil {
		return nil, err
	}
	draws, zones, err := s.threeBeds(standing, draws)
	if err != nil {
		return nil, err
	}
	out := &reports.Blue{Standing: standing, State: state, Warnings: s.caveats(standing, state)}
	prints, left, err := s.printings()
	if err != nil {
		return nil, err
	}
	if len(prints) == 0 {
		return nil, askf("there is nothing to blue: add a [[master]] or a [table] to the job")
	}
	for _, w := range left {
		out.Warnings = append(out.Warnings, s.noMaster(w))
	}
	where, err := s.sideways(standing)
	if err != nil {
		return nil, err
	}
	beds := make([]on, len(draws))
	for i, d := range draws {
		beds[i] = on{d, v.Riding(beam.Case{Draw: d})}
	}
	for _, p := range prints {
		ways, doubts, err := s.print(p, beds, where, state)
		if err != nil {
			return nil, err
		}
		for i := range ways {
			ways[i].WayZone = zones[p.ways[i]]
		}
		out.Ways, out.Warnings = append(out.Ways, ways...), append(out.Warnings, doubts...)
	}
	return out, nil
}

// threeBeds returns the most central bed and those whose ways are straightest and least
// straight but for one in forty, and how far out of straight each way most likely is.
func (s *Shop) threeBeds(standing string, draws []beam.Draw) ([]beam.Draw, []float64, error) {
	all, err := s.standAll(standing, draws, nil)
	if err != nil {
		return nil, nil, err
	}
	zone := func(b stood, way int) float64 { return beam.Zone(b.ways[way].X, b.ways[way].Y) }
	var zones []float64
	order := make([]int, len(draws))
	worst := make([]float64, len(draws))
	for i, b := range all {
		order[i] = i
		for k := range s.Bed.Ways {
			worst[i] = max(worst[i], zone(b, k))
		}
	}
	for k := range s.Bed.Ways {
		zones = append(zones, over(all, func(b stood) float64 { return zone(b, k) }).mid)
	}
	slices.SortFunc(order, func(a, b int) int {
		switch {
		case worst[a] < worst[b]:
			return -1
		case worst[a] > worst[b]:
			return 1
		}
		return a - b
	})
	if len(draws) < 3 {
		return draws[:1], zones, nil
	}
	n := len(order) - 1
	return []beam.Draw{draws[0], draws[order[n/40]], draws[order[n-n/40]]}, zones, nil
}

func (s *Shop) noMaster(way int) reports.Warning {
	out := reports.NoMasterFits{Way: s.Bed.Ways[way].Name}
	if s.Ways[way].Vee {
		out.Flanks = &s.Ways[way].Flanks
	}
	return out
}

// print lays a master along its faces on every bed.
func (s *Shop) print(p printing, beds []on, where aside, state reports.State) (out []reports.BlueWay, doubts []reports.Warning, err error) {
	under := make([]blue.Bed, len(beds))
	for i, b := range beds {
		under[i] = s.lying(p, b, where)
	}
	all, err := each(under, func(b blue.Bed) (blue.Along, error) { return b.Along(s.Bed.Length, 0) })
	if err != nil {
		return nil, nil, err
	}
	hollow, hump := p.master.Hides()
	for k, f := range p.faces {
		w := reports.BlueWay{Name: f.Name, Flank: p.flank, Master: p.name, Length: p.master.Length, Film: p.film, Free: zoneOf(f.Master),
			Overlap: all[0].Overlap, Hides: hollow, HidesHump: hump, Degree: p.master.Degree(), LeftOut: s.named(p.ways[k])}
		if !math.IsInf(all[0].Bow, 0) {
			w.SteppingBow = all[0].Bow
		}
		for _, step := range all[0].Steps {
			w.Steps = append(w.Steps, blueStep(step, k, all))
		}
		out = append(out, w)
	}
	if state == reports.Found {
		doubts, err = s.printsSeen(p, under)
	}
	return out, doubts, err
}

func zoneOf(s beam.Shape) float64 {
	if len(s.X) < 2 {
		return 0
	}
	return beam.Zone(s.X, s.Y)
}

// lying returns a master on one bed.
func (s *Shop) lying(p printing, b on, where aside) blue.Bed {
	out := blue.Bed{Riding: b.riding, Master: p.master, Faces: slices.Clone(p.faces)}
	for k := range out.Faces {
		out.Faces[k].Metal = s.metal(b.draw, p, k, where, nil)
	}
	return out
}

// places are at how many places along the bed the metal under a master is known.
const places = 601

// metal returns the form of a face as it is now, in heights as the level sees them: the
// way's, as level as its ends beyond where it is known; less what was scraped since, and
// what more is taken off (square to it, at places along the bed; nil: nothing); of a flank
// with what the vee's place sideways does.
func (s *Shop) metal(d beam.Draw, p printing, face int, where aside, more func(x []float64) []float64) beam.Shape {
	way := p.ways[face]
	out := beam.Shape{X: beam.Even(0, s.Bed.Length, places), Y: make([]float64, places)}
	add := func(of beam.Shape, times float64) {
		for i, x := range out.X {
			out.Y[i] += times * of.At(min(max(x, of.X[0]), of.X[len(of.X)-1]))
		}
	}
	if form, ok := formOf(d, way); ok {
		add(form, 1)
	}
	off, _ := s.scraped(way, out.X)
	taken, square := off[0], 1.0
	if p.flank > 0 {
		v := s.vee(way)
		taken, square = off[p.flank-1], math.Cos(v.Flanks[p.flank-1])
		if where.known(way) {
			add(where.of[way], v.Square(0, 1)[p.flank-1]/square)
		}
	}
	if more != nil {
		taken = plus(taken, more(out.X))
	}
	add(beam.Shape{X: out.X, Y: taken}, -1/square)
	return out
}

var acrossWords = map[blue.Across]string{blue.Full: "full", blue.Inner: "inner", blue.Outer: "outer"}

// blueStep is one face of a step on the most likely of several beds.
func blueStep(step blue.Step, face int, all []blue.Along) reports.BlueStep {
	f := step.Faces[face]
	out := reports.BlueStep{At: step.At, X: step.X, Gap: f.Gap, Pressure: f.Pressure, Hinge: step.Hinge, Seated: beam.Zone(step.X, f.Seat)}
	for _, p := range f.Prints {
		out.Prints = append(out.Prints, reports.BluePrint{From: p.From, To: p.To, Across: acrossWords[p.Across], Bears: p.Share})
	}
	var here []blue.Step
	for _, a := range all {
		for _, s := range a.Steps {
			if s.At == step.At {
				here = append(here, s)
			}
		}
	}
	sure, may := blue.Surely(here, face)
	out.Sure, out.May = pairs(sure), pairs(may)
	return out
}
