// Package job reads a job file and the surveys beside it into the values of
// the domain, and lists everything that is wrong with them at once.
//
// The document becomes a tree in which every value keeps its line (toml.go); a
// reader takes a table's keys one by one, each with what it may be, and notes
// what is wrong (read.go, quantity.go, tables.go); the rest of the files each
// read one part of a job and check it against the others.
package job

import (
	"fmt"
	"slices"
	"strings"

	"footwork/beam"
	"footwork/internal/unit"
	"footwork/supports"
	"footwork/survey"
)

// Standing is a standing with the means by which each of its feet is moved.
type Standing struct {
	beam.Standing
	Adjusters []supports.Adjuster // one a foot
}

// Job is one bed: what it is made of, how it stood and stands, what was
// measured on it and what is wished.
type Job struct {
	Title     string
	Units     unit.System // what reports print
	Bed       beam.Bed
	Table     *beam.Table // nil without one
	Standings []Standing
	Surveys   []survey.Survey
	Moves     []survey.Move
	Felt      []survey.Felt
	Goal      *supports.Goal      // nil without [adjust]
	Floor     *supports.Floor     // nil without [floor]
	Place     *supports.PlaceWish // nil without [place]
	Cut       *supports.CutWish   // nil without [cut]
}

// Standing returns the standing of this name. The error names those there are.
func (j *Job) Standing(name string) (Standing, error) {
	names := j.StandingNames()
	if i := slices.Index(names, name); i >= 0 {
		return j.Standings[i], nil
	}
	return Standing{}, fmt.Errorf("there is no standing %q; %s", name, thereAre(name, names))
}

// StandingNames returns the names of all standings in the job's order.
func (j *Job) StandingNames() []string {
	names := make([]string, len(j.Standings))
	for i, s := range j.Standings {
		names[i] = s.Name
	}
	return names
}

// Surveyed returns the names of the standings that have surveys, in the job's order.
func (j *Job) Surveyed() []string {
	return slices.DeleteFunc(j.StandingNames(), func(name string) bool {
		return !slices.ContainsFunc(j.Surveys, func(s survey.Survey) bool { return s.Standing == name })
	})
}

// thereAre is a hint that names what there is in place of a name.
func thereAre(name string, names []string) string {
	if near := nearest(name, names); near != "" {
		return fmt.Sprintf("did you mean %q?", near)
	}
	return `the job has "` + strings.Join(names, `", "`) + `"`
}

// builder fills a job from the document.
type builder struct {
	*source
	job *Job
}

// Read returns the job of a file · name as messages show it · data its content
// · open returns the content of a survey's CSV, given the name that the job
// file uses. The error is Faults: everything that is wrong, by file and line.
func Read(name string, data []byte, open func(file string) ([]byte, error)) (*Job, error) {
	s := &source{file: name, open: open}
	if root := parse(data, s.report); root != nil {
		s.damaged = root.damaged
		b := &builder{s, &Job{}}
		b.build(s.reader("", root))
		if len(s.faults) == 0 {
			return b.job, nil
		}
	}
	return nil, s.faults.sorted(name)
}

func (b *builder) build(r *reader) {
	b.job.Title = r.text("title")
	if r.choice("units", unit.Metric.String(), unit.Inches.String()) == unit.Inches.String() {
		b.job.Units, b.inch = unit.Inches, true
	}
	r.require("[bed]", "[[way]]", "[[standing]]")
	b.bed(r.sub("bed"))
	b.ways(r.subs("way"))
	b.table(r.sub("table"))
	b.standings(r.subs("standing"))
	b.surveys(r.subs("survey"))
	b.moves(r.subs("move"))
	b.felt(r.subs("felt"))
	b.goal(r.sub("adjust"))
	b.floor(r.sub("floor"))
	b.place(r.sub("place"))
	b.cut(r.sub("cut"))
	r.done()
}

// onBed complains of a place that lies beyond the bed's ends.
func (b *builder) onBed(r *reader, key string, x float64) {
	l := b.job.Units.Length()
	if x < -slack || x > b.job.Bed.Length+slack {
		r.fault(key, "the bed runs from 0 to "+l.Text(b.job.Bed.Length), "%s lies off the bed", l.Text(x))
	}
}

// slack, m, is what rounding between millimetres and inches may make of one place.
const slack = 1e-6

// called reads the table's name, "" when another has it already.
func (r *reader) called(seen map[string]bool) string {
	name := r.text("name")
	r.require(`name = "…"`)
	if seen[name] {
		if name != "" {
			r.fault("name", "give each its own name", "%q is there already", name)
		}
		return ""
	}
	seen[name] = true
	return name
}

// refer reads a key that names one of those there are; "" when absent or
// unknown. Where a name is missing or a line broken, the one meant may be there.
func (r *reader) refer(key, what string, names []string) string {
	name := r.text(key)
	if name == "" || slices.Contains(names, name) {
		return name
	}
	if len(names) > 0 && !slices.Contains(names, "") && !r.damaged {
		r.fault(key, thereAre(name, names), "there is no %s %q", what, name)
	}
	return ""
}

func (b *builder) standing(r *reader, key string) string {
	return r.refer(key, "standing", b.job.StandingNames())
}

// footOf reads a standing and the name of one of its feet.
func (b *builder) footOf(r *reader) (standing, foot string) {
	r.require(`standing = "…"`, `foot = "…"`)
	var names []string
	standing = b.standing(r, "standing")
	for _, s := range b.job.Standings {
		if s.Name != standing || standing == "" {
			continue
		}
		for _, f := range s.Feet {
			names = append(names, f.Name)
		}
		if len(s.Feet) == 0 {
			r.fault("foot", "feet are moved, bearings are not", "the standing %q has no feet", standing)
		}
	}
	return standing, r.refer("foot", "foot", names)
}
