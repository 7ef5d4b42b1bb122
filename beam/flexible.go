package beam

import (
	"math"
	"slices"

	"footwork/internal/contact"
)

// A flexible table is a uniform beam without shear that bends as one with what
// it carries, stiff against twist, on cells of contact along each way: springs
// that only push. Bed, feet, contact and table are one convex programme, that of
// least complementary energy, in the forces R of the feet and p of the cells:
//
//	gap at a foot:  bed − foot                       = 0 where R > 0
//	gap at a cell:  table − bed + p/(k·length)       = 0 where p > 0
//
// with ΣR, ΣRx, ΣRy equal to all weights and Σp, Σps, Σpy to the table's, s being
// measured from the table's left end.

// cellContact is one cell of contact that lies over the bed.
type cellContact struct {
	way, along int
	s, x, y    float64 // m, of the middle of the part over the bed
	long       float64 // m, of that part
	at         pose
}

// cells returns the contact of a table parked at a place, way by way.
func (r ride) cells(at float64) (out []cellContact) {
	t, b := r.table, r.solver.bed
	long := t.Length / float64(r.journey.Cells)
	for w, way := range b.Ways {
		for i := range r.journey.Cells {
			lo, hi := max(0, at+float64(i)*long), min(b.Length, at+float64(i+1)*long)
			if hi-lo > 1e-9*long {
				x := (lo + hi) / 2
				out = append(out, cellContact{w, i, x - at, x, t.seat(way, len(b.Ways)), hi - lo, r.sums.pose(x)})
			}
		}
	}
	return out
}

// The table's own shape is that of a uniform cantilever built in at its left end,
// under a unit force at u: a²(3b−a)/6EI with a ≤ b of s and u; under its weight:
// −q·s²(6L²−4Ls+s²)/24EI (any text on strength of materials). Each cell presses
// evenly over its length 2h about m and is held at its mean height, so that a
// slack table lies even however coarse the cells; the means follow with
// ⟨s²⟩ = m² + h²/3, ⟨s³⟩ = m³ + mh², ⟨s⁴⟩ = m⁴ + 2m²h² + h⁴/5.

// give returns the mean height of cell c for a unit force on cell d, m/N.
func (t Table) give(c, d cellContact) float64 {
	if c.s > d.s {
		c, d = d, c
	}
	m, h := c.s, c.long/2
	if c.along == d.along {
		return (m*m*m + h*h*h/5) / (3 * t.Bending)
	}
	return (3*(m*m+h*h/3)*d.s - m*m*m - m*h*h) / (6 * t.Bending)
}

// hang returns the mean height of cell c under the table's own weight, m.
func (t Table) hang(c cellContact) float64 {
	l, m, hh := t.Length, c.s, c.long*c.long/4
	return -t.Weight / l / (24 * t.Bending) * (6*l*l*(m*m+hh/3) - 4*l*(m*m*m+m*hh) + m*m*m*m + 2*m*m*hh + hh*hh/5)
}

// rise returns the height of the table at s for a unit force on cell c, m/N.
func (t Table) rise(s float64, c cellContact) float64 {
	l, r := c.s-c.long/2, c.s+c.long/2
	b := min(max(s, l), r)
	return (s*(b*b*b-l*l*l) - (b*b*b*b-l*l*l*l)/4 + s*s*(1.5*(r*r-b*b)-s*(r-b))) / (6 * t.Bending * c.long)
}

// bent returns the heights of the middle of the table above its rigid plane.
func (t Table) bent(cells []cellContact, force []float64) func(s float64) float64 {
	return func(s float64) float64 {
		h := t.hang(cellContact{s: s})
		for a, c := range cells {
			if force[a] != 0 {
				h += t.rise(s, c) * force[a]
			}
		}
		return h
	}
}

// parkFlexible solves bed, feet, contact and table at one place.
func (r ride) parkFlexible(at float64, near *Place) (Place, error) {
	if _, err := r.table.press(r.solver.bed, at); err != nil {
		return Place{}, err
	}
	cells := r.cells(at)
	l := r.couple(cells, at)
	sol := contact.Answer{On: r.touching(near, cells)}
	if err := r.coupled.Solve(l, &sol); err != nil {
		return Place{}, r.solver.explain(err)
	}
	return r.read(at, cells, sol), nil
}

// touching returns a first guess: the neighbour's contact, or all.
func (r ride) touching(near *Place, cells []cellContact) []bool {
	n := len(r.solver.points)
	on := make([]bool, n+len(cells))
	for i := range on {
		on[i] = near == nil || i < n && near.contact[i]
	}
	for i, c := range cells {
		on[n+i] = near == nil || near.Pressure[c.way][c.along] > 0 || !near.over(c.along)
	}
	if near == nil && r.journey.Case.Contact != nil {
		copy(on, r.journey.Case.Contact)
	}
	return on
}

// over tells whether any way bears the cell or could.
func (p *Place) over(along int) bool {
	if p.Loose[along] {
		return true
	}
	for _, row := range p.Pressure {
		if row[along] > 0 {
			return true
		}
	}
	return false
}

