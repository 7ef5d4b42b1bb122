package job

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"footwork/internal/unit"
	"footwork/survey"
	"footwork/survey/log"
)

// What the history shows of a slip: order, days, passes and values that do not go together.

// logSlips looks at what was done and read, in time order.
func (b *builder) logSlips() {
	history := b.job.History().Entries
	b.orderSlips()
	b.feltSlips(history)
	b.readSlips(history)
	b.timeSlips(history)
	b.cutSlips(history)
	b.valueSlips(history)
}

// askOf asks about an act where it is written: in the log, or in the job file, there by the key
// of its table.
func (b *builder) askOf(a log.Act, key, hint, message string, args ...any) {
	f := unit.Fault{File: b.job.LogFile, Line: a.Line, Key: key, Message: fmt.Sprintf(message, args...), Hint: hint}
	if a.Line == 0 {
		table := cmp.Or(map[log.What]string{log.Survey: "survey", log.Turn: "move"}[a.What], "felt")
		f.File, f.Line, f.Key = b.file, a.Row, strings.TrimSuffix(table+"."+key, ".")
	}
	b.notes = append(b.notes, f)
}

// orderSlips asks about rows whose place in time nobody can tell.
func (b *builder) orderSlips() {
	_, unsure := b.job.LogBed.History(b.job.rows, nil)
	for _, i := range unsure {
		r := b.job.rows[i]
		hint, message := "give its date", "says nothing of when: whether feet were moved before or after it is not known, and the order of the file is taken"
		if r.When.Day != "" {
			hint, message = `give the time too: date = "`+r.When.Day+` 14:05"`, "was taken on a day on which feet were moved and the way was surveyed again: the order of the file is taken"
		}
		b.askOf(r, "", hint, "%s", message)
	}
}

// feltSlips asks about a foot that is felt free and solid though nothing was done to
// the bed between.
func (b *builder) feltSlips(history []log.Entry) {
	before := map[string]log.Entry{} // the latest feel of a foot
	for _, e := range history {
		if e.What != log.Feel {
			continue
		}
		foot := e.Standing + "\n" + e.Foot
		last, felt := before[foot]
		if before[foot] = e; !felt || last.Epoch != e.Epoch || last.Table != e.Table || last.Feel == e.Feel || last.Feel == log.Nips || e.Feel == log.Nips {
			continue
		}
		key, hint := "feel", "write down what was done between, or void the one that does not hold"
		if e.Line == 0 {
			key, hint = "", "keep the one that holds"
		}
		b.askOf(e.Act, key, hint, "%s is %s, and was %s before, with nothing done to the bed between: both are taken", unit.Quote(e.Foot), e.Feel, last.Feel)
	}
}

// usualValues are beyond what a line of the log is asked about, as people write it:
// a thousand times too much is a slip of the unit.
var usualValues = map[log.What]want{
	log.Turn: within(unit.Length, "2 mm"), log.Shim: within(unit.Length, "5 mm"), log.Indicator: within(unit.Length, "2 mm"), log.Came: within(unit.Length, "2 mm"),
	log.Gap: upTo(unit.Length, "1 mm"), log.Heat: within(unit.TempDiff, "4 K"), log.Scrape: upTo(unit.Length, "50 µm"),
}

// valueSlips asks about values of the log that are unusually much: of scraping, what a
// pass took off; of a load, more than all there is.
func (b *builder) valueSlips(history []log.Entry) {
	all := b.ownWeight()
	if b.job.Table != nil {
		all += b.job.Table.Weight
	}
	for _, e := range history {
		v, usual := math.Abs(e.Value), usualValues[e.What]
		switch e.What {
		case log.Scrape:
			v = e.Depth / float64(e.Passes)
		case log.Load:
			st, _ := b.job.Standing(e.Standing)
			usual.hi = all
			for _, w := range slices.Concat(st.Weights, b.job.Bed.Weights) {
				usual.hi += w.Force
			}
			usual.most = b.job.Units.Force(usual.hi).Text(usual.hi)
		}
		if usual.most != "" && e.Line > 0 && v > usual.hi {
			b.askOf(e.Act, "value", "check the unit", "%s is unusually much: %s or less is usual; it is taken as written", unit.Quote(e.Written.Value), b.example(usual.most))
		}
	}
}

// farReading is how many times what a whole survey spans a reading may be away from one
// with the same zero: what a turned foot does stays below, a slip of the point does not.
// The first with a zero tells nothing by itself.
const farReading = 10.

// readSlips tells of readings of an instrument that tilts with the bed, and asks about
// those far from others with their zero.
func (b *builder) readSlips(history []log.Entry) {
	type zero struct {
		survey string
		number int
	}
	before, spans := map[zero]float64{}, map[string]float64{} // the first reading of each zero, or the middle of a survey
	for _, e := range history {
		at := zero{e.Survey, e.Zero}
		if e.What == log.Survey {
			lo, hi := b.job.readingsOf(e).Span()
			before[at], spans[e.Survey] = (lo+hi)/2, hi-lo
		}
		if e.What != log.Read {
			continue
		}
		first, there := before[at]
		if span := spans[e.Survey]; !there {
			before[at] = e.Value
		} else if far := math.Abs(e.Value-first) / span; far > farReading && span > 0 {
			b.askOf(e.Act, "value", "check the figure and its unit", "%s is %.3g times as far from the others as those of the survey are from one another; it is taken as written", unit.Quote(e.Written.Value), far)
		}
		if slices.ContainsFunc(b.job.SetUps, func(s survey.Survey) bool { return s.Name == e.Survey && s.OnBed }) {
			b.askOf(e.Act, "read", "survey the way again, or stand it on the floor", "its instrument stands on the bed and tilts with it: the reading is shown and not counted")
		}
	}
}

const (
	nearDays = 270     // days that a day may be away from all others
	farYears = 5 * 365 // days that it may be away where one other is all there is
	farPass  = 8       // passes between two surveys that nothing was taken of
)

// timeSlips asks about the one day that lies far from all others, and about passes that
// nothing leads up to.
func (b *builder) timeSlips(history []log.Entry) {
	var days []time.Time
	var passes []int
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
			b.askOf(e.Act, "date", "check its year and month", "%s is far from every other day of job and log; it is taken as written", day)
		}
		if e.Pass == nil || asked["pass"] {
			continue
		}
		if i, _ := slices.BinarySearch(passes, *e.Pass); i > 0 && *e.Pass-passes[i-1] > farPass {
			asked["pass"] = true
			b.askOf(e.Act, "pass", "check the number", "is %d passes after the survey before it, with nothing read between; it is taken as written", *e.Pass-passes[i-1])
		}
	}
}

// cutSlips asks about a standing that was surveyed before and after the bed stood where its ways
// are made straight, by the same pass.
func (b *builder) cutSlips(history []log.Entry) {
	type stay struct{ cuts, since int } // surveys since it stood where it is made straight: 0 none, 1 before, 2 there
	known := map[string]stay{}
	for _, e := range history {
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
			b.askOf(e.Act, "pass", "give a higher pass if some was", "comes after the bed stood on %s, where its ways were made straight: no metal is taken as cut there", unit.Quote(s.After))
		}
		known[e.Standing] = stay{e.Cuts, 1}
	}
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
