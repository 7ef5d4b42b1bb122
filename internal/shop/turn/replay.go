package turn

import (
	"math"
	"slices"

	"footwork/beam"
	"footwork/survey/log"
)

// replay takes in what was done since the survey.
func (s *Session) replay() error {
	for _, e := range s.in.Since {
		f := slices.IndexFunc(s.in.Standing.Feet, func(f beam.Foot) bool { return f.Name == e.Foot })
		switch e.What {
		case log.Turn, log.Shim, log.Lock:
			if f < 0 {
				continue
			}
			m := move{foot: f, touch: e.ToTouch, raise: e.Value, sd: s.slip(f, e.Value, e.ToTouch)}
			if e.What == log.Lock {
				m.sd = s.in.ByLock
			}
			if err := s.move(m); err != nil {
				return err
			}
			s.tried = true
		case log.Feel:
			if f >= 0 && e.Feel != log.Nips {
				s.beds.feels(f, e.Feel == log.Solid)
			}
		case log.SetUp:
			s.forget(e.Survey)
		case log.Read:
			if p, ok := s.placeOf(e.Survey, e.At); ok {
				if err := s.take(p, e.Value); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

// slip is the standard uncertainty of a turn, m: the screw's own, and a fifth of what
// was meant, for a hand goes by the reading and not by the angle.
func (s *Session) slip(foot int, raise float64, touch bool) float64 {
	const share = 0.2
	sd := share * raise
	if foot < len(s.in.Slip) {
		sd = math.Hypot(sd, s.in.Slip[foot])
	}
	if touch {
		sd = math.Hypot(sd, s.in.TouchSD)
	}
	return max(math.Abs(sd), 1e-7)
}

func (s *Session) placeOf(survey string, at float64) (Place, bool) {
	i := slices.IndexFunc(s.in.Setups, func(u log.Setup) bool { return u.Name == survey })
	return Place{i, at}, i >= 0
}

// forget drops the readings of an instrument with a new zero.
func (s *Session) forget(survey string) {
	for p := range s.read {
		if s.in.Setups[p.Instrument].Name == survey {
			delete(s.read, p)
		}
	}
}

// move turns a foot of every bed.
func (s *Session) move(m move) error {
	s.last = &m
	s.touched[m.foot] = m.touch || s.touched[m.foot] && m.raise >= 0
	return s.beds.carry(m)
}

// take takes a reading in: where one was read before, the beds learn from its change.
func (s *Session) take(p Place, value float64) error {
	if was, ok := s.read[p]; ok && s.last != nil {
		if err := s.beds.learn(p, value-was, *s.last); err != nil {
			return err
		}
	}
	s.set(p, value)
	return nil
}

func (s *Session) set(p Place, value float64) {
	if s.in.Setups[p.Instrument].Sighted && s.place.Instrument != p.Instrument { // turned to another way its zero is new
		for q := range s.read {
			if s.in.Setups[q.Instrument].Sighted {
				delete(s.read, q)
			}
		}
	}
	s.read[p], s.place, s.last, s.guided = value, p, nil, false
	s.beds.note(p)
}
