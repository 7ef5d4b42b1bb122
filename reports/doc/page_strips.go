package doc

import (
	"math"
	"slices"

	"footwork/beam/shape"
	"footwork/reports"
)

// passes draws the map of every face, a lane a pass.
func (j job) passes(title Text, v reports.Cut, ways []reports.CutWay) Block {
	d := &Strips{Title: title, Length: j.Bed.Length, Feet: j.marks(j.Standing)}
	var unclear, again, out bool
	for _, w := range ways {
		if len(w.Map)+len(w.CannotTell)+len(w.PrintAgain) > 0 {
			d.Rows = append(d.Rows, lanesOf(w))
		}
		unclear, again, out = unclear || len(w.CannotTell) > 0, again || len(w.PrintAgain) > 0, out || len(w.LeftOut) > 0
	}
	if d.Rows == nil {
		return say("{}: nothing; no more stands than may be left, or than the survey can say.", title)
	}
	d.Key = say(". A lane is a pass of {height}, the first on top{}{}{}", v.DepthPerPass, also(unclear, "; hatched: the survey cannot say whether metal stands high"),
		also(again, "; hatched, too: to be printed again first"), also(out, "; crossed: left out"))
	return d
}

// lanesOf draws the passes of one face.
func lanesOf(w reports.CutWay) strip {
	s := strip{Name: flankMark(w.Name, w.Flank), Says: say("{}: {count} passes", flankName(w.Name, w.Flank), int(w.Passes)), Lanes: make([][]StripMark, 1)}
	for _, r := range w.Map {
		for len(s.Lanes) < r.Pass {
			s.Lanes = append(s.Lanes, nil)
		}
		s.Lanes[r.Pass-1] = append(s.Lanes[r.Pass-1], StripMark{From: r.From, To: r.To, Kind: cuts})
	}
	for k := range s.Lanes {
		s.Lanes[k] = append(s.Lanes[k], each(slices.Concat(w.CannotTell, w.PrintAgain), func(c shape.Span) StripMark { return StripMark{From: c.From, To: c.To, Kind: Unclear} })...)
		s.Lanes[k] = append(s.Lanes[k], leftOutMarks(w.LeftOut)...)
	}
	return s
}

// flankMark is the name of a way beside its strip, or of one flank of it.
func flankMark(way string, flank int) string {
	return way + map[int]string{1: " −", 2: " +"}[flank]
}

func leftOutMarks(list []reports.NamedSpan) []StripMark {
	return each(list, func(l reports.NamedSpan) StripMark { return StripMark{From: l.From, To: l.To, Kind: LeftOut} })
}

// prints is section 8: what the blue will show, under the profiles of the ways.
func (j job) prints() section {
	return section{ID: "blue", Title: "What the blue will show", Blocks: said(j.byState(func(st reports.PageState) []Block {
		if st.Blue == nil {
			return nil
		}
		v := *st.Blue
		c := j.alongBed(say("The ways {}", StateWords(v.State)), j.Standing)
		c.Small = true
		for i, way := range st.Bare.Ways {
			c.shape(way.Name, wayStyles[i%len(wayStyles)], st.Bare.X, way)
		}
		picture := append([]Block{c}, j.printed(v)...)
		return []Block{Lead(blueAnswer(v)), notes(v.Warnings), Pair{Picture: said(picture...), Beside: []Block{stripKey, blueAdvice}}, Fold{Title: "In figures, place by place", Blocks: blueTables(v)}}
	}))}
}

// stripKey says what the marks of a print are.
var stripKey = say("A lane is a row of places of the master that do not overlap. Filled: it prints whatever the bed may be; outlined: it may; half as high: on " +
	"the outer edge (above) or the inner one; faint: it bears less than its share there.")

// printed draws what every master prints.
func (j job) printed(v reports.Blue) (out []Block) {
	var d *Strips
	for i, w := range v.Ways {
		if len(w.Steps) == 0 {
			continue
		}
		if d == nil || w.Master != v.Ways[i-1].Master {
			d = &Strips{Title: say("What the {} prints {}, film {height}", w.Master, StateWords(v.State), w.Film), Length: j.Bed.Length, Feet: j.marks(j.Standing)}
			out = append(out, d)
		}
		s := strip{Name: flankMark(w.Name, w.Flank), Says: say("{}: {percent} prints", faceName(w.Name, w.Flank), printed(w)), Lanes: make([][]StripMark, lanes(w))}
		for i, step := range w.Steps {
			lane := &s.Lanes[i%len(s.Lanes)]
			*lane = append(*lane, stepMarks(w, step)...)
		}
		d.Rows = append(d.Rows, s)
	}
	return out
}

// lanes are how many places of a master overlap.
func lanes(w reports.BlueWay) int {
	if len(w.Steps) < 2 {
		return 1
	}
	pitch := w.Steps[1].At - w.Steps[0].At
	return min(len(w.Steps), max(1, int(math.Ceil(w.Length/pitch-1e-9))))
}

// stepMarks are the marks of a master at one place, the faintest first.
func stepMarks(w reports.BlueWay, s reports.BlueStep) []StripMark {
	end := s.At + w.Length
	out := []StripMark{{From: s.At, To: end, Kind: lies}}
	out = append(out, each(shape.Less(s.May, s.Sure), func(m shape.Span) StripMark { return StripMark{From: max(m.From, s.At), To: min(m.To, end), Kind: may} })...)
	for _, p := range s.Prints {
		even := (p.To - p.From) / w.Length
		for _, m := range s.Sure {
			if from, to := max(m.From, p.From, s.At), min(m.To, p.To, end); from < to {
				out = append(out, StripMark{From: from, To: to, Kind: Prints, Across: p.Across, Strength: p.Bears / even})
			}
		}
	}
	return append(out, leftOutMarks(w.LeftOut)...)
}
