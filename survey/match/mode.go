package match

import (
	"math"

	"gonum.org/v1/gonum/floats"
)

// respondTo fills in d.change for one standard deviation of unknown k at z; it tells
// whether the state depends on it.
func (d *stand) respondTo(m *model, z, soft []float64, k int, scratch []float64) bool {
	if k < m.linear {
		clear(scratch)
		scratch[k] = 1
		return d.respond(m, scratch)
	}
	sd, l := m.sd[k], &d.linear
	b, t := m.factor(z, m.bend), m.factor(z, m.bend+1)
	for i, p := range l.Points {
		switch {
		case k == m.bend:
			d.change.Built[i] = -sd / b * (l.Loaded[i] + floats.Dot(l.Bent[i], d.at.Force))
		case k == m.bend+1:
			d.change.Built[i] = -sd / t * (l.Turned[i] + floats.Dot(l.Twisted[i], d.at.Force))
		case p.Foot >= 0 && (k == m.bend+2 || m.depart[d.standing][p.Foot] == k):
			d.change.Built[i] = -sd * d.give(m, soft, i) * d.at.Force[i]
		default:
			d.change.Built[i] = 0
		}
	}
	return floats.Norm(d.change.Built, 1) > 0
}

// tangent is how features and what was felt answer to the unknowns at a point: the
// Gauss–Newton curvature of −log density, without the prior, and its gradient with it.
type tangent struct {
	curve []float64 // n×n
	grad  []float64 // of the log density
}

// answers returns how features answer to one standard deviation of every unknown at z,
// where the chain stands, [unknown][feature], and how what was felt does, in deviations,
// with what is left of it.
func (c *chain) answers(z []float64) (j []float64, felt [][]float64, left []float64) {
	m, n, d := c.m, len(z), c.m.feats
	b, tw := m.factor(z, m.bend), m.factor(z, m.bend+1)
	j = make([]float64, n*d)
	for _, s := range c.stands {
		if !s.frozen {
			felt, left = s.feltTerms(felt, left, n)
		}
	}
	for k := range n {
		row := j[k*d : (k+1)*d]
		c.forcesAnswer(z, k, row, felt)
		switch {
		case k == m.bend:
			row[featBend], row[featLogBend] = -m.sd[k]/b, m.sd[k]
		case k == m.bend+1:
			row[featTwist], row[featLogTwist] = -m.sd[k]/tw, m.sd[k]
		}
		for i, h := range m.heat {
			if h == k {
				row[featHeat+i] = m.sd[k]
			}
		}
	}
	return j, felt, left
}

// forcesAnswer fills in how forces, and what was felt, answer to unknown k.
func (c *chain) forcesAnswer(z []float64, k int, row []float64, felt [][]float64) {
	m := c.m
	for _, s := range c.stands {
		if s.frozen {
			continue
		}
		if s.respondTo(m, z, c.soft, k, c.trial) && s.glue(&s.at) {
			s.put(s.step.Force, c.phi, row)
			if k == m.bend {
				s.add(s.bent, -m.sd[k]/m.factor(z, k), row)
			} else if k == m.bend+1 {
				s.add(s.turned, -m.sd[k]/m.factor(z, k), row)
			}
			s.feltAnswers(felt, k)
		}
		felt = felt[len(s.pulls):]
	}
}

// tangentAt returns it at z, where the chain stands.
func (c *chain) tangentAt(z []float64) tangent {
	n, d := len(z), c.m.feats
	j, felt, left := c.answers(z)
	c.spent += float64(n * (n*d + d*d + n*n/6))
	t := tangent{curve: make([]float64, n*n), grad: make([]float64, n)}
	pj := make([]float64, d)
	for k := range n {
		row := j[k*d : (k+1)*d]
		c.g.times(row, pj)
		for i := range n {
			t.curve[k*n+i] = floats.Dot(pj, j[i*d:(i+1)*d])
		}
		t.grad[k] = floats.Dot(c.g.q, row) - floats.Dot(pj, c.phi) - z[k]
	}
	for i, row := range felt {
		for k, v := range row {
			if v != 0 {
				t.grad[k] -= left[i] * v
				floats.AddScaled(t.curve[k*n:(k+1)*n], v, row)
			}
		}
	}
	return t
}

// add adds what the state's forces as they stand put into features, times by.
func (d *stand) add(to []share, by float64, row []float64) {
	for i, r := range d.at.Force {
		row[to[i].feat] += to[i].ratio * r * by
	}
}

// feltTerms appends a row for each term, and what is left of it in deviations; 0 where
// it does not pull.
func (d *stand) feltTerms(felt [][]float64, left []float64, n int) ([][]float64, []float64) {
	for _, p := range d.pulls {
		v := p.of(d.foot(p.foot, &d.at))
		if p.under && v > p.at {
			v = p.at
		}
		felt, left = append(felt, make([]float64, n)), append(left, (v-p.at)/p.sd)
	}
	return felt, left
}

// feltAnswers fills in how the terms answer to unknown k, of which d.step is the response.
func (d *stand) feltAnswers(felt [][]float64, k int) {
	for i, p := range d.pulls {
		if now := p.of(d.foot(p.foot, &d.at)); !p.under || now < p.at {
			felt[i][k] = p.of(d.foot(p.foot, &d.step)) / p.sd
		}
	}
}

// toMode goes to a maximum of the density by the steps of Levenberg and Marquardt.
func (c *chain) toMode(steps int) {
	n, damp := len(c.z), 1e-3
	c.log = c.evaluate(c.z)
	to := make([]float64, n)
	for range steps {
		t := c.tangentAt(c.z)
		before := c.log
		for range 8 {
			h := append([]float64(nil), t.curve...)
			for k := range n {
				h[k*n+k] += 1 + damp*(1+h[k*n+k])
			}
			copy(c.dz, t.grad)
			if !cholesky(h, n) {
				damp *= 10
				continue
			}
			lower(h, n, c.dz)
			lowerT(h, n, c.dz)
			floats.AddTo(to, c.z, c.dz)
			if log := c.evaluate(to); log > c.log {
				c.log = log
				copy(c.z, to)
				damp = max(damp/10, 1e-6)
				break
			}
			damp *= 10
		}
		if c.log < before+1e-3 || math.IsInf(c.log, -1) {
			break
		}
		c.evaluate(c.z)
	}
	c.log = c.evaluate(c.z)
}
