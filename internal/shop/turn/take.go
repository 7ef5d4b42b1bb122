package turn

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

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
	ErrNothing = errors.New("nothing was typed: type what the instrument reads now, or help")
	ErrHelp    = errors.New("help was asked for")
	errYesNo   = errors.New("say yes or no")
	errNotHere = errors.New("that says nothing here; help shows the words")
)

// Take takes in a line that a person typed at a moment. After an error the card is as it
// was, and nothing is written.
func (s *Session) Take(text string, when log.Moment) error {
	text = strings.Join(strings.Fields(text), " ")
	word, rest, _ := strings.Cut(strings.ToLower(text), " ")
	switch {
	case text == "":
		return ErrNothing
	case word == "help":
		return ErrHelp
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
	s.news = nil
	return s.act(word, rest, text, when)
}

// act takes in what a hand did, felt or read.
func (s *Session) act(word, rest, text string, when log.Moment) error {
	switch {
	case word == "skip":
		return s.skip(when)
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
	case !yes:
		s.card = Card{Kind: Over, Ending: Stopped, What: what}
		return nil
	case what == BoltsSlack:
		s.log(when, log.Bolts, "all", "slack")
	}
	s.questions = s.questions[1:]
	return s.next()
}

// place is where the card's instrument stands.
func (s *Session) standsAt() (Place, log.Setup, bool) {
	if s.card.Gauge && s.step != nil {
		p, _ := s.watched(*s.step)
		return p, s.in.Setups[p.Instrument], true
	}
	p, ok := s.placeOf(s.card.Survey, s.card.At)
	if !ok || s.card.Survey == "" {
		return p, log.Setup{}, false
	}
	return p, s.in.Setups[p.Instrument], true
}

// reading takes in a figure.
func (s *Session) reading(text string, when log.Moment) error {
	p, setup, ok := s.standsAt()
	if !ok {
		return errNotHere
	}
	value, err := setup.Reading(text)
	if err != nil {
		return err
	}
	if s.card.Gauge {
		value += s.read[p]
	}
	s.fed = &fed{text, value}
	switch s.card.Kind {
	case Rest:
		return s.rested(p, value, when)
	case Bolt, Repack:
		return s.bolted(p, value, when)
	case Locked:
		s.last.sd = max(s.in.ByLock, 1e-7)
	case Trial, Step, Back, Touch:
		return s.stepped(p, value, when)
	}
	if s.last != nil && s.card.Kind != Locked {
		return s.weigh(p, value, when)
	}
	return s.accept(p, value, when)
}

// stepped carries out what the card says and holds the reading against it.
func (s *Session) stepped(p Place, value float64, when log.Moment) error {
	unmoved := s.beds.copy()
	raise, touch := s.card.Raise, s.card.Kind == Touch
	if s.card.Kind == Back {
		raise = -s.card.Raise
	}
	f := s.step.Foot
	s.logTurn(f, raise, touch, when)
	if err := s.move(move{f, touch, raise, s.slip(f, raise, touch)}); err != nil {
		return err
	}
	s.undo, s.guided = &undo{unmoved: unmoved}, !touch
	return s.weigh(p, value, when)
}

func (s *Session) logTurn(foot int, raise float64, touch bool, when log.Moment) {
	s.log(when, log.Turn, s.in.Standing.Feet[foot].Name, s.hand(foot, raise, touch))
	s.turnedAt, s.lately = when.String(), foot
}

// hand writes what a hand meant as the log has it.
func (s *Session) hand(foot int, raise float64, touch bool) string {
	way, size := "up", math.Abs(raise)
	if raise < 0 {
		way = "down"
	}
	switch rise := s.in.Task.Feet[foot].Rise; {
	case touch:
		return "to touch"
	case rise > 0:
		return fmt.Sprintf("%s %.1f°", way, size/rise*360)
	}
	return micrometres(raise)
}

func micrometres(raise float64) string {
	if raise < 0 {
		return fmt.Sprintf("down %.1f µm", -raise*1e6)
	}
	return fmt.Sprintf("up %.1f µm", raise*1e6)
}

// oddFrom is by how many standard deviations a change of reading must miss what was
// foretold to be asked about: of good ones one in ten thousand does.
const oddFrom = 4

// weigh asks about a reading that does not fit, and takes in one that does.
func (s *Session) weigh(p Place, value float64, when log.Moment) error {
	was, ok := s.read[p]
	if !ok || s.last == nil {
		return s.accept(p, value, when)
	}
	f := s.beds.foretell(p, value-was)
	if math.Abs(f.off()) < oddFrom && s.went(f) {
		return s.accept(p, value, when)
	}
	var err error
	c := s.card
	c.Kind, c.Fed, c.Before = Misfit, value, was
	c.Until, c.Within = was+f.expected, 2*f.sd
	c.Means, c.Others, err = s.meanings(p, value, was, f)
	s.card = c
	return err
}

// went tells whether a turn was seen: most turns end where the card says, and a change
// against it or of less than a third of it is no slip of the hand.
func (s *Session) went(f fit) bool {
	return !s.guided || f.change*f.expected > 0 && math.Abs(f.change) > math.Abs(f.expected)/3
}

// accept writes a reading down and learns from it.
func (s *Session) accept(p Place, value float64, when log.Moment) error {
	u := undo{beds: s.beds.copy(), read: maps.Clone(s.read), last: s.last}
	moved := s.last
	if s.card.Gauge {
		s.log(when, log.Indicator, s.in.Standing.Feet[int(p.At)].Name, micrometres(value-s.read[p]))
	} else {
		s.log(when, log.Read, fmt.Sprintf("%s at %s", s.in.Setups[p.Instrument].Name, millimetres(p.At)), s.fed.text)
	}
	u.line = s.lines[len(s.lines)-1]
	if s.undo != nil {
		u.unmoved = s.undo.unmoved
	}
	s.undo = &u
	if err := s.take(p, value); err != nil {
		return err
	}
	if moved != nil {
		s.tell(*moved)
	}
	return s.next()
}

// tell says what a turn did, and what is learnt of its foot's nut or screw.
func (s *Session) tell(m move) {
	raised, sd := s.beds.came()
	if !m.touch {
		s.news = &News{Foot: s.in.Standing.Feet[m.foot].Name, Raised: raised, SD: sd}
	}
	if s.card.Kind == Locked {
		s.shifts[m.foot] = raised
		return
	}
	s.tried, s.done = true, s.done+1
}

func millimetres(x float64) string {
	return strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.3f", x*1e3), "0"), ".") + " mm"
}

// rested holds the second of two readings with nothing touched against the first: more
// than half of what the smallest step changes means that the bed is still moving.
func (s *Session) rested(p Place, value float64, when log.Moment) error {
	was := s.read[p]
	least := math.Inf(1)
	if s.step.Watch != nil {
		least = math.Abs(s.step.Watch.Change)
	}
	still := math.Abs(value-was) <= max(least/2, 2*math.Sqrt2*s.in.Instruments[p.Instrument].Noise)
	s.log(when, log.Read, fmt.Sprintf("%s at %s", s.in.Setups[p.Instrument].Name, millimetres(p.At)), s.fed.text)
	s.set(p, value)
	if still {
		s.rest = &value
		return s.next()
	}
	s.card.Wait, s.card.Before = true, value
	return nil
}

// bolted holds a reading after tightening against the one before.
func (s *Session) bolted(p Place, value float64, when log.Moment) error {
	s.log(when, log.Read, fmt.Sprintf("%s at %s", s.in.Setups[p.Instrument].Name, millimetres(p.At)), s.fed.text)
	if moved := math.Abs(value - s.card.Before); moved > s.card.Within {
		s.card.Kind, s.card.Fed = Repack, value
		return nil
	}
	s.goes++
	if s.goes == 3 {
		s.log(when, log.Bolts, "all", "tight")
	}
	return s.next()
}

// skip leaves out what the card asks for.
func (s *Session) skip(when log.Moment) error {
	switch s.card.Kind {
	case Rest:
		s.rest = new(float64)
		s.log(when, log.Note, "", "did not wait for the bed to come to rest")
	case Bolt, Repack:
		s.goes = 3
	case Read:
		return errNotHere
	default:
		s.leave(s.step.Foot)
		s.log(when, log.Note, "", "left out "+s.in.Standing.Feet[s.step.Foot].Name)
	}
	return s.next()
}

// leave leaves a foot alone from now on.
func (s *Session) leave(foot int) {
	s.skipped[foot] = true
	s.feet = slices.DeleteFunc(s.feet, func(f int) bool { return f == foot })
}

// turned takes in a turn that no instrument sees.
func (s *Session) turned(when log.Moment) error {
	if s.card.Kind != Angle {
		return errNotHere
	}
	f := s.step.Foot
	m := move{f, false, s.card.Raise, s.slip(f, 0, false)}
	s.logTurn(f, m.raise, false, when)
	if err := s.move(m); err != nil {
		return err
	}
	s.tell(m)
	s.leave(f) // nothing tells whether to turn it again
	return s.next()
}

// knocked gives the instrument a new zero.
func (s *Session) knocked(when log.Moment) error {
	if s.card.Survey == "" {
		return errNotHere
	}
	s.log(when, log.SetUp, s.card.Survey, "")
	s.forget(s.card.Survey)
	return s.next()
}

// lock takes in that a foot's nut was tightened, and asks for a reading.
func (s *Session) lock(name string, when log.Moment) error {
	f := -1
	if name != "" {
		f = s.foot(name)
	} else {
		f = s.lately
	}
	if _, _, ok := s.standsAt(); f < 0 || !ok {
		return errNotHere
	}
	s.log(when, log.Lock, s.in.Standing.Feet[f].Name, "")
	if err := s.move(move{foot: f, sd: max(s.in.ByLock, 1e-7)}); err != nil {
		return err
	}
	s.card.Kind, s.card.Foot = Locked, s.in.Standing.Feet[f].Name
	return nil
}

func (s *Session) foot(name string) int {
	for i, f := range s.in.Standing.Feet {
		if strings.EqualFold(f.Name, name) {
			return i
		}
	}
	return -1
}

// back asks for the screw to be turned back to where the reading was.
func (s *Session) back() error {
	if k := s.card.Kind; k != Step && k != Trial {
		return errNotHere
	}
	s.card.Kind, s.card.Until = Back, s.card.Before
	return nil
}

// feel takes in how a foot feels.
func (s *Session) feel(how log.Touch, name string, when log.Moment) error {
	f := -1
	if name != "" {
		f = s.foot(name)
	} else if s.step != nil {
		f = s.step.Foot
	}
	if f < 0 {
		return errNotHere
	}
	own := s.card.Kind == Touch && f == s.step.Foot
	if own && how == log.Nips {
		s.logTurn(f, 0, true, when)
		if err := s.move(move{f, true, 0, s.slip(f, 0, true)}); err != nil {
			return err
		}
		s.tried, s.done, s.news = true, s.done+1, nil
	}
	s.log(when, log.Feel, s.in.Standing.Feet[f].Name, string(how))
	if how != log.Nips {
		s.beds.feels(f, how == log.Solid)
	}
	if own && how == log.Free { // not there yet
		return nil
	}
	return s.next()
}

// surveyed writes a survey down: "survey front way front-2.csv". The bed is then known anew.
func (s *Session) surveyed(text string, when log.Moment) error {
	words := strings.Fields(text)
	if len(words) < 2 {
		return errors.New("say which file: survey front-2.csv")
	}
	name := strings.Join(words[1:len(words)-1], " ")
	if name == "" {
		name = s.card.Survey
	}
	if !slices.ContainsFunc(s.in.Setups, func(u log.Setup) bool { return u.Name == name }) || name == "" {
		return errors.New("say which survey it is: survey front way front-2.csv")
	}
	s.log(when, log.Survey, name, words[len(words)-1])
	s.card = Card{Kind: Over, Ending: Survey}
	return nil
}

// strike strikes the last reading out: it does not count, and nothing is moved by it.
func (s *Session) strike(when log.Moment) error {
	u := s.undo
	if u == nil || u.beds == nil {
		return errors.New("there is no reading to strike out")
	}
	where := u.line.Where
	if i := strings.LastIndex(where, " at "); i >= 0 {
		where = where[:i]
	}
	s.log(when, log.Void, u.line.When+" "+u.line.What+" "+where, "")
	s.beds, s.read, s.last, s.undo, s.news = u.beds, u.read, u.last, nil, nil
	if s.last == nil {
		return s.next()
	}
	s.done--
	s.card.Kind, s.card.News = Read, nil
	return nil
}
