package beam

import "footwork/beam/free"

// support is one place where a support may touch the bed. A foot without length
// is one point, a longer one and a bearing are several.
type support struct {
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
	Points    []support   // none at places that are only read
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
	n := len(v.points)
	out, load := v.linear(c, n)
	for i, p := range v.points {
		out.Points = append(out.Points, support{X: p.x, Y: p.y, Give: 1 / p.k, Held: p.held, Foot: p.foot})
		for j := range n {
			out.Bent[i][j], out.Twisted[i][j] = v.bent.At(i, j), v.twisted.At(i, j)
		}
		out.Loaded[i], out.Turned[i] = load.At(p.at, p.y)
		out.Bowed[i] = v.free.Bowed(p.at)
	}
	return out
}

// LinearAt returns the heights at a probe's places before contact, under the
// case's weights and lines.
func (v *Solver) LinearAt(p *Probe, c Case) Linear {
	out, load := v.linear(c, len(p.At))
	for i, at := range p.At {
		for j := range v.points {
			out.Bent[i][j], out.Twisted[i][j] = p.bent[j][i], p.twisted[j][i]
		}
		out.Loaded[i], out.Turned[i] = load.Surface(at, p.Offset)
		out.Bowed[i] = v.free.Bowed(at)
	}
	return out
}

// linear makes room for so many places.
func (v *Solver) linear(c Case, n int) (l Linear, load *free.Load) {
	l = Linear{Bent: make([][]float64, n), Twisted: make([][]float64, n), Loaded: make([]float64, n), Turned: make([]float64, n), Bowed: make([]float64, n), standing: v.standing}
	for i := range n {
		l.Bent[i], l.Twisted[i] = make([]float64, len(v.points)), make([]float64, len(v.points))
	}
	load = v.loadOf(c)
	l.Resultant = load.Resultant
	return l, load
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

// loadOf returns the built-in bed under all that a case puts on it, evenly warm.
func (v *Solver) loadOf(c Case) *free.Load {
	if len(c.Weights)+len(c.Lines) == 0 {
		return v.sagged
	}
	return v.free.Under(c.Weights, c.Lines, 0)
}
