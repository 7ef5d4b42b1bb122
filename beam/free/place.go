package free

// place is one on the bed, found once: a cell's share t counts as left of it.
type place struct {
	x    float64
	cell int
	t    float64
}

// Spot is a place along the bed, found once, or where a foot's force enters.
type Spot struct {
	place
	ends *[2]place // of a foot whose force enters half left and half right of it; nil: here
}

func (g *Bed) place(x float64) place {
	i, t := g.cell(x)
	return place{x, i, t}
}

// Foot returns where the force of a foot of some length (m) enters the bed that is held up by it there, and how much the
// casting gives over the foot, m/N.
func (g *Bed) Foot(p Spot, at, offset, length float64) (enters Spot, give float64) {
	give, spread := g.bed.Give(at, offset, length)
	if spread > 0 {
		p.ends = &[2]place{g.place(p.x - spread), g.place(p.x + spread)}
	}
	return p, give
}

// enters returns where a force enters, alike at each.
func (p *Spot) enters() []place {
	if p.ends == nil {
		return []place{p.place}
	}
	return p.ends[:]
}

// Spot returns the place x, m.
func (g *Bed) Spot(x float64) Spot { return Spot{place: g.place(x)} }

// Node returns the node nearest to x.
func (g *Bed) Node(x float64) Spot {
	i, t := g.cell(x)
	if t > 0.5 {
		i++
	}
	return Spot{place: g.at(i)}
}

// Bowed returns the height at a place for a top warmer by one kelvin, m.
func (g *Bed) Bowed(p Spot) float64 { return p.read(g.bowed) }

func (p place) read(sum []float64) float64 {
	return (1-p.t)*sum[p.cell] + p.t*sum[p.cell+1]
}

// Between returns the height at p, offset y, for a unit upward force at q,
// offset v, m/N, of the bed built in at its left end, by bending and by twist: Σ (p−s)(q−s)·bend + shear over the cells left of both. Within a cell
// bending is shared between its nodes, as heights are read and loads are put on
// everywhere; shear is exact, for its kink under a force would be lost.
func (g *Bed) Between(p Spot, y float64, q Spot, v float64) (bent, twisted float64) {
	c, o := p.place, q.place
	if o.x < c.x {
		c, o = o, c
	}
	i := c.cell
	half := (g.x[i+1] - g.x[i]) / 2
	arm := o.x - g.x[i] - half
	if o.cell == i {
		arm = half * o.t
	}
	bent = c.x*o.x*g.bends[0][i] - (c.x+o.x)*g.bends[1][i] + g.bends[2][i] + g.sheared[i] + c.t*(half*arm*g.bend[i]+g.shear[i])
	twisted = g.twister.between(p.place, y, q.place, v)
	if p.ends == nil && q.ends == nil {
		return bent, twisted
	}
	kink, twistKink := g.blunt(p, y, q, v)
	return bent - kink, twisted - twistKink
}
