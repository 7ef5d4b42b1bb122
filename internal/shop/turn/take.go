package turn

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"strings"

	"footwork/survey"
	"footwork/survey/log"
)

// fed is a reading as it was typed.
type fed struct {
	text  string
	value float64
}

// undo is a session before a line of its log.
type undo struct {
	line    log.Line
	beds    *beds
	read    map[Place]float64
	last    *move
	unmoved *beds // before the turn that the line's reading is of
}

// Errors of what a person types.
var (
	errNothing = errors.New("nothing was typed: answer what is asked, or type help")
	ErrHelp    = errors.New("help was asked for")
	ErrTold    = errors.New("what raises do to readings was asked for")
	errYesNo   = errors.New("say yes or no")
	errWhich   = errors.New("say which foot: free F2")
	errDown    = errors.New("let it down until it turns freely, then raise it until it nips, and say nips")
	errNotHere = errors.New("that says nothing here; help shows the words")
)

// Take takes in a line that a person typed at a moment. After an error the card is as it
// was, and nothing is written.
func (s *Session) Take(text string, when log.Moment) error {
	err := s.typed(text, when)
	if k := s.card.Kind; err == nil && (k == Over || k == Resurvey) {
		s.logCame(when)
	}
	return err
}

func (s *Session) typed(text string, when log.Moment) error {
	text = strings.Join(strings.Fields(text), " ")
	word, rest, _ := strings.Cut(strings.ToLower(text), " ")
	switch {
	case text == "":
		return errNothing
	case word == "help":
		return ErrHelp
	case word == "responses" || word == "response":
		return ErrTold
	case word == "stop":
		s.card = Card{Kind: Over, Ending: Stopped}
		return nil
	case word == "note" && rest != "":
		s.log(when, log.Note, "", text[len("note "):])
		return nil
	case s.card.Kind == Over:
		return errNotHere
	case s.card.Kind == Question:
		return s.answer(word, when)
	case s.card.Kind == Misfit:
		return s.explain(text, when)
	case word == "survey":
		return s.surveyed(text, when)
	case text == "strike out" || text == "Strike out":
		return s.strike(when)
	}
	if s.card.Kind != Solid { // what was told waits for the zone
		s.news = nil
	}
	return s.act(word, rest, text, when)
}

// act takes in what a hand did, felt or read.
func (s *Session) act(word, rest, text string, when log.Moment) error {
	switch {
	case word == "skip":
		return s.skip(when)
	case s.card.Kind == Solid && (word == "yes" || word == "y"):
		return s.solid(when)
	case s.card.Kind == Solid && (word == "no" || word == "n"):
		return s.feel(log.Free, "", when)
	case word == "two":
		s.alone = false
		return s.next()
	case word == "done":
		return s.turned(when)
	case word == "knocked":
		return s.knocked(when)
	case word == "lock":
		return s.lock(rest, when)
	case word == "turn" && rest == "back":
		return s.back()
	case word == "free" || word == "nips" || word == "solid":
		return s.feel(log.Touch(word), rest, when)
	}
	return s.reading(text, when)
}

func (s *Session) log(when log.Moment, what log.What, where, value string) {
	s.lines = append(s.lines, log.Line{When: when.String(), What: string(what), Where: where, Value: value})
}

// answer takes in yes or no to what is asked first.
func (s *Session) answer(word string, when log.Moment) error {
	yes := word == "yes" || word == "y"
	if word == "none" && s.questions[0] == BoltsSlack {
		s.in.Bolts = false
		s.questions = s.questions[1:]
		return s.next()
	}
	if !yes && word != "no" && word != "n" {
		return errYesNo
	}
	switch what := s.questions[0]; {
	case what == Alone:
		s.alone = yes
	case what == LockNuts:
		s.in.Locks = yes
		s.log(when, log.Note, "", map[bool]string{true: WithNuts, false: WithoutNuts}[yes])
	case !yes:
		s.card = Card{Kind: Over, Ending: Refused, What: what}
		return nil
	case what == BoltsSlack:
		s.log(when, log.Bolts, "all", "slack")
	}
	s.questions = s.questions[1:]
	return s.next()
}

// standsAt is where the card's instrument stands, and its set-up; not ok where none does.
func (s *Session) standsAt() (Place, survey.Survey, bool) {
	if s.card.Survey == "" && !s.card.Gauge {
		return Place{}, survey.Survey{}, false
	}
	return s.at, s.in.Setups[s.at.Instrument], true
}

// reading takes in a figure.
func (s *Session) reading(text string, when log.Moment) error {
	p, setup, ok := s.standsAt()
	if !ok {
		return errNotHere
	}
	value, err := log.Reading(setup, text)
	if err != nil {
		return err
	}
	s.fed = &fed{text, value}
	switch s.card.Kind {
	case Rest:
		return s.rested(p, value, when)
	case Bolt, Repack:
		return s.bolted(p, value, when)
	case Trial, Step, Back, Touch:
		return s.stepped(p, value, when)
	case Slacken:
		s.logTurn(s.step.Foot, 0, false, when)
		if err := s.move(s.slackened(s.step.Foot)); err != nil {
			return err
		}
	}
	return s.weigh(p, value, when)
}

