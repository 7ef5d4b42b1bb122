package main

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"strings"

	"footwork/beam/section"
	"footwork/beam/shape"
	"footwork/internal/job"
	"footwork/internal/job/start"
	"footwork/internal/unit"
	"footwork/survey"
)

// ask fills a sketch in by what a tape measure and a look tell, until the person
// says that it is right and the job file of it has no fault. The sketch given is
// the first offered.
func ask(in *bufio.Scanner, out io.Writer, s start.Sketch, system bool) (start.Sketch, error) {
	in.Buffer(nil, 1<<16)
	v := &interview{in: in, out: out}
	fmt.Fprintln(out, "An empty answer takes what stands in brackets. Lengths and weights with their\nunit: 3660 mm, 12 ft 3 1/2 in, 2.1 t. What is not known can be put right later.")
	parts := []struct {
		name string
		ask  func(*start.Sketch)
	}{
		{"casting", func(s *start.Sketch) { *s, system = v.sizes(*s, system), false; v.shape(s) }},
		{"ways", v.rides}, {"feet", v.feet}, {"instrument", v.surveys},
	}
	for wanted := "no"; ; {
		for _, p := range parts {
			if wanted == "no" || wanted == p.name {
				p.ask(&s)
			}
		}
		if v.ended {
			return s, usagef("the answers ended early; nothing was written")
		}
		faults := v.shown(s)
		if wanted = "yes"; faults {
			wanted = "no"
		}
		v.choice("Is that right? Or what is to be asked again?", &wanted, "yes", "no", "casting", "ways", "feet", "instrument")
		if wanted == "yes" && !faults {
			return s, nil
		}
	}
}

// shown draws what was understood and says what check would; it tells of faults.
func (v *interview) shown(s start.Sketch) bool {
	for _, line := range drawSection(s.Plates(), s.L) {
		fmt.Fprintln(v.out, line)
	}
	faults, notes := doubts(s)
	for _, line := range append(faults, notes...) {
		fmt.Fprintln(v.out, "  "+plain(line))
	}
	return len(faults) > 0
}

// doubts returns what check would say of the job file of a sketch.
func doubts(s start.Sketch) (faults, notes []string) {
	say := func(list job.Faults) (lines []string) {
		for _, f := range list {
			f.File = "" // nothing is written yet
			lines = append(lines, f.Error())
		}
		return lines
	}
	j, err := job.Read("", []byte(s.Job()), noFiles)
	var wrong job.Faults
	if errors.As(err, &wrong) {
		return say(wrong), nil
	}
	return nil, say(j.Notes)
}

// noFiles is the folder of a job that is not written yet.
func noFiles(string) ([]byte, error) { return nil, fs.ErrNotExist }

// sizes asks for units and length, in whose proportion all else is first offered.
func (v *interview) sizes(s start.Sketch, system bool) start.Sketch {
	if system {
		was := s.Units
		choose(v, "Metric or inch?", &s.Units, []string{unit.Metric.String(), unit.Inches.String()}, unit.Metric, unit.Inches)
		if s.Inch() && was == unit.Metric {
			s.Length = 12 * unit.Foot
		}
	}
	l := s.Length
	for {
		v.quantity("How long is the bed?", "bed.length", s.L, &l)
		made, err := start.New(s.L(l), s.Pairs, s.Units)
		if err != nil {
			fmt.Fprintf(v.out, "  %v\n", err)
			l = s.Length
			continue
		}
		if made.Stem, made.Schema = s.Stem, s.Schema; l == s.Length && s.Measured {
			made = s
		}
		made.Measured = true
		return made
	}
}

// shape asks for the casting's section and ribs.
func (v *interview) shape(s *start.Sketch) {
	const size = "bed.section.plates.width"
	v.quantity("How wide is it over its walls?", size, s.L, &s.Width)
	v.quantity("How high, from its underside to the ways?", size, s.L, &s.Height)
	v.count("How many walls run along it?", &s.Walls, 2, 3)
	v.quantity("How thick are they?", size, s.L, &s.Wall)
	v.maybe("Is it closed above, under the ways, by a deck? Its thickness", size, "open", s.L, &s.Deck)
	v.maybe("Is it closed below by a floor? Its thickness", size, "open", s.L, &s.Floor)
	v.maybe("How thick is the strip that stands up under each way?", size, "none", s.L, &s.StripThick)
	if s.StripThick > 0 {
		v.quantity("How wide is that strip?", size, s.L, &s.StripWide)
	}
	if choose(v, "Ribs between the walls?", &s.Ribs, []string{"none", "square", "slanting"}, "", "cross", "diagonal"); s.Ribs != "" {
		v.ribs(s)
	}
	v.maybe("What does the casting weigh, if it was weighed?", "bed.weighed", notKnown, s.F, &s.Weight)
}

// ribs asks what the ribs are.
func (v *interview) ribs(s *start.Sketch) {
	was := s.Flat
	if choose(v, "Do they stand upright, or lie flat as bars?", &s.Flat, []string{"upright", "flat"}, false, true); s.Flat && !was {
		s.RibThick, s.BarThick, s.BarBottom = 3*s.Wall, s.Wall, 0
		if s.Deck == 0 {
			s.BarBottom = s.Height - s.StripThick - s.BarThick
		}
	}
	v.quantity("How far apart are they?", "bed.rib.every", s.L, &s.Pitch)
	if !s.Flat {
		v.quantity("How thick?", "bed.rib.thickness", s.L, &s.RibThick)
		return
	}
	v.quantity("How wide is a bar, along the bed?", "bed.rib.thickness", s.L, &s.RibThick)
	v.quantity("How thick is it, upright?", "bed.rib.height", s.L, &s.BarThick)
	v.quantity("How high does it lie above the underside?", "bed.rib.bottom", s.L, &s.BarBottom)
}

