package shop

import (
	"math"
	"slices"

	"footwork/beam"
	"footwork/internal/job"
	"footwork/reports"
	"footwork/supports/blue"
	"footwork/survey"
	"footwork/survey/log"
)

// printing is a master on the faces that it is laid on at once.
type printing struct {
	name   string
	master blue.Master
	film   float64     // m, square to the face
	faces  []blue.Face // without their metal
	ways   []int       // of the bed, that of each face
	flank  int         // 1 and 2 of a vee; 0: none
	vee    beam.Vee
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
		out.Warnings = append(out.Warnings, reports.NoMasterFits{Way: s.Bed.Ways[w].Name, Vee: s.Ways[w].Vee})
	}
	for _, p := range prints {
		ways, doubts, err := s.print(p, standing, v, draws, state)
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

// printings lists which master goes on which ways, and the ways that none fits. The table
// stands in where the job names no master.
func (s *Shop) printings() (out []printing, left []int, err error) {
	for k, w := range s.Bed.Ways {
		fits := false
		for _, m := range s.Masters {
			if m.Vee != s.Ways[k].Vee {
				continue
			}
			fits = true
			master := masterOf(m)
			if !m.Vee {
				out = append(out, printing{name: m.Name, master: master, film: master.Film, faces: []blue.Face{{Name: w.Name, Offset: w.Offset, Width: w.Width, Master: m.Face}}, ways: []int{k}})
				continue
			}
			for flank, side := range []float64{-1, 1} {
				vee := beam.Vee{Flanks: s.Ways[k].Flanks, Ridge: s.Ways[k].Inverted}
				out = append(out, printing{name: m.Name, master: master.OnFlank(vee, flank), film: master.Film, ways: []int{k}, flank: flank + 1, vee: vee,
					faces: []blue.Face{{Name: w.Name, Offset: w.Offset + side*w.Width/4, Width: w.Width / 2, Master: m.Face}}})
			}
		}
		if !fits && len(s.Masters) > 0 {
			left = append(left, k)
		}
	}
	if len(s.Masters) == 0 && s.Table != nil {
		p := printing{name: "table", master: tableAsMaster(*s.Table), film: middling}
		for k, w := range s.Bed.Ways {
			own, err := s.tableForm(w.Name)
			if err != nil {
				return nil, nil, err
			}
			p.faces, p.ways = append(p.faces, blue.Face{Name: w.Name, Offset: w.Offset, Width: w.Width, Master: own}), append(p.ways, k)
		}
		out = append(out, p)
	}
	return out, left, nil
}

// tableForm returns the form of the table's own way by its latest survey, from the table's
// left end; empty where it was not surveyed.
func (s *Shop) tableForm(way string) (beam.Shape, error) {
	for _, standing := range s.Surveyed() {
		r, err := s.latest(standing, func(v survey.Survey) bool { return v.OfTable && !v.Sideways && v.Way == way })
		if err != nil {
			return beam.Shape{}, err
		}
		if r != nil {
			p := r.AboutEnds()
			return beam.Shape{X: p.X, Y: p.Height}, nil
		}
	}
	return beam.Shape{}, nil
}

// masterOf returns a master of the job.
func masterOf(m job.Master) blue.Master {
	out := blue.Iron(m.Length, m.Depth, m.Modulus)
	if m.Depth == 0 {
		out.Shear = 0
	}
	if m.Weight > 0 {
		out.Weight = m.Weight
	}
	if m.Inertia > 0 {
		out.Bending = m.Modulus * m.Inertia
	}
	out.Film, out.Stroke = m.Film, m.Stroke
	if m.Carried > 0 {
		out = out.Carried(m.Carried, m.CarriedAt)
	}
	return out
}

// stiffTable is the EI of a table that is said to be stiff, N·m²: a hundred times that of a
// block of iron as deep as half a metre.
const stiffTable = 1e12

// middling is the film of a table that prints, m: assumed, as a master's is.
const (
	middling = 2.5e-6
	moved    = 20e-3
)

func tableAsMaster(t beam.Table) blue.Master {
	ei := t.Bending
	if ei == 0 {
		ei = stiffTable
	}
	return blue.Master{Length: t.Length, Weight: t.Weight, Bending: ei, Film: middling, Stroke: moved}
}

// print lays a master along its faces on every bed.
func (s *Shop) print(p printing, standing string, v *beam.Solver, draws []beam.Draw, state reports.State) ([]reports.BlueWay, []reports.Warning, error) {
	aside, err := s.sideways(standing, s.Bed.Ways[p.ways[0]].Name)
	if err != nil {
		return nil, nil, err
	}
	beds := make([]blue.Bed, len(draws))
	for i, d := range draws {
		beds[i] = blue.Bed{Riding: v.Riding(beam.Case{Draw: d}), Master: p.master}
		for k, f := range p.faces {
			f.Metal = s.metal(d, p.ways[k])
			if aside != nil && p.flank > 0 {
				f.Metal = onFlank(f.Metal, *aside, p.vee, p.flank-1)
			}
			beds[i].Faces = append(beds[i].Faces, f)
		}
	}
	all, err := each(beds, func(b blue.Bed) (blue.Along, error) { return b.Along(s.Bed.Length, 0) })
	if err != nil {
		return nil, nil, err
	}
	hollow, hump := p.master.Hides()
	var out []reports.BlueWay
	for k, f := range p.faces {
		w := reports.BlueWay{Name: f.Name, Flank: p.flank, Master: p.name, Length: p.master.Length, Film: p.film,
			Overlap: all[0].Overlap, Hides: hollow, HidesHump: hump, Degree: p.master.Degree(), SteppingBow: finite(all[0].Bow)}
		for _, step := range all[0].Steps {
			w.Steps = append(w.Steps, blueStep(step, k, all[1:]))
		}
		out = append(out, w)
	}
	var doubts []reports.Warning
	if state == reports.Found {
		doubts, err = s.printsSeen(p, beds)
	}
	return out, doubts, err
}

// onFlank adds what a way's place sideways does to one flank, in heights as the level sees
// them.
func onFlank(up, aside beam.Shape, v beam.Vee, flank int) beam.Shape {
	out := beam.Shape{X: up.X, Y: slices.Clone(up.Y)}
	if len(up.X) == 0 {
		out = beam.Shape{X: aside.X, Y: make([]float64, len(aside.X))}
	}
	lean := v.Square(0, 1)[flank] / math.Cos(v.Flanks[flank])
	first, last := aside.X[0], aside.X[len(aside.X)-1]
	for i, x := range out.X {
		out.Y[i] += lean * aside.At(min(max(x, first), last))
	}
	return out
}

func finite(v float64) float64 {
	if math.IsInf(v, 0) {
		return 0
	}
	return v
}

// metal returns the form of a way as level as its ends beyond where it is known.
func (s *Shop) metal(d beam.Draw, way int) beam.Shape {
	f, ok := formOf(d, way)
	if !ok {
		return beam.Shape{}
	}
	n := len(f.X) - 1
	out := beam.Shape{X: slices.Clone(f.X), Y: slices.Clone(f.Y)}
	if f.X[0] > 0 {
		out.X, out.Y = slices.Insert(out.X, 0, 0), slices.Insert(out.Y, 0, f.Y[0])
	}
	if f.X[n] < s.Bed.Length {
		out.X, out.Y = append(out.X, s.Bed.Length), append(out.Y, f.Y[n])
	}
	return out
}

var acrossWords = map[blue.Across]string{blue.Full: "full", blue.Inner: "inner", blue.Outer: "outer"}

// blueStep is one face of a step, with what other beds print there.
func blueStep(step blue.Step, face int, others []blue.Along) reports.BlueStep {
	f := step.Faces[face]
	out := reports.BlueStep{At: step.At, X: step.X, Gap: f.Gap, Pressure: f.Pressure, Hinge: step.Hinge}
	for _, p := range f.Prints {
		sure := true
		for _, o := range others {
			sure = sure && printsAt(o, step.At, face, (p.From+p.To)/2)
		}
		out.Prints = append(out.Prints, reports.BluePrint{From: p.From, To: p.To, Across: acrossWords[p.Across], Bears: p.Share, Sure: sure})
	}
	return out
}

func printsAt(a blue.Along, at float64, face int, x float64) bool {
	for _, s := range a.Steps {
		if s.At == at {
			return slices.ContainsFunc(s.Faces[face].Prints, func(p blue.Print) bool { return p.From <= x && x <= p.To })
		}
	}
	return false
}

// printsSeen holds the prints and hinges of the log, since metal or a foot was last touched,
// beside what every bed foretells: a doubt is told only where all of them have it.
func (s *Shop) printsSeen(p printing, beds []blue.Bed) (out []reports.Warning, err error) {
	for _, a := range s.seen() {
		face := slices.IndexFunc(p.faces, func(f blue.Face) bool { return f.Name == a.Way })
		if face < 0 || a.Master != p.name || a.Flank != 0 && (a.Flank+3)/2 != p.flank {
			continue
		}
		steps, err := each(beds, func(b blue.Bed) (blue.Step, error) { return b.Lay(a.At) })
		if err != nil {
			return nil, err
		}
		if a.What == log.Hinge {
			out = append(out, hingeSeen(p, a, steps)...)
			continue
		}
		for _, d := range commonDoubts(steps, face, marksOf(a.Marks), p.master) {
			out = append(out, reports.PrintDoubted{Line: a.Line, Way: a.Way, Master: p.name, From: d.From, To: d.To, Air: d.Air})
		}
	}
	return out, nil
}

func commonDoubts(steps []blue.Step, face int, marks []blue.Mark, m blue.Master) (common []blue.Doubt) {
	for i, step := range steps {
		doubts := step.Against(face, marks, m, 0)
		if i == 0 {
			common = doubts
			continue
		}
		common = slices.DeleteFunc(common, func(d blue.Doubt) bool {
			return !slices.ContainsFunc(doubts, func(o blue.Doubt) bool { return (o.Air > 0) == (d.Air > 0) && o.From < d.To && o.To > d.From })
		})
	}
	return common
}

// unlikeHinge is by how much of the master's length a hinge may stand elsewhere than foretold:
// a third and a half, or a third and a sixth, tell a hump from even bearing and that from a
// relieved middle; a hand tells no finer.
const unlikeHinge = 1. / 6

// hingeSeen is a hint where a master swung elsewhere than every bed foretells, at either end.
func hingeSeen(p printing, a log.Act, steps []blue.Step) []reports.Warning {
	w := reports.HingeUnlike{Line: a.Line, Way: a.Way, Master: p.name, Foretold: steps[0].Hinge}
	unlike := false
	for end, pivot := range a.Swings {
		w.Seen[end] = pivot.Share
		if pivot.Length > 0 {
			w.Seen[end] = pivot.Length / p.master.Length
		}
		unlike = unlike || !slices.ContainsFunc(steps, func(st blue.Step) bool { return math.Abs(st.Hinge[end]-w.Seen[end]) < unlikeHinge })
	}
	if !unlike {
		return nil
	}
	return []reports.Warning{w}
}

// seen returns the prints and hinges of the log that the bed as it is now made.
func (s *Shop) seen() (out []log.Act) {
	for _, a := range s.acts() {
		switch {
		case a.What == log.Scrape || a.What.Touching():
			out = nil
		case a.What == log.Print || a.What == log.Hinge:
			out = append(out, a)
		}
	}
	return out
}

// acts returns the lines of the log that count.
func (s *Shop) acts() (out []log.Act) {
	void := map[int]bool{}
	for _, a := range s.Log {
		if a.What == log.Void {
			void[a.Voids] = true
		}
	}
	for _, a := range s.Log {
		if !void[a.Line] {
			out = append(out, a)
		}
	}
	return out
}

func marksOf(marks []log.Mark) (out []blue.Mark) {
	for _, m := range marks {
		b := blue.Mark{From: m.From, To: m.To}
		for across, word := range acrossWords {
			if word == m.Across {
				b.Across = across
			}
		}
		out = append(out, b)
	}
	return out
}
