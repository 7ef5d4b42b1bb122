package shop

import (
	"fmt"

	"footwork/beam"
	"footwork/reports"
	"footwork/survey"
)

// Match answers with the measured profile of a standing in its parts.
func (s *Shop) Match(standing string) (*reports.Match, error) {
	k, err := s.knownOf(standing)
	if err != nil {
		return nil, err
	}
	if k.unmatched != nil && k.matched.Scenarios == nil {
		return nil, k.unmatched
	}
	return matchView(k.matched), nil
}

// match parts what was measured in a standing, from all surveys of the job at
// once.
func (s *Shop) match(standing string) (survey.Matched, error) {
	in := survey.MatchInput{Ways: s.Bed.Ways, Moves: s.Moves, Felt: s.Felt, Standing: standing}
	for _, name := range s.StandingNames() {
		v, err := s.solver(name)
		if err != nil {
			return survey.Matched{}, err
		}
		st, err := s.standing(name)
		if err != nil {
			return survey.Matched{}, err
		}
		model := survey.StandingModel{Standing: st.Standing, Solver: v, Table: func(at float64) (beam.Case, error) { return s.parked(&at) }}
		if s.Floor != nil {
			model.HeightSD, model.Stiffness = s.Floor.HeightSD, s.Floor.StiffnessFactor
		}
		for _, a := range st.Adjusters {
			model.MoveSD = append(model.MoveSD, moveSD(a))
		}
		in.Standings = append(in.Standings, model)
	}
	for _, sv := range s.Surveys {
		p, err := survey.Reduce(sv)
		if err != nil {
			return survey.Matched{}, err
		}
		if sv.UpAndDown() {
			in.Surveys, in.Profiles = append(in.Surveys, sv), append(in.Profiles, p)
		}
	}
	m, err := survey.Match(in)
	if err != nil {
		return survey.Matched{}, fmt.Errorf("the surveys cannot be matched: %w", err)
	}
	return m, nil
}

func matchView(m survey.Matched) *reports.Match {
	v := &reports.Match{Standing: m.Standing, Stiffness: estimate(m.Bed), FootStiffness: estimate(m.FootGive), Gradient: estimate(m.Gradient),
		Zone: m.Zone, ZoneWay: m.ZoneWay, Warnings: append(doubts(m), reports.Texts(m.Warnings)...)}
	for _, f := range m.Feet {
		v.Feet = append(v.Feet, reports.FootEstimate{Name: f.Name, Height: f.Height.Value, Low: f.Height.Low, High: f.Height.High, Told: f.Height.Told,
			Carries: f.Carries, Load: [3]float64{f.Load.Value, f.Load.Low, f.Load.High}, Gap: f.Gap.Value})
	}
	for _, w := range m.Ways {
		v.Ways = append(v.Ways, reports.WayParts{Name: w.Name, X: w.X, Measured: w.Measured.Y, Sag: w.Sag.Y, Feet: w.Feet.Y,
			Heat: w.Heat.Y, Form: w.Form.Y, FormSigma: w.Form.Sigma, Rest: w.Rest})
	}
	for _, e := range m.Explained {
		v.Explained = append(v.Explained, reports.Share(e))
	}
	for _, c := range m.Sets {
		v.Sets = append(v.Sets, reports.ContactSet(c))
	}
	for _, p := range m.Tied {
		v.Tied = append(v.Tied, reports.Tied(p))
	}
	for _, r := range m.Responses {
		v.Responses = append(v.Responses, reports.FootResponse(r))
	}
	for _, a := range m.Advice {
		v.Advice = append(v.Advice, reports.Advice(a))
	}
	return v
}

func estimate(e survey.Estimate) reports.Estimate {
	return reports.Estimate{Factor: e.Value, Low: e.Low, High: e.High, Told: e.Told}
}

// doubts tells what was felt or moved that the surveys contradict.
func doubts(m survey.Matched) (out []reports.Warning) {
	for _, d := range m.Doubts {
		if d.Move != nil {
			out = append(out, reports.MoveContradicted{Foot: d.Move.Foot, Raise: d.Move.Raise, Fits: d.Raise})
		} else {
			out = append(out, reports.FeltContradicted{Foot: d.Felt.Foot, State: d.Felt.State, Gap: d.Felt.Gap, Load: d.Felt.Load})
		}
	}
	return out
}

// contradicted are the doubts of a standing's match.
func (s *Shop) contradicted(standing string) []reports.Warning {
	if k, err := s.knownOf(standing); err == nil && k.unmatched == nil {
		return doubts(k.matched)
	}
	return nil
}
