package job

import (
	"errors"
	"io/fs"
	"slices"

	"footwork/internal/unit"
	"footwork/survey"
	"footwork/survey/log"
)

// diary reads the log, and the readings that its lines name as further surveys.
func (b *builder) diary(r *reader) {
	if r != nil {
		b.job.LogFile = r.text("file")
	}
	b.done()
	if len(b.faults) > 0 { // its names cannot be known
		return
	}
	b.job.LogBed = b.logBed()
	if b.job.LogFile == "" {
		return
	}
	if _, err := b.open(b.job.LogFile); errors.Is(err, fs.ErrNotExist) { // a log begins with its first line
		return
	}
	data, ok := b.opened(b.job.LogFile, "file", r.fault)
	if !ok {
		return
	}
	acts, faults := b.job.LogBed.Read(data)
	b.inSheet(b.job.LogFile, faults)
	b.job.Log = acts
	if len(faults) > 0 {
		return
	}
	for _, e := range b.job.History().Entries {
		if e.What == log.Survey && e.Line > 0 {
			b.logged(r, e)
		}
	}
}

// logged adds the readings of a line of the log to the job's surveys, as its
// set-up has them, with where the table stood, how warm the bed was and how often
// it had been scraped as the log has it.
func (b *builder) logged(r *reader, e log.Entry) {
	i := slices.IndexFunc(b.job.SetUps, func(s survey.Survey) bool { return s.Name == e.Survey })
	s := b.job.SetUps[i]
	s.SetUp, s.Date, s.Pass = s.Name, e.When.String(), e.Done
	s.Name += ", " + s.Date
	for slices.ContainsFunc(b.job.Surveys, func(o survey.Survey) bool { return o.Name == s.Name }) {
		s.Name += " again"
	}
	if !b.readings(&s, e.File, "value", b.inFile(b.job.LogFile, e.Line)) {
		return
	}
	b.checkReadings(&reader{source: b.source, path: "survey", def: &surveyTables, table: r.table}, &s, e.File)
	if e.Table != nil {
		s.TableAt = nil
		if !e.Table.Off {
			s.TableAt = &e.Table.At
		}
	}
	if e.Heat != nil {
		s.Gradient, s.GradientSD = &e.Heat.Value, e.Heat.Sigma
	}
	b.job.logged[e.Line] = len(b.job.Surveys)
	b.job.Surveys = append(b.job.Surveys, s)
}

// logBed returns what the lines of the log may name. Before they say otherwise,
// the bed stands where it is to be adjusted, or as the last standing has it that
// is not over.
func (b *builder) logBed() log.Bed {
	j := b.job
	bed := log.Bed{Length: j.Bed.Length, Table: j.Table != nil}
	for _, s := range j.Standings {
		p := log.Place{Name: s.Name, Like: s.Like, Over: s.Over}
		for i, f := range s.Feet {
			p.Feet = append(p.Feet, log.Foot{Name: f.Name, Rise: s.Adjusters[i].Rise})
		}
		bed.Standings = append(bed.Standings, p)
		if !s.Over {
			bed.Standing = s.Name
		}
	}
	if j.Goal != nil && j.Goal.Standing != "" {
		bed.Standing = j.Goal.Standing
	}
	for i, w := range j.Bed.Ways {
		bed.Ways = append(bed.Ways, log.Way{Name: w.Name, Vee: j.Ways[i].Vee != nil})
	}
	bed.Masters = unit.Names(j.Masters, func(m Master) string { return m.Name })
	if j.Table != nil {
		bed.Masters = append(bed.Masters, TableMaster)
	}
	bed.Setups, bed.Films = j.SetUps, masterTables.below("film").words()
	return bed
}
