package turn

import (
	"cmp"
	"fmt"
	"slices"

	"footwork/survey/log"
)

// Came is by how much each foot that was turned is raised since the survey, its nut with it.
func (s *Session) Came() []News {
	return s.cameBy(func(one *bed, f int) float64 { return one.went[f] })
}

// unsaid is how far a foot came since lines of the log said it last, m.
func unsaid(one *bed, f int) float64 { return one.went[f] - one.said[f] }

// cameBy tells of every foot that was raised in some bed.
func (s *Session) cameBy(by func(one *bed, f int) float64) (list []News) {
	for f := range s.in.Standing.Feet {
		mean, sd := s.beds.came(func(one *bed) float64 { return by(one, f) })
		if mean != 0 || sd > 0 {
			list = append(list, News{Foot: s.name(f), Raised: mean, SD: sd})
		}
	}
	return list
}

// logCame writes down how far feet came since lines of the log said it last.
func (s *Session) logCame(when log.Moment) {
	const finest = 0.1e-6 // m, that is written
	for _, n := range s.cameBy(unsaid) {
		s.log(when, log.Came, n.Foot, upOrDown(n.Raised, "%.1f µm", 1e-6)+fmt.Sprintf(" ± %.1f µm", max(n.SD, finest)*1e6))
		s.came = append(s.came, s.lines[len(s.lines)-1])
		s.beds.says(s.foot(n.Foot))
	}
}

// says notes that the log says how far a foot came.
func (b *beds) says(foot int) {
	for _, one := range b.all {
		one.said[foot] = one.went[foot]
	}
}

// saidCame takes in that the log says it: of turns that the log has as well, or of a foot whose turns nobody wrote down.
func (s *Session) saidCame(f int, e log.Entry) (err error) {
	if !slices.ContainsFunc(s.beds.all, func(one *bed) bool { return unsaid(one, f) != 0 }) {
		err = s.move(move{foot: f, raise: e.Value, sd: cmp.Or(e.Sigma, s.slip(f, e.Value, false))})
	}
	s.beds.says(f)
	return err
}
