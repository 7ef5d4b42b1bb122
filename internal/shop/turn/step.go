package turn

import (
	"math"

	"footwork/supports/plan"
)

// show makes the card of a step.
func (s *Session) show(st plan.Step, left int) {
	c := Card{Kind: Angle, Step: s.visit, Of: s.visit + left - 1, Foot: s.name(st.Foot), Raise: st.Raise, By: s.in.Task.Feet[st.Foot], Down: s.telling, Lightened: s.mending, News: s.news}
	for _, f := range st.Feel {
		c.Feel = append(c.Feel, s.name(f))
	}
	switch p, ok := s.watched(st); {
	case s.alone && (s.telling || s.needsTwo(st)):
		c.Kind = Two
	case !ok && st.Touch:
		c.Kind, c.Raise = Touch, 0
	case !ok:
		c.Raise = s.careful(st, st.Raise).raise
		c.Part, c.Settle = c.Raise != st.Raise, math.Abs(c.Raise) >= AtOnce
	default:
		s.watch(&c, st, p)
	}
	s.card = c
}

// needsTwo: alone a person turns standing feet by a twentieth of a millimetre, no more
// (common practice, no source).
func (s *Session) needsTwo(st plan.Step) bool {
	const most = 50e-6
	return math.Abs(st.Raise) > most || st.Raise < 0 && st.Touch
}

// watched is where a step is seen.
func (s *Session) watched(st plan.Step) (Place, bool) {
	if st.Watch == nil {
		return Place{}, false
	}
	p := Place{st.Watch.Instrument, st.Watch.At}
	if s.in.Setups[p.Instrument].Name == "" {
		p.At = float64(st.Foot)
	}
	return p, true
}

// watch fills in what the instrument reads before and after; without a reading there
// that still holds one is asked for first, and once the bed must have come to rest.
func (s *Session) watch(c *Card, st plan.Step, p Place) {
	s.stand(c, p)
	stays := s.place == p && s.last == nil // nothing moved since it was read
	if c.Gauge && !stays {                 // an indicator is set to nought
		s.beds.note(p, 0)
		s.set(p, 0)
		stays = true
	}
	was, ok := s.read[p]
	switch {
	case !ok || !stays:
		c.Kind = Read
		return
	case s.rest == nil && !c.Gauge:
		c.Kind, c.Before = Rest, was
		return
	case st.Touch:
		c.Kind, c.Before, c.Raise = Touch, was, 0
		return
	}
	if s.unseen(st.Foot) || s.vague(st.Foot) {
		s.nutFirst(c, st.Foot, was)
		return
	}
	raise := st.Raise
	switch c.Kind = Step; {
	case s.mending != "": // as found
	case !s.tried && math.Abs(raise) > 2*trial:
		c.Kind, raise = Trial, math.Copysign(trial, raise)
	default:
		raise = s.careful(st, raise).raise
		c.Part = raise != st.Raise
	}
	c.Settle = math.Abs(raise) >= AtOnce
	if s.hangs(st.Foot, raise) {
		c.Kind, c.Raise, c.Survey, c.At, c.Gauge = Angle, raise, "", 0, false
		return
	}
	c.Raise = raise - s.byNut(st.Foot, !s.loose[st.Foot]) // its nut brings the rest
	rate := st.Watch.Change / st.Raise
	c.Before, c.Until, c.Within, c.ByNut = was, was+rate*c.Raise, 2*st.Watch.Within, rate*s.nuts[st.Foot].Raises
}

// hangs: a foot that is raised by so much, m, hangs until its nut is tight: no instrument sees the turn.
func (s *Session) hangs(f int, raise float64) bool {
	return s.beds.gap(f, raise-s.byNut(f, !s.loose[f])) > unseenBy
}

// unseenBy is how far a foot hangs that was turned by more than where it touches tells, m (assumed).
const unseenBy = 3e-6

// stand puts a card's instrument at a place.
func (s *Session) stand(c *Card, p Place) {
	s.at = p
	c.Survey, c.At, c.Gauge = s.in.Setups[p.Instrument].Name, p.At, s.in.Setups[p.Instrument].Name == ""
	if c.Gauge {
		c.At = s.in.Standing.Feet[int(p.At)].At
	}
}

// trial is how far a foot is turned first, to see which way it goes, m: a few degrees of
// a screw, and more than a reading scatters.
const trial = 6e-6
