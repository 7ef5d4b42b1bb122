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
	"math"
	"slices"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/beam/ride"
	"footwork/beam/shape"
	"footwork/internal/unit"
	"footwork/supports"
	"footwork/supports/blue"
	"footwork/supports/cut"
	"footwork/supports/place"
	"footwork/survey"
	"footwork/survey/log"
)

// Standing is a standing with the means by which each of its feet is moved.
type Standing struct {
	beam.Standing
	Like        string              // the standing whose feet and weights it shares; "" for none
	Over        bool                // the bed will not stand so again
	GradientSD  float64             // K, standard uncertainty of a gradient that was measured; 0: a guess
	Adjusters   []supports.Adjuster // one a foot, the thread that is left as it was before the log
	StiffnessSD []float64           // N/m, one a foot; 0 when not given
}

// Way is what is known of a way beside where it lies.
type Way struct {
	FinishedTo float64      // m, straightness to which it was last finished; 0 when not known
	Vee        *casting.Vee // nil: a flat
	LeaveOut   []Stretch    // neither cut nor bearing
}

// Stretch is a part of a way with a name.
type Stretch struct {
	Name string
	shape.Span
}

// TableMaster is what the table is called as a master.
const TableMaster = "table"

// Master is what is blued and laid on the ways.
type Master struct {
	blue.Master
	Name   string
	Vee    bool        // a prism
	Flanks [2]float64  // rad
	Face   shape.Shape // m, heights of its own face from its left end, metal positive; empty: straight
}

// Job is one bed: what it is made of, how it stood and stands, what was
// measured on it and what is wished.
type Job struct {
	Title     string
	Units     unit.System // what reports print
	Bed       casting.Bed
	WeighedSD float64 // N, standard uncertainty of the bed's weight; 0 when not given
	Ways      []Way   // one a way of the bed
	Masters   []Master
	Table     *ride.Table // nil without one
	Standings []Standing
	SetUps    []survey.Survey // how each survey is taken, with its first readings where it has a file
	Surveys   []survey.Survey // those with readings
	LogFile   string          // "" without a log
	Log       []log.Act       // all lines of the log, void ones too
	LogBed    log.Bed         // what its lines may name
	Goal      *supports.Goal  // nil without [adjust]
	Floor     *supports.Floor // nil without [floor]
	Place     *place.Options  // nil without [place]
	Cut       *cut.Options    // nil without [cut]
	Unworn    []shape.Span    // m along the bed, where metal is unworn; nil: cut to the lowest line that removal reaches
	MaySink   float64         // m that the table may come down until rack, nut or keeps no longer reach; 0: not known
	OwnSink   float64         // m by what is cut from the table's own ways, less its liners
	Marks     struct {        // how stations are chalked on the casting
		FromRight bool
		Every     float64 // m, pitch of numbered marks; 0: lengths
	}
	Notes Faults // what was assumed where the file may mean something else

	rows   []log.Act   // what the job file itself says was done and read, in its order
	logged map[int]int // index into Surveys by the log's line
}

// Standing returns the standing of this name. The error names those there are.
func (j *Job) Standing(name string) (Standing, error) {
	names := j.StandingNames()
	if i := slices.Index(names, name); i >= 0 {
		return j.Standings[i], nil
	}
	return Standing{}, fmt.Errorf("there is no standing %s; %s", unit.Quote(name), unit.Choices(name, names))
}

// StandingNames returns the names of all standings in the job's order.
func (j *Job) StandingNames() []string {
	return unit.Names(j.Standings, func(s Standing) string { return s.Name })
}

// Surveyed returns the names of the standings in which ways were surveyed, in the
// job's order.
func (j *Job) Surveyed() []string {
	return slices.DeleteFunc(j.StandingNames(), func(name string) bool {
		return !slices.ContainsFunc(j.Surveys, func(s survey.Survey) bool { return s.Standing == name && s.Way != "" && s.UpAndDown() })
	})
}

