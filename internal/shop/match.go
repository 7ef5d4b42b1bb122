package shop

import (
	"cmp"
	"fmt"
	"slices"

	"footwork/beam"
	"footwork/internal/job"
	"footwork/reports"
	"footwork/survey/log"
	"footwork/survey/match"
)

// Match answers with the measured profile of a standing in its parts.
func (s *Shop) Match(standing string) (*reports.Match, error) {
	k, err := s.knownOf(standing)
	if err != nil {
		return nil, err
	}
	if k.unmatched != nil && k.matched.Draws == nil {
		return nil, k.unmatched
	}
	return s.matchView(standing, k.matched), nil
}

// match parts what was measured in a standing, from all that was done to the bed and read
// on it.
func (s *Shop) match(standing string) (match.Result, error) {
	in, err := s.input(standing)
	if err != nil {
		return match.Result{}, err
	}
	in.Work = s.workOf(standing)
	m, err := match.Match(in)
	if err != nil {
		return m, fmt.Errorf("the surveys cannot be matched: %w", err)
	}
	return m, nil
}

// mainWork is what part of the work on matches the standing has that the machine works in (assumed:
// most of it, for it is asked about first): the others share the rest, so that a command about all
// of them ends in time.
const mainWork = 0.7

func (s *Shop) workOf(standing string) float64 {
	switch others := len(s.Surveyed()) - 1; {
	case others < 1:
		return 1
	case standing == s.Working(""):
		return mainWork
	default:
		return (1 - mainWork) / float64(others)
	}
}

// partNames are those of JSON.
var partNames = map[match.Part]string{match.OfFeet: "feet", match.OfSag: "sag", match.OfHeat: "heat", match.OfMetal: "metal", match.OfRest: "rest", match.Unclear: "cannot tell"}

func (s *Shop) matchView(standing string, m match.Result) *reports.Match {
	st := s.standing(standing)
	v := &reports.Match{Standing: standing, State: reports.Found, Settled: m.Settled, Rhat: m.Rhat, ESS: m.ESS, Stiffness: estimate(m.Bending), TwistStiffness: estimate(m.Twist),
		FootStiffness: estimate(m.Feet), Gradient: estimate(m.Gradient), Zone: m.Zone, ZoneWay: s.Bed.Ways[m.ZoneWay].Name, Cause: partNames[m.Cause],
		Sets: contactSets(st.Feet, m.Stood)}
	v.Reference = each(m.Reference, func(f int) string { return st.Feet[f].Name })
	v.Feet, v.Ways = s.footViews(st, m), s.wayViews(m)
	for part := match.OfFeet; part <= match.OfRest; part++ {
		v.Shares = append(v.Shares, share(part, m.Shares[part]))
	}
	v.Advice = each(m.Advice, func(a match.Advice) reports.Advice { return s.advice(st, a) })
	v.Warnings = append(s.matchWarnings(m), notAsFinished(v.Ways)...)
	return v
}

func (s *Shop) footViews(st job.Standing, m match.Result) (list []reports.FootEstimate) {
	for i, f := range m.Foot {
		v := reports.FootEstimate{Name: st.Feet[i].Name, Height: f.Height.Value, Low: f.Height.Low, High: f.Height.High, Told: f.Height.Told,
			Carries: f.Carries, Load: [3]float64{f.Load.Value, f.Load.Low, f.Load.High}, Gap: f.Gap.Value, StiffnessFactor: f.Factor.Value, Own: estimate(f.Own), Softer: f.Softer}
		if a, b := f.Between[0], f.Between[1]; a >= 0 {
			v.Between, v.Above = []string{st.Feet[a].Name, st.Feet[b].Name}, []float64{f.Above.Value, f.Above.Low, f.Above.High}
		}
		list = append(list, v)
	}
	return list
}

func (s *Shop) wayViews(m match.Result) (list []reports.WayParts) {
	for _, w := range m.Ways {
		p := reports.WayParts{Name: s.Bed.Ways[w.Way].Name, X: w.X, Measured: w.Measured, Sag: w.Of[match.OfSag], Feet: w.Of[match.OfFeet],
			Heat: w.Of[match.OfHeat], Form: w.Of[match.OfMetal], FormSigma: w.FormSigma, Rest: w.Of[match.OfRest], FinishedTo: s.finishedTo(w.Way)}
		for part := match.OfFeet; part <= match.OfRest; part++ {
			p.Zones[part-match.OfFeet] = share(part, w.Zones[part])
		}
		list = append(list, p)
	}
	return list
}

