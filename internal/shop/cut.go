package shop

import (
	"cmp"
	"slices"

	"footwork/beam"
	"footwork/beam/shape"
	"footwork/reports"
	"footwork/supports/cut"
	"footwork/survey/log"
	"footwork/survey/match"
)

// cutting is what comes off every bed that a standing may be.
type cutting struct {
	standing string // in which the ways must be straight
	state    reports.State
	draws    []beam.Draw
	task     cut.Task // without heights
	of       []int    // of the bed's ways, each of the task's
	aside    aside
	results  []cut.Result // of each draw
	warnings []reports.Warning
	seen     seen // what prints say of it
}

// Cut answers with the metal to come off in a state of the working standing; of the bed
// as found also with what is left after the recommended moves.
func (s *Shop) Cut(asked reports.State) (*reports.Cut, error) {
	standing := s.Working("")
	now, err := s.cuts(standing, asked)
	if err != nil {
		return nil, err
	}
	v := &reports.Cut{State: now.state, Sink: s.sink(now), Pair: s.pair(now.task), Datum: now.task.Unworn != nil, DepthPerPass: now.task.Options.DepthPerPass, Until: now.task.Options.Until,
		Chalk: reports.Chalk(s.Job.Marks), Warnings: append(s.caveats(standing, now.state), now.warnings...)}
	var after cutting
	if now.state == reports.Found {
		if after, err = s.found(v, &now, standing); err != nil {
			return nil, err
		}
	}
	if v.Ways, err = s.cutWays(now); err != nil {
		return nil, err
	}
	if v.Stations = now.stations(v.Ways); v.AfterMoves != nil {
		v.Stations = after.stations(v.AfterMoves.Ways)
	}
	v.Routes = routes(now.results, after.results, now.task.Options)
	v.Astride = s.astride(standing, v.DepthPerPass)
	return v, nil
}

// found adds to what is cut of the bed as found what comes before it, what prints say of it,
// and what is left after the recommended moves.
func (s *Shop) found(v *reports.Cut, now *cutting, standing string) (after cutting, err error) {
	v.First = s.first(standing)
	b, err := s.bench(standing, reports.Found)
	if err != nil {
		return after, err
	}
	if now.seen, err = s.printsSeen(b); err != nil {
		return after, err
	}
	v.Warnings = append(v.Warnings, now.seen.warnings...)
	v.PrintsFit = float64(len(now.seen.fit)) / float64(len(now.draws))
	p, err := s.planned(nil)
	if err != nil || p.Recommended <= 0 {
		return after, err
	}
	if after, err = s.cuts(standing, reports.Planned); err != nil {
		return after, err
	}
	after.seen = now.seen
	v.AfterMoves = &reports.CutAfter{Sink: s.sink(after)}
	v.AfterMoves.Ways, err = s.cutWays(after)
	return after, err
}

// mostFirst is how many of the things that settle it are told, the best first.
const mostFirst = 3

// leavesOpen: the surveys cannot tell feet from metal. Where the metal's share is told they can, though
// neither is the cause of most: what is asked for next is then of the feet.
func leavesOpen(m match.Result) bool {
	return m.Cause == match.Unclear && (len(m.Advice) == 0 || !m.Advice[0].OfFeet)
}

// first is what settles feet or metal, where the surveys leave that open.
func (s *Shop) first(standing string) []reports.Advice {
	k, err := s.knownOf(standing)
	if err != nil || k.unmatched != nil || !leavesOpen(k.matched) {
		return nil
	}
	st := s.standing(standing)
	return each(k.matched.Advice[:min(len(k.matched.Advice), mostFirst)], func(a match.Advice) reports.Advice { return s.advice(st, a) })
}

// cutOptions is how metal comes off, the depth of a pass as pads and the level have shown it.
func (s *Shop) cutOptions() cut.Options {
	var w cut.Options
	if s.Job.Cut != nil {
		w = *s.Job.Cut
	}
	w.Until = s.goal().Tolerance
	known := those(s.History().Entries, func(e log.Entry) bool { return e.What == log.Scrape && e.Depth > 0 })
	w.DepthPerPass = cut.Learn(w.DepthPerPass, each(known, func(e log.Entry) cut.Pad { return cut.Pad{Depth: e.Depth, Passes: e.Passes} }))
	return w
}

