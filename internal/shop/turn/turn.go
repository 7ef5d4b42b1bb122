// Package turn is the loop at the bed: one step at a time, by what the instrument
// reads. A Session takes lines of a person and gives cards and lines for the log; it
// touches no terminal, file or clock.
package turn

import (
	"math"
	"slices"

	"footwork/beam"
	"footwork/internal/sample"
	"footwork/supports"
	"footwork/supports/plan"
	"footwork/survey"
	"footwork/survey/log"
)

// Input is what a session begins with.
type Input struct {
	plan.Task                  // with the draws of the last survey that plans are made on
	Beds       []beam.Draw     // more of them, that readings choose from; nil: those alone
	Plan       plan.Answer     // that was made of it
	Setups     []survey.Survey // of the task's instruments; "" for an indicator
	Feet       []int           // to be turned
	Earlier    []log.Entry     // what was done before that survey, in time order
	Since      []log.Entry     // and since
	Bolts      bool            // there are holding-down bolts
	Table      bool            // a table stands on the bed
	Asked      bool            // the questions were answered a moment ago
	Retighten  []int           // feet with bolts, crosswise
	Locks      bool            // its feet have lock nuts
	AskLocks   bool            // nobody has said yet whether they have
	ByLock     float64         // m, how far a lock nut may shift a foot (one standard deviation)
	Nuts       map[int]LockNut // what is known of lock nuts
	Wanted     float64         // m, tolerance; 0: none
	SurveyWith []string        // the set-ups to survey with at the end
}

// Session is a visit to the bed.
type Session struct {
	Sound func(log.Line) error // says what is wrong with a survey's line before it is in the log; nil: not asked

	in    Input
	beds  *beds
	begun *beds         // as the survey left them
	seen  map[int]Place // where each foot was last turned by a reading
	card  Card
	read  map[Place]float64 // last readings, of zeros that still hold
	last  *move             // since the last reading
	lines []log.Line        // to be written

	questions []What
	alone     bool
	rest      *float64 // the first of the two readings that tell whether the bed is still
	place     Place    // where the instrument was read last
	at        Place    // where the card's stands
	step      *plan.Step
	planned   plan.Answer   // of the planner, last
	tried     bool          // the first turn went the right way
	done      int           // turns
	visit     int           // number of this visit, however many turns of its foot it takes
	visited   int           // that foot
	lights    []float64     // of each foot, in what share of the beds it was light when it began
	first     int           // turns that were made before it
	began     float64       // m, by how much its foot was raised when it began
	putBack   map[int][]int // visits in which a foot was put back, or left to hang, for others to carry
	mending   string        // the foot that the card's turn is for, one that went light
	carried   map[int]bool
	feet      []int
	touched   map[int]bool // since it was lowered last
	sought    map[int]int  // one more than the turns that were made when it was last looked for where it touches
	skipped   map[int]bool
	nuts      map[int]LockNut
	went      map[int]float64 // m, by which the screw of each foot was raised since the survey
	loose     map[int]bool    // nuts slackened by a turn since they were tightened
	left      []string        // set-ups yet to be surveyed
	surveys   int             // that were
	goes      int             // of tightening bolts
	fed       *fed            // a reading that does not fit, until it is said what it is
	undo      *undo           // what striking out the last line brings back
	came      []log.Line      // written since that line: how far feet came
	target    *target         // of the turn since the last reading, where it went by the instrument
	lately    int             // the foot that was turned last; −1
	stirred   bool            // a foot moved since a hand felt others
	moved     bool            // a foot was, or a hand felt one, since the survey
	known     map[int]bool    // feet that a hand has felt since anything was moved
	firm      map[int]float64 // mean foot loads, of each foot when it was felt last, or as it was found
	surprised bool            // a reading that did not fit was taken as it is
	unsafe    bool            // no step that would gain is dared
	held      plan.Step       // the one of them that risks least
	telling   bool            // the card's foot is let down, for its load to be told
	told      map[int]bool    // feet that were let down so since the survey
	byFeel    bool            // nothing more is to be gained but by steps that a hand follows at the feet
	turnedAt  string          // when
	news      *News
}

