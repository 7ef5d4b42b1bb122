package match

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/stat"

	"footwork/internal/contact"
)

// laid is a state's bed on heights under load, u = h − (G − G₀)R: heights less what its feet give, all but a part of it,
// with which forces follow from u wherever they follow from h.
type laid struct {
	problem contact.Problem // of feet that give G₀
	load    contact.Load
	at      contact.Answer
	under   []float64 // m, u of each point
	high    []float64 // m, of its foot when that was noted
	volume  float64   // logarithm of that which heights under load have, for one of their own
}

// notAll is G₀ for one of what feet were expected to give.
const notAll = 0.05

// note keeps heights under load as they are · how soft each foot is, by its height.
func (d *stand) note(m *model, z, soft []float64) {
	d.laid.at.On = append(d.laid.at.On[:0], d.at.On...)
	d.laid.at.Force = append(d.laid.at.Force[:0], d.at.Force...)
	d.laid.high = append(d.laid.high[:0], make([]float64, len(d.points))...)
	for _, v := range d.lift {
		d.laid.high[v.point] += m.value(z, v.index)
	}
	d.laid.under = append(d.laid.under[:0], d.laid.high...)
	for i, p := range d.linear.Points {
		if p.Foot >= 0 {
			d.laid.under[i] -= d.springs(m, soft, i) * d.at.Force[i]
		}
	}
}

// springs returns G − G₀ of a point, m/N.
func (d *stand) springs(m *model, soft []float64, point int) float64 {
	return d.give(m, soft, point) - notAll*d.linear.Points[point].Give
}

// rise raises feet by what they give on the forces noted.
func (d *stand) rise(m *model, soft, z []float64) {
	for i, p := range d.linear.Points {
		if p.Foot >= 0 {
			h := d.setting[p.Foot]
			z[h] += (d.laid.under[i] + d.springs(m, soft, i)*d.laid.at.Force[i] - d.laid.high[i]) / m.sd[h]
		}
	}
}

// lie finds the forces of a bed of other stiffness on the heights under load that were noted; not where no contact is found.
func (d *stand) lie(m *model, z []float64) bool {
	l := &d.laid
	b, t := 1/m.factor(z, m.bend), 1/m.factor(z, m.bend+1)
	d.comply(b, t, l.problem.Refill(), func(i int) float64 {
		p := &d.linear.Points[i]
		if p.Foot < 0 {
			return p.Give
		}
		return notAll * p.Give
	})
	d.builtIn(b, t, m.value(z, m.heat[d.heat]), l.load.Built)
	floats.Sub(l.load.Built, l.under)
	if l.problem.Solve(l.load, &l.at) != nil {
		return false
	}
	l.volume = l.problem.LogDet(l.at.On)
	return true
}

// stiffen draws some stiffnesses together, from one of the unknowns up to another, while the bed lies as it does under load:
// of the bed, or of its feet alone, which leaves all forces.
func (c *chain) stiffen(from, to int) {
	m := c.m
	ofBed := from < m.bend+2
	for _, k := range m.pivots {
		d := c.stands[k]
		d.note(m, c.z, c.soft)
		if ofBed && !d.lie(m, c.z) {
			return
		}
	}
	turn, soft := make([]float64, to-from), slices.Clone(c.soft)
	for k := range turn {
		turn[k] = c.wide[from+k] * c.rng.NormFloat64()
	}
	c.rotate(c.log+c.scale()+c.rest(c.z, from, to), func(cos, sin float64) float64 {
		copy(c.trial, c.z)
		for k, v := range turn {
			c.trial[from+k] = c.mid[from+k] + (c.z[from+k]-c.mid[from+k])*cos + v*sin
		}
		m.soften(c.trial, soft)
		for _, k := range m.pivots {
			d := c.stands[k]
			if ofBed && !d.lie(m, c.trial) {
				c.met = math.Inf(-1)
				return c.met
			}
			d.rise(m, soft, c.trial)
		}
		c.met = c.evaluate(c.trial)
		return c.met + c.scale() + c.rest(c.trial, from, to)
	})
	c.settle()
}

// rest is the logarithm of one over the Gaussian of the ellipse on which stiffnesses are drawn.
func (c *chain) rest(z []float64, from, to int) (log float64) {
	for k := from; k < to; k++ {
		log += square((z[k]-c.mid[k])/c.wide[k]) / 2
	}
	return log
}

// pool centers the ellipse of f where the chains met it while warming up, twice as wide: all of them, for one alone may not
// have been everywhere.
func (m *model) pool(all []*chain) {
	var met []float64
	for _, c := range all {
		met = append(met, c.late...)
	}
	f := m.bend + 2
	mid, sd := stat.MeanStdDev(met, nil)
	for _, c := range all {
		c.mid[f], c.wide[f] = mid, min(2*sd, 1)
	}
}

// scale is the logarithm of the volume that heights have for one of heights under load.
func (c *chain) scale() (log float64) {
	for _, k := range c.m.pivots {
		d := c.stands[k]
		log += d.problem.LogDet(d.at.On) - d.laid.volume
	}
	return log
}
