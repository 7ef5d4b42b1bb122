package log

import (
	"slices"
	"strings"

	"footwork/survey"
)

// Bed is what the lines of a log may name.
type Bed struct {
	Length    float64 // m
	Standings []Place
	Standing  string // in force before a survey says otherwise
	Ways      []Way
	Setups    []survey.Survey // how each is taken
	Masters   []string
	Films     map[string]float64 // m, of the blue, by the words for them
	Table     bool
}

// Place is a standing with its feet.
type Place struct {
	Name string
	Like string // the standing whose feet it shares; "" for none
	Over bool   // the bed will not stand there again
	Feet []Foot
}

// Foot is what can be turned or shimmed.
type Foot struct {
	Name string
	Rise float64 // m per turn of its screw; 0: no screw is known
}

// Way is a slideway; a vee has two flanks.
type Way struct {
	Name string
	Vee  bool
}

func (b Bed) setup(name string) (survey.Survey, bool) {
	return pick(b.Setups, name, func(s survey.Survey) string { return s.Name })
}

func (b Bed) place(name string) (Place, bool) {
	return pick(b.Standings, name, func(p Place) string { return p.Name })
}

func (b Bed) way(name string) (Way, bool) {
	return pick(b.Ways, name, func(w Way) string { return w.Name })
}

func (p Place) foot(name string) (Foot, bool) {
	return pick(p.Feet, name, func(f Foot) string { return f.Name })
}

// pick returns the one of this name; capitals count only where they tell apart.
func pick[T any](all []T, name string, of func(T) string) (found T, ok bool) {
	if i := slices.IndexFunc(all, func(v T) bool { return of(v) == name }); i >= 0 {
		return all[i], true
	}
	for _, v := range all {
		if strings.EqualFold(of(v), name) {
			if ok {
				return found, false
			}
			found, ok = v, true
		}
	}
	return found, ok
}

// home returns the standing in which a foot of a standing is at home: standings
// alike share the feet that both have.
func (b Bed) home(standing, foot string) (name string, found Foot, ok bool) {
	for range b.Standings {
		p, known := b.place(standing)
		f, has := p.foot(foot)
		switch {
		case has:
			name, found, ok = p.Name, f, true
		case ok:
			return name, found, ok
		}
		if !known || p.Like == "" {
			break
		}
		standing = p.Like
	}
	return name, found, ok
}

// homes returns the standings in which a foot of this name is at home, those that
// are over only when there is no other.
func (b Bed) homes(foot string) (list []string) {
	for _, over := range []bool{false, true} {
		for _, p := range b.Standings {
			if name, _, ok := b.home(p.Name, foot); ok && p.Over == over && !slices.Contains(list, name) {
				list = append(list, name)
			}
		}
		if len(list) > 0 {
			return list
		}
	}
	return nil
}

// next returns the standing in force after an act: a survey's, and that of a foot
// which is raised to carry and is none of the feet on which the bed stood.
func (b Bed) next(standing string, a Act) string {
	switch a.What {
	case Survey, Read, SetUp:
		return a.Standing
	case Turn, Shim, Came:
		p, _ := b.place(standing)
		if _, stands := p.foot(a.Foot); !stands && a.Foot != "" && (a.ToTouch || a.Value > 0) {
			return a.Standing
		}
	}
	return standing
}