// Begin returns a session with its first card. It is an error when a bed cannot stand.
func Begin(in Input) (*Session, error) {
	t := in.Task
	if in.Beds != nil {
		t.Draws = in.Beds
	}
	b, err := newBeds(t)
	if err != nil {
		return nil, err
	}
	s := &Session{in: in, beds: b, begun: b.copy(), seen: map[int]Place{}, read: map[Place]float64{}, feet: slices.Clone(in.Feet), stirred: true, known: map[int]bool{}, firm: map[int]float64{}, skipped: map[int]bool{}, touched: map[int]bool{}, nuts: map[int]LockNut{}, loose: map[int]bool{}, went: map[int]float64{}, carried: map[int]bool{}, told: map[int]bool{}, sought: map[int]int{}, putBack: map[int][]int{}, lately: -1}
	for f := range in.Standing.Feet {
		s.firm[f] = b.load(f)
		if n, ok := in.Nuts[f]; ok {
			s.know(f, n)
		}
	}
	s.in.Locks = in.Locks || len(in.Nuts) > 0
	if err := s.replay(); err != nil {
		return nil, err
	}
	s.left = slices.Clone(in.SurveyWith)
	if s.rest = new(float64); !in.Asked {
		s.questions, s.rest = s.toAsk(), nil
	}
	return s, s.next()
}

// toAsk are the questions before anything is turned.
func (s *Session) toAsk() (list []What) {
	if s.in.Bolts {
		list = append(list, BoltsSlack)
	}
	list = append(list, NothingTall)
	if s.in.Table {
		list = append(list, DriveIsolated)
	}
	list = append(list, Blocked)
	if s.in.AskLocks {
		list = append(list, LockNuts)
	}
	return append(list, Alone)
}

// Card is what to show now.
func (s *Session) Card() Card { return s.card }

// Plan is what the planner would do with the bed as it is known now, whatever the card asks first.
func (s *Session) Plan() (plan.Plan, error) {
	if s.planned.Plans == nil {
		a, err := s.ask(nil)
		if err != nil {
			return plan.Plan{}, err
		}
		s.planned = a
	}
	return s.planned.Plans[s.planned.Recommended], nil
}

// Lines hands over what is to be written into the log, once.
func (s *Session) Lines() []log.Line {
	out := s.lines
	s.lines = nil
	return out
}

// next finds the card that comes after what is known.
func (s *Session) next() error {
	if len(s.questions) > 0 {
		s.card = Card{Kind: Question, What: s.questions[0]}
		return nil
	}
	return s.plan()
}

// plan asks the planner for the next step with the beds as they may be now.
func (s *Session) plan() error {
	if s.doubtful() {
		return nil
	}
	s.mending, s.telling = "", false
	fallen := s.fallen()
	worth, err := s.steps(fallen)
	if err != nil {
		return err
	}
	a := s.planned
	now := a.Plans[0].Zone
	if s.news != nil && !s.slack(s.lately) { // with its nut slack the ways are not what they will be
		s.news.Zone, s.news.Low, s.news.High = now.Value, now.Low, now.High
	}
	over := len(worth) == 0 || s.done > mostVisits*len(s.in.Standing.Feet)
	survey := s.tried && s.few() && len(s.left) > 0 && (over || !slices.Contains(fallen, worth[0].Foot)) // what they agree on may be chance
	left := func(f int) bool { return over || survey || f != worth[0].Foot }
	if left(s.lately) && s.mend() {
		return nil
	}
	for f := range s.in.Standing.Feet { // before another foot is turned
		if left(f) && s.nut(f) {
			return nil
		}
	}
	if survey {
		return s.resurvey(now, sample.Range{})
	}
	if over {
		return s.finish(now, a.Known)
	}
	s.begins(worth[0], len(worth))
	return nil
}

// begins begins a step, and with another foot a visit · left: how many are.
func (s *Session) begins(st plan.Step, left int) {
	if s.step = &st; s.visit == 0 || st.Foot != s.visited {
		s.visit, s.visited, s.lights, s.first, s.began = s.visit+1, st.Foot, s.lightIf(0), s.done, s.stands(st.Foot)
	}
	s.show(st, left)
}

