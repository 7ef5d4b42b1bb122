package shop

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"footwork/beam/shape"
	"footwork/reports"
	"footwork/supports/blue"
	"footwork/survey/log"
)

// seen is what the prints and hinges of the log say, of the bed as found.
type seen struct {
	warnings []reports.Warning
	fit      []int                    // the beds that would have printed so; nil: nothing was printed
	again    map[onFlank][]shape.Span // where a print contradicts what is foretold: it is taken again before anything is cut
}

// onFlank is a way of the bed, and 1 or 2 for a flank of it.
type onFlank struct{ way, flank int }

// printsSeen holds the prints and hinges of the log, since metal or a foot was last touched,
// beside what the beds as found foretell.
func (s *Shop) printsSeen(b bench) (out seen, err error) {
	out.again = map[onFlank][]shape.Span{}
	if b.all.state != reports.Found {
		return out, nil
	}
	acts := s.seen()
	out.warnings = otherHands(acts)
	for _, a := range acts {
		for _, p := range b.prints {
			face := p.of(a)
			if face < 0 {
				continue
			}
			p.master = as(p.master, a)
			steps, err := atOnce(b.beds, func(o on) (blue.Step, error) { return s.lying(p, o, b.where).Lay(a.At) })
			if err != nil {
				return out, err
			}
			if a.What == log.Hinge {
				out.warnings = append(out.warnings, hingeSeen(p, a, steps)...)
			} else if !out.doubted(p, face, a, steps) {
				s.narrow(&out, b, p, face, a)
			}
		}
	}
	return out, nil
}

// doubted notes where all of three beds contradict a print.
func (e *seen) doubted(p printing, face int, a log.Act, steps []blue.Step) bool {
	doubts := commonDoubts(steps, face, marksOf(a.Marks), p.master)
	for _, d := range doubts {
		e.warnings = append(e.warnings, reports.PrintDoubted{Line: a.Line, Way: a.Way, Master: p.name, From: d.From, To: d.To, Across: acrossWords[d.Across], Air: d.Air})
		e.hold(p, face, d.Span)
	}
	return len(doubts) > 0
}

func (e *seen) hold(p printing, face int, where shape.Span) {
	k := onFlank{p.ways[face], p.flank(face)}
	e.again[k] = append(e.again[k], where)
}

// fewFit is the share of the beds below which a print contradicts them: what lies outside
// their middle 95 %.
const fewFit = 1. / 20

// narrow keeps the beds that would have printed as was seen, or says that hardly any would.
func (s *Shop) narrow(e *seen, b bench, p printing, face int, a log.Act) {
	if p.vee && a.Flank == 0 {
		return // of which flank nobody knows
	}
	fit, among := []int{}, e.fit
	x, forms := s.under(b, p, face, a.At)
	for i, form := range forms {
		if (among == nil || slices.Contains(among, i)) && p.master.Makes(x, form, marksOf(a.Marks)) {
			fit = append(fit, i)
		}
	}
	if float64(len(fit)) < fewFit*float64(len(b.all.draws)) {
		where := shape.Span{From: max(0, a.At), To: min(s.Bed.Length, a.At+p.master.Length)}
		e.warnings = append(e.warnings, reports.PrintUnlike{Line: a.Line, Way: a.Way, Master: p.name, From: where.From, To: where.To})
		e.hold(p, face, where)
		return
	}
	e.fit = fit
}

// lookedAt is at how many places under a master its print is held against a form.
const lookedAt = 65

// under returns the form of every bed under a master, square to the face, as it stands, where
// it bears.
func (s *Shop) under(b bench, p printing, face int, from float64) (x []float64, forms [][]float64) {
	way := p.ways[face]
	x = those(shape.Even(from, from+p.master.Length, lookedAt), func(at float64) bool {
		return at >= 0 && at <= s.Bed.Length && !slices.ContainsFunc(p.faces[face].LeaveOut, func(o shape.Span) bool { return at >= o.From && at <= o.To })
	})
	bare := b.all.stood[0].Probe(x, s.Bed.Ways[way].Offset)
	for i, st := range b.all.stood {
		form := plus(st.Read(bare), s.metal(b.all.draws[i], p, face, b.where, nil).Over(x))
		floats.Scale(1/math.Hypot(1, p.faces[face].Slope), form)
		forms = append(forms, form)
	}
	return x, forms
}

