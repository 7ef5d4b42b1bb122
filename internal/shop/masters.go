package shop

import (
	"math"

	"footwork/beam/shape"
	"footwork/internal/job"
	"footwork/supports/blue"
	"footwork/survey"
)

// printing is a master on the faces that it is laid on at once.
type printing struct {
	name   string
	master blue.Master
	faces  []blue.Face // without their metal
	ways   []int       // of the bed, that of each face
	vee    bool        // the faces are both flanks of one
}

// flank is 1 and 2 for the faces of a vee; 0: none.
func (p printing) flank(face int) int {
	if p.vee {
		return face + 1
	}
	return 0
}

// face returns which of its faces is a way's, or a flank's of it; −1: none.
func (p printing) face(way, flank int) int {
	for k, w := range p.ways {
		if w == way && p.flank(k) == flank {
			return k
		}
	}
	return -1
}

// printings lists which master goes on which ways, the table last, and the ways that no
// master fits.
func (s *Shop) printings() (out []printing, left []int) {
	for k := range s.Bed.Ways {
		before := len(out)
		for _, m := range s.Masters {
			if p, ok := s.onWay(m, k); ok {
				out = append(out, p)
			}
		}
		if len(out) == before && len(s.Masters) > 0 {
			left = append(left, k)
		}
	}
	if s.Table == nil || len(s.Bed.Ways) == 0 {
		return out, left
	}
	p := printing{name: job.TableMaster, master: s.TableAsMaster()}
	for k, w := range s.Bed.Ways {
		p.faces, p.ways = append(p.faces, s.face(k, s.tableForm(w.Name))), append(p.ways, k)
	}
	return append(out, p), left
}

// onWay lays a master on a flat, or on both flanks of a vee; not where it does not fit.
func (s *Shop) onWay(m job.Master, way int) (printing, bool) {
	face := s.face(way, m.Face)
	out := printing{name: m.Name, master: m.Master, ways: []int{way}, faces: []blue.Face{face}}
	v := s.Ways[way].Vee
	if !m.Vee || v == nil {
		return out, m.Vee == (v != nil)
	}
	own, ok := asLaid(m.Flanks, v.Flanks)
	out.vee, out.ways, out.faces = true, []int{way, way}, nil
	for k, side := range []float64{-1, 1} {
		on := face
		on.Offset, on.Width = face.Offset+side*face.Width/4, face.Width/2
		on.Slope = side * math.Tan(v.Flanks[k])
		if v.Ridge {
			on.Slope = -on.Slope
		}
		on.Tilt = on.Slope * (1 - math.Tan(own[k])/math.Tan(v.Flanks[k]))
		out.faces = append(out.faces, on)
	}
	return out, ok
}

// face is a way under a master whose own face has a form.
func (s *Shop) face(way int, master shape.Shape) blue.Face {
	w := s.Bed.Ways[way]
	return blue.Face{Name: w.Name, Offset: w.Offset, Width: w.Width, Master: master, LeaveOut: s.leftOut(way)}
}

// oneAngle is by how much a prism's flank may differ from the vee's and still be taken for
// one that is made for it, rad: a degree.
const oneAngle = math.Pi / 180

// asLaid returns a prism's flanks as they lie on a vee, either end of it pointing either
// way, whichever fits better; not ok where neither does.
func asLaid(prism, vee [2]float64) (own [2]float64, ok bool) {
	off := func(p [2]float64) float64 { return max(math.Abs(p[0]-vee[0]), math.Abs(p[1]-vee[1])) }
	own = prism
	if turned := [2]float64{prism[1], prism[0]}; off(turned) < off(prism) {
		own = turned
	}
	return own, off(own) < oneAngle
}

// tableForm returns the form of the table's own way by its latest survey, wherever the bed then
// stood, from the table's left end; empty where it was not surveyed.
func (s *Shop) tableForm(way string) shape.Shape {
	r := s.latest("", func(v survey.Survey) bool { return v.OfTable && !v.Sideways && v.Way == way })
	if r == nil {
		return shape.Shape{}
	}
	return shape.Shape{X: r.X, Y: r.AboutEnds().Height}
}
