package turn

import (
	"math"
	"slices"

	"footwork/survey/log"
)

// replay takes in what was done since the survey.
func (s *Session) replay() error {
	for _, e := range s.in.Since {
		if err := s.again(e); err != nil {
			return err
		}
	}
	return nil
}

func (s *Session) again(e log.Entry) error {
	f := s.foot(e.Foot)
	switch e.What {
	case log.Turn, log.Shim, log.Lock:
		if f < 0 {
			return nil
		}
		if p, ok := s.gauge(f); ok { // it was set to nought before
			s.read[p] = 0
			s.beds.note(p)
		}
		m := move{foot: f, touch: e.ToTouch, raise: e.Value, sd: s.slip(f, e.Value, e.ToTouch)}
		if e.What == log.Lock {
			m = s.locked(f)
		}
		s.tried, s.loose[f] = true, !m.nut
		return s.move(m)
	case log.Feel:
		if f >= 0 && e.Feel != log.Nips {
			s.beds.feels(f, e.Feel == log.Solid)
		}
	case log.SetUp:
		s.forget(e.Survey)
	case log.Read:
		if p, ok := s.placeOf(e.Survey, e.At); ok {
			return s.take(p, e.Value)
		}
	case log.Indicator:
		if p, ok := s.gauge(f); ok && f >= 0 {
			return s.take(p, s.read[p]+e.Value)
		}
	}
	return nil
}

// gauge is the indicator beside a foot, where the job has one.
func (s *Session) gauge(foot int) (Place, bool) {
	i := slices.IndexFunc(s.in.Setups, func(u log.Setup) bool { return u.Name == "" })
	return Place{i, float64(foot)}, i >= 0
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
	if m.touch {
		s.went[m.foot] += s.beds.gap(m.foot)
	}
	if !m.nut {
		s.went[m.foot] += m.raise
	}
	return s.beds.carry(m)
}

// take takes a reading in: where one was read before, the beds learn from its change.
func (s *Session) take(p Place, value float64) error {
	if was, ok := s.read[p]; ok && s.last != nil {
		if err := s.beds.learn(p, value-was, *s.last); err != nil {
			return err
		}
		if s.last.nut {
			s.shifts[s.last.foot], _ = s.beds.came()
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
	s.read[p], s.place, s.last, s.target = value, p, nil, nil
	s.beds.note(p)
}
