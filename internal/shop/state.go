package shop

import (
	"footwork/beam"
	"footwork/reports"
	"footwork/supports/plan"
)

// Draws returns the beds that a standing may be, each as likely as any other, the most
// central first, and the state that they are: that asked for; "" is found where
// anything was measured, else given. It is an AskError when the job has nothing to
// tell the state from.
func (s *Shop) Draws(standing string, asked reports.State) ([]beam.Draw, reports.State, error) {
	if _, err := s.standing(standing); err != nil {
		return nil, asked, err
	}
	switch {
	case asked == reports.Given || asked == "" && !s.surveyed(standing):
		return []beam.Draw{{}}, reports.Given, nil
	case asked != "" && asked != reports.Found && asked != reports.Planned:
		return nil, asked, askf(`the state %q is none of "given", "found" and "planned"`, asked)
	case !s.surveyed(standing):
		return nil, asked, askf("nothing was surveyed in the standing %q, so it is known only as given", standing)
	case asked == reports.Planned:
		d, err := s.plannedDraws(standing)
		return d, asked, err
	}
	k, err := s.knownOf(standing)
	if err != nil {
		return nil, reports.Found, err
	}
	_, judges := plan.Split(k.draws)
	return judges, reports.Found, nil
}

// plannedDraws returns the beds as the recommended plan leaves them.
func (s *Shop) plannedDraws(standing string) ([]beam.Draw, error) {
	if w := s.Working(""); standing != w {
		return nil, askf("the plan is for the standing %q, not for %q", w, standing)
	}
	p, err := s.planned(nil)
	if err != nil {
		return nil, err
	}
	return p.Plans[p.Recommended].Draws, nil
}