// Across returns how far apart the outer ways lie, m.
func (j *Job) Across() float64 {
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, w := range j.Bed.Ways {
		lo, hi = min(lo, w.Offset), max(hi, w.Offset)
	}
	return max(0, hi-lo)
}

// builder fills a job from the document.
type builder struct {
	*source
	job         *Job
	left, right float64 // m across the bed, edges of the outermost plates; both 0 without plates
	slips       []func()
}

// Read returns the job of a file · name as messages show it · data its content
// · open returns the content of a survey's CSV, given the name that the job
// file uses. The error is Faults: everything that is wrong, by file and line.
func Read(name string, data []byte, open func(file string) ([]byte, error)) (*Job, error) {
	return (&source{file: name, open: open}).read(data)
}

func (s *source) read(data []byte) (*Job, error) {
	if root := s.parse(data); root != nil {
		b := &builder{source: s, job: &Job{logged: map[int]int{}}}
		b.build(s.reader("", &jobTable, root))
		if len(s.faults) == 0 {
			b.job.Notes = s.notes.sorted(s.file).gathered()
			return b.job, nil
		}
	}
	return nil, s.faults.sorted(s.file).listed(s.beyond)
}

func (b *builder) build(r *reader) {
	b.job.Title = r.text("title")
	if r.choice("units") == unit.Inches.String() {
		b.job.Units, b.units = unit.Inches, unit.Inches
	}
	b.job.Bed.Length = math.NaN() // until it is known, nothing is off the bed
	r.in("bed", b.bed)
	b.ways(r.subs("way"))
	b.masters(r.subs("master"))
	r.in("table", b.table)
	b.standings(r.subs("standing"))
	b.surveys(r.subs("survey"), r.has("log"))
	b.moves(r.subs("move"))
	b.felt(r.subs("felt"))
	r.in("adjust", b.goal)
	b.diary(r.sub("log"))
	r.in("adjust", b.goalStanding)
	r.in("floor", b.floor)
	r.in("place", b.place)
	r.in("cut", b.cut)
	b.later(b.logSlips)
	if b.done(); len(b.faults) == 0 {
		for _, look := range b.slips {
			look()
		}
	}
}

// onBed complains of a place that lies beyond the bed's ends.
func (b *builder) onBed(r *reader, key string, x float64) {
	if (x < -slack || x > b.job.Bed.Length+slack) && !math.IsNaN(b.job.Bed.Length) {
		r.fault(key, "the bed runs from 0 to "+b.length(b.job.Bed.Length), "%s lies off the bed", b.length(x))
	}
}

// length writes a length as people of the job's units do.
func (b *builder) length(m float64) string { return b.job.Units.Length().Text(m) }

// in writes a value in a metric unit, or in the inch unit for it in an inch job, to four figures.
func (b *builder) in(v float64, name string) string {
	to := inchUnits[name]
	if b.units == unit.Inches {
		name = to.name
	}
	return figures(v/want{kind: to.kind}.must("1 "+name), 4) + " " + name
}

// slack, m, is what rounding between millimetres and inches may make of one place.
const slack = 1e-6

// called reads the table's name, "" when another has it already.
func (r *reader) called(seen map[string]bool) string {
	name := r.text("name")
	if seen[name] {
		if name != "" {
			r.fault("name", "give each its own name", "%s is there already", unit.Quote(name))
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
		r.fault(key, unit.Choices(name, names), "there is no %s %s", what, unit.Quote(name))
	}
	return ""
}

func (b *builder) standing(r *reader, key string) string {
	return r.refer(key, "standing", b.job.StandingNames())
}

// footOf reads a standing and the name of one of its feet.
func (b *builder) footOf(r *reader) (standing, foot string) {
	standing = b.standing(r, "standing")
	s, err := b.job.Standing(standing)
	if err == nil && standing != "" && len(s.Feet) == 0 {
		r.fault("foot", "feet are moved, bearings are not", "the standing %s has no feet", unit.Quote(standing))
	}
	return standing, r.refer("foot", "foot", footNames(s))
}
