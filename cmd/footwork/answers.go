package main

import (
	"github.com/spf13/cobra"

	"footwork/internal/unit"
	"footwork/reports"
)

// question is what was asked of a job beside its name.
type question struct {
	standing, state, tableAt, from, to, with string
	at                                       *float64 // m, the table's left end; nil when nobody says
}

// answers are the commands that open a job and print one view of it: each with the
// flags that it takes.
var answers = []struct {
	name, short string
	flags       []string
	give        func(*terminal, *opened, question) (reports.View, error)
}{
	{"sag", "the shape of each way, foot loads and light feet", []string{"standing", "table-at", "state"},
		func(_ *terminal, s *opened, q question) (reports.View, error) {
			names := s.StandingNames()
			if q.standing != "" {
				names = []string{q.standing}
			}
			return s.Sag(names, reports.State(q.state), q.at)
		}},
	{"travel", "the table's journey: the bed, the feet and the work under the tool", []string{"standing", "state"},
		func(_ *terminal, s *opened, q question) (reports.View, error) {
			return s.Travel(s.Working(q.standing), reports.State(q.state))
		}},
	{"change", "what moving the bed from one standing to another does to its ways", []string{"from", "to", "table-at", "state"},
		func(_ *terminal, s *opened, q question) (reports.View, error) {
			from, to, err := s.Between(q.from, q.to)
			if err != nil {
				return nil, err
			}
			return s.Change(from, to, reports.State(q.state), q.at)
		}},
	{"survey", "readings to profiles and straightness", nil,
		func(_ *terminal, s *opened, _ question) (reports.View, error) { return s.Survey() }},
	{"match", "the measured profile in its parts: sag, feet, heat and metal", nil,
		func(_ *terminal, s *opened, _ question) (reports.View, error) { return s.Match(s.Working("")) }},
	{"adjust", "which foot, which way, how far, in what order, and what to read after each step", nil,
		func(t *terminal, s *opened, _ question) (reports.View, error) {
			return s.Adjust(t.progress("plans tried"))
		}},
	{"place", "where the feet should go, and how many", nil,
		func(t *terminal, s *opened, _ question) (reports.View, error) { return s.Place(t.progress) }},
	{"blue", "what a straightedge, a prism or the table prints on each way, and where it hinges", []string{"standing", "with", "state"},
		func(_ *terminal, s *opened, q question) (reports.View, error) {
			return s.Blue(s.Working(q.standing), reports.State(q.state), q.with)
		}},
	{"cut", "what is left for the scraper, now and after the recommended moves", []string{"state"},
		func(_ *terminal, s *opened, q question) (reports.View, error) {
			return s.Cut(reports.State(q.state))
		}},
}

// flag returns where the answer to a flag goes, and what it asks.
func (q *question) flag(name string) (to *string, help string) {
	switch name {
	case "standing":
		return &q.standing, "in this standing (default: the one worked in; of sag all)"
	case "state":
		return &q.state, `the bed as "given" by the job, as "found" by surveys and hand, or as "planned" (default: found where anything was measured)`
	case "table-at":
		return &q.tableAt, `the table parked with its left end here, "700 mm"; of change in the standing moved to`
	case "from":
		return &q.from, "the standing the bed was made straight in (default: what --to comes after)"
	case "to":
		return &q.to, "the standing it was moved to (default: the one worked in)"
	case "with":
		return &q.with, `only this master, or "table"; without it all of them, or else the table`
	}
	panic("no such flag: " + name)
}

// park reads where the table is parked.
func (q *question) park() error {
	if q.tableAt == "" {
		return nil
	}
	v, err := unit.Length.Parse(q.tableAt)
	if err != nil {
		return usagef("--table-at: %w", err)
	}
	q.at = &v
	return nil
}

func answerCommands(t *terminal) (list []*cobra.Command) {
	for _, a := range answers {
		var q question
		c := t.about(a.name, a.short, func(s *opened) error {
			if err := q.park(); err != nil {
				return err
			}
			view, err := a.give(t, s, q)
			if err != nil {
				return err
			}
			return t.show(view, s)
		})
		for _, name := range a.flags {
			to, help := q.flag(name)
			c.Flags().StringVar(to, name, "", help)
		}
		list = append(list, t.forms(c))
	}
	return list
}
