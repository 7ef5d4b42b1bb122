package shop

import (
	"cmp"

	"footwork/beam"
	"footwork/reports"
	"footwork/supports"
)

// Cut answers with the metal to come off in a state of the working standing; of the bed
// as found also with what is left after the recommended moves.
func (s *Shop) Cut(asked reports.State) (*reports.Cut, error) {
	standing := s.Working("")
	now, state, err := s.cuts(standing, asked)
	if err != nil {
		return nil, err
	}
	v := &reports.Cut{State: state, Ways: cutWays(now), Warnings: append(s.caveats(standing, state), reports.Texts(now[0].Warnings)...)}
	var after []supports.CutResult
	if p, err := s.planned(nil); err != nil {
		return nil, err
	} else if state == reports.Found && p.Recommended > 0 {
		if after, _, err = s.cuts(standing, reports.Planned); err != nil {
			return nil, err
		}
		v.AfterMoves = &reports.CutAfter{Ways: cutWays(after)}
	}
	for _, r := range routes(now, after, s.cutWish()) {
		v.Routes = append(v.Routes, reports.Route(r))
	}
	return v, nil
}

func (s *Shop) cutWish() supports.CutWish {
	if s.Job.Cut == nil {
		return supports.CutWish{}
	}
	return *s.Job.Cut
}

// cuts returns what is to be cut off every bed that the standing may be.
func (s *Shop) cuts(standing string, asked reports.State) ([]supports.CutResult, reports.State, error) {
	draws, state, err := s.Draws(standing, asked)
	if err != nil {
		return nil, state, err
	}
	task, places, err := s.cutTask(standing)
	if err != nil {
		return nil, state, err
	}
	straightIn := cmp.Or(task.Wish.StraightIn, standing)
	if straightIn != standing {
		draws = elsewhere(draws)
	}
	beds, err := s.standAll(straightIn, draws, task.Wish.TableAt)
	if err != nil {
		return nil, state, err
	}
	out, err := each(beds, func(bed stood) (supports.CutResult, error) {
		one := task
		one.Ways = nil
		for i, w := range task.Ways {
			w.Height = at(bed.ways[places[i]], w.X)
			one.Ways = append(one.Ways, w)
		}
		return supports.Cut(one), nil
	})
	return out, state, err
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
func (s *Shop) cutTask(standing string) (supports.CutTask, []int, error) {
	task := supports.CutTask{Crown: s.goal().Crown, Wish: s.cutWish()}
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
		task.Ways, task.Width, places = append(task.Ways, supports.Measured{Name: w.Name, Offset: w.Offset, X: x}), append(task.Width, w.Width), append(places, k)
	}
	return task, places, nil
}

// routes compares the ways to go on by what they leave on most beds.
func routes(now, after []supports.CutResult, w supports.CutWish) []supports.Route {
	typical := func(all []supports.CutResult) *supports.CutResult {
		if all == nil {
			return nil
		}
		zone := over(all, func(c supports.CutResult) float64 { return c.Zone })
		r := supports.CutResult{Zone: zone.mid, Sigma: (zone.high - zone.low) / 4}
		for i := range all[0].Ways {
			r.Ways = append(r.Ways, supports.CutWay{Hours: over(all, func(c supports.CutResult) float64 { return c.Ways[i].Hours }).mid})
		}
		return &r
	}
	return supports.Routes(*typical(now), typical(after), w)
}

func cutWays(all []supports.CutResult) (out []reports.CutWay) {
	for i, w := range all[0].Ways {
		of := func(figure func(supports.CutWay) float64) spread {
			return over(all, func(c supports.CutResult) float64 { return figure(c.Ways[i]) })
		}
		one := reports.CutWay{Name: w.Name, X: w.X}
		one.Depth, _, _ = band(all, func(c supports.CutResult) []float64 { return c.Ways[i].Depth })
		volume, passes, hours := of(func(w supports.CutWay) float64 { return w.Volume }), of(func(w supports.CutWay) float64 { return w.Passes }), of(func(w supports.CutWay) float64 { return w.Hours })
		one.Volume, one.Passes, one.Hours = volume.mid, passes.mid, hours.mid
		one.Range = &reports.CutRange{Volume: volume.ends(), Passes: passes.ends(), Hours: hours.ends()}
		out = append(out, one)
	}
	return out
}
