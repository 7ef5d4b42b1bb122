package beam

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"footwork/beam/shape"
)

// spot is one place of the stiff table: what its pressure does to the built-in bed,
// whatever the draw.
type spot struct {
	at        float64
	tips      error
	resultant [3]float64  // N, N·m, N·m
	points    deflected   // the contact points
	ways      []deflected // of each, at the journey's stations
	seat      []float64   // m, stations under the table
	on        []*Probe    // of each way, over the seat
	seated    []deflected // of each way, over the seat
	pressure  [][]float64
	loose     []bool
}

// deflected is how far places of the bed as given go down by bending, and up by twist, m.
type deflected struct{ bent, turned []float64 }

// spot makes one place ready.
func (r ride) spot(at float64) spot {
	v := r.solver
	lines, err := r.table.Park(v.bed, at)
	if err != nil {
		return spot{at: at, tips: err}
	}
	p := pressing{grid: v.grid, ways: compressing(v.bed, lines)}
	s := spot{at: at}
	for _, q := range lines {
		l := v.grid.press(q)
		p.on = append(p.on, l)
		s.resultant[0] += l.force
		s.resultant[1] += l.first
		s.resultant[2] += l.force * l.y
	}
	p.twist = v.grid.turn(p.on)
	for _, pt := range v.points {
		s.points.add(p, pt.at.place, pt.y)
	}
	s.seat = shape.Even(lines[0].From, lines[0].To, 33)
	for i, w := range v.bed.Ways {
		s.ways = append(s.ways, p.under(r.probes[i]))
		s.on = append(s.on, v.Probe(s.seat, w.Offset))
		s.seated = append(s.seated, p.under(s.on[i]))
	}
	s.press(r)
	return s
}

// pressing is line loads on the built-in bed.
type pressing struct {
	grid  *grid
	on    []pressed
	ways  compressions
	twist *curves // nil: none
}

func (s *deflected) add(p pressing, at place, y float64) {
	var down, up float64
	for _, l := range p.on {
		down += p.grid.deflect(at, l)
	}
	if p.twist != nil {
		_, up = p.twist.at(at, y)
	}
	s.bent, s.turned = append(s.bent, down), append(s.turned, up)
}

// under returns how far a probe's places go down.
func (p pressing) under(at *Probe) (s deflected) {
	for a, one := range at.at {
		s.add(p, one, at.offset)
		s.bent[a] += p.ways.at(one.x, at.offset)
	}
	return s
}

// press fills in the pressure of the stiff table at the middles of its cells.
func (s *spot) press(r ride) {
	t, b, cells := r.table, r.solver.bed, r.journey.Cells
	press, _ := t.press(b, s.at) // it stands, or there would be no spot
	s.loose = make([]bool, cells)
	for _, share := range r.shares {
		row := make([]float64, cells)
		for i := range row {
			x := s.at + t.Length*(float64(i)+0.5)/float64(cells)
			if x >= press.From && x <= press.To {
				row[i] = share * (press.Start + (press.End-press.Start)*(x-press.From)/(press.To-press.From))
			} else {
				s.loose[i] = x >= 0 && x <= b.Length
			}
		}
		s.pressure = append(s.pressure, row)
	}
}

// parkStiff stands the bed under the stiff table at one place.
func (r ride) parkStiff(s spot, near *Place) (Place, error) {
	if s.tips != nil {
		return Place{}, s.tips
	}
	f, st := r.base.factors, *r.base
	st.at.Built = slices.Clone(st.at.Built)
	for i := range st.at.Built {
		st.at.Built[i] -= f.of(s.points.bent[i], -s.points.turned[i])
	}
	for d, v := range s.resultant {
		st.at.Resultant[0][d] += v
	}
	var first []bool
	if near != nil {
		first = near.contact
	}
	if err := st.settle(r.coupled, first); err != nil {
		return Place{}, err
	}
	read := func(way int, p *Probe, down deflected) []float64 {
		h := st.Read(p)
		floats.Add(h, r.draw.form(way, p.x))
		for a := range h {
			h[a] -= f.of(down.bent[a], -down.turned[a])
		}
		return h
	}
	p := Place{At: s.at, Feet: st.Feet(), Pressure: s.pressure, Loose: s.loose, contact: st.Contact()}
	var on [][]float64
	for i := range r.solver.bed.Ways {
		p.Shapes = append(p.Shapes, read(i, r.probes[i], s.ways[i]))
		on = append(on, read(i, s.on[i], s.seated[i]))
	}
	p.sit(bestPlane(s.seat, r.solver.bed.Ways, on), r.table)
	return p, nil
}