// stepped carries out what the card says and holds the reading against it.
func (s *Session) stepped(p Place, value float64, when log.Moment) error {
	raise, touch := s.card.Raise, s.card.Kind == Touch
	if s.card.Kind == Back {
		raise = -s.card.Raise
	}
	f := s.step.Foot
	if touch {
		s.seeks(f)
	}
	s.logTurn(f, raise, touch, when)
	unmoved := s.beds.copy()
	if err := s.move(move{foot: f, touch: touch, raise: raise, sd: s.slip(f, raise, touch)}); err != nil {
		return err
	}
	if s.card.Settle {
		s.rest = nil
	}
	if s.undo = (&undo{unmoved: unmoved}); !touch {
		s.target = &target{s.card.Until, s.card.Within}
	}
	return s.weigh(p, value, when)
}

func (s *Session) logTurn(foot int, raise float64, touch bool, when log.Moment) {
	if touch { // how far it goes for that nobody knows
		s.logCame(when)
	}
	s.log(when, log.Turn, s.name(foot), s.hand(foot, raise, touch))
	s.turnedAt, s.lately, s.loose[foot] = when.String(), foot, true
}

// hand writes what a hand meant as the log has it.
func (s *Session) hand(foot int, raise float64, touch bool) string {
	switch rise := s.in.Task.Feet[foot].Rise; {
	case touch:
		return "to touch"
	case rise > 0:
		return upOrDown(raise, "%.1f°", rise/360)
	}
	return upOrDown(raise, "%.1f µm", 1e-6)
}

// upOrDown writes a raise in a unit of so many metres.
func upOrDown(raise float64, format string, unit float64) string {
	way := "up "
	if raise < 0 {
		way = "down "
	}
	return way + fmt.Sprintf(format, math.Abs(raise)/unit)
}

// target is what a turn that went by the instrument was to read.
type target struct{ until, within float64 }

// oddFrom is by how many standard deviations a reading must miss what was foretold to be
// asked about: of good ones one in 370 does, and reading again costs a quarter of a minute.
const oddFrom = 3

// weigh asks about a reading that does not fit, and takes in one that does.
func (s *Session) weigh(p Place, value float64, when log.Moment) error {
	was, ok := s.read[p]
	if !ok {
		return s.accept(p, value, when)
	}
	f := s.beds.foretell(p, value, was)
	if s.last == nil { // its zero crept
		f.sd = math.Hypot(f.sd, s.in.Instruments[p.Instrument].Noise)
	}
	if s.fits(value, f) {
		return s.accept(p, value, when)
	}
	c := s.card
	c.Kind, c.Fed, c.Before, c.News = Misfit, value, was, nil
	if c.Until, c.Within = was+f.expected, 2*f.sd; s.target != nil {
		c.Until, c.Within = s.target.until, s.target.within
	}
	c.Means, c.Others = s.meanings(p, value, was, f)
	s.card = c
	return nil
}

// fits tells whether a reading is what was foretold: after a turn that went by the
// instrument what the card said, and a change against it or of less than a third of it is
// no slip of the hand.
func (s *Session) fits(value float64, f fit) bool {
	if s.target == nil {
		return math.Abs(f.off()) < oddFrom
	}
	seen := math.Abs(f.expected) < s.target.within || f.change*f.expected > 0 && math.Abs(f.change) > math.Abs(f.expected)/3
	return math.Abs(value-s.target.until) < oddFrom*s.target.within && seen
}

// accept writes a reading down and learns from it.
func (s *Session) accept(p Place, value float64, when log.Moment) error {
	u := undo{beds: s.beds.copy(), read: maps.Clone(s.read), last: s.last}
	moved := s.last
	if s.card.Gauge {
		s.log(when, log.Indicator, s.name(int(p.At)), upOrDown(value-s.read[p], "%.1f µm", 1e-6))
	} else {
		s.logRead(p, when)
	}
	u.line = s.lines[len(s.lines)-1]
	if s.undo != nil {
		u.unmoved = s.undo.unmoved
	}
	s.undo, s.came = &u, nil
	if err := s.take(p, value); err != nil {
		return err
	}
	if moved != nil {
		s.tell(*moved)
	}
	if asked := s.card.Kind == Read && s.card.Means == nil && (moved == nil || moved.touch || moved.slack); s.step != nil && (asked || s.card.Kind == Slacken) { // to turn by
		s.show(*s.step, s.card.Of-s.card.Step+1)
		return nil
	}
	return s.next()
}

// tell says what a turn did.
func (s *Session) tell(m move) {
	raised, sd := s.beds.came(lately)
	if !m.touch && !m.slack {
		s.news = &News{Foot: s.name(m.foot), Nut: m.nut, Raised: raised, SD: sd}
	}
	if !m.nut && !m.slack {
		s.tried, s.done = true, s.done+1
	}
}

// logRead writes down the reading that was typed.
func (s *Session) logRead(p Place, when log.Moment) {
	s.log(when, log.Read, s.in.Setups[p.Instrument].Name+" at "+millimetres(p.At), s.fed.text)
}

func millimetres(x float64) string {
	return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.3f", x*1e3), "0"), ".") + " mm"
}