// cuts returns what is to be cut off every bed that the standing may be, and of what.
func (s *Shop) cuts(standing string, asked reports.State) (c cutting, err error) {
	if err := s.cutTask(&c, standing); err != nil {
		return c, err
	}
	c.standing = cmp.Or(c.task.Options.StraightIn, standing)
	b, err := s.straightIn(c.standing, standing, asked, c.task.Options.TableAt)
	if err != nil {
		return c, err
	}
	c.state, c.draws = b.state, b.draws
	tasks := slices.Repeat([]cut.Task{c.task}, len(b.stood))
	for i := range tasks {
		tasks[i].Ways = slices.Clone(c.task.Ways)
	}
	for i, w := range c.task.Ways {
		for bed, h := range s.over(b.stood, c.of[i], w.X) {
			tasks[bed].Ways[i].Height = plus(h, w.Height)
		}
	}
	c.results, err = atOnce(tasks, cut.Cut)
	return c, err
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
	draws = elsewhere(draws)
	all, err := s.standAll(there, draws, tableAt)
	return beds{state: state, draws: draws, stood: all}, err
}

// elsewhere returns the same beds on the feet of another standing, as it is drawn.
func elsewhere(draws []beam.Draw) []beam.Draw {
	return each(draws, func(d beam.Draw) beam.Draw { return beam.Draw{Bending: d.Bending, Twist: d.Twist, Form: d.Form} })
}

// cutTask sets up what is cut: the surveyed ways, or all of them. Their heights are what
// was scraped off since they were surveyed.
func (s *Shop) cutTask(c *cutting, standing string) (err error) {
	c.task = cut.Task{Crown: s.goal().Crown, Options: s.cutOptions(), Unworn: s.Unworn}
	c.aside = s.sideways(standing)
	c.task.Parallel = c.aside.parallel
	var m *measured
	if s.surveyed(standing) {
		if m, err = s.surveys(standing); err != nil {
			return err
		}
		c.task.Tied = m.tied
	}
	if c.task.Options.DepthPerPass <= 0 || c.task.Options.TimePerPass <= 0 {
		c.warnings = append(c.warnings, reports.NoPass{})
	}
	for k := range s.Bed.Ways {
		x := shape.Even(0, s.Bed.Length, 81)
		if m != nil {
			if x = m.framedOf(k).X; x == nil {
				c.warnings = append(c.warnings, reports.NotCut{Way: s.Bed.Ways[k].Name})
			}
		}
		s.addWay(c, k, x)
	}
	if v := those(c.task.Ways, func(w cut.Way) bool { return w.Sideways != nil }); len(v) > 1 && !c.aside.parallel {
		c.warnings = append(c.warnings, reports.NoDistance{Ways: [2]string{v[0].Name, v[1].Name}})
	}
	return nil
}

// addWay adds a way of the bed to what is cut, and what is not known of it; not one of which
// fewer than two stations are kept.
func (s *Shop) addWay(c *cutting, k int, x []float64) {
	done := s.scraped(k)
	taken := [2][]float64{off(done.since, -1, x), off(done.since, 1, x)}
	w := cut.Way{Name: s.Bed.Ways[k].Name, Offset: s.Bed.Ways[k].Offset, Width: s.Bed.Ways[k].Width, X: x,
		Height: minus(make([]float64, len(x)), taken[0]), LeaveOut: s.leftOut(k)}
	kept := w.Kept().X
	if len(kept) < 2 {
		return
	}
	w.Between = done.between(kept)
	if w.Vee = s.Ways[k].Vee; w.Vee != nil {
		if c.aside.known(k) {
			w.Sideways = c.aside.of[k].Over(x)
		} else {
			c.warnings = append(c.warnings, reports.NoSideways{Way: w.Name})
		}
		for i := range x {
			down, side := w.Vee.Sink([2]float64{taken[0][i], taken[1][i]})
			w.Height[i] = -down
			if w.Sideways != nil {
				w.Sideways[i] += side
			}
		}
	}
	if w.Width == 0 {
		c.warnings = append(c.warnings, reports.NoWidth{Way: w.Name})
	}
	if done.passes > 0 {
		c.warnings = append(c.warnings, reports.ScrapedSince{Way: w.Name, Passes: done.passes})
	}
	c.task.Ways, c.of = append(c.task.Ways, w), append(c.of, k)
}

func (s *Shop) leftOut(way int) []shape.Span {
	return each(s.named(way), func(l reports.NamedSpan) shape.Span { return l.Span })
}
