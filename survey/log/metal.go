package log

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"footwork/internal/unit"
)

var (
	passes = regexp.MustCompile(`^(?:(.+?\.\..+?) +)?(\d{1,4}) pass(?:es)?(?:, *(.+))?$`)
	pad    = regexp.MustCompile(`^pad +(.+?) +in +(\d{1,4}) pass(?:es)?$`)
)

// scrape reads "3 passes", "900..1500 mm 2 passes, 6.4 µm" with the depth that the level
// at the marks has shown, or "pad 12 µm in 4 passes".
func scrape(r *reader, a *Act, text string) (err error) {
	text = strings.TrimSpace(text)
	place, count, depth := "", "", ""
	if m := pad.FindStringSubmatch(text); m != nil {
		a.Pad, depth, count = true, m[1], m[2]
	} else if m := passes.FindStringSubmatch(text); m != nil {
		place, count, depth = m[1], m[2], m[3]
	} else {
		return unit.Wrong("", "%s says no number of passes", unit.Quote(text))
	}
	if place != "" {
		if a.From, a.To, err = r.span(place, ""); err != nil {
			return err
		}
	}
	if depth != "" {
		if a.Depth, err = length(depth, 0, mostGap); err != nil {
			return err
		}
	}
	a.Passes, _ = strconv.Atoi(count)
	if a.Passes == 0 {
		return unit.Wrong("", "%s says that nothing was cut", unit.Quote(text))
	}
	return nil
}

// span reads "900..1500 mm"; other is the unit where none is written.
func (r *reader) span(text, other string) (from, to float64, err error) {
	first, last, ok := strings.Cut(text, "..")
	if !ok {
		return 0, 0, unit.Wrong("write from..to, for example 900..1500 mm", "%s is no length of a way", unit.Quote(text))
	}
	first, last = strings.TrimSpace(first), strings.TrimSpace(last)
	if name := unitAtEnd(last); name != "" {
		other = name
	}
	for _, end := range []struct {
		text string
		into *float64
	}{{first, &from}, {last, &to}} {
		if unitAtEnd(end.text) == "" && other != "" {
			end.text += " " + other
		}
		if *end.into, err = quantity(unit.Length, end.text); err != nil {
			return 0, 0, err
		}
	}
	if !(from < to) || from < -slack || to > r.bed.Length+slack {
		return 0, 0, unit.Wrong("write from..to along the bed, the lesser first", "%s is no part of a way", unit.Quote(text))
	}
	return from, to, nil
}

// unitAtEnd returns the unit that ends a length, "" for a bare figure.
func unitAtEnd(text string) string {
	return strings.TrimLeft(text, "-+0123456789.,/ ")
}

var (
	shades = []string{"bright", "black", "grey"}
	widths = []string{"inner", "outer", "full"}
)

// printed reads "two-metre edge at 300 mm: 300..620 bright, 1180..1500 grey inner".
func printed(r *reader, a *Act, text string) error {
	master, marks, ok := strings.Cut(text, ":")
	if !ok {
		return unit.Wrong("", "%s names no master and its place before a colon", unit.Quote(text))
	}
	length, err := r.master(a, master)
	if err != nil {
		return err
	}
	for text := range strings.SplitSeq(marks, ", ") {
		m, place := look(text)
		if m.From, m.To, err = r.span(place, length); err != nil {
			return err
		}
		a.Marks = append(a.Marks, m)
	}
	return nil
}

// look takes shade, which is kept for who reads the log, and width from the end of a mark's text.
func look(text string) (m Mark, place string) {
	m.Across = "full"
	words := strings.Fields(strings.ToLower(text))
	for ; len(words) > 0; words = words[:len(words)-1] {
		switch last := words[len(words)-1]; {
		case slices.Contains(widths, last):
			m.Across = last
		case last != "width" && !slices.Contains(shades, last):
			return m, strings.Join(words, " ")
		}
	}
	return m, ""
}

// master reads "two-metre edge at 300 mm", with its film and stroke behind it where they are
// not the job's: "two-metre edge at 300 mm, thin, stroke 30 mm". It returns the unit of its
// place.
func (r *reader) master(a *Act, text string) (length string, err error) {
	text, how, _ := strings.Cut(strings.TrimSpace(text), ", ")
	name, place, err := r.atPlace(text, "two-metre edge at 300 mm")
	if err != nil {
		return "", err
	}
	a.At = place
	known, ok := pick(r.bed.Masters, name, func(s string) string { return s })
	if !ok {
		return "", unknown("master", name, r.bed.Masters)
	}
	a.Master = known
	for one := range strings.SplitSeq(how, ", ") {
		if err := r.taken(a, strings.TrimSpace(one)); err != nil {
			return "", err
		}
	}
	return unitAtEnd(text[strings.LastIndex(text, " at ")+4:]), nil
}

// Of how a print was taken, the most film and the longest stroke, m.
const (
	mostFilm   = 100e-6
	mostStroke = 2.0
)

// taken reads the film or the stroke of a print.
func (r *reader) taken(a *Act, text string) (err error) {
	if stroke, ok := strings.CutPrefix(text, "stroke "); ok {
		a.Stroke, err = length(stroke, 0, mostStroke)
		return err
	}
	if film, ok := r.bed.Films[strings.ToLower(text)]; ok || text == "" {
		a.Film = film
		return nil
	}
	if a.Film, err = quantity(unit.Length, text); err != nil {
		return unit.Wrong("write thin, middling, heavy or a thickness, or stroke 30 mm", "%s is neither film nor stroke", unit.Quote(text))
	}
	return within(text, a.Film, 0, mostFilm)
}

var swings = map[string]float64{"middle": 1.0 / 2, "third": 1.0 / 3, "quarter": 1.0 / 4, "end": 0}

// hinge reads "third, quarter" or lengths, with or without the master and its place.
func hinge(r *reader, a *Act, text string) error {
	if before, after, ok := strings.Cut(text, ":"); ok {
		if _, err := r.master(a, before); err != nil {
			return err
		}
		text = after
	}
	both := strings.Split(text, ", ")
	if len(both) != 2 {
		return unit.Wrong("write both, nudged at the left end and at the right: third, quarter", "%s does not say where it swings for two ends", unit.Quote(text))
	}
	for i, one := range both {
		one = strings.TrimSpace(one)
		if share, ok := swings[strings.ToLower(one)]; ok {
			a.Swings[i].Share = share
			continue
		}
		v, err := quantity(unit.Length, one)
		if err != nil {
			return unit.Wrong("write middle, third, quarter, end, or a length with its unit", "%s is no place where a master swings", unit.Quote(one))
		}
		if err := within(one, v, 0, r.bed.Length); err != nil {
			return err
		}
		a.Swings[i].Length = v
	}
	return nil
}
