package log

import "slices"

// stay is what is known of one standing while acts are followed.
type stay struct {
	last     Act             // in it, before the bed stood elsewhere
	surveyed map[string]bool // what was surveyed in it since the bed was last put on it
	away     []string        // where the bed stood since
	first    Act             // elsewhere
	latest   Act             // elsewhere
	touched  []string        // feet that a hand raised or lowered since, by their home
}

// stoodAgain puts in the feet that carry again after the bed stood without them: they were let
// down and raised, and nobody knows how far. So it was where what was done in a standing, then
// elsewhere and then in it again has days or passes in that order, or where a way is surveyed
// again in it; rows without a day in the order of the ways say nothing of it.
func stoodAgain(b Bed, acts []Act) (out []Act) {
	in, stays := b.Standing, map[string]*stay{}
	for _, a := range acts {
		in = b.next(in, a)
		s := stays[in]
		if s == nil {
			s = &stay{surveyed: map[string]bool{}}
			stays[in] = s
		}
		if len(s.away) > 0 && (inTurn(s.last, s.first) && inTurn(s.latest, a) || s.surveyed[b.subject(a)]) {
			out = append(out, b.raised(in, s, a.When)...)
			*s = stay{surveyed: map[string]bool{}}
		}
		if len(s.away) == 0 {
			s.last = a
		}
		if subject := b.subject(a); subject != "" {
			s.surveyed[subject] = true
		}
		for name, o := range stays {
			o.meanwhile(b, a, name == in, in)
		}
		out = append(out, a)
	}
	return out
}

// LetDown returns the feet of a standing that the bed is known to stand without now, for it was
// put on others since anything was done in that standing.
func (h History) LetDown(standing string) (feet []string) {
	var s stay
	for _, e := range h.Entries {
		if e.located() && e.In == standing {
			s = stay{last: e.Act}
		}
		s.meanwhile(h.bed, e.Act, e.In == standing, e.In)
	}
	if s.last.What == "" || len(s.away) == 0 || !inTurn(s.last, s.first) {
		return nil
	}
	for _, a := range h.bed.raised(standing, &s, Moment{}) {
		feet = append(feet, a.Foot)
	}
	return feet
}

// meanwhile takes in an act, done in this standing or in another.
func (s *stay) meanwhile(b Bed, a Act, here bool, in string) {
	if !here && a.located() {
		if len(s.away) == 0 {
			s.first = a
		}
		s.away, s.latest = append(s.away, in), a
	}
	if len(s.away) > 0 && (a.What == Turn || a.What == Shim) {
		s.touched = append(s.touched, b.key(a.Standing, a.Foot))
	}
}

// raised returns the feet of a standing that the bed stood without: where it stood on feet of
// the same names it stayed on them, whether that standing is written as like this one or not.
func (b Bed) raised(standing string, s *stay, when Moment) (list []Act) {
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
	case Survey, Read, SetUp, Turn, Shim:
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
