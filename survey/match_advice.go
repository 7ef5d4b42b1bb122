package survey

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"footwork/beam"
)

const (
	trialMove  = 20e-6 // m, of the move that is asked about
	mostTried  = 48    // scenarios in a question about information
	feelEffort = 0.1   // of feeling a foot, in surveys; common practice, no source
)

// advise returns what one more measurement would tell, most for its effort first:
// to feel a foot, to move one and survey again, or to survey a standing that
// leaves nothing to the feet. Bits are those of the answer about the scenarios.
func (m *model) advise(s *samples, out *Matched, forms [][]float64) (list []Advice) {
	if m.now.stand == nil {
		return nil
	}
	n := min(mostTried, len(s.points))
	feet := m.in.Standings[m.now.standing].Standing.Feet
	for i, f := range feet {
		if b := entropy(out.Feet[i].Carries); b > 0 {
			list = append(list, Advice{Foot: f.Name, Feel: true, Bits: b})
		}
	}
	info := m.surveyInformation()
	for i, f := range feet {
		best := Advice{Foot: f.Name}
		for _, d := range []float64{trialMove, -trialMove} {
			if bits := m.moveBits(s.points[:n], info, i, d); bits > best.Bits {
				best.Raise, best.Bits = d, bits
			}
		}
		if best.Bits > 0 {
			list = append(list, best)
		}
	}
	for k, v := range m.in.Standings {
		if m.heights[k] == nil && len(v.Standing.Feet) == 0 && !m.surveyed(v.Standing.Name) {
			list = append(list, Advice{Other: v.Standing.Name, Bits: m.formBits(forms[:n])})
		}
	}
	worth := func(a Advice) float64 {
		if a.Feel {
			return a.Bits / feelEffort
		}
		return a.Bits
	}
	slices.SortStableFunc(list, func(a, b Advice) int {
		if worth(a) > worth(b) {
			return -1
		}
		return 1
	})
	return list
}

// entropy returns the bits of an answer that is yes with probability p.
func entropy(p float64) float64 {
	if p <= 1e-9 || p >= 1-1e-9 {
		return 0
	}
	return -p*math.Log2(p) - (1-p)*math.Log2(1-p)
}

func (m *model) surveyed(standing string) bool {
	return slices.ContainsFunc(m.in.Surveys, func(s Survey) bool { return s.Standing == standing })
}

// lastRows returns the last survey of each way and the last twist in the standing asked for.
func (m *model) lastRows() (list []*block) {
	for way := -1; way < len(m.in.Ways); way++ {
		if r := m.latest(way); r != nil {
			list = append(list, r)
		}
	}
	return list
}

// surveyInformation returns BᵀWB/2: what the difference of two surveys like the
// last ones tells of a change of features in the present state.
func (m *model) surveyInformation() *mat.SymDense {
	sum := mat.NewDense(m.feats, m.feats, nil)
	for _, r := range m.lastRows() {
		b := m.features(m.now, m.in.Profiles[r.survey].X, r.way)
		var one mat.Dense
		one.Product(b.T(), r.w, b)
		sum.Add(sum, &one)
	}
	info := mat.NewSymDense(m.feats, nil)
	for i := range m.feats {
		for j := i; j < m.feats; j++ {
			info.SetSym(i, j, (sum.At(i, j)+sum.At(j, i))/4)
		}
	}
	return info
}

// moveBits returns the information of moving a foot by d and surveying again.
func (m *model) moveBits(points []*point, info *mat.SymDense, foot int, d float64) float64 {
	changes := make([][]float64, 0, len(points))
	st := m.now
	for _, p := range points {
		b, f, _ := m.factors(p)
		h := m.heightsOf(p, st, nil)
		h[foot] += d
		var q pose
		if !st.stand.solve(b, f, h, m.value(p, m.grads[st.grad].index), &q) {
			return 0
		}
		c := make([]float64, m.feats)
		for j, r := range q.force {
			c[st.feat+j] = (r - p.poses[m.index(st)].force[j]) / b
		}
		changes = append(changes, c)
	}
	return information(changes, info)
}

// formBits returns the information of a survey that shows the form alone.
func (m *model) formBits(forms [][]float64) (sum float64) {
	f := m.forms[len(m.forms)-1]
	for _, r := range m.lastRows() {
		if r.way < 0 {
			continue
		}
		var seen [][]float64
		for _, k := range forms {
			seen = append(seen, f.at(k, m.in.Profiles[r.survey].X, r.way))
		}
		sum += information(seen, r.w)
	}
	return sum
}

