package job

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"footwork/internal/unit"
	"footwork/survey"
	"footwork/survey/log"
)

// row keeps what a table says was done or read as an act, in the order of the file;
// when is its date.
func (b *builder) row(r *reader, when log.Moment, a log.Act) {
	a.When, a.Row = when, r.table.line
	at, _ := slices.BinarySearchFunc(b.job.rows, a.Row+1, func(o log.Act, row int) int { return cmp.Compare(o.Row, row) })
	b.job.rows = slices.Insert(b.job.rows, at, a)
}

// orderSlips asks about rows whose place in time nobody can tell.
func (b *builder) orderSlips() {
	_, unsure := b.job.LogBed.History(b.job.rows, nil)
	for _, i := range unsure {
		r := b.job.rows[i]
		name, hint := "felt", "give its date"
		if r.What == log.Survey {
			name = "survey"
		}
		message := "says nothing of when: whether feet were moved before or after it is not known, and the order of the file is taken"
		if r.When.Day != "" {
			message, hint = "was taken on a day on which feet were moved and the way was surveyed again: the order of the file is taken", `give the time too: date = "`+r.When.Day+` 14:05"`
		}
		b.ask(b.file, r.Row, name, message, hint)
	}
}

// feltSlips asks about a foot that is felt free and solid though nothing was done to
// the bed between.
func (b *builder) feltSlips() {
	before := map[string]log.Entry{} // the latest feel of a foot
	for _, e := range b.job.History().Entries {
		if e.What != log.Feel {
			continue
		}
		foot := e.Standing + "\n" + e.Foot
		last, felt := before[foot]
		if before[foot] = e; !felt || last.Epoch != e.Epoch || last.Table != e.Table || last.Feel == e.Feel || last.Feel == log.Nips || e.Feel == log.Nips {
			continue
		}
		f := Fault{File: b.job.LogFile, Line: e.Line, Key: "feel", Message: fmt.Sprintf("%s is %s, and was %s before, with nothing done to the bed between: both are taken", unit.Quote(e.Foot), e.Feel, last.Feel),
			Hint: "write down what was done between, or void the one that does not hold"}
		if e.Line == 0 {
			f.File, f.Line, f.Key, f.Hint = b.file, e.Row, "felt", "keep the one that holds"
		}
		b.notes = append(b.notes, f)
	}
}

// usualValues are beyond what a line of the log is asked about, as people write it:
// a thousand times too much is a slip of the unit.
var usualValues = map[log.What]want{
	log.Turn: within(unit.Length, "2 mm"), log.Shim: within(unit.Length, "5 mm"), log.Indicator: within(unit.Length, "2 mm"),
	log.Gap: upTo(unit.Length, "1 mm"), log.Heat: within(unit.TempDiff, "4 K"), log.Scrape: upTo(unit.Length, "50 µm"),
}

// valueSlips asks about values of the log that are unusually much: of scraping, what a
// pass took off; of a load, more than all there is.
func (b *builder) valueSlips() {
	all := b.ownWeight()
	if b.job.Table != nil {
		all += b.job.Table.Weight
	}
	for _, e := range b.job.History().Entries {
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
			b.ask(b.job.LogFile, e.Line, "value", unit.Quote(e.Written.Value)+" is unusually much: "+b.example(usual.most)+" or less is usual; it is taken as written", "check the unit")
		}
	}
}

// farReading is how many times what a whole survey spans a reading may be away from one
// with the same zero: what a turned foot does stays below, a slip of the point does not.
// The first with a zero tells nothing by itself.
const farReading = 10.

// readSlips tells of readings of an instrument that tilts with the bed, and asks about
// those far from others with their zero.
func (b *builder) readSlips() {
	type zero struct {
		survey string
		number int
	}
	before, spans := map[zero]float64{}, map[string]float64{} // the first reading of each zero, or the middle of a survey
	for _, e := range b.job.History().Entries {
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
			b.ask(b.job.LogFile, e.Line, "value", fmt.Sprintf("%s is %.3g times as far from the others as those of the survey are from one another; it is taken as written", unit.Quote(e.Written.Value), far), "check the figure and its unit")
		}
		if slices.ContainsFunc(b.job.SetUps, func(s survey.Survey) bool { return s.Name == e.Survey && s.OnBed }) {
			b.ask(b.job.LogFile, e.Line, "read", "its instrument stands on the bed and tilts with it: the reading is shown and not counted", "survey the way again, or stand it on the floor")
		}
	}
}

// History returns what was done to the bed and read on it, by job file and log, in
// time order.
func (j *Job) History() log.History {
	h, _ := j.LogBed.History(j.rows, j.Log)
	return h
}

// Records returns the surveys in time order, reduced, each with how the bed stood. That they
// can be reduced was found as the job was read.
func (j *Job) Records() (records []survey.Record) {
	for _, e := range j.History().Entries {
		if e.What != log.Survey {
			continue
		}
		s := j.readingsOf(e)
		p, err := survey.Reduce(s)
		if err != nil {
			panic(err)
		}
		records = append(records, survey.Record{Survey: s, Profile: p, Epoch: e.Epoch, Cut: e.Cut, AnyCut: e.Cuts})
	}
	return records
}

// readingsOf returns the survey that an entry of the history is of.
func (j *Job) readingsOf(e log.Entry) survey.Survey {
	i, logged := j.logged[e.Line]
	if !logged {
		i = slices.IndexFunc(j.Surveys, func(s survey.Survey) bool { return s.Name == e.Survey })
	}
	return j.Surveys[i]
}
