package log

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"footwork/internal/unit"
)

// rule is how the cells where and value of one kind of act are read; nil leaves
// a cell empty.
type rule struct {
	what         What
	where, value func(*reader, *Act, string) error
	example      string // of its value, or of where when there is none
}

var grammar []rule

func init() { // values of a void line are read by the grammar itself
	grammar = []rule{
		{Survey, inSetup, fileName, "front-2.csv"},
		{SetUp, inSetup, nil, "front way"},
		{Read, atStation, reading, "-2.1"},
		{Turn, onFoot, turn, "up 25 µm, down 9°, up 1 flat, to touch"},
		{Shim, onFoot, shim, "in 0.05 mm, out 0.02 mm"},
		{Lock, onFoot, nil, "F2"},
		{Indicator, onFootOrWay, upOrDown, "up 12.5 µm"},
		{Feel, onFoot, feel, "free, nips, solid"},
		{Gap, onFoot, gap, "20 µm"},
		{Load, onFoot, load, "3.1 kN ± 0.3 kN"},
		{Bolts, onFootOrAll, bolts, "slack, tight"},
		{Table, nil, table, "at 700 mm, off"},
		{Heat, nil, heat, "0.30 K ± 0.05 K, or 18.43/18.31, 18.40/18.33 °C"},
		{Scrape, onFlank, scrape, "3 passes; 900..1500 mm 2 passes, 6.4 µm; pad 12 µm in 4 passes"},
		{Print, onFlank, printed, "two-metre edge at 300 mm: 300..620 bright, 1180..1500 grey inner"},
		{Hinge, onFlank, hinge, "third, quarter"},
		{Void, earlier, nil, "2026-03-02 14:05 turn F2"},
		{Who, nil, text, "day shift"},
		{Note, nil, text, "coolant was drained"},
	}
}

func failf(hint, message string, args ...any) error {
	return &unit.Error{Message: fmt.Sprintf(message, args...), Hint: hint}
}

// split returns what is wrong and how to write it.
func split(err error) (message, hint string) {
	var e *unit.Error
	if errors.As(err, &e) {
		return e.Message, e.Hint
	}
	return err.Error(), ""
}

// unknown says that there is nothing of this name, and what there is.
func unknown(kind, name string, there []string) error {
	switch {
	case name == "":
		return failf("", "names no %s", kind)
	case len(there) == 0:
		return failf("the job has none", "there is no %s %q", kind, clip(name))
	case len(there) > 12:
		there = append(slices.Clone(there[:12]), "…")
	}
	return failf("there are "+strings.Join(there, ", "), "there is no %s %q", kind, clip(name))
}

func inSetup(r *reader, a *Act, text string) error {
	s, ok := r.bed.setup(text)
	if !ok {
		return unknown("survey", text, names(r.bed.Setups, func(s Setup) string { return s.Name }))
	}
	a.Survey, a.Standing, a.Way = s.Name, s.Standing, s.Way
	return nil
}

// atStation reads a survey and a place: "front way at 2475 mm".
func atStation(r *reader, a *Act, text string) error {
	name, place, err := atPlace(text, "front way at 2475 mm")
	if err != nil {
		return err
	}
	if err := inSetup(r, a, name); err != nil {
		return err
	}
	s, _ := r.bed.setup(a.Survey)
	if place+s.Base > r.bed.Length+slack || place < -slack {
		return failf("check the place and its unit", "%q lies off the bed", clip(text))
	}
	a.At = place
	return nil
}

// slack, m, is what rounding between millimetres and inches may make of one place.
const slack = 1e-6

// atPlace parts "NAME at PLACE".
func atPlace(text, example string) (name string, place float64, err error) {
	i := strings.LastIndex(text, " at ")
	if i < 0 {
		return "", 0, failf("for example "+example, "%q names no place", clip(text))
	}
	place, err = quantity(unit.Length, text[i+4:])
	return strings.TrimSpace(text[:i]), place, err
}

