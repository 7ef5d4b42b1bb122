package shop

import (
	"cmp"
	"runtime"
	"slices"

	"footwork/beam"
	"footwork/internal/job"
	"footwork/reports"
	"footwork/supports"
)

// part puts one answer in its place on the page; a spare one the page can do without.
type part struct {
	fill  func() error
	spare bool
}

// into is the part that puts an answer there.
func into[V any](to *V, answer func() (V, error)) part {
	return part{fill: func() error {
		v, err := answer()
		if err == nil {
			*to = v
		}
		return err
	}}
}

func spare(p part) part { return part{p.fill, true} }

// fill fills parts in, by so many workers. Skipped is told why spare ones stay empty, in the order
// of the parts.
func fill(parts []part, workers int, skipped func(error)) (err error) {
	errs, _ := by(workers, parts, func(p part) (error, error) { return p.fill(), nil })
	for i, p := range parts {
		if !p.spare {
			err = cmp.Or(err, errs[i])
		} else if errs[i] != nil {
			skipped(errs[i])
		}
	}
	return err
}

// Blank is a page without answers: the job, as words about them need it.
func (s *Shop) Blank() *reports.Page {
	p := &reports.Page{Title: s.Title, Units: s.Units, Bed: s.Bed, Table: s.Table, Standing: s.Working(""), Adjusters: map[string]supports.Adjuster{}, Goal: s.Goal}
	p.Standings = each(s.Standings, func(one job.Standing) beam.Standing { return one.Standing })
	st := s.standing(p.Standing)
	for i, f := range st.Feet {
		p.Adjusters[f.Name] = st.Adjusters[i]
	}
	return p
}

// Report works the whole job through. What the job has no data for stays empty; what
// could not be worked out is among the errors that skipped is told of.
func (s *Shop) Report(skipped func(error)) (*reports.Page, error) {
	work, p := s.Working(""), s.Blank()
	if ranges, source, ok := job.Published(s.Bed.Material.Name); ok {
		p.Published = &reports.Published{Source: source, Ranges: ranges}
	}
	parts := s.reportParts(p, s.standing(work))
	states := []reports.PageState{{State: reports.Given}, {State: reports.Found}, {State: reports.Planned}}
	for i := range states {
		parts = append(parts, s.stateParts(&states[i], work)...)
	}
	err := fill(parts, s.partsAtOnce(), skipped)
	p.States = slices.DeleteFunc(states, func(one reports.PageState) bool { return one.Bare.Name == "" })
	return p, err
}

// partsAtOnce is two for each processor, so that none waits for what several of them rest on, which
// is worked out by one; one of a bed that lies on bearings, where plan and travel would hold the
// compliances between some hundreds of points at the same time.
func (s *Shop) partsAtOnce() int {
	if slices.ContainsFunc(s.Standings, func(st job.Standing) bool { return len(st.Bearings) > 0 && s.surveyed(st.Name) }) {
		return 1
	}
	return 2 * runtime.GOMAXPROCS(0)
}

// reportParts are what was measured and what to do about it, and what the page has of all
// standings; what takes longest begins first, but that places for feet, which wait for nothing, are
// sought while the planner has work for one processor alone.
func (s *Shop) reportParts(p *reports.Page, st job.Standing) (parts []part) {
	if len(s.Surveys) > 0 {
		parts = append(parts, into(&p.Adjust, func() (*reports.Adjust, error) {
			plan, err := s.planned(nil)
			return plan.view, err
		}))
	}
	if s.surveyed(st.Name) {
		parts = append(parts, into(&p.Cut, func() (*reports.Cut, error) { return s.Cut("") }),
			spare(into(&p.Match, func() (*reports.Match, error) { return s.Match(st.Name) })))
	}
	if s.Job.Place != nil && len(s.Bed.Ways) > 0 {
		parts = append(parts, spare(into(&p.Place, func() (*reports.Place, error) { return s.Place(func(string) func(done, whole int) { return nil }) })))
	}
	if len(s.Surveys) > 0 {
		parts = append(parts, into(&p.Survey, s.Survey),
			into(&p.Contradictions, func() ([]reports.Warning, error) { return s.Contradictions(), nil }))
	}
	if st.After != "" {
		parts = append(parts, into(&p.Change, func() (*reports.Change, error) { return s.Change(st.After, st.Name, "", nil) }))
	}
	return append(parts,
		into(&p.Others, func() ([]reports.SagStanding, error) {
			others := slices.DeleteFunc(s.StandingNames(), func(name string) bool { return name == st.Name })
			return atOnce(others, func(name string) (reports.SagStanding, error) { return s.sagOf(name, reports.Given, nil, drawn) })
		}),
		into(&p.Heat, func() (*reports.Heat, error) { return s.heat(st.Name) }),
		into(&p.Try, func() (*reports.Try, error) { return s.try(st) }))
}

// stateParts are how a standing is in one state; none where it cannot be in it.
func (s *Shop) stateParts(one *reports.PageState, standing string) []part {
	if one.State != reports.Given && !s.surveyed(standing) {
		return nil
	}
	parts := []part{into(&one.Bare, func() (reports.SagStanding, error) { return s.sagOf(standing, one.State, nil, drawn) })}
	if len(s.Masters) > 0 { // that fits no way is no reason to go without a page
		parts = append(parts, spare(into(&one.Blue, func() (*reports.Blue, error) { return s.Blue(standing, one.State, "") })))
	}
	if s.Table != nil && len(s.Bed.Ways) > 0 { // nor is one that tips
		middle := s.midStroke()
		parts = append(parts, spare(into(&one.Travel, func() (*reports.Travel, error) { return s.Travel(standing, one.State) })),
			spare(into(&one.Under, func() (*reports.SagStanding, error) {
				under, err := s.sagOf(standing, one.State, &middle, drawn)
				return &under, err
			})))
	}
	for i, p := range parts {
		parts[i].fill = func() error {
			if one.State == reports.Planned && !s.turned() {
				return nil
			}
			return p.fill()
		}
	}
	return parts
}

// turned tells whether the plan for the working standing moves a foot.
func (s *Shop) turned() bool {
	p, err := s.planned(nil)
	return err == nil && p.Recommended > 0
}

// heat is the change of the ways for a top one kelvin warmer.
func (s *Shop) heat(standing string) (*reports.Heat, error) {
	warmer := s.standing(standing).Gradient + 1
	all, err := s.standAll(standing, []beam.Draw{{}, {Gradient: &warmer}}, nil)
	if err != nil {
		return nil, err
	}
	x := s.stations(drawn, standing)
	return &reports.Heat{X: x, Ways: s.moved(x, all[1:], all[:1])}, nil
}