// otherHands names prints that were not taken by the person who took the first.
func otherHands(acts []log.Act) []reports.Warning {
	var of reports.OtherHands
	for _, a := range acts {
		if k := slices.Index(of.By, a.By); a.What == log.Print && k < 0 {
			of.By, of.Lines = append(of.By, a.By), append(of.Lines, a.Line)
		}
	}
	if len(of.By) < 2 {
		return nil
	}
	return []reports.Warning{of}
}

// as returns a master with the film and the stroke that a print was taken with.
func as(m blue.Master, a log.Act) blue.Master {
	m.Film, m.Stroke = cmp.Or(a.Film, m.Film), cmp.Or(a.Stroke, m.Stroke)
	return m
}

// of returns the face of a master that a print or hinge is of, of a vee its first where
// no flank is named; −1: none.
func (p printing) of(a log.Act) int {
	for k, f := range p.faces {
		if f.Name == a.Way && p.name == a.Master && (a.Flank == 0 || p.flank(k) == (a.Flank+3)/2) {
			return k
		}
	}
	return -1
}

func commonDoubts(steps []blue.Step, face int, marks []blue.Print, m blue.Master) (common []blue.Doubt) {
	for i, step := range steps {
		doubts := step.Against(face, marks, m)
		if i == 0 {
			common = doubts
			continue
		}
		common = slices.DeleteFunc(common, func(d blue.Doubt) bool {
			return !slices.ContainsFunc(doubts, func(o blue.Doubt) bool { return (o.Air > 0) == (d.Air > 0) && o.From < d.To && o.To > d.From })
		})
	}
	return common
}

// unlikeHinge is by how much of the master's length a hinge may stand elsewhere than foretold:
// a third and a half, or a third and a sixth, tell a hump from even bearing and that from a
// relieved middle; a hand tells no finer.
const unlikeHinge = 1. / 6

// hingeSeen is a hint where a master swung elsewhere than every bed foretells, at either end.
func hingeSeen(p printing, a log.Act, steps []blue.Step) []reports.Warning {
	w := reports.HingeUnlike{Line: a.Line, Way: a.Way, Master: p.name, Foretold: steps[0].Hinge}
	unlike := false
	for end, pivot := range a.Swings {
		w.Seen[end] = pivot.Share
		if pivot.Length > 0 {
			w.Seen[end] = pivot.Length / p.master.Length
		}
		unlike = unlike || !slices.ContainsFunc(steps, func(st blue.Step) bool { return math.Abs(st.Hinge[end]-w.Seen[end]) < unlikeHinge })
	}
	if !unlike {
		return nil
	}
	return []reports.Warning{w}
}

// seen returns the prints and hinges of the log that the bed as it is now made, the last of
// those taken at one place.
func (s *Shop) seen() (out []log.Act) {
	for _, e := range s.History().Entries {
		switch {
		case e.What == log.Scrape && !e.Pad || e.What.Touching():
			out = nil
		case e.What == log.Print || e.What == log.Hinge:
			out = append(slices.DeleteFunc(out, func(o log.Act) bool {
				return o.What == e.What && o.Way == e.Way && o.Flank == e.Flank && o.Master == e.Master && math.Abs(o.At-e.At) < onePlace
			}), e.Act)
		}
	}
	return out
}

func marksOf(marks []log.Mark) []blue.Print {
	return each(marks, func(m log.Mark) blue.Print {
		return blue.Print{Span: shape.Span{From: m.From, To: m.To}, Across: blue.Across(max(0, slices.Index(acrossWords, m.Across)))}
	})
}

// onePlace is how near to one another two prints are of one place, m: a stroke.
const onePlace = 20e-3