// onFoot reads a foot: "F2", or "F2 of shop floor" where two standings have their own.
func onFoot(r *reader, a *Act, text string) error {
	if name, _, ok := r.bed.home(r.standing, text); ok {
		return a.stand(r, name, text)
	}
	homes := r.bed.homes(text)
	if i := strings.LastIndex(text, " of "); i >= 0 && len(homes) == 0 {
		name, foot := strings.TrimSpace(text[i+4:]), strings.TrimSpace(text[:i])
		home, _, ok := r.bed.home(name, foot)
		if !ok {
			return failf("for example F2 of shop floor", "there is no foot %q in a standing %q", clip(foot), clip(name))
		}
		return a.stand(r, home, foot)
	}
	switch len(homes) {
	case 1:
		return a.stand(r, homes[0], text)
	case 0:
		var all []string
		for _, p := range r.bed.Standings {
			for _, f := range p.Feet {
				if !slices.Contains(all, f.Name) {
					all = append(all, f.Name)
				}
			}
		}
		return unknown("foot", text, all)
	}
	return failf(fmt.Sprintf("write %s of %s", text, homes[0]), "%q is a foot of %s", clip(text), strings.Join(homes, " and of "))
}

func (a *Act) stand(r *reader, standing, foot string) error {
	_, f, _ := r.bed.home(standing, foot)
	a.Standing, a.Foot = standing, f.Name
	return nil
}

func onFootOrAll(r *reader, a *Act, text string) error {
	if strings.EqualFold(text, "all") {
		a.Standing = r.standing
		return nil
	}
	return onFoot(r, a, text)
}

// onFootOrWay reads a foot, or a way and a place: "front at 2475 mm".
func onFootOrWay(r *reader, a *Act, text string) error {
	footErr := onFoot(r, a, text)
	if footErr == nil || !strings.Contains(text, " at ") {
		return footErr
	}
	name, place, err := atPlace(text, "front at 2475 mm")
	if err != nil {
		return err
	}
	a.At = place
	if place > r.bed.Length+slack || place < -slack {
		return failf("check the place and its unit", "%q lies off the bed", clip(text))
	}
	return onFlank(r, a, name)
}

// onFlank reads a way, or a flank of a vee: "front negative flank".
func onFlank(r *reader, a *Act, text string) error {
	if w, ok := r.bed.way(text); ok {
		a.Way = w.Name
		return nil
	}
	for side, word := range map[int]string{-1: " negative", 1: " positive"} {
		name, ok := strings.CutSuffix(strings.TrimSuffix(text, " flank"), word)
		w, known := r.bed.way(name)
		switch {
		case ok && known && w.Vee:
			a.Way, a.Flank = w.Name, side
			return nil
		case ok && known:
			return failf("write "+w.Name, "%q is flat and has no flanks", w.Name)
		}
	}
	return unknown("way", text, names(r.bed.Ways, func(w Way) string { return w.Name }))
}

// earlier reads the line that does not count, its moment and act and, where
// several are alike, its place: "2026-03-02 14:05 turn F2". Of lines alike the
// latest that still counts is meant.
func earlier(r *reader, a *Act, text string) error {
	m := momentAhead.FindStringSubmatch(text)
	var when Moment
	ok := m != nil
	if ok {
		when, ok = ParseMoment(m[1])
	}
	for i := len(r.acts) - 1; i >= 0 && ok; i-- {
		v := r.acts[i]
		place, same := strings.CutPrefix(m[2], string(v.What))
		if place = strings.TrimSpace(place); place != "" {
			same = same && strings.EqualFold(place, v.Place())
		}
		if same && v.When == when && v.What != Void && !r.voided(i) {
			a.Voids = i + 1
			return nil
		}
	}
	return failf("write its time and act as they stand there: 2026-03-02 14:05 turn F2", "there is no line %q above that counts", clip(text))
}

var momentAhead = regexp.MustCompile(`^(\d{4}-\d\d-\d\d(?:[ T]\d?\d:\d\d(?::\d\d)?)?) +(.*)$`)

func (r *reader) voided(i int) bool {
	return slices.ContainsFunc(r.acts, func(a Act) bool { return a.What == Void && a.Voids == i+1 })
}

// Place returns what the act was done to: the name of its foot, survey or way.
func (a Act) Place() string {
	switch {
	case a.Foot != "":
		return a.Foot
	case a.Survey != "":
		return a.Survey
	}
	return a.Way
}