// steps are those that a person is asked for next: first of feet that fell light, where that helps.
func (s *Session) steps(fallen []int) (worth []plan.Step, err error) {
	if s.planned, err = s.ask(fallen); err != nil {
		return nil, err
	}
	worth = s.safe(s.worth(s.planned.Plans[s.planned.Recommended].Steps))
	if len(worth) == 0 && fallen != nil {
		return s.steps(nil)
	}
	return worth, nil
}

// worth are the steps that a person is asked for, none finer than a hand, in the order that keeps
// loads. What nips a foil touches, whatever the beds make of it; where a foot touches is looked for once
// until another turn was made. A foot that was put back for others to carry comes when nothing else is
// left, and once.
func (s *Session) worth(steps []plan.Step) (out []plan.Step) {
	var again []plan.Step
	for _, st := range steps {
		least := plan.LeastMove
		if st.Watch == nil {
			least = max(least, s.slip(st.Foot, 0, false))
		}
		if st.Touch && s.touched[st.Foot] {
			st = s.onFromTouch(st)
		}
		switch {
		case st.Touch && s.sought[st.Foot] > s.done || !st.Touch && math.Abs(st.Raise) < least:
		case s.putBack[st.Foot] == nil:
			out = append(out, st)
		case len(s.putBack[st.Foot]) == 1 && st.Foot != s.visited:
			again = append(again, st)
		}
	}
	if out == nil {
		return again
	}
	return out
}

// onFromTouch is what is left of a step when its foot touches: with its nut slack it may stand
// higher than it will when that is tight. Short of touching it is left where it is.
func (s *Session) onFromTouch(st plan.Step) plan.Step {
	return *s.onward(st, max(0, st.Raise+s.beds.gap(st.Foot, s.byNut(st.Foot, s.loose[st.Foot]))))
}

// mostVisits of a foot, on the average: then only a survey tells more.
const mostVisits = 3

// asPlanned: nothing was moved or felt since the survey, so that what was planned of it holds, as it
// is on paper. Here one place is watched, where a plan may have two read one off the other.
func (s *Session) asPlanned() bool {
	a := s.in.Plan
	return a.Recommended > 0 && !s.moved && !slices.ContainsFunc(a.Plans[a.Recommended].Steps, func(st plan.Step) bool { return st.Watch != nil && st.Watch.Less != nil })
}

// ask asks the planner for the feet of the plan, and, where these are done, for any · first: for these
// alone, if any.
func (s *Session) ask(first []int) (plan.Answer, error) {
	if s.asPlanned() {
		return s.in.Plan, nil
	}
	t := s.in.Task
	t.Draws, t.ByFeel = s.beds.draws(s.loose, len(t.Draws)), s.byFeel
	t.Feet = slices.Clone(t.Feet)
	var all []int
	for f := range t.Feet {
		all = append(all, f)
		t.Feet[f].Left = s.threadLeft(f)
		t.Nut = append(t.Nut, s.nutMisses())
		if !s.loose[f] { // else each draw has its own
			t.Nut[f] = math.Hypot(t.Nut[f], min(s.nuts[f].SD, s.in.ByLock))
		}
		if s.skipped[f] {
			t.Feet[f].Kind = supports.Fixed
		} else if !slices.Contains(s.feet, f) && s.beds.light(f, s.in.Goal.LeastLoad/2) > 0.5 {
			s.feet = append(s.feet, f) // it came loose, and is to carry
		}
	}
	if first != nil {
		return plan.Next(t, first, s.step)
	}
	a, err := plan.Next(t, s.feet, s.step)
	if err != nil || a.Recommended > 0 {
		return a, err
	}
	if a, err = plan.Next(t, all, s.step); err == nil && a.Recommended > 0 {
		s.feet = nil
		for _, m := range a.Plans[a.Recommended].Moves {
			s.feet = append(s.feet, m.Foot)
		}
	}
	return a, err
}

// threadLeft is what a foot may still be moved by: of its thread, and of the furthest that
// the job has any foot moved.
func (s *Session) threadLeft(f int) *supports.Thread {
	most, went := s.in.Goal.MostMove, s.went[f]
	left := supports.Thread{Up: most, Down: most}
	if t := s.in.Task.Feet[f].Left; t != nil {
		left = supports.Thread{Up: min(most, t.Up), Down: min(most, t.Down)}
	}
	return &supports.Thread{Up: max(0, left.Up-went), Down: max(0, left.Down+went)}
}
