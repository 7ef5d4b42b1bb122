package shop

import (
	"cmp"
	"math"
	"slices"

	"footwork/beam"
	"footwork/beam/ride"
	"footwork/beam/shape"
	"footwork/internal/job"
	"footwork/reports"
	"footwork/supports/blue"
)

// on is one bed for masters to lie on.
type on struct {
	draw   beam.Draw
	riding ride.Riding
}

// bench is all that masters are laid on: three beds that a standing may be.
type bench struct {
	all    beds
	beds   []on      // three of them
	zones  []float64 // m, how far out of straight each way most likely is
	where  aside
	prints []printing
	left   []int // ways that no master fits
}

func (s *Shop) bench(standing string, asked reports.State) (b bench, err error) {
	if b.all, err = s.standIn(standing, asked, nil); err != nil {
		return b, err
	}
	b.where = s.sideways(standing)
	b.prints, b.left = s.printings()
	v, err := s.ridesOn(standing)
	if err != nil {
		return b, err
	}
	var three []int
	three, b.zones = s.threeOf(b.all)
	b.beds = each(three, func(i int) on { return on{b.all.draws[i], v.Riding(beam.Case{Draw: b.all.draws[i]})} })
	return b, nil
}

// threeOf returns the most central bed, the first, and those whose ways are straightest and
// least straight but for one in forty; and how far out of straight each way most likely is.
func (s *Shop) threeOf(all beds) (three []int, zones []float64) {
	order, worst := make([]int, len(all.stood)), make([]float64, len(all.stood))
	for k := range s.Bed.Ways {
		straight := all.straight[k]()
		zones = append(zones, straightness(straight).MinimumZone)
		for i, one := range straight {
			order[i], worst[i] = i, max(worst[i], one.MinimumZone)
		}
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(worst[i], worst[j]) })
	three = []int{0}
	if n := len(order) - 1; n > 1 {
		three = append(three, order[n/40], order[n-n/40])
	}
	return three, zones
}

// Blue answers what a master, or the job's table, prints on each way; with "" all masters, or
// else the table.
func (s *Shop) Blue(standing string, asked reports.State, with string) (*reports.Blue, error) {
	b, err := s.bench(standing, asked)
	if err != nil {
		return nil, err
	}
	if len(b.prints) == 0 {
		return nil, askf("there is nothing to blue: add a [[master]] or a [table] to the job")
	}
	fits := slices.ContainsFunc(b.prints, func(p printing) bool { return p.name != job.TableMaster })
	with = cmp.Or(with, map[bool]string{false: job.TableMaster}[fits])
	chosen := slices.DeleteFunc(slices.Clone(b.prints), func(p printing) bool {
		return with == "" && p.name == job.TableMaster || with != "" && p.name != with
	})
	if len(chosen) == 0 && with != "" {
		return nil, askf("%q is no master of the job that fits a way", with)
	}
	out := &reports.Blue{Standing: standing, State: b.all.state, Warnings: s.caveats(standing, b.all.state)}
	out.Warnings = append(out.Warnings, each(b.left, s.noMaster)...)
	for _, p := range chosen {
		ways, err := s.print(p, b)
		if err != nil {
			return nil, err
		}
		out.Ways = append(out.Ways, ways...)
	}
	seen, err := s.printsSeen(b)
	out.Warnings = append(out.Warnings, seen.warnings...)
	return out, err
}

func (s *Shop) noMaster(way int) reports.Warning {
	out := reports.NoMasterFits{Way: s.Bed.Ways[way].Name}
	if v := s.Ways[way].Vee; v != nil {
		out.Flanks = &v.Flanks
	}
	return out
}

// print lays a master along its faces on every bed.
func (s *Shop) print(p printing, b bench) (out []reports.BlueWay, err error) {
	all, err := atOnce(b.beds, func(o on) (blue.Along, error) { return s.lying(p, o, b.where).Along(s.Bed.Length) })
	if err != nil {
		return nil, err
	}
	hollow, hump := p.master.Hides()
	for k, f := range p.faces {
		w := reports.BlueWay{Name: f.Name, Flank: p.flank(k), Master: p.name, Length: p.master.Length, Film: p.master.Film, Free: shape.Zone(f.Master.X, f.Master.Y),
			Overlap: all[0].Overlap, Hides: hollow, HidesHump: hump, Degree: p.master.Degree(), WayZone: b.zones[p.ways[k]], LeftOut: s.named(p.ways[k])}
		if !math.IsInf(all[0].Bow, 0) {
			w.SteppingBow = all[0].Bow
		}
		w.Steps = each(all[0].Steps, func(step blue.Step) reports.BlueStep { return blueStep(step, k, all) })
		out = append(out, w)
	}
	return out, nil
}

// lying returns a master on one bed.
func (s *Shop) lying(p printing, b on, where aside) blue.Bed {
	out := blue.Bed{Riding: b.riding, Master: p.master, Faces: slices.Clone(p.faces)}
	for k := range out.Faces {
		out.Faces[k].Metal = s.metal(b.draw, p, k, where, nil)
	}
	return out
}

// places are at how many places along the bed the metal under a master is known: one or more over each of its cells
// of 3 cm, on beds up to 18 m.
const places = 601

// metal returns the form of a face as it is now, in heights as the level sees them: the
// way's, as level as its ends beyond where it is known; less what was scraped since, and
// what more is taken off (square to it, at places along the bed; nil: nothing); of a flank
// with what the vee's place sideways does.
func (s *Shop) metal(d beam.Draw, p printing, face int, where aside, more func(x []float64) []float64) shape.Shape {
	way := p.ways[face]
	out := shape.Shape{X: shape.Even(0, s.Bed.Length, places), Y: make([]float64, places)}
	add := func(of shape.Shape, times float64) { addHeld(out.Y, of, out.X, times) }
	if form, ok := formOf(d, way); ok {
		add(form, 1)
	}
	off := s.scraped(way).taken(out.X)
	taken, square := off[0], 1.0
	if p.vee {
		v := s.Ways[way].Vee
		taken, square = off[face], math.Cos(v.Flanks[face])
		if where.known(way) {
			add(where.of[way], v.Square(0, 1)[face]/square)
		}
	}
	if more != nil {
		taken = plus(taken, more(out.X))
	}
	add(shape.Shape{X: out.X, Y: taken}, -1/square)
	return out
}

var acrossWords = []string{blue.Full: "full", blue.Inner: "inner", blue.Outer: "outer"}

// blueStep is one face of a step on the most likely of several beds.
func blueStep(step blue.Step, face int, all []blue.Along) reports.BlueStep {
	f := step.Faces[face]
	out := reports.BlueStep{At: step.At, X: step.X, Gap: f.Gap, Pressure: f.Pressure, Hinge: step.Hinge, Seated: shape.Zone(step.X, f.Seat), WaySeated: shape.Zone(step.X, f.Way)}
	out.Prints = each(f.Prints, func(p blue.Print) reports.BluePrint {
		return reports.BluePrint{From: p.From, To: p.To, Across: acrossWords[p.Across], Bears: p.Share}
	})
	var here []blue.Step
	for _, a := range all {
		here = append(here, those(a.Steps, func(s blue.Step) bool { return s.At == step.At })...)
	}
	out.Sure, out.May = blue.Surely(here, face)
	return out
}
