package main

import (
	"cmp"

	"github.com/spf13/cobra"

	"footwork/reports"
	"footwork/supports"
)

func cutCommand(t *terminal) *cobra.Command {
	return t.onJob("cut", "what is left for the scraper, now and after the recommended moves", func(s *shop) (reports.View, []string, error) {
		plan, err := s.adjust()
		if err != nil {
			return nil, nil, err
		}
		v, err := s.cut(plan)
		if err != nil {
			return nil, nil, err
		}
		return v, v.Warnings, nil
	})
}

// cut works out the metal to come off now and after the recommended plan.
func (s *shop) cut(plan *reports.Adjust) (*reports.Cut, error) {
	m, err := s.measured(plan.Standing)
	if err != nil {
		return nil, err
	}
	task := supports.CutTask{Ways: m.framed, Tied: m.tied, Crown: s.goal().Crown}
	if s.Cut != nil {
		task.Wish = *s.Cut
	}
	for _, w := range m.ways {
		task.Width = append(task.Width, w.Width)
	}
	if task.Change, err = s.comingChange(m, task.Wish); err != nil {
		return nil, err
	}
	now := supports.Cut(task)
	best := plan.Plans[plan.Recommended]
	moved := task
	moved.Ways = nil
	for i, w := range task.Ways {
		w.Height = best.Ways[i].Height
		moved.Ways = append(moved.Ways, w)
	}
	v := &reports.Cut{Ways: cutWays(now), Warnings: now.Warnings}
	var after *supports.CutResult
	if len(best.Moves) > 0 {
		r := supports.Cut(moved)
		after, v.AfterMoves = &r, &reports.CutAfter{Ways: cutWays(r)}
	}
	for _, r := range supports.Routes(now, after, task.Wish) {
		v.Routes = append(v.Routes, reports.Route(r))
	}
	return v, nil
}

// comingChange is what the ways will do between the surveyed standing and the
// one in which they must be straight, each with its table.
func (s *shop) comingChange(m *measured, w supports.CutWish) ([][]float64, error) {
	straightIn := cmp.Or(w.StraightIn, m.standing.Name)
	there, err := s.stand(straightIn, w.TableAt)
	if err != nil {
		return nil, err
	}
	var change [][]float64
	for i, way := range m.ways {
		here, err := s.stand(m.standing.Name, m.readings[i].TableAt)
		if err != nil {
			return nil, err
		}
		change = append(change, at(there.Way(way.Offset).Minus(here.Way(way.Offset)), m.readings[i].X))
	}
	return change, nil
}

func cutWays(c supports.CutResult) (out []reports.CutWay) {
	for _, w := range c.Ways {
		out = append(out, reports.CutWay{Name: w.Name, X: w.X, Depth: w.Depth, Volume: w.Volume, Passes: w.Passes, Hours: w.Hours,
			Range: &reports.CutRange{Volume: w.Range.Volume, Passes: w.Range.Passes, Hours: w.Range.Hours}})
	}
	return out
}
