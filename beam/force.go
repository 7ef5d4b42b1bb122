package beam

// Point is one place where a support may touch the bed. A foot without length
// is one point, a longer one and a bearing are several.
type Point struct {
	X, Y float64 // m
	Give float64 // 1/k, m/N; 0: rigid
	Held bool    // pulls as well as pushes
	Foot int     // index of its foot, −1 on a bearing
}

// Linear is a standing before contact: all that depends linearly on the forces
// of its points, at these or at places that are only read. For a bed whose bending and twist are b and t times as stiff as
// given, under forces R and a gradient ΔT, the height is
// (Loaded + Bent·R)/b + (Turned + Twisted·R)/t + ΔT·Bowed plus a rigid motion.
type Linear struct {
	Points    []Point     // none at places that are only read
	Bent      [][]float64 // [place][point], m/N, of the bed built in at its left end, by bending
	Twisted   [][]float64 // likewise by twist
	Loaded    []float64   // m, under its weights, by bending
	Turned    []float64   // m, under its weights, by twist
	Bowed     []float64   // m/K
	Resultant [3]float64  // N, N·m, N·m: ΣR, ΣR·x, ΣR·y that carry the weights
	standing  Standing
}

// Linear returns the standing before contact, under the case's weights and
// lines. The rest of the case does not count.
func (v *Solver) Linear(c Case) Linear {
	resultant, shape := v.loadOf(c)
	n := len(v.points)
	out := Linear{Points: make([]Point, n), Bent: make([][]float64, n), Twisted: make([][]float64, n),
		Loaded: make([]float64, n), Turned: make([]float64, n), Bowed: make([]float64, n), Resultant: resultant, standing: v.standing}
	for i, p := range v.points {
		out.Points[i] = Point{X: p.x, Y: p.y, Give: 1 / p.k, Held: p.held, Foot: p.foot}
		out.Bent[i], out.Twisted[i] = make([]float64, n), make([]float64, n)
		for j := range n {
			out.Bent[i][j], out.Twisted[i][j] = v.bent.At(i, j), v.twisted.At(i, j)
		}
		out.Loaded[i], out.Turned[i] = shape.w[p.node], shape.turned(p.node, p.y)
		out.Bowed[i] = v.bowed.w[p.node]
	}
	return out
}

// Of returns, for one draw, the heights for a unit force at each point, m/N [place][point],
// and those of the built-in loaded bed, m: over its own points with the give of their supports
// on the diagonal, and counted from the supports.
func (l Linear) Of(d Draw) (h [][]float64, c []float64) {
	f, gradient := d.factors(), d.gradient(l.standing)
	for i := range l.Loaded {
		row := make([]float64, len(l.Bent[i]))
		for j := range row {
			row[j] = f.of(l.Bent[i][j], l.Twisted[i][j])
		}
		h = append(h, row)
		c = append(c, f.of(l.Loaded[i], l.Turned[i])+gradient*l.Bowed[i])
	}
	for i, p := range l.Points {
		h[i][i] += p.Give / d.foot(p.Foot)
		if p.Foot >= 0 {
			c[i] -= d.height(l.standing, p.Foot)
		}
	}
	return h, c
}

// loadOf returns the resultant of all that a case puts on the bed, and the built-in bed's shape under it.
func (v *Solver) loadOf(c Case) ([3]float64, curves) {
	if len(c.Weights)+len(c.Lines) == 0 {
		return *v.dead.resultant, v.sagged
	}
	l := v.loaded(c)
	return *l.resultant, v.under(l)
}

// transposed returns columns as so many rows.
func transposed(columns [][]float64, rows int) [][]float64 {
	out := make([][]float64, rows)
	for i := range out {
		out[i] = make([]float64, len(columns))
		for j, c := range columns {
			out[i][j] = c[i]
		}
	}
	return out
}

// LinearAt returns the heights at a probe's places before contact, under the
// case's weights and lines.
func (v *Solver) LinearAt(p *Probe, c Case) Linear {
	_, shape := v.loadOf(c)
	n, pressed := len(p.x), v.bed.compressing(c.Lines)
	out := Linear{Bent: transposed(p.bent, n), Twisted: transposed(p.twisted, n), Loaded: make([]float64, n), Turned: make([]float64, n), Bowed: make([]float64, n), standing: v.standing}
	for a, i := range p.at {
		t := p.t[a]
		out.Loaded[a] = (1-t)*shape.w[i] + t*shape.w[i+1] - pressed.at(p.x[a], p.offset)
		out.Turned[a] = (1-t)*shape.turned(i, p.offset) + t*shape.turned(i+1, p.offset)
		out.Bowed[a] = (1-t)*v.bowed.w[i] + t*v.bowed.w[i+1]
	}
	return out
}
