package match

import (
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// bed is what a point says of the bed: as it stands now, and of its ways as last
// surveyed, each part about the line through its ends.
type bed struct {
	heights, loads, gaps []float64
	ways                 []parts
}

// parts are what a way is a sum of, [part][station]; nil for a way not surveyed.
type parts [OfRest + 1][]float64

func (c *chain) bed(p *point) bed {
	m := c.m
	var b bed
	if now := c.stands[m.now]; !now.frozen {
		for f := range m.in.Standings[now.standing].Feet {
			load, gap := now.foot(f, &now.at)
			b.loads, b.gaps = append(b.loads, load), append(b.gaps, gap)
			b.heights = append(b.heights, m.heightOf(p.z, now.state, f))
		}
	}
	b.ways = make([]parts, len(m.in.Bed.Ways))
	for w, k := range m.latest {
		if k >= 0 {
			b.ways[w] = c.parts(p, m.blocks[k])
		}
	}
	return b
}

// heightOf returns a foot's height in a state, m.
func (m *model) heightOf(z []float64, s *state, foot int) (h float64) {
	at := s.under[foot][0]
	for _, v := range s.lift {
		if v.point == at {
			h += m.value(z, v.index)
		}
	}
	return h
}

// parts returns those of a way: level and without heat, then as the feet stand, then warm,
// then the metal, and what is left.
func (c *chain) parts(p *point, k *block) (of parts) {
	m, d := c.m, c.stands[k.rows[0].state]
	g := m.value(p.z, m.heat[d.heat])
	whole := m.elastic(k, p.phi)
	phi := slices.Clone(p.phi)
	phi[featHeat+d.heat] = 0
	if d.frozen {
		of[OfSag] = m.elastic(k, phi)
		of[OfFeet] = make([]float64, len(whole))
	} else {
		built := slices.Clone(d.load.Built)
		floats.AddScaled(built, -g, d.linear.Bowed)
		c.restand(d, built, phi)
		of[OfFeet] = m.elastic(k, phi)
		for i, q := range d.linear.Points {
			if q.Foot >= 0 {
				built[i] += m.heightOf(p.z, d.state, q.Foot) - m.in.Standings[d.standing].Feet[q.Foot].Height
			}
		}
		c.restand(d, built, phi)
		of[OfSag] = m.elastic(k, phi)
		floats.Sub(of[OfFeet], of[OfSag])
	}
	of[OfHeat] = minus(minus(whole, of[OfSag]), of[OfFeet])
	of[OfMetal] = m.formAt(k, p)
	of[OfRest] = minus(minus(k.y, whole), of[OfMetal])
	for _, v := range of[OfFeet:] {
		aboutEnds(k.survey.Profile.X, v)
	}
	return of
}

// formAt returns a point's metal as a block sees it.
func (m *model) formAt(k *block, p *point) []float64 {
	var form mat.VecDense
	form.MulVec(k.f, mat.NewVecDense(len(p.metal[k.form]), p.metal[k.form]))
	return form.RawVector().Data
}

// restand solves a state for other gaps of the built-in bed and fills in its features; these stay where no contact is
// found.
func (c *chain) restand(d *stand, built, phi []float64) {
	l := d.load
	l.Built = built
	d.step.On = append(d.step.On[:0], d.at.On...)
	if d.problem.Solve(l, &d.step) == nil {
		d.put(d.step.Force, phi, phi)
	}
}

// elastic returns the shape of a block's way for features.
func (m *model) elastic(k *block, phi []float64) []float64 {
	var y mat.VecDense
	y.MulVec(k.b, mat.NewVecDense(len(phi), phi))
	return y.RawVector().Data
}

func minus(a, b []float64) []float64 {
	out := make([]float64, len(a))
	floats.SubTo(out, a, b)
	return out
}

// aboutEnds takes the line through the ends out of y.
func aboutEnds(x, y []float64) {
	n := len(x)
	first, last := y[0], y[n-1]
	for i := range y {
		y[i] -= first + (last-first)*(x[i]-x[0])/(x[n-1]-x[0])
	}
}
