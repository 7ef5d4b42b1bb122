package main

import (
	"bufio"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"footwork/internal/job"
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
	job, log         string // the files, the log as the job names it
	in               *bufio.Scanner
}

func turnCommand(t *terminal) *cobra.Command {
	r := &turning{terminal: t, in: bufio.NewScanner(os.Stdin)}
	c := t.about("turn", "at the bed: one step at a time, by what the instrument reads, each act written into the log", r.run)
	c.Flags().BoolVar(&r.next, "next", false, "print the next step as JSON and end")
	c.Flags().BoolVar(&r.dry, "dry-run", false, "write nothing")
	c.Flags().BoolVar(&r.large, "large", false, "the number to reach in block figures")
	c.Flags().StringVar(&r.from, "from", "", "take in the lines of this log first, leaving out those that are there")
	return c
}

func (r *turning) run(s *opened) (err error) {
	file := s.file()
	if s.LogFile == "" && !r.dry && !r.next {
		return usagef("the job has no log to write into: add\n[log]\nfile = \"%s-log.csv\"\nor try it with --dry-run", strings.TrimSuffix(filepath.Base(file), filepath.Ext(file)))
	}
	r.job, r.log = file, s.LogFile
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

// takeIn puts lines written elsewhere into the log: those that wait beside it, as soon
// as no other program holds it, and once those of --from.
func (r *turning) takeIn(diary string) error {
	if r.dry {
		return nil
	}
	f, held := os.OpenFile(diary, os.O_WRONLY|os.O_APPEND, 0)
	if held == nil {
		f.Close()
	} else if errors.Is(held, fs.ErrNotExist) { // a log begins with its first line
		held = nil
	}
	if waiting := string(log.File(diary).Waiting()); waiting != "" && held == nil {
		if err := r.takeFrom(waiting, diary); err != nil {
			return err
		}
		if err := os.Remove(waiting); err != nil {
			return err
		}
	}
	switch {
	case r.from == "":
		return nil
	case held != nil:
		return held
	}
	return r.takeFrom(r.from, diary)
}

// takeFrom puts those lines of a log written elsewhere into the log that it has not.
func (r *turning) takeFrom(from, diary string) error {
	other, err := readFile(os.Stat, os.Open, from)
	if err != nil {
		return usagef("%s cannot be read: %w", from, err)
	}
	own, err := os.ReadFile(diary)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	merged, n, faults := log.Merged(own, other)
	if len(faults) > 0 {
		for i := range faults {
			faults[i].File = from
		}
		return job.Faults(faults)
	}
	if n > 0 {
		if err := r.holds(merged); err != nil {
			return usagef("%s was not taken in, for with it the log would have faults:\n%w", from, err)
		}
		if err := writeWhole(diary, whole(merged)); err != nil {
			return err
		}
	}
	if n > 0 || from == r.from {
		r.note(count(n, "line") + " taken into the log")
	}
	return nil
}

// holds tells what would be wrong with the job if its log were such.
func (r *turning) holds(diary []byte) error {
	text, err := readFile(os.Stat, os.Open, r.job)
	if err != nil {
		return err
	}
	_, err = job.Read(r.job, text, func(name string) ([]byte, error) {
		if name == r.log {
			return diary, nil
		}
		return beside(r.job, name, new([]string))
	})
	return err
}

// sound tells what would be wrong with the job if a line more were in its log.
func (r *turning) sound(diary string, l log.Line) error {
	own, err := os.ReadFile(diary)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	with, _, faults := log.Merged(own, log.Text(l))
	if len(faults) > 0 {
		return job.Faults(faults)
	}
	return r.holds(with)
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
	session.Sound = func(l log.Line) error { return r.sound(diary, l) }
	bench := doc.Bench{Setups: s.LogBed.Setups, Units: s.Units}
	for {
		card := session.Card()
		r.show(bench.Card(card), s)
		if card.Kind == turn.Over {
			if card.Ending == turn.Survey && !r.dry {
				again = session
			}
			return again, r.responses(session, worthTelling, bench, s)
		}
		if !r.in.Scan() {
			_ = session.Take("stop", log.After(s.Log, time.Now()))
			return nil, errors.Join(r.in.Err(), r.write(session.Lines(), diary))
		}
		taken, err := r.typed(session, bench, s)
		if err == nil && taken {
			err = r.write(session.Lines(), diary)
		}
		if err != nil {
			return nil, err
		}
	}
}

// typed takes the line that was typed; taken is false where it could not be.
func (r *turning) typed(session *turn.Session, bench doc.Bench, s *opened) (taken bool, err error) {
	switch err := session.Take(r.in.Text(), log.After(s.Log, time.Now())); {
	case errors.Is(err, turn.ErrHelp):
		r.say(doc.TurnHelp)
	case errors.Is(err, turn.ErrTold):
		return true, r.responses(session, 0, bench, s)
	case err != nil:
		r.say([]string{err.Error()})
		return false, nil
	}
	return true, nil
}

// worthTelling is of how many feet it is told unasked what readings have shown of them.
const worthTelling = 3

// responses prints what readings have shown of the feet, where it is of so many at least.
func (r *turning) responses(session *turn.Session, least int, bench doc.Bench, s *opened) error {
	list := session.Responses()
	if len(list) < least {
		return nil
	}
	return r.document(r.out, bench.Responses(list), s)
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