// couple puts feet and cells into one problem: the feet carry bed and table, the cells
// the table upon the bed. It returns the load.
func (r ride) couple(cells []cellContact, at float64) contact.Load {
	t, n := r.table, len(r.solver.points)
	points := r.solver.arrangement()
	for _, c := range cells {
		points = append(points, contact.Point{X: c.s, Y: c.y, Body: 1})
	}
	h := r.coupled.Reset(points)
	r.solver.fill(h, len(points), r.journey.Case.Draw)
	l := contact.Load{Built: slices.Clone(r.base.at.Built), Resultant: r.base.at.Resultant}
	for d, w := range [3]float64{t.Weight, t.Weight * (at + t.Length/2), t.Weight * t.Offset} {
		l.Resultant[0][d] += w
	}
	l.Resultant[1] = [3]float64{t.Weight, t.Weight * t.Length / 2, t.Weight * t.Offset}
	poses := r.feetPoses()
	for a, c := range cells {
		l.Built = append(l.Built, t.hang(c)-r.bareHeight(c.at, c.y))
		for i, p := range r.solver.points {
			set(h, len(points), i, n+a, -r.base.factors.of(r.sums.between(poses[i], p.y, c.at, c.y)))
		}
		for b, d := range cells[:a+1] {
			v := r.base.factors.of(r.sums.between(c.at, c.y, d.at, d.y)) + t.give(c, d)
			if a == b {
				v += 1 / (t.Contact * c.long)
			}
			set(h, len(points), n+a, n+b, v)
		}
	}
	return l
}

// set writes one entry of a symmetric matrix, row by row.
func set(h []float64, width, i, j int, v float64) { h[i*width+j], h[j*width+i] = v, v }

func (r ride) feetPoses() []pose {
	p := make([]pose, len(r.solver.points))
	for i, pt := range r.solver.points {
		p[i] = r.sums.pose(pt.x)
	}
	return p
}

// bareHeight returns the height of the built-in bed under load and heat, m.
func (r ride) bareHeight(p pose, y float64) float64 {
	return (1-p.t)*r.base.built(p.cell, y) + p.t*r.base.built(p.cell+1, y)
}

// read takes a place from the solution.
func (r ride) read(at float64, cells []cellContact, sol contact.Answer) Place {
	n := len(r.solver.points)
	st := *r.base
	st.at.Resultant[0][0] += r.table.Weight
	st.rest = contact.Answer{Force: sol.Force[:n], Gap: sol.Gap[:n], On: sol.On[:n], Rigid: sol.Rigid,
		Shared: slices.DeleteFunc(sol.Shared, func(i int) bool { return i >= n })}
	out := Place{At: at, Feet: st.Feet(), Bearings: st.Bearings(), contact: st.Contact()}
	for i, probe := range r.probes {
		h := st.Read(probe)
		y := r.solver.bed.Ways[i].Offset
		for k, x := range probe.x {
			from := pose{x, probe.at[k], probe.t[k]}
			for a, c := range cells {
				if f := sol.Force[n+a]; f != 0 {
					h[k] -= r.base.factors.of(r.sums.between(from, y, c.at, c.y)) * f
				}
			}
		}
		out.Shapes = append(out.Shapes, h)
	}
	r.wear(&out, cells, sol.Force[n:])
	r.ridesOn(&out, cells, sol)
	return out
}

// wear fills in the pressure and where the table hangs clear of the ways.
func (r ride) wear(p *Place, cells []cellContact, force []float64) {
	p.Loose = make([]bool, r.journey.Cells)
	for range r.solver.bed.Ways {
		p.Pressure = append(p.Pressure, make([]float64, r.journey.Cells))
	}
	for a, c := range cells {
		p.Pressure[c.way][c.along] = force[a] / c.long
	}
	for _, c := range cells {
		p.Loose[c.along] = !slices.ContainsFunc(p.Pressure, func(row []float64) bool { return row[c.along] > 0 })
	}
}

// ridesOn fills in the table's path: its own bent surface at the tool, and the
// best line of that surface.
func (r ride) ridesOn(p *Place, cells []cellContact, sol contact.Answer) {
	t := r.table
	on := tablePlane(sol, p.At)
	bent := t.bent(cells, sol.Force[len(sol.Force)-len(cells):])
	line := Shape{X: Even(0, t.Length, 33)}
	for _, s := range line.X {
		line.Y = append(line.Y, bent(s)+on.at(s, 0))
	}
	best := line.LeastSquaresLine()
	p.sit(plane{best.A - best.B*p.At, best.B, on.c}, t)
	if s := t.Tool - p.At; p.Under {
		p.AtTool = bent(s) + on.at(math.Min(math.Max(s, 0), t.Length), t.Offset)
	}
}

// tablePlane returns the rigid motion of a table at a place, in s and y.
func tablePlane(sol contact.Answer, at float64) plane {
	bed, table := sol.Rigid[0], sol.Rigid[1]
	return plane{bed[0] + bed[1]*at + table[0], bed[1] + table[1], bed[2] + table[2]}
}
