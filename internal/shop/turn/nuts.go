package turn

import (
	"math"

	"footwork/supports/plan"
	"footwork/survey/log"
)

// LockNut is by how much tightening a lock nut raises its foot, m.
type LockNut struct{ Raises, SD float64 }

// What is noted when it was asked whether the feet have lock nuts.
const (
	WithNuts    = "the feet have lock nuts"
	WithoutNuts = "the feet have no lock nuts"
)

// Nuts is what is known of lock nuts.
func (s *Session) Nuts() map[int]LockNut { return s.nuts }

// unseen: nothing has shown yet what the nut of a foot does. A turn before that is undone by it.
func (s *Session) unseen(f int) bool {
	_, seen := s.nuts[f]
	return s.in.Locks && !seen
}

// vague: what a nut that is tight does is hardly better known than of any nut, as when its foot hung
// while it was seen.
func (s *Session) vague(f int) bool {
	return !s.loose[f] && s.hardlyKnown(f)
}

func (s *Session) hardlyKnown(f int) bool { return s.in.Locks && s.nuts[f].SD > s.in.ByLock/2 }

// nutFirst has a nut that was never seen, or vaguely, slackened and read, or tightened where it is slack.
func (s *Session) nutFirst(c *Card, f int, was float64) {
	if c.Kind, c.Before, c.Raise = Slacken, was, 0; s.nut(f) {
		*c = s.card
	}
}

// slack: the nut of a foot that has one was slackened to turn it.
func (s *Session) slack(f int) bool { return s.in.Locks && s.loose[f] }

// nut asks for the nut of a foot that was turned.
func (s *Session) nut(f int) bool {
	if s.slack(f) {
		s.lately, s.card = f, Card{Kind: Nut, Foot: s.name(f), News: s.news}
	}
	return s.slack(f)
}

// lock takes in that a foot's nut was tightened, and asks for a reading.
func (s *Session) lock(name string, when log.Moment) error {
	f := s.lately
	if name != "" {
		f = s.foot(name)
	}
	if f < 0 {
		return errNotHere
	}
	was := s.read[s.place]
	s.log(when, log.Lock, s.name(f), "")
	s.in.Locks = true
	if err := s.move(s.locked(f)); err != nil {
		return err
	}
	s.loose[f] = false
	if _, ok := s.read[s.place]; !ok { // nothing stands there to see it
		return s.next()
	}
	s.card = Card{Kind: Locked, Foot: s.name(f), Before: was}
	s.stand(&s.card, s.place)
	return nil
}

// locked is what tightening a nut does: what it did before, when it was slackened since.
func (s *Session) locked(f int) move {
	m := move{foot: f, nut: s.loose[f] || s.unseen(f), sd: max(s.in.ByLock, 1e-7)}
	if m.nut && !s.unseen(f) {
		m.sd = s.nutMisses()
	}
	return m
}

// slackened is what slackening a nut that was tight does.
func (s *Session) slackened(f int) move {
	m := s.locked(f)
	m.nut, m.slack = false, true
	if !s.unseen(f) {
		m.sd = s.nutMisses()
	}
	return m
}

// learnNut takes in what a nut did as the beds have it now: tightened, it raises its foot by
// what slackening lowers it.
func (s *Session) learnNut(m move) {
	if side := map[bool]float64{true: 1, false: -1}[m.nut]; m.nut || m.slack {
		_ = s.beds.each(func(_ int, one *bed) error { one.nut[m.foot] = side * one.moved; return nil })
		mean, sd := s.beds.came(lately)
		s.nuts[m.foot] = LockNut{side * mean, sd}
	}
}

// know takes in what was learnt of a nut before.
func (s *Session) know(f int, n LockNut) {
	s.nuts[f] = n
	for i, lot := range s.beds.lots(s.beds.rng.NormFloat64) {
		s.beds.all[i].nut[f] = n.Raises + n.SD*lot
	}
}

// byNut is what tightening the nut of a foot will raise it by, where it is known and does, m.
func (s *Session) byNut(f int, does bool) float64 {
	if !does {
		return 0
	}
	return s.nuts[f].Raises
}

// nutMisses is by how much a nut that was seen does not do the same again, m (assumed).
func (s *Session) nutMisses() float64 {
	if !s.in.Locks {
		return 0
	}
	return s.in.ByLock / 3
}

// nutsOf learns from a reading, a lock and a reading of the same place.
func (s *Session) nutsOf(e []log.Entry) error {
	f := s.foot(e[1].Foot)
	if e[1].What != log.Lock || f < 0 || e[0].What != log.Read || e[2].What != log.Read || e[0].Survey != e[2].Survey || e[0].At != e[2].At {
		return nil
	}
	p, ok := s.placeOf(e[0].Survey, e[0].At)
	if !ok {
		return nil
	}
	rate, err := s.beds.rate(p, f, plan.LeastMove)
	if sd := math.Sqrt2 * s.in.Instruments[p.Instrument].Noise / math.Abs(rate); err == nil && sd < s.in.ByLock/2 {
		s.know(f, LockNut{(e[2].Value - e[0].Value) / rate, sd})
	}
	return err
}
