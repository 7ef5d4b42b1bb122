package log

import "slices"

// stay is what is known of one standing while acts are followed.
type stay struct {
	last     Act             // in it, before the bed stood elsewhere
	surveyed map[string]bool // what was surveyed in it since the bed was last put on it
	elsewhere
	now elsewhere // since anything was done in it
	at  Act       // the last in it
}

// elsewhere is what was done since the bed stood in one standing.
type elsewhere struct {
	away    []string // where it stood
	first   Act      // elsewhere
	latest  Act      // elsewhere
	touched []string // feet that a hand raised or lowered, by their home
}

// stoodAgain takes an act in, and returns before it the feet that carry again after the bed stood
// without them: they were let down and raised, and nobody knows how far. So it was where what was
// done in a standing, then elsewhere and then in it again has days or passes in that order, or
// where a way is surveyed again in it; rows without a day in the order of the ways say nothing of it.
func (s *state) stoodAgain(a Act) (again []Act) {
	in, subject := s.bed.next(s.in, a), s.bed.subject(a)
	here := s.stays[in]
	if here == nil {
		here = &stay{surveyed: map[string]bool{}}
		s.stays[in] = here
	}
	if len(here.away) > 0 && (inTurn(here.last, here.first) && inTurn(here.latest, a) || here.surveyed[subject]) {
		again = s.bed.raised(in, here.elsewhere, a.When)
		here.elsewhere, here.surveyed = elsewhere{}, map[string]bool{}
	}
	if len(here.away) == 0 {
		here.last = a
	}
	if subject != "" {
		here.surveyed[subject] = true
	}
	if a.located() {
		here.now, here.at = elsewhere{}, a
	}
	for name, o := range s.stays {
		o.elsewhere.meanwhile(s.bed, a, name == in, in)
		o.now.meanwhile(s.bed, a, name == in, in)
	}
	return again
}

// LetDown returns the feet of a standing that the bed is known to stand without now, for it was
// put on others since anything was done in that standing.
func (h History) LetDown(standing string) (feet []string) {
	s := h.stays[standing]
	if s == nil || s.at.What == "" || len(s.now.away) == 0 || !inTurn(s.at, s.now.first) {
		return nil
	}
	for _, a := range h.bed.raised(standing, s.now, Moment{}) {
		feet = append(feet, a.Foot)
	}
	return feet
}

// meanwhile takes in an act, done in this standing or in another.
func (s *elsewhere) meanwhile(b Bed, a Act, here bool, in string) {
	if !here && a.located() {
		if len(s.away) == 0 {
			s.first = a
		}
		s.away, s.latest = append(s.away, in), a
	}
	if len(s.away) > 0 && (a.What == Turn || a.What == Shim || a.What == Came) {
		s.touched = append(s.touched, b.key(a.Standing, a.Foot))
	}
}

// raised returns the feet of a standing that the bed stood without: where it stood on feet of
// the same names it stayed on them, whether that standing is written as like this one or not.
func (b Bed) raised(standing string, s elsewhere, when Moment) (list []Act) {
	p, _ := b.place(standing)
	for _, f := range p.Feet {
		home, foot, _ := b.home(standing, f.Name)
		without := slices.ContainsFunc(s.away, func(other string) bool {
			o, _ := b.place(other)
			_, has := o.foot(f.Name)
			return !has
		})
		if without && !slices.Contains(s.touched, b.key(standing, f.Name)) {
			list = append(list, Act{When: when, What: StoodAgain, Standing: home, Foot: foot.Name})
		}
	}
	return list
}

// key names a foot by the standing in which it is at home.
func (b Bed) key(standing, foot string) string {
	home, f, _ := b.home(standing, foot)
	return home + "\n" + f.Name
}

// subject is what an act surveys of what feet lift; "" of any other.
func (b Bed) subject(a Act) string {
	if u, ok := b.setup(a.Survey); a.What == Survey && ok && u.UpAndDown() {
		return "way " + a.Way
	}
	return ""
}

// located tells whether an act says in which standing the bed was.
func (a Act) located() bool {
	switch a.What {
	case Survey, Read, SetUp, Turn, Shim, Came:
		return true
	}
	return false
}

// inTurn tells whether it is known that one act came before another.
func inTurn(a, b Act) bool {
	if a.When.Day != "" && b.When.Day != "" {
		return a.When.before(b.When)
	}
	return a.Pass != nil && b.Pass != nil && *a.Pass < *b.Pass
}
