package turn

import (
	"errors"
	"math"
	"slices"
	"strings"

	"footwork/supports/plan"
	"footwork/survey/log"
)

// meanings returns what a reading that does not fit could mean, and the feet that would
// have done it.
func (s *Session) meanings(p Place, value, was float64, f fit) (means []Meaning, others []string) {
	if s.last == nil {
		return []Meaning{Knock}, nil
	}
	m, noise := *s.last, s.in.Instruments[p.Instrument].Noise
	if !m.touch && s.instead(p, f.change, m.foot, -m.raise) {
		means = append(means, WrongWay)
	}
	if math.Abs(f.change) < 3*math.Sqrt2*noise {
		means = append(means, Unmoved)
	}
	for g, foot := range s.in.Standing.Feet {
		if g != m.foot && s.instead(p, f.change, g, m.raise) {
			others = append(others, foot.Name)
		}
	}
	if len(others) > 0 {
		means = append(means, WrongFoot)
	}
	if math.Abs(-value-was-f.expected) < 3*f.sd {
		means = append(means, Sign)
	}
	for _, factor := range []float64{10, 0.1} {
		if math.Abs(value*factor-was-f.expected) < 3*f.sd {
			means = append(means, Tenfold)
		}
	}
	return append(slices.Compact(means), Knock), others
}

// instead tells whether the reading would have changed so had a foot been raised by so much
// in place of the last turn.
func (s *Session) instead(p Place, change float64, foot int, raise float64) bool {
	was, ok := s.read[p]
	if !ok || s.undo == nil || s.undo.unmoved == nil {
		return false
	}
	b := s.undo.unmoved.copy()
	if b.carry(move{foot: foot, touch: s.last.touch, raise: raise, sd: s.slip(foot, raise, s.last.touch)}) != nil {
		return false // the bed would tip: nobody turned that foot so
	}
	return math.Abs(b.foretell(p, was+change, was).off()) < oddFrom
}

// explain takes in what a reading that did not fit is: right, misread, or the work of
// another foot.
func (s *Session) explain(text string, when log.Moment) error {
	p, _, ok := s.standsAt()
	if !ok {
		return errNotHere
	}
	word := strings.ToLower(text)
	switch f := s.foot(text); {
	case (word == "yes" || word == "y") && s.last == nil:
		return s.accept(p, s.fed.value, when)
	case word == "yes" || word == "y": // then the reading alone tells how far the foot went
		if err := s.widen(p); err != nil {
			return err
		}
		return s.accept(p, s.fed.value, when)
	case word == "no" || word == "n":
		s.card.Kind = Read
		return nil
	case word == "knocked":
		return s.knocked(when)
	case f >= 0 && s.last != nil && s.undo != nil && s.undo.unmoved != nil:
		return s.otherFoot(f, p, when)
	}
	return errors.New("say yes if it reads so, no to read again, knocked, or the foot that was turned")
}

// widen lets the last move have missed by as much as the reading says, a nut's within what nuts do: what it was
// taken to do was learnt from two readings, of which one may have been wrong. Beyond that the reading before was, and this
// one is of a new zero.
func (s *Session) widen(p Place) error {
	const least = 20e-6 // m
	rate, err := s.beds.rate(p, s.last.foot, plan.LeastMove)
	if err != nil {
		return err
	}
	f := s.beds.foretell(p, s.fed.value, s.read[p])
	came, miss := math.Inf(1), 0.0
	if rate != 0 {
		came, miss = f.change/rate, math.Abs(f.change-f.expected)/math.Abs(rate)
	}
	if s.surprised = true; (s.last.nut || s.last.slack) && math.Abs(came) > oddFrom*s.in.ByLock {
		s.last = nil
		return nil
	}
	s.last.sd = max(s.last.sd, miss, 2*math.Abs(s.last.raise), least)
	return nil
}

// otherFoot puts the turn down to another foot.
func (s *Session) otherFoot(f int, p Place, when log.Moment) error {
	m := *s.last
	s.voids(log.Line{When: s.turnedAt, What: string(log.Turn), Where: s.name(m.foot)}, when)
	if !slices.Contains(s.feet, f) { // to be put right
		s.feet = append(s.feet, f)
	}
	s.beds = s.undo.unmoved
	s.logTurn(f, m.raise, m.touch, when)
	if err := s.move(move{foot: f, touch: m.touch, raise: m.raise, sd: s.slip(f, m.raise, m.touch)}); err != nil {
		return err
	}
	return s.accept(p, s.fed.value, when)
}
