package turn

// Response is what a raise of a foot does to the reading that it was turned by, for each metre, with
// its standard deviation: as the beds have it now, and as they had it after the survey.
type Response struct {
	Card      // of it the foot and where the instrument stood
	Now, SD   float64
	Then, Was float64
}

// Responses are those of the feet that were turned by a reading, in the order of the feet: of the bed
// with all feet where they are now.
func (s *Session) Responses() (list []Response) {
	then := s.begun.copy()
	for f := range s.in.Standing.Feet {
		came, _ := s.beds.came(func(one *bed) float64 { return one.went[f] })
		for _, one := range then.all {
			one.draw.Heights[f] += came
		}
	}
	if then.each(func(_ int, one *bed) error { return then.settle(one) }) != nil { // one of them tips
		then = s.begun
	}
	for f := range s.in.Standing.Feet {
		if p, ok := s.seen[f]; ok {
			r := Response{Card: Card{Foot: s.name(f)}}
			s.stand(&r.Card, p)
			r.Now, r.SD = s.beds.response(p, f)
			r.Then, r.Was = then.response(p, f)
			list = append(list, r)
		}
	}
	return list
}

// response is what a raise of a foot does to a reading, for each metre, and its standard deviation;
// nothing where a bed would tip.
func (b *beds) response(p Place, foot int) (rate, sd float64) {
	return b.came(func(one *bed) float64 {
		rate, _ := b.responds(one, p, foot, 10e-6) // seldom brings another foot to carry or to leave off
		return rate
	})
}
