package turn

import (
	"math"
	"slices"

	"footwork/survey"
	"footwork/survey/log"
)

// replay takes in what was done since the survey, and of what was done before what nuts did and how
// feet felt as they stand.
func (s *Session) replay() error {
	s.feltBefore()
	earlier := slices.DeleteFunc(slices.Clone(s.in.Earlier), func(e log.Entry) bool { return e.What == log.Feel || e.What == log.Note || e.What == log.Came })
	for i := 0; i+2 < len(earlier); i++ {
		if err := s.nutsOf(earlier[i : i+3]); err != nil {
			return err
		}
	}
	for _, e := range s.in.Since {
		if err := s.again(e); err != nil {
			return err
		}
	}
	return nil
}

// feltBefore takes in how feet felt before the survey and since anything was last moved.
func (s *Session) feltBefore() {
	how := map[string]log.Touch{}
	for _, e := range s.in.Earlier {
		if e.What.Touching() {
			clear(how)
		} else if e.What == log.Feel && e.In == s.in.Standing.Name {
			how[e.Foot] = e.Feel
		}
	}
	for name, feel := range how {
		if f := s.foot(name); f >= 0 && feel != log.Nips {
			s.beds.wasFelt(f, feel == log.Solid)
		}
	}
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
			s.beds.note(p, 0)
		}
		m := s.meant(f, e)
		s.tried, s.loose[f] = true, e.What != log.Lock
		return s.move(m)
	case log.Came:
		if f >= 0 {
			return s.saidCame(f, e)
		}
	case log.Feel:
		if f >= 0 {
			return s.felt(f, e.Feel)
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

// meant is what a hand did to a foot, as the log has it.
func (s *Session) meant(f int, e log.Entry) move {
	switch {
	case e.What == log.Lock:
		return s.locked(f)
	case e.Value == 0 && !e.ToTouch && s.in.Locks:
		return s.slackened(f)
	}
	return move{foot: f, touch: e.ToTouch, raise: e.Value, sd: s.slip(f, e.Value, e.ToTouch)}
}

// gauge is the indicator beside a foot, where the job has one.
func (s *Session) gauge(foot int) (Place, bool) {
	i := slices.IndexFunc(s.in.Setups, func(u survey.Survey) bool { return u.Name == "" })
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

func (s *Session) placeOf(name string, at float64) (Place, bool) {
	i := slices.IndexFunc(s.in.Setups, func(u survey.Survey) bool { return u.Name == name })
	return Place{i, at}, i >= 0
}

// forget drops the readings of an instrument with a new zero.
func (s *Session) forget(name string) {
	for p := range s.read {
		if s.in.Setups[p.Instrument].Name == name {
			delete(s.read, p)
		}
	}
}

// move turns a foot of every bed.
func (s *Session) move(m move) error {
	s.last, s.undo, s.moved, s.stirred = &m, nil, true, s.stirred || !m.touch
	clear(s.known)
	s.touched[m.foot] = m.touch || s.touched[m.foot] && m.raise >= 0
	if m.touch {
		s.went[m.foot] += s.beds.toTouch(m.foot)
	}
	if !m.nut && !m.slack {
		s.went[m.foot] += m.raise
	}
	return s.beds.carry(m)
}

// take takes a reading in: the beds learn from it what was turned since the last one, and
// where nothing was, how they stand.
func (s *Session) take(p Place, value float64) error {
	switch _, ok := s.read[p]; {
	case !ok:
		s.beds.note(p, value)
	case s.last != nil:
		if err := s.beds.learn(p, value, *s.last); err != nil {
			return err
		}
		s.learnNut(*s.last)
		s.seen[s.last.foot] = p
	default:
		s.beds.again(p, value)
	}
	s.set(p, value)
	return nil
}

// set keeps a reading.
func (s *Session) set(p Place, value float64) {
	if s.in.Setups[p.Instrument].Sighted() && s.place.Instrument != p.Instrument { // turned to another way its zero is new
		for q := range s.read {
			if s.in.Setups[q.Instrument].Sighted() {
				delete(s.read, q)
			}
		}
	}
	s.read[p], s.place, s.last, s.target = value, p, nil, nil
}
