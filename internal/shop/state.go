package shop

import (
	"errors"
	"math/rand/v2"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distmv"

	"footwork/beam"
	"footwork/beam/shape"
	"footwork/reports"
	"footwork/supports/plan"
	"footwork/survey/match"
)

// Draws returns the beds that a standing may be, each as likely as any other, the most
// central first, and the state that they are: that asked for; "" is found where
// anything was measured, else given. It is an AskError when the job has nothing to
// tell the state from.
func (s *Shop) Draws(standing string, asked reports.State) ([]beam.Draw, reports.State, error) {
	if _, err := s.Standing(standing); err != nil {
		return nil, asked, AskError{err}
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

// known is what the surveys tell of one standing: the beds it may be, the most central
// the first of those that judge, and the match they come from, or why there is none.
type known struct {
	draws     []beam.Draw
	matched   match.Result
	unmatched error
}

// knownOf returns what is known of a surveyed standing. Where the surveys cannot be
// matched its beds stand on the feet as the job gives them, and all else that was
// measured is metal.
func (s *Shop) knownOf(standing string) (known, error) {
	return s.known.get(standing, func() (known, error) {
		m, err := s.match(standing)
		if err == nil && m.Draws[0].Heights == nil {
			err = errors.New("there are more contact points than can be told apart: bearings, or very many feet with a length")
		}
		if err == nil {
			return known{draws: matchedDraws(m), matched: m}, nil
		}
		draws, err2 := s.measuredDraws(standing)
		return known{draws: draws, matched: m, unmatched: err}, err2
	})
}

// keptDraws is how many beds of a match are asked about: 64 choose plans, and of the others
// the ends of a 95 % interval are known to a hundredth of the probability. A page stands
// each up some ten times, which takes as long as the match.
const keptDraws = 256

// matchedDraws returns beds of a match, evenly over its draws, the most central first.
func matchedDraws(m match.Result) (draws []beam.Draw) {
	for i := range keptDraws {
		draws = append(draws, m.Draws[i*len(m.Draws)/keptDraws])
	}
	draws[0] = m.Draws[m.Middle]
	return draws
}

// unsureDraws is how many beds stand for what a survey's noise leaves open: on bearings each holds
// two megabytes of the planner's.
const unsureDraws = 40

// measuredDraws returns beds on the feet as the job gives them whose metal is what was
// measured and the feet do not explain, with the noise of the surveys.
func (s *Shop) measuredDraws(standing string) ([]beam.Draw, error) {
	m, err := s.surveys(standing)
	if err != nil {
		return nil, err
	}
	draws := make([]beam.Draw, unsureDraws)
	for i := range draws {
		draws[i].Form = make([]shape.Shape, len(s.Bed.Ways))
	}
	src := rand.NewPCG(1, 1)
	for k, w := range m.framed {
		given, err := s.standAll(standing, draws[:1], m.readings[k].TableAt)
		if err != nil {
			return nil, err
		}
		way := m.of[k]
		form := minus(w.Height, s.over(given, way, w.X)[0])
		for i := range draws {
			draws[i].Form[way] = shape.Shape{X: w.X, Y: form}
			if i > 0 {
				draws[i].Form[way].Y = plus(form, noise(w.Cov, src))
			}
		}
	}
	return draws, nil
}

// noise draws errors of a covariance; heights that are tied have none.
func noise(cov mat.Symmetric, src rand.Source) []float64 {
	n := cov.SymmetricDim()
	full := mat.NewSymDense(n, nil)
	full.CopySym(cov)
	slight := 1e-9*mat.Trace(full)/float64(n) + 1e-30
	for i := range n {
		full.SetSym(i, i, full.At(i, i)+slight)
	}
	d, ok := distmv.NewNormal(make([]float64, n), full, src)
	if !ok {
		return make([]float64, n)
	}
	return d.Rand(nil)
}
