package job

import (
	"cmp"
	"slices"

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
