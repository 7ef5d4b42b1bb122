package log

import (
	"regexp"
	"slices"
	"strings"

	"footwork/internal/unit"
	"footwork/survey"
)

// rule is what there is to know of one kind of act: how the cells where and value
// of its lines are read, nil leaving one empty, and what help tells of them.
type rule struct {
	what         What
	place        string // what stands in where
	where, value func(*reader, *Act, string) error
	values       []string // examples
	help         string
}

var grammar = []rule{
	{Survey, "a survey's name", inSetup, fileName, []string{"front-2.csv"}, "its set-up again, with new readings"},
	{SetUp, "a survey's name", inSetup, nil, nil, "the instrument was moved or knocked: a new zero"},
	{Read, "a survey and a place: front way at 225 mm", atStation, reading, []string{"-2.1"}, "one reading, in the survey's own unit; the reflector or level is left standing there"},
	{Turn, "a foot", onFoot, turn, []string{"up 25 µm", "down 9°", "up 1 flat", "to touch"}, "what the hand meant to do; between two readings at one place it is taken as good to a third"},
	{Shim, "a foot", onFoot, raised("in", "out"), []string{"in 0.05 mm", "out 0.02 mm"}, "leaves laid in or taken out"},
	{Lock, "a foot", onFoot, nil, nil, "its lock nut was tightened, which shifts it by some 5 µm"},
	{Came, "a foot", onFoot, raised("up", "down"), []string{"up 12.3 µm ± 2.1 µm"}, "how far it is raised, its nut with it, since the survey, or since it touched or its last line of this kind: turn writes what its readings tell, and match takes that for turns, nuts and readings between"},
	{Indicator, "a foot, or a way and place", onFootOrWay, raised("up", "down"), []string{"up 12.5 µm"}, "change of height seen since the last line of that place; turn uses it, match does not"},
	{Feel, "a foot", onFoot, feel, []string{"free", "nips", "solid"}, "how its screw turns, or a 0.03 mm foil"},
	{Gap, "a foot", onFoot, amount(unit.Length, mostGap), []string{"20 µm"}, "a feeler that just passes"},
	{Load, "a foot", onFoot, amount(unit.Force, mostLoad), []string{"3.1 kN ± 0.3 kN"}, "on a jack with a gauge"},
	{Bolts, "a foot, or all", onFootOrAll, bolts, []string{"slack", "tight"}, "holding-down bolts"},
	{Table, "", nil, table, []string{"at 700 mm", "off"}, "where the table is parked"},
	{Heat, "", nil, heat, []string{"0.30 K ± 0.05 K", "18.43/18.31, 18.40/18.33 °C"}, "top minus bottom; or top/bottom, then with the thermometers exchanged; without ± or exchange to 0.1 K"},
	{Scrape, "a way, or a flank of it", onFlank, scrape, []string{"3 passes", "900..1500 mm 2 passes, 6.4 µm", "pad 12 µm in 4 passes"}, "metal was cut; the level at the marks, or a small pad, shows how deep"},
	{Print, "a way", onFlank, printed, []string{"two-metre edge at 300 mm: 300..620 bright, 1180..1500 grey inner", "two-metre edge at 300 mm, thin, stroke 30 mm: 300..620 bright"}, "what took colour: bright, black or grey is kept for who reads it; on the inner, the outer or both edges of the face; film and stroke where they are not the job's; points to the inch belong in the note"},
	{Hinge, "a way", onFlank, hinge, []string{"third, quarter"}, "where the master swings when nudged at its left and its right end: middle, third, quarter, end, or a length"},
	{Void, "the time and act of a line above: 2026-03-02 08:40 turn F2", earlier, nil, nil, "that line was wrong and does not count"},
	{Who, "", nil, text, []string{"day shift"}, "kept, and shown in the history"},
	{Note, "", nil, text, []string{"coolant was drained"}, "kept, and shown in the history"},
}

