package ride

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/beam/shape"
	"footwork/internal/contact"
)

// A flexible table is a rider on all ways at once, bending as one with what it carries.

// rider returns the table as one, on ways of some form.
func (t Table) rider(ways []casting.Way, cells int, d beam.Draw) Rider {
	r := Rider{Length: t.Length, Weight: t.Weight, Offset: t.Offset, Bending: t.Bending, Contact: t.Contact, Cells: cells}
	for i, w := range ways {
		row := Row{Offset: t.seat(w, len(ways))}
		if i < len(d.Form) {
			row.Way = d.Form[i]
		}
		r.Rows = append(r.Rows, row)
	}
	return r
}

// berthed makes a place of the table ready, and what its cells do to the ways.
func (r ride) berthed(at float64) berth {
	b := r.berth(r.rider, at)
	for i, probe := range r.probes {
		y := r.on.bed.Ways[i].Offset
		way := &beam.Probe{X: probe.X, At: probe.At, Offset: y}
		for _, c := range b.cells {
			bent := way.Add(r.on.free, c.at, c.y)
			for k, x := range probe.X {
				if c.y == y && math.Abs(x-c.x) <= c.long/2 {
					bent[k] += c.give / c.long
				}
			}
		}
		b.ways = append(b.ways, way)
	}
	return b
}

// parkFlexible solves bed, feet, contact and table at one place.
func (r ride) parkFlexible(on berth, near *Place) (Place, error) {
	if _, err := r.table.press(r.on.bed, on.at); err != nil {
		return Place{}, err
	}
	r.couple(r.rider, on)
	sol := contact.Answer{On: r.touching(near, on.cells)}
	if err := r.coupled.Solve(r.Riding.over(r.rider, on), &sol); err != nil {
		return Place{}, r.on.Explain(err)
	}
	return r.read(on, sol), nil
}

// touching returns a first guess: the neighbour's contact, or all.
func (r ride) touching(near *Place, cells []cellContact) []bool {
	n := len(r.on.points)
	on := make([]bool, n+len(cells))
	for i := range on {
		on[i] = near == nil || i < n && near.contact[i]
	}
	for i, c := range cells {
		on[n+i] = near == nil || near.Pressure[c.row][c.along] > 0 || !near.over(c.along)
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

// read takes a place from the solution.
func (r ride) read(on berth, sol contact.Answer) Place {
	n, at, cells := len(r.on.points), on.at, on.cells
	bend, twist := r.base.Soft()
	l := r.base.Load()
	l.Resultant[0][0] += r.table.Weight
	st := r.base.With(l, contact.Answer{Force: sol.Force[:n], Gap: sol.Gap[:n], On: sol.On[:n], Rigid: sol.Rigid,
		Shared: slices.DeleteFunc(sol.Shared, func(i int) bool { return i >= n })})
	out := Place{At: at, Feet: st.Feet(), contact: st.Contact()}
	for i, probe := range r.probes {
		h := st.Read(probe)
		floats.Add(h, r.metal[i])
		on.ways[i].Raise(h, sol.Force[n:n+len(cells)], -bend, -twist)
		out.Shapes = append(out.Shapes, h)
	}
	r.wear(&out, cells, sol.Force[n:])
	r.ridesOn(&out, cells, sol)
	return out
}

// wear fills in the pressure and where the table hangs clear of the ways.
func (r ride) wear(p *Place, cells []cellContact, force []float64) {
	p.Loose = make([]bool, r.journey.Cells)
	for range r.on.bed.Ways {
		p.Pressure = append(p.Pressure, make([]float64, r.journey.Cells))
	}
	for a, c := range cells {
		p.Pressure[c.row][c.along] = force[a] / c.long
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
	bent := r.rider.bent(cells, sol.Force[len(sol.Force)-len(cells):])
	line := shape.Shape{X: shape.Even(0, t.Length, 33)}
	for _, s := range line.X {
		line.Y = append(line.Y, bent(s)+on.at(s, 0))
	}
	best := line.LeastSquaresLine()
	p.sit(plane{best.A - best.B*p.At, best.B, on.c}, t)
	if s := t.Tool - p.At; p.Under {
		p.AtTool = bent(s) + on.at(math.Min(math.Max(s, 0), t.Length), t.Offset)
	}
}
