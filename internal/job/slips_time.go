package job

import (
	"fmt"
	"slices"
	"time"

	"footwork/internal/unit"
	"footwork/survey/log"
)

// What dates and passes show of a slip: a day of another year, ten for none.

const (
	nearDays = 270     // days that a day may be away from all others
	farYears = 5 * 365 // days that it may be away where one other is all there is
	farPass  = 8       // passes between two surveys that nothing was taken of
)

// timeSlips asks about the one day that lies far from all others, and about passes that
// nothing leads up to.
func (b *builder) timeSlips() {
	var days []time.Time
	var passes []int
	history := b.job.History().Entries
	for _, e := range history {
		if day, err := time.Parse(time.DateOnly, e.When.Day); err == nil && !slices.Contains(days, day) {
			days = append(days, day)
		}
		if e.Pass != nil {
			passes = append(passes, *e.Pass)
		}
	}
	slices.SortFunc(days, time.Time.Compare)
	slices.Sort(passes)
	lone, asked := loneDay(days), map[string]bool{}
	for _, e := range history {
		if e.Line+e.Row == 0 { // nobody wrote it: it follows from others
			continue
		}
		if day := e.When.Day; day != "" && day == lone && !asked["day"] {
			asked["day"] = true
			b.askOf(e, "date", day+" is far from every other day of job and log; it is taken as written", "check its year and month")
		}
		if e.Pass == nil || asked["pass"] {
			continue
		}
		if i, _ := slices.BinarySearch(passes, *e.Pass); i > 0 && *e.Pass-passes[i-1] > farPass {
			asked["pass"] = true
			b.askOf(e, "pass", fmt.Sprintf("is %d passes after the survey before it, with nothing read between; it is taken as written", *e.Pass-passes[i-1]), "check the number")
		}
	}
}

// cutSlips asks about a standing that was surveyed before and after the bed stood where its ways
// are made straight, by the same pass.
func (b *builder) cutSlips() {
	type stay struct{ cuts, since int } // surveys since it stood where it is made straight: 0 none, 1 before, 2 there
	known := map[string]stay{}
	for _, e := range b.job.History().Entries {
		if e.What != log.Survey {
			continue
		}
		for name, k := range known {
			if s, err := b.job.Standing(name); err == nil && s.After == e.Standing && k.since == 1 {
				known[name] = stay{k.cuts, 2}
			}
		}
		k, again := known[e.Standing]
		if again && k.since == 2 && k.cuts == e.Cuts {
			s, _ := b.job.Standing(e.Standing)
			b.askOf(e, "pass", "comes after the bed stood on "+unit.Quote(s.After)+", where its ways were made straight: no metal is taken as cut there", "give a higher pass if some was")
		}
		known[e.Standing] = stay{e.Cuts, 1}
	}
}

// askOf asks about an act where it is written, in the job file or in the log.
func (b *builder) askOf(e log.Entry, key, message, hint string) {
	if e.Line > 0 {
		b.ask(b.job.LogFile, e.Line, key, message, hint)
		return
	}
	table := "felt."
	switch e.What {
	case log.Survey:
		table = "survey."
	case log.Turn:
		table = "move."
	}
	b.ask(b.file, e.Row, table+key, message, hint)
}

// loneDay returns the first or last of some days where it alone is far from all others,
// which are near one another; "" without one.
func loneDay(days []time.Time) string {
	n := len(days)
	if n < 2 {
		return ""
	}
	apart := func(i, j int) float64 { return days[j].Sub(days[i]).Hours() / 24 }
	switch {
	case n == 2 && apart(0, 1) > farYears, n > 2 && apart(n-2, n-1) > nearDays && apart(0, n-2) < nearDays:
		return days[n-1].Format(time.DateOnly)
	case n > 2 && apart(0, 1) > nearDays && apart(1, n-1) < nearDays:
		return days[0].Format(time.DateOnly)
	}
	return ""
}