// With the grid's running sums the built-in bed's bending under a straight
// line load is known at any place without a pass along the bed: M and V under the load
// are polynomials of s.

// pressed is a line load made ready: a cell left of it bears its resultant, one
// within it the part that lies to the right, by polynomials in s.
type pressed struct {
	from, to     place
	y            float64
	force, first float64    // N, and its moment about x = 0, N·m
	v            [3]float64 // V(s) = Σ vₖsᵏ of the load right of s
	m            [4]float64 // M(s) about s
}

// press makes a line load ready. With q = α + βx, V = ∫q and M = ∫V from s to the end.
func (u *grid) press(q Line) pressed {
	p := pressed{from: u.place(q.From), to: u.place(q.To), y: q.Offset}
	long := q.To - q.From
	beta := (q.End - q.Start) / long
	alpha := q.Start - beta*q.From
	p.force = (q.Start + q.End) / 2 * long
	p.first = alpha*(q.To*q.To-q.From*q.From)/2 + beta*(q.To*q.To*q.To-q.From*q.From*q.From)/3
	b := q.To
	p.v = [3]float64{alpha*b + beta*b*b/2, -alpha, -beta / 2}
	p.m = [4]float64{alpha*b*b/2 + beta*b*b*b/3, -p.v[0], alpha / 2, beta / 6}
	return p
}

// deflect returns how far the line load bends the built-in bed down at p, m.
func (u *grid) deflect(p place, l pressed) (down float64) {
	a := p // the cells left of both p and the load
	if l.from.x < p.x {
		a = l.from
	}
	sums := u.further()
	down = a.left(sums.bends[:], [2]float64{l.first, -l.force}, p.x) + l.force*a.read(sums.shears[0]) + u.chord(p, l)
	if p.x <= l.from.x {
		return down
	}
	b := p
	if l.to.x < p.x {
		b = l.to
	}
	for k, v := range l.v {
		down += v * (b.read(sums.shears[k]) - a.read(sums.shears[k]))
	}
	for k, m := range l.m {
		down += m * (p.x*(b.read(sums.bends[k])-a.read(sums.bends[k])) - b.read(sums.bends[k+1]) + a.read(sums.bends[k+1]))
	}
	return down
}

// turn returns the twist of the built-in bed by one pass along it, under line loads that
// begin and end together; nil when they do not twist it.
func (u *grid) turn(lines []pressed) *curves {
	var down, round, most float64 // of the whole loads: force, N, and torque about the centre line, N·m
	var v, t [3]float64           // of what lies right of s
	for _, l := range lines {
		down, round, most = down+l.force, round+l.force*l.y, most+math.Abs(l.force*l.y)
		for k := range v {
			v[k], t[k] = v[k]+l.v[k], t[k]+l.v[k]*l.y
		}
	}
	tw := u.twister
	if tw.centred && math.Abs(round) <= 1e-12*most {
		return nil
	}
	torque := make([]float64, len(tw.cells))
	from, to := lines[0].from.x, lines[0].to.x
	for i := range torque {
		s, e := (u.x[i]+u.x[i+1])/2, tw.cells[i].centre
		if s >= to {
			break
		}
		torque[i] = e*down - round
		if s > from {
			torque[i] = e*v[0] - t[0] + s*(e*v[1]-t[1]+s*(e*v[2]-t[2]))
		}
	}
	c := &curves{w: u.still}
	c.phi, c.side = tw.under(torque, 0)
	return c
}

// left returns Σ (x−s)(m₀+m₁s)·bend over the cells left of p.
func (p place) left(bend [][]float64, m [2]float64, x float64) (sum float64) {
	for k, v := range m {
		sum += v * (x*p.read(bend[k]) - p.read(bend[k+1]))
	}
	return sum
}

// chord returns what a straight line between the nodes of p's cell adds to the
// hinge's own shape within it.
func (u *grid) chord(p place, l pressed) float64 {
	h := u.x[p.cell+1] - u.x[p.cell]
	s := u.x[p.cell] + h/2
	m := 0.0
	switch {
	case s <= l.from.x:
		m = l.first - l.force*s
	case s < l.to.x:
		m = l.m[0] + s*(l.m[1]+s*(l.m[2]+s*l.m[3]))
	}
	return p.t * (1 - p.t) * h * m * u.bend[p.cell]
}