// Help tells of every line that a log may have, as job.Help has its lines.
func Help() (lines []string) {
	for _, g := range grammar {
		lines = append(lines, "  "+string(g.what), "\t      "+g.help)
		if g.place != "" {
			lines = append(lines, "\t      where: "+g.place)
		}
		if len(g.values) > 0 {
			lines = append(lines, "\t      value: "+strings.Join(g.values, ", or "))
		}
	}
	return lines
}

// unknown says that there is nothing of this name, and what there is.
func unknown(kind, name string, there []string) error {
	if name == "" {
		return unit.Wrong("", "names no %s", kind)
	}
	return unit.Wrong(unit.Choices(name, there), "there is no %s %s", kind, unit.Quote(name))
}

func inSetup(r *reader, a *Act, text string) error {
	s, ok := r.bed.setup(text)
	if !ok {
		return unknown("survey", text, unit.Names(r.bed.Setups, func(s survey.Survey) string { return s.Name }))
	}
	a.Survey, a.Standing, a.Way = s.Name, s.Standing, s.Way
	return nil
}

// atStation reads a survey and a place: "front way at 2475 mm".
func atStation(r *reader, a *Act, text string) error {
	name, place, err := r.atPlace(text, "front way at 2475 mm")
	if err != nil {
		return err
	}
	if err := inSetup(r, a, name); err != nil {
		return err
	}
	a.At = place
	if s, _ := r.bed.setup(a.Survey); s.Base > 0 {
		return r.onBed(text, place+s.Base)
	}
	return nil
}

// slack, m, is what rounding between millimetres and inches may make of one place.
const slack = 1e-6

// atPlace parts "NAME at PLACE", a place on the bed.
func (r *reader) atPlace(text, example string) (name string, place float64, err error) {
	i := strings.LastIndex(text, " at ")
	if i < 0 {
		return "", 0, unit.Wrong("for example "+example, "%s names no place", unit.Quote(text))
	}
	if place, err = quantity(unit.Length, text[i+4:]); err == nil {
		err = r.onBed(text, place)
	}
	return strings.TrimSpace(text[:i]), place, err
}

func (r *reader) onBed(text string, place float64) error {
	if place > r.bed.Length+slack || place < -slack {
		return unit.Wrong("check the place and its unit", "%s lies off the bed", unit.Quote(text))
	}
	return nil
}

// onFoot reads a foot: "F2", or "F2 of shop floor" where two standings have their own.
func onFoot(r *reader, a *Act, text string) error {
	home, f, ok := r.bed.home(r.standing, text)
	homes, of := r.bed.homes(text), strings.LastIndex(text, " of ")
	switch {
	case ok:
	case len(homes) == 1:
		home, f, _ = r.bed.home(homes[0], text)
	case len(homes) > 1:
		return unit.Wrong("write "+text+" of "+homes[0], "%s is a foot of %s", unit.Quote(text), strings.Join(homes, " and of "))
	case of >= 0:
		standing, foot := strings.TrimSpace(text[of+4:]), strings.TrimSpace(text[:of])
		if home, f, ok = r.bed.home(standing, foot); !ok {
			return unit.Wrong("for example F2 of shop floor", "there is no foot %s in a standing %s", unit.Quote(foot), unit.Quote(standing))
		}
	default:
		var all []string
		for _, p := range r.bed.Standings {
			all = append(all, unit.Names(p.Feet, func(f Foot) string { return f.Name })...)
		}
		slices.Sort(all)
		return unknown("foot", text, slices.Compact(all))
	}
	a.Standing, a.Foot = home, f.Name
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
	err := onFoot(r, a, text)
	if err == nil || !strings.Contains(text, " at ") {
		return err
	}
	var name string
	if name, a.At, err = r.atPlace(text, "front at 2475 mm"); err != nil {
		return err
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
			return unit.Wrong("write "+w.Name, "%q is flat and has no flanks", w.Name)
		}
	}
	return unknown("way", text, unit.Names(r.bed.Ways, func(w Way) string { return w.Name }))
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
	return unit.Wrong("write its time and act as they stand there: 2026-03-02 14:05 turn F2", "there is no line %s above that counts", unit.Quote(text))
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
