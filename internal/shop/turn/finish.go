package turn

import (
	"cmp"

	"footwork/internal/sample"
)

// finish says why nothing more is to be turned: it is within tolerance, or what is not
// known hides what the feet could do yet, or nothing is left that they can · known: what the feet
// could do, were the bed known; 0 after too many turns, when it would go on.
func (s *Session) finish(now, known sample.Range) error {
	c := Card{Kind: Over, Ending: NoGain, News: s.news, Surveys: s.in.SurveyWith, Came: s.Came()}
	open := known.Value < now.Value*(1-worthSurvey)
	switch wanted := s.in.Wanted; {
	case wanted > 0 && now.High <= wanted:
		c.Ending = Within
	case !s.byFeel && open: // before another survey a hand keeps loads
		s.byFeel = true
		if s.areSolid(s.unfelt()) {
			return nil
		}
		return s.plan()
	case s.unsafe && s.tellLoad():
		return nil
	case s.tried && len(s.left) > 0 && (open || now.Value <= wanted || s.few()):
		return s.resurvey(now, known)
	case s.unsafe:
		c.Ending = Unsafe
	case len(s.feet) == 0 && len(s.skipped) == 0:
		c.Ending = NothingTo
	}
	if s.in.Bolts && s.goes < 3 && s.done > 0 {
		return s.tighten(c)
	}
	s.card = c
	return nil
}

// resurvey asks for a survey, and before that for every foot to be felt: it tells far more then.
func (s *Session) resurvey(now, known sample.Range) error {
	if !s.areSolid(s.unfelt()) {
		s.card = Card{Kind: Resurvey, News: s.news, Surveys: s.left, Came: s.Came(), Now: now.Value, Known: known.Value, Few: s.few()}
	}
	return nil
}

// trusted is how many of the survey's draws must be left for another foot to be turned by what they agree
// on, or for that to be the end (assumed: of fewer than four a bed of the trial that was 13 µm out had all
// within 7, and of fewer than seven most feet of the trial went light that no bed had so).
const trusted = 10

func (s *Session) few() bool { return s.beds.few || s.beds.left(true) < trusted }

// worthSurvey is the share of the zone that a survey must promise to buy: on single beds of
// the trial slips and readings took back about half of it, and a seventh is within what two
// surveys differ by.
const worthSurvey = 0.2

// tighten asks for the next third of tightening the bolts, where an instrument watches.
func (s *Session) tighten(after Card) error {
	c := Card{Kind: Bolt, Step: s.goes + 1, Of: 3, News: after.News}
	for _, f := range s.in.Retighten {
		c.Feel = append(c.Feel, s.name(f))
	}
	was, ok := s.read[s.place]
	if !ok {
		s.card = after
		return nil
	}
	s.stand(&c, s.place)
	c.Before, c.Within = was, cmp.Or(s.in.Setups[s.place.Instrument].One(), 4*s.in.Instruments[s.place.Instrument].Noise)
	s.card = c
	return nil
}
