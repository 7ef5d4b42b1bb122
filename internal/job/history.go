package job

import (
	"cmp"
	"slices"

	"footwork/survey"
	"footwork/survey/log"
)

// row is a table of the job file that says what was done or read, and where it stands.
type row struct {
	line int
	log.Dated
}

// row keeps what a table says as an act; when is its date.
func (b *builder) row(r *reader, when string, pass *int, a log.Act) {
	a.When, _ = log.ParseMoment(when) // what is no date was refused
	b.rows = append(b.rows, row{r.table.line, log.Dated{Act: a, Pass: pass}})
}

// inFileOrder gives the job its rows as they stand in the file.
func (b *builder) inFileOrder() {
	slices.SortStableFunc(b.rows, func(x, y row) int { return cmp.Compare(x.line, y.line) })
	for _, r := range b.rows {
		b.job.rows = append(b.job.rows, r.Dated)
	}
}

// orderSlips asks about rows whose place in time nobody can tell.
func (b *builder) orderSlips() {
	_, unsure := log.Merge(b.job.LogBed, b.job.rows, nil)
	for _, i := range unsure {
		r := b.rows[i]
		name, hint := "felt", "give its date"
		if r.What == log.Survey {
			name = "survey"
		}
		message := "says nothing of when: whether feet were moved before or after it is not known, and the order of the file is taken"
		if r.When.Day != "" {
			message, hint = "was taken on a day on which feet were moved and the way was surveyed again: the order of the file is taken", `give the time too: date = "`+r.When.Day+` 14:05"`
		}
		b.notes = append(b.notes, Fault{File: b.file, Line: r.line, Key: name, Message: message, Hint: hint})
	}
}

// feltAct is a row of what hand, feeler or jack say, as the log would have it.
func feltAct(f survey.Felt) log.Act {
	a := log.Act{What: log.Feel, Standing: f.Standing, Foot: f.Foot, Feel: log.Solid}
	switch {
	case f.Gap != nil:
		a.What, a.Value, a.Sigma = log.Gap, *f.Gap, f.Uncertainty
	case f.Load != nil:
		a.What, a.Value, a.Sigma = log.Load, *f.Load, f.Uncertainty
	case f.State == "loose":
		a.Feel = log.Free
	}
	return a
}

// History returns what was done to the bed and read on it, by job file and log, in
// time order.
func (j *Job) History() log.History {
	acts, _ := log.Merge(j.LogBed, j.rows, j.Log)
	return log.Fold(j.LogBed, acts)
}

// Records returns the surveys in time order, reduced, each with how the bed stood.
func (j *Job) Records() (records []survey.Record, err error) {
	for _, e := range j.History().Entries {
		if e.What != log.Survey {
			continue
		}
		i, logged := j.logged[e.Line]
		if !logged {
			i = slices.IndexFunc(j.Surveys, func(s survey.Survey) bool { return s.Name == e.Survey })
		}
		p, err := survey.Reduce(j.Surveys[i])
		if err != nil {
			return nil, err
		}
		records = append(records, survey.Record{Survey: j.Surveys[i], Profile: p, Epoch: e.Epoch, Cut: e.Cut, AnyCut: e.Cuts})
	}
	return records, nil
}

// bridge adds to moves and felt what the log says of them.
func (j *Job) bridge() {
	for _, a := range j.History().Entries {
		f := survey.Felt{Date: a.When.String(), Standing: a.Standing, Foot: a.Foot}
		switch {
		case a.Line == 0:
			continue
		case a.What == log.Turn && !a.ToTouch, a.What == log.Shim:
			j.Moves = append(j.Moves, survey.Move{Date: f.Date, Standing: a.Standing, Foot: a.Foot, Raise: a.Value})
			continue
		case a.What == log.Feel && a.Feel == log.Free:
			f.State = "loose"
		case a.What == log.Feel && a.Feel == log.Solid:
			f.State = "tight"
		case a.What == log.Gap:
			f.Gap, f.Uncertainty = &a.Value, a.Sigma
		case a.What == log.Load:
			f.Load, f.Uncertainty = &a.Value, a.Sigma
		default:
			continue
		}
		j.Felt = append(j.Felt, f)
	}
}
