package turn

import (
	"errors"
	"math"
	"slices"
	"strings"

	"footwork/survey/log"
)

// meanings returns what a reading that does not fit could mean, and the feet that would
// have done it.
func (s *Session) meanings(p Place, value, was float64, f fit) (means []Meaning, others []string, err error) {
	m := *s.last
	near := func(change float64) bool { return math.Abs(f.change-change) < 3*f.sd }
	noise := s.in.Instruments[p.Instrument].Noise
	if near(-f.expected) && !m.touch {
		means = append(means, WrongWay)
	}
	if math.Abs(f.change) < 3*math.Sqrt2*noise {
		means = append(means, Unmoved)
	}
	if others, err = s.others(p, f.change, noise); err != nil {
		return nil, nil, err
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
	return append(slices.Compact(means), Knock), others, nil
}

// others returns the feet that would have changed the reading so, had they been turned
// instead.
func (s *Session) others(p Place, change, noise float64) (names []string, err error) {
	if s.undo == nil || s.undo.unmoved == nil {
		return nil, nil
	}
	m := *s.last
	for g, foot := range s.in.Standing.Feet {
		b := s.undo.unmoved.copy()
		if g == m.foot {
			continue
		}
		if err := b.carry(move{g, m.touch, m.raise, s.slip(g, m.raise, m.touch)}); err != nil {
			continue // the bed would tip: nobody turned that foot so
		}
		if f := b.foretell(p, change); math.Abs(f.off()) < 3 && math.Abs(f.expected) > 3*noise {
			names = append(names, foot.Name)
		}
	}
	return names, nil
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
	case word == "yes" || word == "y": // then the reading alone tells how far the foot went
		s.last.sd = max(s.last.sd, 2*math.Abs(s.last.raise), 20e-6)
		return s.accept(p, s.fed.value, when)
	case word == "no" || word == "n":
		s.card.Kind = Read
		return nil
	case word == "knocked":
		return s.knocked(when)
	case f >= 0 && s.undo != nil && s.undo.unmoved != nil:
		return s.otherFoot(f, p, when)
	}
	return errors.New("say yes if it reads so, no to read again, knocked, or the foot that was turned")
}

// otherFoot puts the turn down to another foot.
func (s *Session) otherFoot(f int, p Place, when log.Moment) error {
	m := *s.last
	s.log(when, log.Void, s.turnedAt+" turn "+s.in.Standing.Feet[m.foot].Name, "")
	if !slices.Contains(s.feet, f) { // to be put right
		s.feet = append(s.feet, f)
	}
	s.beds = s.undo.unmoved
	s.logTurn(f, m.raise, m.touch, when)
	if err := s.move(move{f, m.touch, m.raise, s.slip(f, m.raise, m.touch)}); err != nil {
		return err
	}
	return s.accept(p, s.fed.value, when)
}
