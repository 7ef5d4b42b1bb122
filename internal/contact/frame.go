package contact

// frame is the centred, scaled form of the balance of one body, and how it turns back.
type frame struct {
	x, y  extent
	first int  // of its multipliers among those of all bodies
	count int  // 2 when all its points lie on one line along the bed
	flat  bool // all its points lie at one x: nothing keeps it from pitching
}

// extent is the centre and the size of all points in one direction; 1 where they are at one place.
type extent struct{ mid, size float64 }

// frames centres and scales the balance rows 1, x, y of every body.
func (p *Problem) frames() {
	var lo, hi [2]Point
	p.rows, p.bodies = 0, p.bodies[:0]
	for _, t := range p.points {
		if t.Body == len(p.bodies) {
			p.bodies = append(p.bodies, frame{})
			lo[t.Body], hi[t.Body] = t, t
		}
		l, h := &lo[t.Body], &hi[t.Body]
		l.X, l.Y, h.X, h.Y = min(l.X, t.X), min(l.Y, t.Y), max(h.X, t.X), max(h.Y, t.Y)
	}
	for i := range p.bodies {
		f := &p.bodies[i]
		*f = frame{x: extent{(lo[i].X + hi[i].X) / 2, 1}, y: extent{(lo[i].Y + hi[i].Y) / 2, 1}, first: p.rows, count: 2}
		if wide := hi[i].X - lo[i].X; wide > leastExtent {
			f.x.size = wide
		} else {
			f.flat = true
		}
		if wide := hi[i].Y - lo[i].Y; wide > leastExtent {
			f.y.size, f.count = wide, 3
		}
		p.rows += f.count
	}
	p.e = p.e[:0]
	for _, t := range p.points {
		f := &p.bodies[t.Body]
		p.e = append(p.e, [3]float64{1, (t.X - f.x.mid) / f.x.size, (t.Y - f.y.mid) / f.y.size})
	}
}

// leastExtent is how far apart points must lie to keep a body from turning, m: a
// nanometre is one place.
const leastExtent = 1e-9

// scaled returns the resultant of a body in the terms of its rows.
func (f frame) scaled(b [3]float64) [3]float64 {
	return [3]float64{b[0], (b[1] - b[0]*f.x.mid) / f.x.size, (b[2] - b[0]*f.y.mid) / f.y.size}
}

// raw turns a scaled resultant back.
func (f frame) raw(b [3]float64) [3]float64 {
	return [3]float64{b[0], b[1]*f.x.size + b[0]*f.x.mid, b[2]*f.y.size + b[0]*f.y.mid}
}

// rigid turns multipliers of the scaled balance into height, pitch and roll at x = y = 0.
func (f frame) rigid(q [3]float64) [3]float64 {
	r := [3]float64{q[0], q[1] / f.x.size, q[2] / f.y.size}
	r[0] -= r[1]*f.x.mid + r[2]*f.y.mid
	return r
}
