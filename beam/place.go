package beam

// place is one on the bed, found once: a cell's share t counts as left of it.
type place struct {
	x    float64
	cell int
	t    float64
}

// entry is a place, or where a foot's force enters.
type entry struct {
	place
	ends *[2]place // of a foot whose force enters half left and half right of it; nil: here
}

func (g *grid) place(x float64) place {
	i, t := g.cell(x)
	return place{x, i, t}
}

// foot returns the place of a foot whose force enters the bed so far left and right of it.
func (g *grid) foot(at place, spread float64) entry {
	p := entry{place: at}
	if spread > 0 {
		p.ends = &[2]place{g.place(at.x - spread), g.place(at.x + spread)}
	}
	return p
}

// enters returns where a force enters, alike at each.
func (p *entry) enters() []place {
	if p.ends == nil {
		return []place{p.place}
	}
	return p.ends[:]
}

func (g *grid) entry(x float64) entry { return entry{place: g.place(x)} }

func (p place) read(sum []float64) float64 {
	return (1-p.t)*sum[p.cell] + p.t*sum[p.cell+1]
}

// between returns the height at p, offset y, for a unit upward force at q,
// offset v, m/N, of the bed built in at its left end, by bending and by twist: Σ (p−s)(q−s)·bend + shear over the cells left of both. Within a cell
// bending is shared between its nodes, as heights are read and loads are put on
// everywhere; shear is exact, for its kink under a force would be lost.
func (g *grid) between(p entry, y float64, q entry, v float64) (bent, twisted float64) {
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
