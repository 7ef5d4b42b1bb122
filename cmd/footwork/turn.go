package main

import (
	"bufio"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"footwork/internal/sheet"
	"footwork/internal/shop/turn"
	"footwork/reports"
	"footwork/reports/doc"
	"footwork/reports/text"
	"footwork/survey/log"
)

// turning is how `turn` is to go about it.
type turning struct {
	*terminal
	next, dry, large bool
	from             string
	in               *bufio.Scanner
}

func turnCommand(t *terminal) *cobra.Command {
	r := &turning{terminal: t}
	c := &cobra.Command{
		Use:   "turn JOB",
		Short: "at the bed: one step at a time, by what the instrument reads, each act written into the log",
		Args:  cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			r.in = bufio.NewScanner(c.InOrStdin())
			return r.run(args[0])
		},
	}
	c.Flags().BoolVar(&r.next, "next", false, "print the next step as JSON and end")
	c.Flags().BoolVar(&r.dry, "dry-run", false, "write nothing")
	c.Flags().BoolVar(&r.large, "large", false, "the number to reach in block figures")
	c.Flags().StringVar(&r.from, "from", "", "take in the lines of this log first, leaving out those that are there")
	return c
}

func (r *turning) run(file string) error {
	s, err := r.open(file)
	if err != nil {
		return err
	}
	if s.LogFile == "" && !r.dry && !r.next {
		return usagef("the job has no log to write into: add\n[log]\nfile = \"%s-log.csv\"\nor try it with --dry-run", strings.TrimSuffix(filepath.Base(file), filepath.Ext(file)))
	}
	diary := fromJob(file, s.LogFile)
	if r.from != "" || log.File(diary).Waiting() != "" {
		if err := r.takeIn(diary); err != nil {
			return err
		}
		if s, err = r.open(file); err != nil {
			return err
		}
	}
	if r.next {
		return r.printNext(s)
	}
	for last := (*turn.Session)(nil); ; {
		again, err := r.session(s, last, diary)
		if last = again; err != nil || again == nil {
			return err
		}
		if err := r.takeIn(diary); err != nil {
			return err
		}
		if s, err = r.open(file); err != nil {
			return err
		}
	}
}

// takeIn puts lines written elsewhere into the log: those that wait beside it, and
// once those of --from.
func (r *turning) takeIn(diary string) error {
	if r.dry {
		return nil
	}
	n, faults, err := log.File(diary).TakeWaiting()
	if err := r.taken(string(log.File(diary).Waiting()), n, faults, err); err != nil || r.from == "" {
		return err
	}
	data, err := readFile(os.Stat, os.Open, r.from)
	if err != nil {
		return usagef("%s cannot be read: %w", r.from, err)
	}
	n, faults, err = log.File(diary).TakeIn(data)
	return r.taken(r.from, n, faults, err)
}

// taken tells of lines that were taken in from a file.
func (r *turning) taken(from string, n int, faults []sheet.Fault, err error) error {
	if len(faults) > 0 {
		return usagef("%s, line %d: %s; %s", from, faults[0].Line, faults[0].Message, faults[0].Hint)
	}
	if err == nil && (n > 0 || r.from != "" && from == r.from) {
		r.note(count(n, "line") + " taken into the log")
	}
	return err
}

// printNext prints the next step.
func (r *turning) printNext(s *opened) error {
	v, err := s.NextStep()
	if err != nil {
		return err
	}
	return reports.WriteJSON(r.out, v, func(w reports.Warning) string { return doc.Warning(w).In(s.Units) })
}

// session goes through one session after the last, and returns it when a survey ended it:
// then another begins.
func (r *turning) session(s *opened, last *turn.Session, diary string) (again *turn.Session, err error) {
	session, err := s.Turn(last)
	if err != nil {
		return nil, err
	}
	if last == nil {
		r.say(doc.TurnCautions)
	}
	bench := doc.Bench{Setups: s.LogBed.Setups, Units: s.Units}
	for {
		card := session.Card()
		r.show(bench.Card(card), s)
		if card.Kind == turn.Over {
			if card.Ending == turn.Survey && !r.dry {
				again = session
			}
			return again, nil
		}
		if !r.in.Scan() {
			return nil, r.in.Err()
		}
		err := session.Take(r.in.Text(), log.After(s.Log, time.Now()))
		if errors.Is(err, turn.ErrHelp) {
			r.say(doc.TurnHelp)
		} else if err != nil {
			r.say([]string{err.Error()})
			continue
		}
		if err := r.write(session.Lines(), diary); err != nil {
			return nil, err
		}
	}
}

// write puts lines into the log at once.
func (r *turning) write(lines []log.Line, diary string) error {
	if r.dry || len(lines) == 0 {
		return nil
	}
	to, _, err := log.File(diary).Append(lines...)
	if err == nil && to != log.File(diary) {
		r.note("the log is held by another program: the lines are in " + string(to))
	}
	return err
}

// show prints a card.
func (r *turning) show(c doc.Shown, s *opened) {
	fmt.Fprintln(r.out)
	if len(c.News) > 0 {
		r.say([]string{c.News.In(s.Units)})
	}
	r.say([]string{c.Head.In(s.Units)})
	if c.Large != "" {
		if r.large {
			fmt.Fprintln(r.out, text.Block(c.Large))
		} else {
			fmt.Fprintf(r.out, "\n    %s\n\n", strings.ReplaceAll(c.Large, "\u00a0", " "))
		}
	}
	for _, w := range c.Words {
		r.say([]string{w.In(s.Units)})
	}
	if c.Prompt != "" {
		fmt.Fprintf(r.out, "%s> ", c.Prompt)
	}
}

// say prints sentences within the terminal's width.
func (r *turning) say(sentences []string) {
	for _, one := range sentences {
		for _, line := range text.Wrap(plain(one), columns) {
			fmt.Fprintln(r.out, line)
		}
	}
}
