package shop

import (
	"math"

	"footwork/beam"
	"footwork/internal/job"
	"footwork/supports/blue"
	"footwork/survey"
)

// printing is a master on the faces that it is laid on at once.
type printing struct {
	name   string
	master blue.Master
	film   float64     // m, square to the face
	faces  []blue.Face // without their metal
	ways   []int       // of the bed, that of each face
	flank  int         // 1 and 2 of a vee; 0: none
}

// printings lists which master goes on which ways, the table last, and the ways that no
// master fits.
func (s *Shop) printings() (out []printing, left []int, err error) {
	for k := range s.Bed.Ways {
		before := len(out)
		for _, m := range s.Masters {
			if m.Vee == s.Ways[k].Vee && (!m.Vee || alike(m.Flanks, s.Ways[k].Flanks)) {
				out = append(out, s.onWay(m, k)...)
			}
		}
		if len(out) == before && len(s.Masters) > 0 {
			left = append(left, k)
		}
	}
	if s.Table == nil || len(s.Bed.Ways) == 0 {
		return out, left, nil
	}
	p := printing{name: job.TableMaster, master: tableAsMaster(*s.Table), film: middling}
	for k, w := range s.Bed.Ways {
		own, err := s.tableForm(w.Name)
		if err != nil {
			return nil, nil, err
		}
		p.faces, p.ways = append(p.faces, s.face(k, own)), append(p.ways, k)
	}
	return append(out, p), left, nil
}

// onWay lays a master on a flat, or on each flank of a vee.
func (s *Shop) onWay(m job.Master, way int) (out []printing) {
	one := printing{name: m.Name, master: masterOf(m), film: m.Film, ways: []int{way}}
	if !m.Vee {
		one.faces = []blue.Face{s.face(way, m.Face)}
		return []printing{one}
	}
	for flank, side := range []float64{-1, 1} {
		face, on := s.face(way, m.Face), one
		face.Offset, face.Width = face.Offset+side*face.Width/4, face.Width/2
		on.master, on.faces, on.flank = one.master.OnFlank(s.vee(way), flank), []blue.Face{face}, flank+1
		out = append(out, on)
	}
	return out
}

// face is a way under a master whose own face has a form.
func (s *Shop) face(way int, master beam.Shape) blue.Face {
	w := s.Bed.Ways[way]
	return blue.Face{Name: w.Name, Offset: w.Offset, Width: w.Width, Master: master, LeaveOut: s.leftOut(way)}
}

// oneAngle is by how much a prism's flank may differ from the vee's and still be taken for
// it, rad: a degree.
const oneAngle = math.Pi / 180

// alike tells whether a prism's flanks are a vee's; either end of it may point either way.
func alike(prism, vee [2]float64) bool {
	near := func(a, b float64) bool { return math.Abs(a-b) < oneAngle }
	return near(prism[0], vee[0]) && near(prism[1], vee[1]) || near(prism[0], vee[1]) && near(prism[1], vee[0])
}

// tableForm returns the form of the table's own way by its latest survey, from the table's
// left end; empty where it was not surveyed.
func (s *Shop) tableForm(way string) (beam.Shape, error) {
	for _, standing := range s.Surveyed() {
		r, err := s.latest(standing, func(v survey.Survey) bool { return v.OfTable && !v.Sideways && v.Way == way })
		if err != nil {
			return beam.Shape{}, err
		}
		if r != nil {
			p := r.AboutEnds()
			return beam.Shape{X: p.X, Y: p.Height}, nil
		}
	}
	return beam.Shape{}, nil
}

// masterOf returns a master of the job.
func masterOf(m job.Master) blue.Master {
	out := blue.Iron(m.Length, m.Depth, m.Modulus)
	if m.Depth == 0 {
		out.Shear = 0
	}
	if m.Weight > 0 {
		out.Weight = m.Weight
	}
	if m.Inertia > 0 {
		out.Bending = m.Modulus * m.Inertia
	}
	out.Film, out.Stroke = m.Film, m.Stroke
	if m.Carried > 0 {
		out = out.Carried(m.Carried, m.CarriedAt)
	}
	return out
}

// stiffTable is the EI of a table that is said to be stiff, N·m²: a hundred times that of a
// block of iron as deep as half a metre.
const stiffTable = 1e12

// middling is the film of a table that prints, m: assumed, as a master's is.
const (
	middling = 2.5e-6
	moved    = 20e-3
)

func tableAsMaster(t beam.Table) blue.Master {
	ei := t.Bending
	if ei == 0 {
		ei = stiffTable
	}
	return blue.Master{Length: t.Length, Weight: t.Weight, Bending: ei, Film: middling, Stroke: moved}
}
