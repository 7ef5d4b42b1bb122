package main

import (
	"fmt"
	"math"

	"github.com/spf13/cobra"

	"footwork/beam"
	"footwork/reports"
	"footwork/supports"
	"footwork/survey"
)

func matchCommand(t *terminal) *cobra.Command {
	return t.onJob("match", "the measured profile in its parts: sag, feet, heat and metal", func(s *shop) (reports.View, []string, error) {
		m, err := s.match(s.working(""))
		if err != nil {
			return nil, nil, err
		}
		v := s.matchView(m)
		return v, v.Warnings, nil
	})
}

// match parts what was measured in a standing, from all surveys of the job at
// once. It is done once.
func (s *shop) match(standing string) (survey.Matched, error) {
	if m, ok := s.matches[standing]; ok {
		return m, nil
	}
	in := survey.MatchInput{Ways: s.Bed.Ways, Surveys: s.Surveys, Moves: s.Moves, Felt: s.Felt, Standing: standing}
	for _, name := range s.StandingNames() {
		v, err := s.solver(name)
		if err != nil {
			return survey.Matched{}, err
		}
		st, err := s.Standing(name)
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
		in.Profiles = append(in.Profiles, p)
	}
	m, err := survey.Match(in)
	if err != nil {
		return survey.Matched{}, fmt.Errorf("the surveys cannot be matched: %w", err)
	}
	s.matches[standing] = m
	return m, nil
}

// moveSD is how far a move may miss what was meant, m: anything within two
// degrees of a screw (so 2°/√3, JCGM 100, 4.3.7), two micrometres of a shim.
func moveSD(a supports.Adjuster) float64 {
	if a.Kind == supports.Screw {
		return 2. / 360 / math.Sqrt(3) * a.Rise
	}
	return 2e-6
}

func (s *shop) matchView(m survey.Matched) *reports.Match {
	v := &reports.Match{Standing: m.Standing, Stiffness: estimate(m.Bed), FootStiffness: estimate(m.FootGive), Gradient: estimate(m.Gradient),
		Zone: m.Zone, ZoneWay: m.ZoneWay, Warnings: append(s.doubts(m), m.Warnings...)}
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

// doubts says what was felt or moved that the surveys contradict.
func (s *shop) doubts(m survey.Matched) (notes []string) {
	h := s.units.Height()
	for _, d := range m.Doubts {
		if d.Move != nil {
			notes = append(notes, fmt.Sprintf("the surveys contradict the [[move]] of %s by %s: they fit %s better; look at its sign, size and date",
				d.Move.Foot, h.Text(d.Move.Raise), h.Text(d.Raise)))
			continue
		}
		felt := d.Felt.State
		switch {
		case d.Felt.Gap != nil:
			felt = h.Text(*d.Felt.Gap) + " clear"
		case d.Felt.Load != nil:
			felt = "loaded with " + s.units.Force(*d.Felt.Load).Text(*d.Felt.Load)
		}
		notes = append(notes, fmt.Sprintf("the surveys contradict the [[felt]] row of %s, %s: feel it again and mend the row; as long as it stands, all else is bent to fit it",
			d.Felt.Foot, felt))
	}
	return notes
}
