package match

import (
	"math"

	"footwork/beam/shape"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

// spread fills in how a block answers to the waves of all parts.
func (m *model) spread(b *block) {
	n := len(m.modes.wave)
	f := mat.NewDense(len(b.rows), n*len(m.parts), nil)
	lo, hi := m.outerWays()
	for r, p := range b.rows {
		wave := m.modes.row(p.x)
		if p.base > 0 {
			floats.SubTo(wave, m.modes.row(p.x+p.base), wave)
			floats.Scale(1/p.base, wave)
		}
		for i, q := range m.parts {
			by := 0.0
			if p.way >= 0 {
				by = q.ways[p.way]
			} else if lo != hi {
				by = (q.ways[hi] - q.ways[lo]) / (m.in.Bed.Ways[hi].Offset - m.in.Bed.Ways[lo].Offset)
			}
			floats.AddScaled(f.RawRowView(r)[i*n:(i+1)*n], by, wave)
		}
	}
	var wf, fwf mat.Dense
	wf.Mul(b.white, f)
	fwf.Mul(wf.T(), &wf)
	b.f, b.wf, b.ff = f, &wf, fwf.RawMatrix().Data
}

// outerWays returns the ways of least and greatest offset.
func (m *model) outerWays() (lo, hi int) {
	for i, w := range m.in.Bed.Ways {
		if w.Offset < m.in.Bed.Ways[lo].Offset {
			lo = i
		}
		if w.Offset > m.in.Bed.Ways[hi].Offset {
			hi = i
		}
	}
	return lo, hi
}

// sums are all that the likelihood needs of what was read: BᵀWB, BᵀWy and yᵀWy over all
// blocks, and of the metal between cuts FᵀWF, FᵀWB and FᵀWy.
type sums struct {
	bb, by []float64
	yy     float64
	forms  []formSums
}

// formSums are those of one form · from is where each row of FᵀWF begins: parts of the ways that what
// was read does not tie leave it, and so S and its factor, in blocks.
type formSums struct {
	ff, fb, fy   []float64
	from         []int
	cells, terms float64 // of S's factor, and of the sums that these are
}

func (m *model) sumUp(blocks []*block) *sums {
	d, n := m.feats, m.waves()
	s := &sums{bb: make([]float64, d*d), by: make([]float64, d)}
	for range m.forms {
		s.forms = append(s.forms, formSums{ff: make([]float64, n*n), fb: make([]float64, n*d), fy: make([]float64, n), from: make([]int, n)})
	}
	for _, b := range blocks {
		var wb, wy, bwb, fwb, bwy, fwy mat.Dense
		wb.Mul(b.white, b.b)
		wy.Mul(b.white, mat.NewDense(len(b.y), 1, b.y))
		bwb.Mul(wb.T(), &wb)
		fwb.Mul(b.wf.T(), &wb)
		bwy.Mul(wb.T(), &wy)
		fwy.Mul(b.wf.T(), &wy)
		f := &s.forms[b.form]
		floats.Add(s.bb, bwb.RawMatrix().Data)
		floats.Add(s.by, bwy.RawMatrix().Data)
		floats.Add(f.ff, b.ff)
		floats.Add(f.fb, fwb.RawMatrix().Data)
		floats.Add(f.fy, fwy.RawMatrix().Data)
		s.yy += square(mat.Norm(&wy, 2))
	}
	for i := range s.forms {
		s.forms[i].begin(n)
	}
	return s
}

// untied is below what part of what ties a wave to itself nothing ties two: readings alike but for rounding, and for
// the slope of what was read, which is in their covariance too, leave 1e-9.
const untied = 1e-8

// begin finds where rows begin. What leads there is nothing from then on: of waves two hundred times above the noise that
// is less than a thousandth of the log density.
func (f *formSums) begin(n int) {
	top := 0.0
	for i := range n {
		top = max(top, f.ff[i*n+i])
	}
	own := func(i int) float64 { return max(f.ff[i*n+i], untied*top) } // of a wave that nothing was read of, rounding
	for i := range n {
		row := f.ff[i*n : i*n+i]
		for f.from[i] < i && math.Abs(row[f.from[i]]) <= untied*math.Sqrt(own(i)*own(f.from[i])) {
			f.from[i]++
		}
		long := float64(i - f.from[i])
		f.cells, f.terms = f.cells+long, f.terms+square(long)/2
	}
}

// waves returns how many waves the metal between two cuts is a sum of.
func (m *model) waves() int { return len(m.modes.wave) * len(m.in.Bed.Ways) }

// marginal is −2 log of the likelihood with the metal integrated out, for given
// amplitudes: φᵀPφ − 2qᵀφ + c, the logarithms of determinants in c.
type marginal struct {
	p, q   []float64
	c      float64
	metal  []metal
	d      int
	column []float64
}

// metal is one form's share in it: S = 1 + D·FᵀWF·D with D the prior deviations of the
// waves, S = LLᵀ, and L⁻¹D·FᵀWB.
type metal struct{ dev, l, lb []float64 }

// eliminate integrates the metal out.
func (m *model) eliminate(s *sums, amp []float64, g *marginal) {
	d, n := m.feats, m.waves()
	g.d = d
	g.p, g.q = append(g.p[:0], s.bb...), append(g.q[:0], s.by...)
	g.c = s.yy
	if g.metal == nil {
		g.metal = make([]metal, len(s.forms))
		g.column = make([]float64, n)
		for i := range g.metal {
			g.metal[i] = metal{make([]float64, n), make([]float64, n*n), make([]float64, n*d)}
		}
	}
	for i := range s.forms {
		m.variances(amp, g.metal[i].dev)
		g.less(&s.forms[i], &g.metal[i], n)
	}
	for r := range d {
		for c := range r {
			g.p[c*d+r] = g.p[r*d+c]
		}
	}
}

// scale weighs what was read by a share.
func (g *marginal) scale(share float64) {
	floats.Scale(share, g.p)
	floats.Scale(share, g.q)
	g.c *= share
}

// less takes what the waves of one form can explain out of the lower half of P, q and c.
func (g *marginal) less(f *formSums, t *metal, n int) {
	d := g.d
	g.c += t.factor(f, n)
	y := g.column
	floats.MulTo(y, t.dev, f.fy)
	lower(t.l, n, y)
	g.c -= floats.Dot(y, y)
	for a := range n { // rows of L⁻¹D·FᵀWB, one after another
		row := t.lb[a*d : (a+1)*d]
		copy(row, f.fb[a*d:(a+1)*d])
		floats.Scale(t.dev[a], row)
		for b := f.from[a]; b < a; b++ {
			floats.AddScaled(row, -t.l[a*n+b], t.lb[b*d:(b+1)*d])
		}
		floats.Scale(1/t.l[a*n+a], row)
		floats.AddScaled(g.q, -y[a], row)
		for r, v := range row {
			if v != 0 {
				floats.AddScaled(g.p[r*d:r*d+r+1], -v, row[:r+1])
			}
		}
	}
}

// factor fills in S's Cholesky factor from prior variances in t.dev, which become
// deviations, and returns log det S; +Inf where these are so great that S is singular.
func (t *metal) factor(f *formSums, n int) (log float64) {
	for i, v := range t.dev {
		t.dev[i] = math.Sqrt(v)
	}
	for i := range n {
		row := t.l[i*n : i*n+i+1]
		for j := f.from[i]; j <= i; j++ {
			row[j] = f.ff[i*n+j] * t.dev[i] * t.dev[j]
		}
		row[i]++
	}
	if !skyline(t.l, n, f.from) {
		return math.Inf(1)
	}
	for i := range n {
		log += 2 * math.Log(t.l[i*n+i])
	}
	return log
}

// cholesky replaces the lower half of a, n×n, by its factor.
func cholesky(a []float64, n int) bool { return skyline(a, n, make([]int, n)) }

// skyline is cholesky of a matrix whose rows are nothing before from, as those of its factor are.
func skyline(a []float64, n int, from []int) bool {
	for i, first := range from {
		row := a[i*n : i*n+i+1]
		for j := first; j < i; j++ {
			k := max(first, from[j])
			row[j] = (row[j] - floats.Dot(row[k:j], a[j*n+k:j*n+j])) / a[j*n+j]
		}
		v := row[i] - floats.Dot(row[first:i], row[first:i])
		if !(v > 0) {
			return false
		}
		row[i] = math.Sqrt(v)
	}
	return true
}

// lower replaces v by L⁻¹v, lowerT by L⁻ᵀv.
func lower(l []float64, n int, v []float64) {
	for i := range n {
		v[i] = (v[i] - floats.Dot(l[i*n:i*n+i], v[:i])) / l[i*n+i]
	}
}

func lowerT(l []float64, n int, v []float64) {
	for i := n - 1; i >= 0; i-- {
		if v[i] == 0 {
			continue
		}
		v[i] /= l[i*n+i]
		floats.AddScaled(v[:i], -v[i], l[i*n:i*n+i])
	}
}

// log returns the logarithm of the likelihood at features φ.
func (g *marginal) log(phi []float64) float64 {
	sum := g.c
	for i, a := range phi {
		if a != 0 {
			sum += a * (floats.Dot(g.p[i*g.d:(i+1)*g.d], phi) - 2*g.q[i])
		}
	}
	return -sum / 2
}

// times returns P·v in out, and how many multiplications that took.
func (g *marginal) times(v, out []float64) (work float64) {
	clear(out)
	for i, x := range v {
		if x != 0 {
			floats.AddScaled(out, x, g.p[i*g.d:(i+1)*g.d])
			work += float64(g.d)
		}
	}
	return work
}

// left returns what of a form's sums is left at features φ: FᵀW(y − Bφ).
func (f *formSums) left(phi, out []float64) {
	d := len(phi)
	for i := range out {
		out[i] = f.fy[i] - floats.Dot(f.fb[i*d:(i+1)*d], phi)
	}
}

// measure finds the zone of the worst way as last read in the standing asked for.
func (m *model) measure() {
	m.latest = make([]int, len(m.in.Bed.Ways))
	for w := range m.latest {
		m.latest[w] = -1
		for i, b := range m.blocks {
			if b.survey != nil && b.way == w && m.states[b.rows[0].state].standing == m.in.Asked {
				m.latest[w] = i
			}
		}
		if k := m.latest[w]; k >= 0 {
			m.zone = max(m.zone, shape.Zone(m.blocks[k].survey.Profile.X, m.blocks[k].y))
		}
	}
}
