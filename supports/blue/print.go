package blue

import (
	"math"
	"slices"
)

// side is one face under the master.
type side struct {
	face          Face
	x, long       []float64   // m, middles of the cells and their edges
	gap, pressure [][]float64 // [row][cell]
}

// step tells the prints of one face.
func (p side) step(m Master) FaceStep {
	out := FaceStep{Gap: slices.Clone(p.gap[0]), Pressure: slices.Clone(p.pressure[0])}
	rows := [][]span{p.near(p.gap[0], m)}
	for k := 1; k < len(p.gap); k++ {
		rows = append(rows, p.near(p.gap[k], m))
		for i := range out.Gap {
			out.Gap[i] = min(out.Gap[i], p.gap[k][i])
			out.Pressure[i] += p.pressure[k][i]
		}
	}
	if len(rows) == 1 {
		for _, s := range rows[0] {
			out.Prints = append(out.Prints, Print{From: s.from, To: s.to})
		}
		return out
	}
	out.Prints = across(rows[p.face.inner()], rows[1-p.face.inner()])
	return out
}

// span is a stretch along the bed, m.
type span struct{ from, to float64 }

// near returns where the gap is no more than the film, by straight lines between the cells'
// middles, each stretch longer by the stroke, half of it to either side.
func (p side) near(gap []float64, m Master) (out []span) {
	cross := func(i int) float64 { // between cells i and i+1
		return p.x[i] + (p.x[i+1]-p.x[i])*(m.Film-gap[i])/(gap[i+1]-gap[i])
	}
	for i, g := range gap {
		if g > m.Film {
			continue
		}
		s := span{p.long[i], p.long[i+1]}
		if i > 0 && gap[i-1] > m.Film {
			s.from = cross(i - 1)
		}
		if i < len(gap)-1 && gap[i+1] > m.Film {
			s.to = cross(i)
		}
		if n := len(out); n > 0 && gap[i-1] <= m.Film {
			out[n-1].to = s.to
		} else {
			out = append(out, s)
		}
	}
	return smeared(out, m.Stroke/2)
}

// smeared lengthens spans at both ends and joins those that then meet.
func smeared(spans []span, by float64) (out []span) {
	for _, s := range spans {
		s = span{math.Max(0, s.from-by), s.to + by}
		if n := len(out); n > 0 && s.from <= out[n-1].to {
			out[n-1].to = s.to
		} else {
			out = append(out, s)
		}
	}
	return out
}

// across joins what prints on the inner and on the outer edge of a face: what prints on
// both prints over its full width.
func across(inner, outer []span) (out []Print) {
	var at []float64
	for _, s := range append(slices.Clone(inner), outer...) {
		at = append(at, s.from, s.to)
	}
	slices.Sort(at)
	for i := 1; i < len(at); i++ {
		if at[i]-at[i-1] < 1e-9 {
			continue
		}
		mid := (at[i] + at[i-1]) / 2
		covers := func(s span) bool { return s.from < mid && mid < s.to }
		in, ex := slices.ContainsFunc(inner, covers), slices.ContainsFunc(outer, covers)
		if !in && !ex {
			continue
		}
		p := Print{From: at[i-1], To: at[i], Across: Full}
		if !ex {
			p.Across = Inner
		} else if !in {
			p.Across = Outer
		}
		if n := len(out); n > 0 && out[n-1].Across == p.Across && p.From-out[n-1].To < 1e-9 {
			out[n-1].To = p.To
		} else {
			out = append(out, p)
		}
	}
	return out
}

// share fills in what part of the whole pressure each print bears.
func (f FaceStep) share(x, whole []float64) {
	sum := 0.0
	for _, v := range whole {
		sum += v
	}
	if sum == 0 {
		return
	}
	for k := range f.Prints {
		p := &f.Prints[k]
		for i, at := range x {
			if at > p.From && at < p.To {
				p.Share += f.Pressure[i] / sum
			}
		}
	}
}

// Mark is a stretch that took colour, as somebody wrote it down.
type Mark struct {
	From, To float64 // m along the bed
	Across   Across
}

// Doubt is where a print and what was foretold differ.
type Doubt struct {
	From, To float64 // m along the bed
	Air      float64 // m, the least air that is foretold under a mark; 0: the print foretold here is missing
}

// Against holds what was seen beside what is foretold for one face. A mark is doubted where
// the least air under it is more than film and unsure (m) together, a foretold print that
// bears a quarter of the master when no mark meets it.
func (s Step) Against(face int, marks []Mark, m Master, unsure float64) (out []Doubt) {
	f := s.Faces[face]
	for _, mark := range marks {
		air := math.Inf(1)
		for i, x := range s.X {
			if x >= mark.From-m.Stroke/2 && x <= mark.To+m.Stroke/2 {
				air = min(air, f.Gap[i])
			}
		}
		if air > m.Film+unsure && !math.IsInf(air, 1) {
			out = append(out, Doubt{mark.From, mark.To, air})
		}
	}
	for _, p := range f.Prints {
		met := slices.ContainsFunc(marks, func(m Mark) bool { return m.From < p.To && m.To > p.From })
		if p.Share >= 0.25 && !met {
			out = append(out, Doubt{From: p.From, To: p.To})
		}
	}
	return out
}
