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
// of its points. For a bed of factor f under forces R and a gradient ΔT, the
// height over the points is (Loaded + Compliance·R)/f + ΔT·Bowed plus a rigid
// motion.
type Linear struct {
	Points     []Point
	Compliance [][]float64 // [point][point], m/N, of the bed built in at its left end
	Loaded     []float64   // m, under its weights
	Bowed      []float64   // m/K
	Resultant  [3]float64  // N, N·m, N·m: ΣR, ΣR·x, ΣR·y that carry the weights
}

// Linear returns the standing before contact, under the case's weights and
// lines. The rest of the case does not count.
func (v *Solver) Linear(c Case) Linear {
	l, shape := v.loadOf(c)
	n := len(v.points)
	out := Linear{Points: make([]Point, n), Compliance: make([][]float64, n),
		Loaded: make([]float64, n), Bowed: make([]float64, n), Resultant: *l.resultant}
	for i, p := range v.points {
		out.Points[i] = Point{X: p.x, Y: p.y, Give: 1 / p.k, Held: p.held, Foot: p.foot}
		out.Compliance[i] = make([]float64, n)
		for j := range n {
			out.Compliance[i][j] = v.comp.At(i, j)
		}
		out.Loaded[i] = shape.w[p.node] + p.y*shape.phi[p.node]
		out.Bowed[i] = v.bowed.w[p.node]
	}
	return out
}

func (v *Solver) loadOf(c Case) (loads, curves) {
	if len(c.Weights)+len(c.Lines) == 0 {
		return v.dead, v.sagged
	}
	l := v.loaded(c)
	return l, v.under(l)
}

// LinearAt is the height at a probe's places in the terms of Linear.
type LinearAt struct {
	Support [][]float64 // [place][point], m/N
	Loaded  []float64   // m
	Bowed   []float64   // m/K
}

// LinearAt returns the heights at a probe's places before contact, under the
// case's weights and lines.
func (v *Solver) LinearAt(p *Probe, c Case) LinearAt {
	_, shape := v.loadOf(c)
	out := LinearAt{Support: p.comp, Loaded: make([]float64, len(p.x)), Bowed: make([]float64, len(p.x))}
	for a, i := range p.at {
		t := p.t[a]
		out.Loaded[a] = (1-t)*(shape.w[i]+p.offset*shape.phi[i]) + t*(shape.w[i+1]+p.offset*shape.phi[i+1])
		out.Bowed[a] = (1-t)*v.bowed.w[i] + t*v.bowed.w[i+1]
	}
	return out
}
