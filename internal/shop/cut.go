package shop

import (
	"cmp"

	"footwork/beam"
	"footwork/reports"
	"footwork/supports/cut"
	"footwork/survey"
	"footwork/survey/log"
)

// Cut answers with the metal to come off in a state of the working standing; of the bed
// as found also with what is left after the recommended moves.
func (s *Shop) Cut(asked reports.State) (*reports.Cut, error) {
	standing := s.Working("")
	now, task, state, err := s.cuts(standing, asked)
	if err != nil {
		return nil, err
	}
	v := &reports.Cut{State: state, Ways: s.cutWays(now, task), Sink: sinkOf(now), DepthPerPass: task.Wish.DepthPerPass, Warnings: append(s.caveats(standing, state), unmeasured(task)...)}
	var after []cut.Result
	if state == reports.Found {
		p, err := s.planned(nil)
		if err != nil {
			return nil, err
		}
		if p.Recommended > 0 {
			if after, task, _, err = s.cuts(standing, reports.Planned); err != nil {
				return nil, err
			}
			v.AfterMoves = &reports.CutAfter{Ways: s.cutWays(after, task), Sink: sinkOf(after)}
		}
	}
	for _, r := range routes(now, after, task.Wish) {
		v.Routes = append(v.Routes, reports.Route(r))
	}
	return v, nil
}

// unmeasured tells what the job does not say of the cut.
func unmeasured(task cut.Task) (out []reports.Warning) {
	for _, w := range task.Ways {
		if w.Width == 0 {
			out = append(out, reports.NoWidth{Way: w.Name})
		}
		if w.Vee != nil && w.Sideways == nil {
			out = append(out, reports.NoSideways{Way: w.Name})
		}
	}
	if task.Wish.DepthPerPass <= 0 || task.Wish.TimePerPass <= 0 {
		out = append(out, reports.NoPass{})
	}
	return out
}

// cutWish is how metal comes off, the depth of a pass as cut pads have shown it.
func (s *Shop) cutWish() cut.Wish {
	var w cut.Wish
	if s.Job.Cut != nil {
		w = *s.Job.Cut
	}
	var pads []cut.Pad
	for _, a := range s.acts() {
		if a.What == log.Scrape && a.Depth > 0 {
			pads = append(pads, cut.Pad{Depth: a.Depth, Passes: a.Passes})
		}
	}
	w.DepthPerPass = cut.Learn(w.DepthPerPass, pads)
	return w
}

// cuts returns what is to be cut off every bed that the standing may be, and of what.
func (s *Shop) cuts(standing string, asked reports.State) ([]cut.Result, cut.Task, reports.State, error) {
	task, places, err := s.cutTask(standing)
	if err != nil {
		return nil, task, asked, err
	}
	b, err := s.straightIn(cmp.Or(task.Wish.StraightIn, standing), standing, asked, task.Wish.TableAt)
	if err != nil {
		return nil, task, b.state, err
	}
	out, err := each(b.stood, func(bed stood) (cut.Result, error) {
		one := task
		one.Ways = nil
		for i, w := range task.Ways {
			w.Height = at(bed.ways[places[i]], w.X)
			one.Ways = append(one.Ways, w)
		}
		return cut.Cut(one)
	})
	return out, task, b.state, err
}

// straightIn is how the beds of a standing stand where they must be straight.
func (s *Shop) straightIn(there, standing string, asked reports.State, tableAt *float64) (beds, error) {
	if there == standing {
		return s.standIn(standing, asked, tableAt)
	}
	draws, state, err := s.Draws(standing, asked)
	if err != nil {
		return beds{}, err
	}
	all, err := s.standAll(there, elsewhere(draws), tableAt)
	return beds{state, draws, all}, err
}

// elsewhere returns the same beds on the feet of another standing, as it is drawn.
func elsewhere(draws []beam.Draw) []beam.Draw {
	out := make([]beam.Draw, len(draws))
	for i, d := range draws {
		out[i] = beam.Draw{Bending: d.Bending, Twist: d.Twist, Form: d.Form}
	}
	return out
}

