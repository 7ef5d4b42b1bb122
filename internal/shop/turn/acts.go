package turn

import (
	"cmp"
	"errors"
	"math"
	"slices"
	"strings"

	"footwork/beam"
	"footwork/supports/plan"
	"footwork/survey"
	"footwork/survey/log"
)

// rested holds the second of two readings with nothing touched against the first: more
// than half of what the smallest step changes means that the bed is still moving.
func (s *Session) rested(p Place, value float64, when log.Moment) error {
	was := s.read[p]
	least := math.Inf(1)
	if s.step.Watch != nil {
		least = math.Abs(s.step.Watch.Change)
	}
	still := math.Abs(value-was) <= max(least/2, 2*math.Sqrt2*s.in.Instruments[p.Instrument].Noise)
	s.logRead(p, when)
	s.beds.note(p, value)
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
	s.logRead(p, when)
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
	case Nut: // not now: a foot whose nut was never seen is asked for no more
		s.loose[s.lately] = false
	case Resurvey:
		if s.surveys > 0 {
			s.card = Card{Kind: Over, Ending: Survey}
			return nil
		}
		s.left = nil
	case Read:
		return errNotHere
	case Solid:
	default:
		if s.card.Down { // it may be turned all the same
			s.told[s.step.Foot] = true
			s.log(when, log.Note, "", "did not let "+s.name(s.step.Foot)+" down")
			break
		}
		s.leave(s.step.Foot)
		s.log(when, log.Note, "", "left out "+s.name(s.step.Foot))
	}
	return s.next()
}

// leave leaves a foot alone from now on.
func (s *Session) leave(foot int) {
	s.skipped[foot], s.moved = true, true
	s.feet = slices.DeleteFunc(s.feet, func(f int) bool { return f == foot })
}

