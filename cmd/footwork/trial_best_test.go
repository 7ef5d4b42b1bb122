package main

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"footwork/beam"
	"footwork/internal/convex"
)

// best returns the least zone that any heights of the feet could reach with
// every foot carrying its least load, a linear programme on the truth, and the
// standard uncertainty of reaching it: the root mean square of what slips of the
// hand at every foot and the noise of one survey make of that zone.
func (w *truth) best(t testing.TB) (zone, rms, sd float64) {
	held := w.nominal
	held.Feet = append([]beam.Foot(nil), w.nominal.Feet...)
	for i := range held.Feet {
		held.Feet[i].Held = true
	}
	v, err := beam.NewSolver(w.job, held, beam.Options{Cells: 1500})
	if err != nil {
		t.Fatal(err)
	}
	c := w.state
	c.Contact = nil
	st, err := v.Solve(c)
	if err != nil {
		t.Fatal(err)
	}
	unit := raised(t, v, c, st)
	// Raising all feet in one plane changes nothing: three of them stay.
	var free []int
	for f := range held.Feet {
		if f != 0 && f != 1 && f != len(held.Feet)-1 {
			free = append(free, f)
		}
	}
	n := len(free)
	mean := st.Weight() / float64(len(held.Feet))
	p := convex.Program{C: make([]float64, n+4)}
	p.C[n] = 1
	var rows [][]float64
	row := func(b float64) []float64 {
		rows, p.B = append(rows, make([]float64, n+4)), append(p.B, b)
		return rows[len(rows)-1]
	}
	for i, way := range w.ways {
		probe := v.Probe(w.stations, way.Offset)
		y := st.Read(probe)
		var by [][]float64
		for _, f := range free {
			by = append(by, unit[f].read(probe))
		}
		for k, x := range w.stations {
			for _, s := range []float64{1, -1} {
				r := row(s * (y[k] + w.form[i](x)) * 1e6)
				for f := range n {
					r[f] = -s * by[f][k]
				}
				r[n], r[n+1], r[n+2], r[n+3] = 0.5, s, s*(x-w.job.Length/2), s*way.Offset
			}
		}
	}
	for f, foot := range st.Feet() {
		r := row(leastLoad - foot.Load/mean)
		for k, g := range free {
			r[k] = unit[g].loads[f] * 1e-6 / mean
		}
	}
	p.In = mat.NewDense(len(rows), n+4, nil)
	for i, r := range rows {
		p.In.SetRow(i, r)
	}
	sol, err := convex.Linear(p)
	if err != nil {
		t.Fatal(err)
	}
	zone = sol.X[n] * 1e-6
	rms, sd = w.unsure(v, st, unit, free, sol.X, zone)
	return zone, rms, sd
}

// raised returns what a raise of each foot does, by standing the bed on it: with all feet
// held the bed is linear.
func raised(t testing.TB, v *beam.Solver, c beam.Case, st *beam.State) (out []lift) {
	const by = 1e-3
	for f := range st.Feet() {
		up := c
		up.Heights = nil
		for i, foot := range st.Feet() {
			h := foot.Height
			if c.Heights != nil {
				h = c.Heights[i]
			}
			if i == f {
				h += by
			}
			up.Heights = append(up.Heights, h)
		}
		on, err := v.Solve(up)
		if err != nil {
			t.Fatal(err)
		}
		var l lift
		for i, foot := range on.Feet() {
			l.loads = append(l.loads, (foot.Load-st.Feet()[i].Load)/by)
		}
		l.read = func(p *beam.Probe) []float64 {
			h := on.Read(p)
			floats.AddScaled(h, -1, st.Read(p))
			floats.Scale(1/by, h)
			return h
		}
		out = append(out, l)
	}
	return out
}

// unsure draws slips and noise about the best setting · v, st and unit of the
// bed with all feet held, x the raises of the free feet, µm.
func (w *truth) unsure(v *beam.Solver, st *beam.State, unit []lift, free []int, x []float64, zone float64) (rms, sd float64) {
	const draws = 200
	r := rand.New(rand.NewPCG(1, 1))
	var flat [][]float64
	var by [][][]float64
	for i, way := range w.ways {
		probe := v.Probe(w.stations, way.Offset)
		y := st.Read(probe)
		for k, at := range w.stations {
			y[k] += w.form[i](at)
		}
		var rows [][]float64
		for f := range unit {
			rows = append(rows, unit[f].read(probe))
		}
		for k, f := range free {
			for a := range y {
				y[a] += 1e-6 * x[k] * rows[f][a]
			}
		}
		flat, by = append(flat, y), append(by, rows)
	}
	sum, sq := 0.0, 0.0
	for range draws {
		var ways [][]float64
		slip := make([]float64, len(unit))
		for f := range slip {
			slip[f] = (2*r.Float64() - 1) * screwError * w.rise
		}
		for i := range flat {
			y := append([]float64(nil), flat[i]...)
			walk := 0.0
			for a := range y {
				for f, e := range slip {
					y[a] += e * by[i][f][a]
				}
				y[a] += walk
				walk += w.base * w.noise * r.NormFloat64()
			}
			ways = append(ways, y)
		}
		d := w.zoneOf(ways) - zone
		sum += d / draws
		sq += d * d / draws
	}
	return math.Sqrt(sq), math.Sqrt(sq - sum*sum)
}

// bent fits a level line that goes over into a sloping one, and returns where it
// bends and how far the slope has gone by the last reading.
func bent(x, y []float64) (bend, size float64) {
	n, least := float64(len(x)), math.Inf(1)
	for _, c := range x {
		var s, ss, sy, ssy float64
		for i := range x {
			d := max(0, x[i]-c)
			s, ss, sy, ssy = s+d, ss+d*d, sy+y[i], ssy+d*y[i]
		}
		det := n*ss - s*s
		slope := 0.0
		if det > 0 {
			slope = (n*ssy - s*sy) / det
		}
		level, left := (sy-slope*s)/n, 0.0
		for i := range x {
			e := y[i] - level - slope*max(0, x[i]-c)
			left += e * e
		}
		if left < least {
			least, bend, size = left, c, math.Abs(slope)*(x[len(x)-1]-c)
		}
	}
	return bend, size
}
