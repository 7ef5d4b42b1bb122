package survey

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"footwork/beam"
)

// block is one survey's part of the design: its weight matrix W (the line taken
// out), features and form.
type block struct {
	survey, way int // way −1: cross level
	at          *state
	y           []float64
	w           *mat.SymDense
	b           *mat.Dense // rows × features
	form        *form
	f           *mat.Dense // rows × knots of all ways
}

// weight returns the inverse covariance with the line (a constant, for slopes
// across) projected out.
func weight(p Profile, cross bool) (*mat.SymDense, error) {
	n := len(p.X)
	v := mat.NewSymDense(n, nil)
	v.CopySym(p.Cov)
	most := 0.0
	for i := range n {
		most = max(most, v.At(i, i))
	}
	floor := max(1e-18, 1e-6*most) // m², at least 1 nm: the first height is 0 by definition
	for i := range n {
		v.SetSym(i, i, v.At(i, i)+floor)
	}
	var chol mat.Cholesky
	if !chol.Factorize(v) {
		return nil, fmt.Errorf("its covariance is not positive")
	}
	w := mat.NewSymDense(n, nil)
	if err := chol.InverseTo(w); err != nil {
		return nil, err
	}
	d := 2
	if cross {
		d = 1
	}
	line := mat.NewDense(n, d, nil)
	mid := (p.X[0] + p.X[n-1]) / 2
	for i, x := range p.X {
		line.Set(i, 0, 1)
		if !cross {
			line.Set(i, 1, (x-mid)/max(p.X[n-1]-p.X[0], 1e-9))
		}
	}
	var wn, nwn, inv, out mat.Dense
	wn.Mul(w, line)
	nwn.Mul(line.T(), &wn)
	if err := inv.Inverse(&nwn); err != nil && inv.IsEmpty() {
		return nil, err
	}
	out.Product(&wn, &inv, wn.T())
	for i := range n {
		for j := i; j < n; j++ {
			w.SetSym(i, j, w.At(i, j)-(out.At(i, j)+out.At(j, i))/2)
		}
	}
	return w, nil
}

func (m *model) way(name string) int {
	return slices.IndexFunc(m.in.Ways, func(w beam.Way) bool { return w.Name == name })
}

// design fills the blocks of all surveys.
func (m *model) design() error {
	for i, s := range m.in.Surveys {
		p := m.in.Profiles[i]
		b := block{survey: i, way: -1, y: p.Height}
		if s.Instrument != CrossLevel {
			if b.way = m.way(s.Way); b.way < 0 {
				return fmt.Errorf("survey %q names the way %q, which the bed does not have", s.Name, s.Way)
			}
		}
		for _, st := range m.states {
			if slices.Contains(st.surveys, i) {
				b.at = st
			}
		}
		var err error
		if b.w, err = weight(p, b.way < 0); err != nil {
			return fmt.Errorf("survey %q: %w", s.Name, err)
		}
		b.b = m.features(b.at, p.X, b.way)
		m.rows = append(m.rows, b)
	}
	m.makeForms()
	return nil
}

// features returns how heights (or slopes across) at x answer to the features.
func (m *model) features(st *state, x []float64, way int) *mat.Dense {
	if way < 0 {
		hi, lo := m.featuresAt(st, x, 0.5), m.featuresAt(st, x, -0.5)
		hi.Sub(hi, lo)
		return hi
	}
	return m.featuresAt(st, x, m.in.Ways[way].Offset)
}

func (m *model) featuresAt(st *state, x []float64, offset float64) *mat.Dense {
	v := m.in.Standings[st.standing].Solver
	b := mat.NewDense(len(x), m.feats, nil)
	probe := v.Probe(x, offset)
	g := m.grads[st.grad].feat
	if st.stand == nil {
		base, stiff, warm := st.frozen[0].Read(probe), st.frozen[1].Read(probe), st.frozen[2].Read(probe)
		for i := range x {
			b.Set(i, featOne, base[i])
			b.Set(i, featLog, (stiff[i]-base[i])/math.Log(1.05))
			b.Set(i, g, warm[i]-base[i])
		}
		return b
	}
	l := v.LinearAt(probe, st.load)
	for i := range x {
		b.Set(i, featLoad, l.Loaded[i]+l.Turned[i])
		b.Set(i, g, l.Bowed[i])
		for j, c := range l.Bent[i] {
			c += l.Twisted[i][j]
			b.Set(i, st.feat+j, c)
		}
	}
	return b
}
