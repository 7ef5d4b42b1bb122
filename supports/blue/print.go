package blue

import (
	"cmp"
	"math"
	"slices"

	"footwork/beam/shape"

	"gonum.org/v1/gonum/floats"
)

// under is one face with a master over it.
type under struct {
	Face
	x, edges      []float64   // m, middles of the cells and their edges
	gap, pressure [][]float64 // [row][cell], of heights as the level sees them
}

// step tells the prints of one face.
func (u under) step(m Master) faceStep {
	for _, gap := range u.gap {
		floats.Scale(1/u.square(), gap)
	}
	out := faceStep{Gap: slices.Clone(u.gap[0]), Pressure: slices.Clone(u.pressure[0])}
	rows := [][]shape.Span{u.near(u.gap[0], m)}
	for k := 1; k < len(u.gap); k++ {
		rows = append(rows, u.near(u.gap[k], m))
		for i := range out.Gap {
			out.Gap[i] = min(out.Gap[i], u.gap[k][i])
			out.Pressure[i] += u.pressure[k][i]
		}
	}
	inner, outer := u.inner()%len(rows), (1-u.inner())%len(rows)
	out.edge = [2][]float64{u.gap[inner], u.gap[outer]}
	out.Prints = across(rows[inner], rows[outer], max(m.Stroke, hair))
	return out
}

// near returns where the gap is no more than the film, by straight lines between the cells'
// middles or up to what is left out, each stretch longer by the stroke, half of it to either
// side.
func (u under) near(gap []float64, m Master) (out []shape.Span) {
	leftOut := func(i int) bool {
		return slices.ContainsFunc(u.LeaveOut, func(s shape.Span) bool { return u.x[i] >= s.From && u.x[i] <= s.To })
	}
	cross := func(i int) float64 { // between cells i and i+1
		switch {
		case leftOut(i):
			return u.x[i]
		case leftOut(i + 1):
			return u.x[i+1]
		}
		return u.x[i] + (u.x[i+1]-u.x[i])*(m.Film-gap[i])/(gap[i+1]-gap[i])
	}
	for i, g := range gap {
		if g > m.Film {
			continue
		}
		s := shape.Span{From: u.edges[i], To: u.edges[i+1]}
		if i > 0 && gap[i-1] > m.Film {
			s.From = cross(i - 1)
		}
		if i < len(gap)-1 && gap[i+1] > m.Film {
			s.To = cross(i)
		}
		out = append(out, shape.Span{From: math.Max(0, s.From-m.Stroke/2), To: s.To + m.Stroke/2})
	}
	return shape.Less(merged(out), u.LeaveOut)
}

// merged joins stretches that meet.
func merged(spans []shape.Span) (out []shape.Span) {
	slices.SortFunc(spans, func(a, b shape.Span) int { return cmp.Compare(a.From, b.From) })
	for _, s := range spans {
		if n := len(out); n > 0 && s.From <= out[n-1].To {
			out[n-1].To = max(out[n-1].To, s.To)
		} else {
			out = append(out, s)
		}
	}
	return out
}

// common returns where both have a stretch.
func common(a, b []shape.Span) []shape.Span { return shape.Less(a, shape.Less(a, b)) }

// hair is the least print that is one, m (assumed).
const hair = 1e-3

// across joins what prints on the inner and on the outer edge of a face: what prints on both
// prints over its full width, and so does what one of them has at its ends, up to least (m).
func across(inner, outer []shape.Span, least float64) (out []Print) {
	full := common(inner, outer)
	for k, s := range full {
		for _, one := range slices.Concat(inner, outer) {
			if one.From < s.To && one.To > s.From {
				full[k].From = min(full[k].From, max(one.From, s.From-least))
				full[k].To = max(full[k].To, min(one.To, s.To+least))
			}
		}
	}
	full = merged(full)
	for where, spans := range map[Across][]shape.Span{Full: full, Inner: shape.Less(inner, full), Outer: shape.Less(outer, full)} {
		for _, s := range spans {
			if s.To-s.From > hair {
				out = append(out, Print{Span: s, Across: where})
			}
		}
	}
	slices.SortFunc(out, func(a, b Print) int { return cmp.Compare(a.From, b.From) })
	return out
}

// spans are the stretches of prints.
func (f faceStep) spans() (out []shape.Span) {
	for _, p := range f.Prints {
		out = append(out, p.Span)
	}
	return merged(out)
}

// Surely returns where a face prints on every bed, and where on some, of one place of the
// master on several beds.
func Surely(steps []Step, face int) (sure, may []shape.Span) {
	for i, s := range steps {
		spans := s.Faces[face].spans()
		if i == 0 {
			sure = spans
		}
		sure, may = common(sure, spans), merged(append(may, spans...))
	}
	return sure, may
}

// share fills in what part of the whole pressure each print bears.
func (f faceStep) share(x, whole []float64) {
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