// cutTask is what is cut: the surveyed ways, or all of them, without their heights, and
// which of the bed's they are.
func (s *Shop) cutTask(standing string) (cut.Task, []int, error) {
	task := cut.Task{Crown: s.goal().Crown, Wish: s.cutWish(), Unworn: s.unworn()}
	var places []int
	var m *measured
	if s.surveyed(standing) {
		var err error
		if m, err = s.surveys(standing); err != nil {
			return task, nil, err
		}
		task.Tied = m.tied
	}
	for k, w := range s.Bed.Ways {
		x := beam.Even(0, s.Bed.Length, 81)
		if m != nil {
			if x = m.stations(w.Name); x == nil {
				continue
			}
		}
		one := cut.Way{Name: w.Name, Offset: w.Offset, Width: w.Width, X: x}
		if s.Ways[k].Vee {
			one.Vee = &beam.Vee{Flanks: s.Ways[k].Flanks, Ridge: s.Ways[k].Inverted}
			aside, err := s.sideways(standing, w.Name)
			if err != nil {
				return task, nil, err
			}
			if aside != nil {
				one.Sideways = at(*aside, x)
			}
		}
		task.Ways, places = append(task.Ways, one), append(places, k)
	}
	return task, places, nil
}

// sideways returns where a way lies sideways, by its latest survey of that; nil without.
func (s *Shop) sideways(standing, way string) (*beam.Shape, error) {
	r, err := s.latest(standing, func(v survey.Survey) bool { return v.Way == way && v.Sideways && !v.OfTable })
	if r == nil || err != nil {
		return nil, err
	}
	p := r.AboutEnds()
	return &beam.Shape{X: p.X, Y: p.Height}, nil
}

// unworn returns where the job says that metal is unworn: at the ends, the outer tenth at
// each; in the middle, the middle third (assumed).
func (s *Shop) unworn() []beam.Span {
	l := s.Bed.Length
	switch {
	case s.Datum.Span != nil:
		return []beam.Span{*s.Datum.Span}
	case s.Datum.Where == "ends":
		return []beam.Span{{From: 0, To: l / 10}, {From: 0.9 * l, To: l}}
	case s.Datum.Where == "middle":
		return []beam.Span{{From: l / 3, To: 2 * l / 3}}
	}
	return nil
}

// routes compares the ways to go on by what they leave on most beds.
func routes(now, after []cut.Result, w cut.Wish) []cut.Route {
	typical := func(all []cut.Result) *cut.Left {
		if all == nil {
			return nil
		}
		zone := over(all, func(c cut.Result) float64 { return c.Zone })
		l := cut.Left{Zone: zone.mid, Sigma: (zone.high - zone.low) / 4}
		for i := range all[0].Faces {
			l.Hours += over(all, func(c cut.Result) float64 { return c.Faces[i].Hours }).mid
		}
		return &l
	}
	return cut.Routes(*typical(now), typical(after), w)
}

func sinkOf(all []cut.Result) float64 {
	return over(all, func(c cut.Result) float64 { return c.Sink }).mid
}

// cutWays sums every face up, with its map: nothing is mapped that is within what is not
// known.
func (s *Shop) cutWays(all []cut.Result, task cut.Task) (out []reports.CutWay) {
	for i, f := range all[0].Faces {
		of := func(figure func(cut.Face) float64) spread {
			return over(all, func(c cut.Result) float64 { return figure(c.Faces[i]) })
		}
		one := reports.CutWay{Name: task.Ways[f.Way].Name, Flank: f.Flank, X: f.X}
		depth, low, _ := band(all, func(c cut.Result) []float64 { return c.Faces[i].Depth })
		one.Depth = depth
		volume, passes, hours := of(func(f cut.Face) float64 { return f.Volume }), of(func(f cut.Face) float64 { return f.Passes }), of(func(f cut.Face) float64 { return f.Hours })
		one.Volume, one.Passes, one.Hours = volume.mid, passes.mid, hours.mid
		one.Range = &reports.CutRange{Volume: volume.ends(), Passes: passes.ends(), Hours: hours.ends()}
		if task.Wish.DepthPerPass > 0 {
			drawn := cut.Draw(cut.Face{X: f.X, Depth: depth}, low, nil, task.Wish)
			for k, p := range drawn.Passes {
				for _, r := range p.Runs {
					one.Map = append(one.Map, reports.CutRun{Pass: k + 1, From: r.From, To: r.To, Against: p.Against})
				}
			}
			one.SurveyAfter = drawn.Surveys
			for _, r := range drawn.CannotTell {
				one.CannotTell = append(one.CannotTell, [2]float64{r.From, r.To})
			}
		}
		out = append(out, one)
	}
	return out
}
