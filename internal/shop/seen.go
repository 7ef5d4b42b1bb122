package shop

import (
	"math"
	"slices"

	"footwork/beam"
	"footwork/reports"
	"footwork/supports/blue"
	"footwork/survey/log"
)

// printsSeen holds the prints and hinges of the log, since metal or a foot was last touched,
// beside what every bed as found foretells: a doubt is told only where all of them have it.
func (s *Shop) printsSeen(b bench) (out []reports.Warning, err error) {
	if b.state != reports.Found {
		return nil, nil
	}
	for _, a := range s.seen() {
		for _, p := range b.prints {
			face := p.of(a)
			if face < 0 {
				continue
			}
			steps, err := each(b.beds, func(o on) (blue.Step, error) { return s.lying(p, o, b.where).Lay(a.At) })
			if err != nil {
				return nil, err
			}
			if a.What == log.Hinge {
				out = append(out, hingeSeen(p, a, steps)...)
				continue
			}
			for _, d := range commonDoubts(steps, face, marksOf(a.Marks), p.master) {
				out = append(out, reports.PrintDoubted{Line: a.Line, Way: a.Way, Master: p.name, From: d.From, To: d.To, Air: d.Air})
			}
		}
	}
	return out, nil
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

func commonDoubts(steps []blue.Step, face int, marks []blue.Mark, m blue.Master) (common []blue.Doubt) {
	for i, step := range steps {
		doubts := step.Against(face, marks, m, 0)
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

// seen returns the prints and hinges of the log that the bed as it is now made.
func (s *Shop) seen() (out []log.Act) {
	for _, e := range s.History().Entries {
		switch {
		case e.What == log.Scrape && !e.Pad || e.What.Touching():
			out = nil
		case e.What == log.Print || e.What == log.Hinge:
			out = append(out, e.Act)
		}
	}
	return out
}

func marksOf(marks []log.Mark) (out []blue.Mark) {
	for _, m := range marks {
		b := blue.Mark{Span: beam.Span{From: m.From, To: m.To}}
		for across, word := range acrossWords {
			if word == m.Across {
				b.Across = across
			}
		}
		out = append(out, b)
	}
	return out
}
