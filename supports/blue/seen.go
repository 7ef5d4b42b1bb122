package blue

import (
	"math"
	"slices"

	"footwork/internal/convex"
)

// Doubt is where a print and what was foretold differ.
type Doubt struct {
	Print         // a mark, or a print foretold here that no mark meets
	Air   float64 // m, the least air that is foretold under a mark; 0: the print is missing
}

// mustShow is the share of a master's weight that a print must bear for its absence to be doubted: hands and film make
// fainter ones come and go (assumed).
const mustShow = 0.25

// Against holds what was seen beside what is foretold for one face. A mark is doubted where
// the least air under it, of one edge of the face under that edge, is more than the film, a foretold print that bears a quarter of the
// master when no mark meets it.
func (s Step) Against(face int, marks []Print, m Master) (out []Doubt) {
	f := s.Faces[face]
	for _, mark := range marks {
		air, gap := math.Inf(1), f.gap(mark.Across)
		for i, x := range s.X {
			if x >= mark.From-m.Stroke/2 && x <= mark.To+m.Stroke/2 {
				air = min(air, gap[i])
			}
		}
		if air > m.Film && !math.IsInf(air, 1) {
			out = append(out, Doubt{mark, air})
		}
	}
	for _, p := range f.Prints {
		met := slices.ContainsFunc(marks, func(m Print) bool { return m.From < p.To && m.To > p.From })
		if p.Share >= mustShow && !met {
			out = append(out, Doubt{Print: p})
		}
	}
	return out
}

// gap returns the air at each x, the least across the face or that at one of its edges, m.
func (f faceStep) gap(a Across) []float64 {
	switch a {
	case Inner:
		return f.edge[0]
	case Outer:
		return f.edge[1]
	}
	return f.Gap
}

// unbowed is by how much a master may bend other than along a parabola, m: an edge of 2 m on
// ways that wave by up to 30 µm does so by less in a thousand tries.
const unbowed = 1e-6

// Makes tells whether a form (m, square to the face, at places along the bed under the master)
// can have made a print: whether some face along a line and a bow has all that is marked
// within the film of it, and nothing else standing over it by more. As much is let pass as if
// the film were twice as thick, for film and hand are uneven.
//
// The bow is left free because a print tells nothing of forms as long as the master: whatever
// is added along a parabola, the answer stays.
func (m Master) Makes(x, form []float64, marks []Print) bool {
	return m.misfit(x, form, marks) <= m.Film+unbowed
}

// misfit returns the least, over all lines and bows, by which what is marked lies off them or
// what is not stands over them. Nothing is asked of places within half a stroke of a mark's
// end. It is 0 where no place is marked.
func (m Master) misfit(x, form []float64, marks []Print) float64 {
	const unit = 1e-6 // m, of heights in the programme
	p := convex.Program{C: []float64{0, 0, 0, 1}}
	row := func(sign, u, h float64) { p.AtLeast(sign*h/unit, sign, sign*u, sign*u*u, 1) }
	marked := false
	for i, at := range x {
		u := (at - x[0]) / m.Length
		if inMark(at, marks, -m.Stroke/2) {
			marked = true
			row(-1, u, form[i])
		} else if inMark(at, marks, m.Stroke/2) {
			continue
		}
		row(1, u, form[i])
	}
	if !marked {
		return 0
	}
	sol, err := convex.Linear(p)
	if err != nil {
		return 0
	}
	return math.Max(0, sol.X[3]) * unit
}

// inMark tells whether a place lies in a mark that is longer by as much at either end.
func inMark(x float64, marks []Print, by float64) bool {
	return slices.ContainsFunc(marks, func(m Print) bool { return x >= m.From-by && x <= m.To+by })
}