// information returns ½ log₂ det(1 + C·W), with C the covariance of vectors over their
// mean and W the information that a measurement has of them.
func information(v [][]float64, w *mat.SymDense) float64 {
	n, d := len(v), len(v[0])
	a := mat.NewDense(n, d, nil)
	for j := range d {
		col := make([]float64, n)
		for i := range v {
			col[i] = v[i][j]
		}
		mean := stat.Mean(col, nil)
		for i := range v {
			a.Set(i, j, (v[i][j]-mean)/math.Sqrt(float64(n-1)))
		}
	}
	var g mat.Dense
	g.Product(a, w, a.T())
	s := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			s.SetSym(i, j, (g.At(i, j)+g.At(j, i))/2)
		}
		s.SetSym(i, i, s.At(i, i)+1)
	}
	var chol mat.Cholesky
	if !chol.Factorize(s) {
		return 0
	}
	return chol.LogDet() / 2 / math.Ln2
}

// responses compares what known moves did with what the bed as described in the
// job would have done: the change, about the ends, of the way nearest to the foot.
func (m *model) responses(s *samples) (list []FootResponse) {
	for i := range m.rows {
		after := &m.rows[i]
		before := m.rowBefore(after)
		if before == nil {
			continue
		}
		for _, k := range after.at.moves[len(before.at.moves):] {
			v := m.in.Moves[k]
			foot := m.in.Standings[after.at.standing].Standing.Feet[footIndex(m.in.Standings[after.at.standing].Standing, v.Foot)]
			if m.nearestWay(foot.Offset) == after.way {
				list = append(list, m.response(s, before, after, v, foot.At))
			}
		}
	}
	return list
}

// rowBefore returns the last survey of the same way, standing and pass with fewer moves.
func (m *model) rowBefore(after *block) (best *block) {
	for i := range m.rows {
		r := &m.rows[i]
		if after.way >= 0 && r.way == after.way && r.form == after.form && r.at.standing == after.at.standing && r.at.stand != nil &&
			len(r.at.moves) < len(after.at.moves) && (best == nil || len(r.at.moves) > len(best.at.moves)) {
			best = r
		}
	}
	return best
}

func (m *model) response(s *samples, before, after *block, v Move, x float64) FootResponse {
	out := FootResponse{Foot: v.Foot, Survey: m.in.Surveys[after.survey].Name, Before: m.in.Surveys[before.survey].Name, Raise: v.Raise}
	p, q := m.in.Profiles[before.survey], m.in.Profiles[after.survey]
	x = min(max(x, p.X[0]), p.X[len(p.X)-1])
	out.Observed = q.Shape().AboutEnds().At(x) - p.Shape().AboutEnds().At(x)
	var nominal []float64
	for _, one := range s.points {
		a, b := m.nominalAt(one, before), m.nominalAt(one, after)
		nominal = append(nominal, b.AboutEnds().At(x)-a.AboutEnds().At(x))
	}
	out.Predicted, out.Sigma = stat.MeanStdDev(nominal, nil)
	was, is := measured(p).Sigma, measured(q).Sigma
	out.Sigma = math.Hypot(out.Sigma, math.Hypot(beam.Shape{X: p.X, Y: was}.At(x), beam.Shape{X: q.X, Y: is}.At(x)))
	return out
}

// elasticAt returns the elastic shape that features give at a survey's stations.
func (m *model) elasticAt(phi []float64, r *block) beam.Shape {
	var y mat.VecDense
	y.MulVec(r.b, mat.NewVecDense(len(phi), phi))
	return beam.Shape{X: m.in.Profiles[r.survey].X, Y: y.RawVector().Data}
}

// nominalAt returns the shape for a sample's heights on the bed and feet as the
// job describes them.
func (m *model) nominalAt(p *point, r *block) beam.Shape {
	phi, st := slices.Clone(p.phi), r.at
	var q pose
	if st.stand.solve(1, 1, m.heightsOf(p, st, nil), m.value(p, m.grads[st.grad].index), &q) {
		phi[featLoad] = 1
		copy(phi[st.feat:], q.force)
	}
	return m.elasticAt(phi, r)
}
