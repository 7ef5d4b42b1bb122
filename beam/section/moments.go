package section

import "gonum.org/v1/gonum/floats"

// moments are a section's areas, centroids and second moments, piece by piece.
type moments struct {
	area     []float64
	centroid [][2]float64
	second   [][3]float64 // ∫ỹ², ∫ỹz̃, ∫z̃² about the piece's own centroid
}

func (m mesh) moments() moments {
	n := len(m.pins)
	out := moments{make([]float64, n), make([][2]float64, n), make([][3]float64, n)}
	for _, e := range m.elements {
		out.area[e.piece] += e.area()
		for d := range 2 {
			out.centroid[e.piece][d] += e.area() * (e.lo[d] + e.hi[d]) / 2
		}
	}
	for p := range n {
		for d := range 2 {
			out.centroid[p][d] /= out.area[p]
		}
	}
	for _, e := range m.elements {
		a, b := e.hi[0]-e.lo[0], e.hi[1]-e.lo[1]
		y, z := (e.lo[0]+e.hi[0])/2-out.centroid[e.piece][0], (e.lo[1]+e.hi[1])/2-out.centroid[e.piece][1]
		s := &out.second[e.piece]
		s[0] += a * b * (y*y + a*a/12)
		s[1] += a * b * y * z
		s[2] += a * b * (z*z + b*b/12)
	}
	return out
}

// local returns ỹ and z̃ of every vertex.
func (m mesh) local(centroid [][2]float64) (y, z []float64) {
	y, z = make([]float64, m.vertices), make([]float64, m.vertices)
	for _, e := range m.elements {
		c, sides := centroid[e.piece], [2][2]float64{e.lo, e.hi}
		for i, v := range e.at {
			y[v], z[v] = sides[i&1][0]-c[0], sides[i>>1][1]-c[1]
		}
	}
	return y, z
}

// level takes the mean over each piece out of f.
func (m mesh) level(f, area []float64) {
	sum := make([]float64, len(area))
	for _, e := range m.elements {
		for _, v := range e.at {
			sum[e.piece] += f[v] * e.area() / 4
		}
	}
	for v, p := range m.piece {
		f[v] -= sum[p] / area[p]
	}
}

// shearCentre returns the place about which ∫ωỹ = ∫ωz̃ = 0, from ω about each piece's centroid:
// about (y, z) it is ω − (z − z_c)ỹ + (y − y_c)z̃.
func (m moments) shearCentre(s system, omega, y, z []float64) (across, up float64) {
	mass := s.times(omega)
	p, q := floats.Dot(mass, y), floats.Dot(mass, z)
	var yy, yz, zz float64
	for i, c := range m.centroid {
		k := m.second[i]
		yy, yz, zz = yy+k[0], yz+k[1], zz+k[2]
		p += c[1]*k[0] - c[0]*k[1]
		q += c[1]*k[1] - c[0]*k[2]
	}
	// p − up·yy + across·yz = 0,  q − up·yz + across·zz = 0
	det := yy*zz - yz*yz
	return (yz*p - yy*q) / det, (zz*p - yz*q) / det
}

// about turns ω from about each piece's centroid to about a place.
func (m moments) about(s system, omega, y, z []float64, across, up float64) {
	for v := range omega {
		c := m.centroid[s.piece[v]]
		omega[v] += (across-c[0])*z[v] - (up-c[1])*y[v]
	}
}