// matchWarnings are doubts, and what the match is without.
func (s *Shop) matchWarnings(m match.Result) []reports.Warning {
	out := s.doubts(m)
	if !m.Settled {
		out = append(out, reports.NotSettled{Draws: int(m.ESS)})
	}
	if m.LeftOut > 0 {
		out = append(out, reports.OldSurveys{Surveys: m.LeftOut})
	}
	if lines := those(s.History().Entries, func(e log.Entry) bool { return e.What == log.Indicator }); len(lines) > 0 {
		out = append(out, reports.IndicatorLeftOut{Lines: len(lines)})
	}
	return out
}

// notAsFinished names the ways whose metal is surely less straight than the job says, however far what
// it says has drawn the answer that way.
func notAsFinished(ways []reports.WayParts) (out []reports.Warning) {
	for _, w := range ways {
		if metal := w.Zones[match.OfMetal-match.OfFeet]; w.FinishedTo > 0 && metal.Low > w.FinishedTo {
			out = append(out, reports.NotAsFinished{Way: w.Name, FinishedTo: w.FinishedTo, Low: metal.Low, High: metal.High})
		}
	}
	return out
}

func share(p match.Part, e match.Estimate) reports.Share {
	return reports.Share{Part: partNames[p], Value: e.Value, Low: e.Low, High: e.High, Wide: (e.High - e.Low) / 2, Told: e.Told}
}

// contactSets counts which feet hang together, the likeliest first.
func contactSets(feet []beam.Foot, stood []match.Stood) (list []reports.ContactSet) {
	for _, s := range stood {
		var hang []string
		for i, g := range s.Gaps {
			if g > 0 {
				hang = append(hang, feet[i].Name)
			}
		}
		k := slices.IndexFunc(list, func(c reports.ContactSet) bool { return slices.Equal(c.Hanging, hang) })
		if k < 0 {
			k, list = len(list), append(list, reports.ContactSet{Hanging: hang})
		}
		list[k].Probability += 1 / float64(len(stood))
	}
	slices.SortStableFunc(list, func(a, b reports.ContactSet) int { return cmp.Compare(b.Probability, a.Probability) })
	return list
}

func estimate(e match.Estimate) reports.Estimate {
	return reports.Estimate{Factor: e.Value, Low: e.Low, High: e.High, Told: e.Told}
}

// deeds name the experiments in JSON.
var deeds = map[match.Experiment]string{match.StandOnThree: "stand on three", match.StandOther: "survey", match.JackLoad: "load", match.Feeler: "gap",
	match.KnownMove: "turn", match.Thermometers: "heat", match.SurveyAgain: "survey again"}

func (s *Shop) advice(st job.Standing, a match.Advice) reports.Advice {
	v := reports.Advice{Do: deeds[a.Do], Raise: a.Raise, Minutes: a.Minutes, People: a.People, Before: a.Before, After: a.After, Heights: a.Heights, OfFeet: a.OfFeet, Settles: a.Settles}
	if a.Foot >= 0 {
		v.Foot = st.Feet[a.Foot].Name
	}
	if a.Do == match.StandOther {
		v.Other = s.Standings[a.Standing].Name
	}
	if t := a.Three; t != nil {
		v.Three = &reports.OnThree{At: t.At, Margin: t.Margin, Least: t.Least, Loads: t.Loads}
		for i, f := range st.Feet {
			if i != t.Pair[0] && i != t.Pair[1] {
				v.Three.Feet = append(v.Three.Feet, reports.LetDown{Foot: f.Name, Down: t.LetDown[i], Packing: t.Packing[i]})
			}
		}
		for _, k := range t.Pair {
			if k >= 0 {
				v.Three.Stay = append(v.Three.Stay, st.Feet[k].Name)
			}
		}
		v.Three.Lines = s.OnThree(st.Name, v.Three.Stay, t.At)
	}
	return v
}

// doubts tells what was felt, moved or read that all the rest contradicts.
func (s *Shop) doubts(m match.Result) (out []reports.Warning) {
	for _, d := range m.Doubts {
		ep, w := d.Where, reports.MatchDoubt{What: d.Kind, Size: d.Size}
		name := func(i int) string {
			switch {
			case i < 0:
				return ""
			case d.Survey >= 0:
				return ep.Surveys[i].Name
			}
			return s.Standings[ep.Standing].Feet[i].Name
		}
		w.Of, w.Other = name(max(d.Foot, d.Survey)), name(d.Other)
		for _, v := range ep.Moves {
			if v.Foot == d.Foot {
				w.Raise = v.Raise
			}
		}
		for i, f := range ep.Felt {
			if d.Kind == match.FeltWrong && f.Foot == d.Foot {
				w.Felt = &ep.Felt[i]
			}
		}
		out = append(out, w)
	}
	return out
}

// contradicted are the doubts of a standing's match.
func (s *Shop) contradicted(standing string) []reports.Warning {
	if k, err := s.knownOf(standing); err == nil && k.unmatched == nil {
		return s.doubts(k.matched)
	}
	return nil
}
