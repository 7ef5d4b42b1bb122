package shop

import (
	"math"
	"slices"

	"footwork/beam"
	"footwork/beam/shape"
	"footwork/internal/job"
	"footwork/internal/sample"
	"footwork/reports"
	"footwork/supports/blue"
	"footwork/supports/cut"
	"footwork/survey"
)

// cutWays sums every face up, with its map: nothing is mapped that is within what is not
// known.
func (s *Shop) cutWays(c cutting) (out []reports.CutWay, err error) {
	var maps []cut.Map
	for i, f := range c.results[0].Faces {
		one := c.summed(i)
		one.LeftOut = s.named(c.of[f.Way])
		if c.task.Options.DepthPerPass > 0 {
			again := c.seen.again[onFlank{c.of[f.Way], f.Flank}]
			maps = append(maps, c.drawn(i, again))
			mapped(&one, maps[i])
			one.PrintAgain = again
		}
		out = append(out, one)
	}
	for i := range maps {
		if out[i].Shows, err = s.shows(c, maps, i); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// summed is one face over all beds, without its map.
func (c cutting) summed(i int) reports.CutWay {
	f := c.results[0].Faces[i]
	of := func(figure func(cut.Face) float64) sample.Range {
		return over(c.results, func(r cut.Result) float64 { return figure(r.Faces[i]) })
	}
	volume, passes, hours := of(func(f cut.Face) float64 { return f.Volume }), of(func(f cut.Face) float64 { return f.Passes }), of(func(f cut.Face) float64 { return f.Hours })
	out := reports.CutWay{Name: c.task.Ways[f.Way].Name, Flank: f.Flank, X: f.X, Volume: volume.Value, Passes: passes.Value, Hours: hours.Value,
		Range: &reports.CutRange{Volume: ends(volume), Passes: ends(passes), Hours: ends(hours)}}
	if f.Flank > 0 {
		out.Skim = math.Cos(c.task.Ways[f.Way].Vee.Flanks[f.Flank-1])
	}
	out.Depth, _, _ = band(c.results, func(r cut.Result) []float64 { return r.Faces[i].Depth })
	return out
}

// drawn maps one face by the beds that would have printed as was seen · again is where it is
// printed again first.
func (c cutting) drawn(i int, again []shape.Span) cut.Map {
	f, beds := c.results[0].Faces[i], c.results
	if c.seen.fit != nil {
		beds = each(c.seen.fit, func(k int) cut.Result { return c.results[k] })
	}
	var low []float64
	f.Depth, low, _ = band(beds, func(r cut.Result) []float64 { return r.Faces[i].Depth })
	return cut.Draw(f, low, slices.Concat(c.task.Ways[f.Way].LeaveOut, again), c.task.Options)
}

// named are the stretches of a way that are left out.
func (s *Shop) named(way int) (out []reports.NamedSpan) {
	return each(s.Ways[way].LeaveOut, func(l job.Stretch) reports.NamedSpan { return reports.NamedSpan(l) })
}

func mapped(w *reports.CutWay, m cut.Map) {
	for k, p := range m.Passes {
		w.Map = append(w.Map, each(p.Runs, func(r shape.Span) reports.CutRun {
			return reports.CutRun{Pass: k + 1, From: r.From, To: r.To, Against: p.Against}
		})...)
	}
	w.SurveyAfter, w.CannotTell = m.Surveys, m.CannotTell
}

// mostShown is after how many passes it is told what shows: who has more to do grinds.
const mostShown = 40

// shows returns what a face shows after each pass of its map: how far out of straight it
// then is, and what the first master that fits prints on the most likely bed, both flanks of
// a vee scraped as far.
func (s *Shop) shows(c cutting, maps []cut.Map, face int) (out []reports.CutShow, err error) {
	f, passes := c.results[0].Faces[face], maps[face].Passes
	depth, _, _ := band(c.results, func(r cut.Result) []float64 { return r.Faces[face].Depth })
	p, bed, err := s.masterOn(c, f)
	if err != nil {
		return nil, err
	}
	taken := func(k, pass int, x []float64) []float64 {
		return cut.Taken(x, maps[k].Passes[:min(pass, len(maps[k].Passes))], c.task.Options.DepthPerPass)
	}
	shown := min(len(passes), mostShown)
	var metals [][]blue.Face
	for n := range shown {
		out = append(out, reports.CutShow{Zone: shape.Zone(f.X, minus(depth, taken(face, n+1, f.X)))})
		if p == nil {
			continue
		}
		faces := slices.Clone(bed.Faces)
		for k := range faces {
			other := c.face(f.Way, p.flank(k))
			faces[k].Metal = s.metal(c.draws[0], *p, k, c.aside, func(x []float64) []float64 { return taken(other, n+1, x) })
		}
		metals = append(metals, faces)
	}
	if len(metals) == 0 {
		return out, nil
	}
	all, err := bed.AlongEach(metals, s.Bed.Length)
	for n, a := range all {
		out[n].Master, out[n].Prints = p.name, a.Prints(p.face(c.of[f.Way], f.Flank))
	}
	return out, err
}

// face returns which face is a way's of the task, or a flank's of it.
func (c cutting) face(way, flank int) int {
	return slices.IndexFunc(c.results[0].Faces, func(f cut.Face) bool { return f.Way == way && f.Flank == flank })
}

// masterOn lays the first master that fits a face on its way; nil without one.
func (s *Shop) masterOn(c cutting, f cut.Face) (*printing, blue.Bed, error) {
	prints, _ := s.printings()
	for _, p := range prints {
		if p.name == job.TableMaster || p.face(c.of[f.Way], f.Flank) < 0 {
			continue
		}
		v, err := s.ridesOn(c.standing)
		if err != nil {
			return nil, blue.Bed{}, err
		}
		return &p, s.lying(p, on{c.draws[0], v.Riding(beam.Case{Draw: c.draws[0]})}, c.aside), nil
	}
	return nil, blue.Bed{}, nil
}

// left is how far out of straight a bed is, how well that is known, and the hours at the
// scraper that it takes.
type left struct{ zone, sigma, hours float64 }

func leftOf(all []cut.Result) left {
	zone := over(all, func(c cut.Result) float64 { return c.Zone })
	l := left{zone: zone.Value, sigma: (zone.High - zone.Low) / 4}
	for i := range all[0].Faces {
		l.hours += over(all, func(c cut.Result) float64 { return c.Faces[i].Hours }).Value
	}
	return l
}

// scraped is how far out of straight scraping leaves it: what may be left standing, or what
// the survey can tell (95 %) if that is more.
func (l left) scraped(w cut.Options) float64 { return min(l.zone, max(w.Leaves(), 2*l.sigma)) }

// routes compares leaving the beds, moving their feet, scraping them and both · after is the
// beds after the moves; none: no move helps.
func routes(now, after []cut.Result, w cut.Options) []reports.Route {
	n := leftOf(now)
	leave, scrape := reports.Route{Name: "leave", Zone: n.zone}, reports.Route{Name: "scrape", Zone: n.scraped(w), Hours: n.hours}
	if len(after) == 0 {
		return []reports.Route{leave, scrape}
	}
	a := leftOf(after)
	return []reports.Route{leave, {Name: "move feet", Zone: a.zone}, scrape, {Name: "both", Zone: a.scraped(w), Hours: a.hours}}
}

// sink is how far the table comes down, and what is left of how far it may.
func (s *Shop) sink(c cutting) reports.Sink {
	out := reports.Sink{Bed: over(c.results, func(r cut.Result) float64 { return r.Sink }).Value, Table: s.OwnSink}
	if s.MaySink > 0 {
		left := s.MaySink - out.Bed - out.Table
		out.Left = &left
	}
	return out
}

// perStretch is how many stations the shortest stretch of a last pass wants: with twelve to a
// wave a scraper who cannot see more took 10 % more passes than one who does and ended within
// tolerance, with six 16 %, and one way in fifty ended out of it.
const perStretch = 6

// stations tells where those of the survey stand too far apart for the map; nil where they do not.
func (c cutting) stations(ways []reports.CutWay) *reports.Stations {
	out := reports.Stations{Wants: math.Inf(1)}
	for _, w := range c.task.Ways {
		out.Apart = max(out.Apart, (w.X[len(w.X)-1]-w.X[0])/float64(len(w.X)-1))
	}
	for _, w := range ways {
		for _, r := range w.Map {
			if r.Pass == w.Map[len(w.Map)-1].Pass {
				out.Wants = min(out.Wants, (r.To-r.From)/perStretch)
			}
		}
	}
	if out.Apart <= out.Wants || c.state == reports.Given {
		return nil
	}
	return &out
}

// pair is what a pass over one way alone does to what rides on all of them; nil of one.
func (s *Shop) pair(t cut.Task) *reports.CutPair {
	if len(t.Ways) < 2 || s.Across() == 0 {
		return nil
	}
	out := &reports.CutPair{Tied: t.Tied, Gauge: s.gauge(), Twist: s.goal().Twist}
	for _, w := range t.Ways {
		sinks := t.Options.DepthPerPass
		if w.Vee != nil {
			sinks, _ = w.Vee.Sink([2]float64{sinks, sinks})
		}
		out.Ways, out.Lean = append(out.Ways, w.Name), max(out.Lean, sinks/s.Across())
	}
	return out
}

// astride is what a pass does to the instrument that steps along a way; nil without one.
func (s *Shop) astride(standing string, perPass float64) *reports.Astride {
	r := s.latest(standing, func(v survey.Survey) bool { return v.UpAndDown() && v.Base > 0 })
	if r == nil || perPass <= 0 {
		return nil
	}
	return astrideOf(r.Survey, perPass)
}

func astrideOf(v survey.Survey, perPass float64) *reports.Astride {
	return &reports.Astride{Survey: setUpOf(v), Base: v.Base, Change: math.Atan(perPass/v.Base) / v.One(), Unit: v.Unit}
}