const notKnown = "not known"

// rides asks for the ways and what rides on them.
func (v *interview) rides(s *start.Sketch) {
	v.count("How many ways?", &s.WayCount, 1, 3)
	if s.WaysApart = min(s.WaysApart, s.Width); s.WayCount > 1 {
		v.quantity("How far apart are the middles of the outer ones?", "bed.section.plates.width", s.L, &s.WaysApart)
	}
	v.quantity("How wide is the bearing surface of each?", "way.width", s.L, &s.WayWide)
	choose(v, "Where are they unworn? Planers wear at the ends, lathes at the chuck", &s.Unworn,
		[]string{notKnown, "ends", "middle", "left end", "right end"}, "", "ends", "middle", "left end", "right end")
	had := s.TableLength
	if v.maybe("How long is the table?", "table.length", "no table", s.L, &s.TableLength); s.TableLength == 0 {
		return
	}
	if had == 0 {
		s.TableWeight, s.Stroke = s.TableLength*unit.Tonne/3, shape.Span{From: 0, To: max(0, s.Length-s.TableLength)}
	}
	v.quantity("What does it weigh, with what it carries?", "table.weight", s.F, &s.TableWeight)
	fmt.Fprintln(v.out, "  The stroke is how far its left end travels, counted from the bed's left end;\n  it is below zero where the table hangs over.")
	v.quantity("Its left end furthest left?", "table.stroke.from", s.L, &s.Stroke.From)
	v.quantity("Its left end furthest right?", "table.stroke.to", s.L, &s.Stroke.To)
}

// feet asks what the bed stands on.
func (v *interview) feet(s *start.Sketch) {
	v.count("On how many pairs of feet does it stand?", &s.Pairs, 2, 20)
	v.maybe("Do they stand beside the outer walls? Then how far apart are their middles, front to back?", "bed.section.plates.width", "under the walls", s.L, &s.FeetApart)
	v.again(`How is a foot moved? ("screw M20x1.5", "screw 3/4-10", "shim", "fixed")`, s.Adjust, func(text string) error {
		trial := *s
		trial.Adjust = strings.Trim(text, `"`)
		if _, err := job.Read("new", []byte(trial.Job()), noFiles); err != nil && strings.Contains(err.Error(), ".adjust:") {
			return fmt.Errorf(`%s is no way to move a foot; write "screw M20x1.5", "screw 3/4-10", "screw 2 mm" (rise per turn), "shim" or "fixed"`, unit.Quote(text))
		}
		s.Adjust = trial.Adjust
		return nil
	})
}

// surveys asks how the ways are to be measured.
func (v *interview) surveys(s *start.Sketch) {
	choose(v, "What will the ways be measured with?", &s.Instrument,
		[]string{"nothing yet", string(survey.Level), string(survey.Autocollimator), string(survey.Heights)}, "", survey.Level, survey.Autocollimator, survey.Heights)
	if s.Instrument == "" {
		return
	}
	question := "How far apart are the feet of its carriage, which is the step?"
	if s.Instrument == survey.Heights {
		question = "How far apart will the stations be?"
	}
	for {
		if v.quantity(question, "survey.base", s.L, &s.Base); s.Base <= s.Length/2 {
			return
		}
		fmt.Fprintln(v.out, "  that is more than half of the bed")
		s.Base = s.Length / 25
	}
}

// drawSection draws plates as seen from the end of the bed, a sign of a terminal
// being twice as high as wide, with the sizes of all beside · show writes a length.
func drawSection(plates []section.Plate, show func(float64) string) []string {
	const columns, mostRows = 56, 24
	left, right, top := math.Inf(1), math.Inf(-1), 0.0
	for _, p := range plates {
		left, right, top = min(left, p.Offset-p.Width/2), max(right, p.Offset+p.Width/2), max(top, p.Bottom+p.Height)
	}
	cell := max((right-left)/columns, top/2/mostRows) // m across one sign
	wide, high := max(1, int(math.Round((right-left)/cell))), max(1, int(math.Round(top/cell/2)))
	lines := make([]string, 0, high+2)
	for row := high - 1; row >= 0; row-- {
		line := []byte(strings.Repeat(" ", wide))
		for _, p := range plates {
			if lo, hi := signs(p.Bottom, p.Bottom+p.Height, 2*cell, high); lo <= row && row < hi {
				from, to := signs(p.Offset-p.Width/2-left, p.Offset+p.Width/2-left, cell, wide)
				copy(line[from:to], strings.Repeat("#", to-from))
			}
		}
		lines = append(lines, "  "+strings.TrimRight(string(line), " "))
	}
	return append(lines, "", fmt.Sprintf("  the section from its end: %s wide, %s high", show(right-left), show(top)))
}

// signs returns which of n signs a stretch takes up: one at least.
func signs(from, to, cell float64, n int) (lo, hi int) {
	lo = min(max(0, int(math.Round(from/cell))), n-1)
	return lo, min(n, max(lo+1, int(math.Round(to/cell))))
}
