package match

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"footwork/beam"
)

// gaussian is what was read of a hidden bed as a linear model about the truth, its contact
// kept: information and what it pulls to, over unknowns that are standard normal beforehand
// and the waves of the metal after them. It shares with the estimator its priors alone: how
// the bed answers is the difference quotient of package beam.
type gaussian struct {
	info  *mat.SymDense
	pull  []float64
	truth []float64 // of the unknowns
	sd    []float64
	mean  []float64
	heat  []int // unknown of each gradient
	foot  []int // of each foot's height
}

// linearise returns it · in as surveyed.
func (h *hidden) linearise(t testing.TB, in Input, m *model) *gaussian {
	g := &gaussian{}
	var set []func(v float64) // puts an unknown into the bed
	d := &h.draw
	add := func(truth, mean, sd float64, put func(v float64)) int {
		g.truth, g.mean, g.sd, set = append(g.truth, (truth-mean)/sd), append(g.mean, mean), append(g.sd, sd), append(set, put)
		return len(set) - 1
	}
	b, tw, f := math.Log(d.Bending), math.Log(d.Twist), make([]float64, len(d.Feet))
	add(b, 0, bendingSD, func(v float64) { d.Bending = math.Exp(v) })
	add(tw, 0, h.bed.TwistSD(), func(v float64) { d.Twist = math.Exp(v) })
	d.Feet = append([]float64(nil), d.Feet...)
	copy(f, d.Feet)
	add(0, 0, math.Log(feetSD), func(v float64) {
		for i := range f {
			d.Feet[i] = f[i] * math.Exp(v)
		}
	})
	for i := range f {
		add(0, 0, footSD, func(v float64) { d.Feet[i] = f[i] * math.Exp(v) })
	}
	for i := range d.Heights {
		g.foot = append(g.foot, add(d.Heights[i], 0, heightSD, func(v float64) { d.Heights[i] = v }))
	}
	for i := range h.heat {
		g.heat = append(g.heat, add(h.heat[i], in.Heats[i].Mean, in.Heats[i].SD, func(v float64) { h.heat[i] = v; h.epochs[i].heat = v }))
	}
	n, waves := len(set), m.waves()
	g.info, g.pull = mat.NewSymDense(n+waves, nil), make([]float64, n+waves)
	for e, ep := range h.epochs {
		_ = ep
		at := h.rows(t, e)
		rows := make([]*mat.Dense, len(at))
		for r := range at {
			rows[r] = mat.NewDense(len(at[r]), n+waves, nil)
		}
		for k, put := range set {
			now := g.truth[k]*g.sd[k] + g.mean[k]
			step := 1e-4 * g.sd[k]
			put(now + step)
			up := h.rows(t, e)
			put(now - step)
			down := h.rows(t, e)
			put(now)
			for r := range at {
				for i := range at[r] {
					rows[r].Set(i, k, (up[r][i]-down[r][i])/2e-4)
				}
			}
		}
		for r := range at {
			g.read(h, m, in.Epochs[e].Surveys[r], at[r], rows[r], n)
		}
	}
	return g
}

// rows returns the slopes that are read in an epoch: along both ways, then across.
func (h *hidden) rows(t testing.TB, e int) (out [][]float64) {
	st := h.state(t, h.epochs[e])
	var y [][]float64
	for _, w := range h.bed.Ways {
		y = append(y, st.Read(h.solver[h.epochs[e].standing].Probe(h.x, w.Offset)))
		var slope []float64
		for k := range h.x[1:] {
			slope = append(slope, (y[len(y)-1][k+1]-y[len(y)-1][k])/(h.x[k+1]-h.x[k]))
		}
		out = append(out, slope)
	}
	across := make([]float64, len(h.x))
	for k := range h.x {
		across[k] = (y[1][k] - y[0][k]) / (h.bed.Ways[1].Offset - h.bed.Ways[0].Offset)
	}
	return append(out, across)
}

// read adds a survey: independent slopes of which a constant is unknown.
func (g *gaussian) read(h *hidden, m *model, s Survey, at []float64, rows *mat.Dense, n int) {
	y := append([]float64(nil), s.Profile.Height...)
	waves := len(m.modes.wave)
	if s.Way >= 0 {
		for k := range h.x[1:] {
			y[k] = (y[k+1] - y[k]) / (h.x[k+1] - h.x[k])
		}
		y = y[:len(y)-1]
	}
	for i := range y {
		for p, q := range m.parts {
			for k, w := range m.modes.wave {
				v := (q.ways[1] - q.ways[0]) * w[i] / (h.bed.Ways[1].Offset - h.bed.Ways[0].Offset)
				if s.Way >= 0 {
					v = q.ways[s.Way] * (w[i+1] - w[i]) / (h.x[i+1] - h.x[i])
				}
				rows.Set(i, n+p*waves+k, v)
			}
		}
	}
	rest := make([]float64, len(y))
	for i := range y {
		rest[i] = y[i] - at[i] + floats.Dot(rows.RawRowView(i)[:n], g.truth)
	}
	_, size := rows.Dims()
	floats.AddConst(-floats.Sum(rest)/float64(len(rest)), rest)
	for c := range size {
		v := mat.Col(nil, c, rows)
		floats.AddConst(-floats.Sum(v)/float64(len(v)), v)
		rows.SetCol(c, v)
	}
	var outer mat.SymDense
	outer.SymOuterK(1/(h.noise*h.noise), rows.T())
	g.info.AddSym(g.info, &outer)
	var pull mat.VecDense
	pull.MulVec(rows.T(), mat.NewVecDense(len(rest), rest))
	floats.AddScaled(g.pull, 1/(h.noise*h.noise), pull.RawVector().Data)
}

var _ = beam.Shape{}