// turned takes in a turn that no instrument sees.
func (s *Session) turned(when log.Moment) error {
	if s.card.Kind != Angle {
		return errNotHere
	}
	f := s.step.Foot
	m := move{foot: f, raise: s.card.Raise, sd: s.slip(f, 0, false)}
	if !s.loose[f] { // its nut is slackened first
		m.raise -= s.nuts[f].Raises
	}
	s.logTurn(f, s.card.Raise, false, when)
	if err := s.move(m); err != nil {
		return err
	}
	if s.tell(m); s.card.Settle {
		s.rest = nil
	}
	if !s.card.Part && s.step.Watch == nil { // else nothing tells whether to turn it again
		s.leave(f)
	}
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

func (s *Session) name(foot int) string { return s.in.Standing.Feet[foot].Name }

func (s *Session) foot(name string) int {
	return slices.IndexFunc(s.in.Standing.Feet, func(f beam.Foot) bool { return strings.EqualFold(f.Name, name) })
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
	f := s.foot(name)
	switch here := s.card.Kind == Solid; {
	case name != "":
	case here && how == log.Solid:
		return s.solid(when)
	case here && len(s.card.Feel) == 1:
		f = s.asked()[0]
	case !here && s.step != nil:
		f = s.step.Foot
	}
	if f < 0 {
		return errWhich
	}
	own := s.card.Kind == Touch && f == s.step.Foot
	if own && s.card.Down && how != log.Nips {
		return errDown
	}
	if own && how != log.Free {
		return s.touches(f, how, when)
	}
	if err := s.feels(f, how, when); err != nil || own { // it does not touch yet
		return err
	}
	if s.card.Kind == Solid { // and the others that were asked for
		if s.areSolid(slices.DeleteFunc(s.asked(), func(g int) bool { return g == f })) {
			return nil
		}
	}
	return s.next()
}

// seeks notes that a foot was brought to where it touches.
func (s *Session) seeks(f int) {
	s.sought[f] = s.done + 1
	s.told[f], s.telling = s.told[f] || s.card.Down, false
}

// touches takes in that a foot which was to be raised until it touches does: it nips now, or
// was solid as soon as its nut was slack. It is turned on from there.
func (s *Session) touches(f int, how log.Touch, when log.Moment) error {
	s.tried, s.news = true, nil
	s.seeks(f)
	m := move{foot: f, touch: true, sd: s.slip(f, 0, true)}
	if how == log.Solid {
		m = s.slackened(f)
	}
	if m.touch || s.in.Locks && !s.loose[f] {
		s.logTurn(f, 0, m.touch, when)
		if err := s.move(m); err != nil {
			return err
		}
	}
	if err := s.feels(f, how, when); err != nil {
		return err
	}
	if on := s.safe(s.worth([]plan.Step{*s.step})); len(on) > 0 && on[0].Watch != nil {
		s.step = &on[0]
		s.show(on[0], s.card.Of-s.card.Step+1)
		return nil
	}
	return s.next()
}

// doubtful asks, once after each move and before the first until it is known, whether feet are
// solid of which the beds do not agree, or which lost much since they were felt, whatever all beds
// make of it.
func (s *Session) doubtful() bool {
	const some, most = 0.03, 3 // feet: more than a hand goes round for after every turn (assumed)
	const much = 0.4           // mean foot loads (assumed)
	if s.surprised {           // a foot may hang that none of the beds has so
		s.surprised = false
		return s.areSolid(s.unfelt())
	}
	if !s.stirred {
		return false
	}
	doubt := map[int]float64{}
	feet := s.unfelt()
	for _, f := range feet {
		if doubt[f] = math.Abs(s.beds.light(f, s.in.Goal.LeastLoad/2) - 0.5); s.firm[f]-s.beds.load(f) > much {
			doubt[f] = 0
		}
	}
	feet = slices.DeleteFunc(feet, func(f int) bool { return doubt[f] >= 0.5-some })
	slices.SortStableFunc(feet, func(a, b int) int { return cmp.Compare(doubt[a], doubt[b]) })
	s.stirred = !s.tried && len(feet) > most
	return s.areSolid(feet[:min(most, len(feet))])
}

// unfelt are the feet that no hand has felt since anything was moved.
func (s *Session) unfelt() (feet []int) {
	for f := range s.in.Standing.Feet {
		if !s.known[f] {
			feet = append(feet, f)
		}
	}
	return feet
}

// areSolid asks whether feet carry.
func (s *Session) areSolid(feet []int) bool {
	if len(feet) == 0 {
		return false
	}
	s.card = Card{Kind: Solid}
	for _, f := range feet {
		s.card.Feel = append(s.card.Feel, s.name(f))
	}
	return true
}

// asked are the feet that the card asks to be felt.
func (s *Session) asked() (feet []int) {
	for _, name := range s.card.Feel {
		feet = append(feet, s.foot(name))
	}
	return feet
}

// solid takes in that all feet of the card carry.
func (s *Session) solid(when log.Moment) error {
	for _, f := range s.asked() {
		if err := s.feels(f, log.Solid, when); err != nil {
			return err
		}
	}
	return s.next()
}

// feels writes down how a foot feels, and tells the beds.
func (s *Session) feels(f int, how log.Touch, when log.Moment) error {
	s.log(when, log.Feel, s.name(f), string(how))
	return s.felt(f, how)
}

// felt tells the beds how a foot feels.
func (s *Session) felt(f int, how log.Touch) error {
	if how == log.Nips {
		return nil
	}
	s.known[f], s.touched[f], s.moved = true, how == log.Solid, true
	err := s.beds.feels(f, how == log.Solid, math.Hypot(s.in.ByLock, s.in.TouchSD), s.last != nil && s.last.foot == f)
	s.firm[f] = s.beds.load(f)
	return err
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
	if !slices.ContainsFunc(s.in.Setups, func(u survey.Survey) bool { return u.Name == name }) || name == "" {
		return errors.New("say which survey it is: survey front way front-2.csv")
	}
	line := log.Line{When: when.String(), What: string(log.Survey), Where: name, Value: words[len(words)-1]}
	if s.Sound != nil {
		if err := s.Sound(line); err != nil {
			return err
		}
	}
	s.logCame(when)
	s.lines = append(s.lines, line)
	s.left = slices.DeleteFunc(s.left, func(n string) bool { return n == name })
	if s.surveys++; len(s.left) == 0 {
		s.card = Card{Kind: Over, Ending: Survey}
	} else {
		s.card = Card{Kind: Resurvey, Surveys: s.left}
	}
	return nil
}

// strike strikes the last reading out: it does not count, and nothing is moved by it.
func (s *Session) strike(when log.Moment) error {
	u := s.undo
	if u == nil || u.beds == nil {
		return errors.New("there is no reading to strike out")
	}
	for _, l := range append(s.came, u.line) {
		s.voids(l, when)
	}
	s.beds, s.read, s.last, s.undo, s.came, s.news = u.beds, u.read, u.last, nil, nil, nil
	if s.last == nil {
		return s.next()
	}
	s.done--
	s.card.Kind, s.card.News = Read, nil
	return nil
}

// voids writes down that a line does not count.
func (s *Session) voids(l log.Line, when log.Moment) {
	where := l.Where
	if i := strings.LastIndex(where, " at "); i >= 0 {
		where = where[:i]
	}
	s.log(when, log.Void, l.When+" "+l.What+" "+where, "")
}
