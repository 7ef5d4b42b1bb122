package survey

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat"

	"footwork/beam"
)

// report turns the samples into what people read and planners use.
func (m *model) report(s *samples) Matched {
	out := Matched{Standing: m.in.Standing, Kernel: s.gs[s.best.kern].kernel, Warnings: m.warn}
	b, f := m.logFactors(s)
	out.Bed, out.FootGive = factor(b, bedSD), factor(f, m.footSD)
	g := m.grads[m.now.grad].index
	out.Gradient = estimate(m.column(s, g), m.sd[g])
	forms := m.drawForms(s)
	m.present(s, &out)
	for w := range m.in.Ways {
		if r := m.latest(w); r != nil {
			m.parts(s, forms, r, &out)
		}
	}
	out.Tied = m.tied(s, forms)
	out.Responses = m.responses(s)
	out.Advice = m.advise(s, &out, forms)
	m.caution(&out)
	out.Doubts = m.doubts(s)
	return out
}

// column returns one unknown over the samples, SI.
func (m *model) column(s *samples, i int) []float64 {
	v := make([]float64, len(s.points))
	for k, p := range s.points {
		v[k] = m.value(p, i)
	}
	return v
}

// logFactors returns log b and log f over the samples.
func (m *model) logFactors(s *samples) (b, f []float64) {
	for _, p := range s.points {
		x, y, _ := m.factors(p)
		b, f = append(b, math.Log(x)), append(f, math.Log(y))
	}
	return b, f
}

// told: the data took at least three tenths off the prior's standard deviation.
const toldBelow = 0.7

func estimate(v []float64, prior float64) Estimate {
	sorted := slices.Clone(v)
	sort.Float64s(sorted)
	mean, sd := stat.MeanStdDev(v, nil)
	return Estimate{Value: mean, Low: quantile(sorted, 0.025), High: quantile(sorted, 0.975), Told: sd < toldBelow*prior}
}

// quantile interpolates, so that few samples still reach out.
func quantile(sorted []float64, q float64) float64 {
	n := len(sorted)
	t := q*float64(n) - 0.5
	i := int(math.Floor(t))
	switch {
	case i < 0:
		return sorted[0]
	case i >= n-1:
		return sorted[n-1]
	}
	return sorted[i] + (t-float64(i))*(sorted[i+1]-sorted[i])
}

// factor turns logarithms of a factor into its estimate. They are near enough to
// normal for the interval to come from mean and deviation, which few samples tell
// better than their own outermost values.
func factor(log []float64, prior float64) Estimate {
	mean, sd := stat.MeanStdDev(log, nil)
	return Estimate{math.Exp(mean), math.Exp(mean - 2*sd), math.Exp(mean + 2*sd), sd < toldBelow*prior}
}

// latest returns the last survey of a way in the standing asked for.
func (m *model) latest(way int) (last *block) {
	for i := range m.rows {
		r := &m.rows[i]
		if r.way == way && m.in.Surveys[r.survey].Standing == m.in.Standing &&
			(last == nil || m.in.Surveys[r.survey].Later(m.in.Surveys[last.survey])) {
			last = r
		}
	}
	return last
}

// present fills in the feet as they stand now and the scenarios.
func (m *model) present(s *samples, out *Matched) {
	feet := m.in.Standings[m.now.standing].Standing.Feet
	sets := map[string]*ContactSet{}
	for _, p := range s.points {
		c := Scenario{Gradient: m.value(p, m.grads[m.now.grad].index)}
		c.BedFactor, c.FootFactor, _ = m.factors(p)
		var hang []string
		if m.now.stand != nil {
			c.Heights = m.heightsOf(p, m.now, nil)
			c.Loads, c.Gaps = m.onFeet(m.now, &p.poses[m.index(m.now)])
			for i, f := range feet {
				if c.Loads[i] <= nothing*m.now.stand.want[0] {
					hang = append(hang, f.Name)
				}
			}
		}
		out.Scenarios = append(out.Scenarios, c)
		key := fmt.Sprint(hang)
		if sets[key] == nil {
			sets[key] = &ContactSet{Hanging: hang}
		}
		sets[key].Probability += 1 / float64(len(s.points))
	}
	for _, c := range sets {
		out.Sets = append(out.Sets, *c)
	}
	slices.SortFunc(out.Sets, func(a, b ContactSet) int {
		if a.Probability != b.Probability {
			return map[bool]int{true: -1, false: 1}[a.Probability > b.Probability]
		}
		return slices.Compare(a.Hanging, b.Hanging)
	})
	if m.now.stand != nil {
		m.believe(feet, out)
	}
}

func (m *model) index(st *state) int { return slices.Index(m.states, st) }

// onFeet sums points to feet.
func (m *model) onFeet(st *state, p *pose) (loads, gaps []float64) {
	n := len(m.in.Standings[st.standing].Standing.Feet)
	loads, gaps = make([]float64, n), make([]float64, n)
	for i := range gaps {
		gaps[i] = math.Inf(1)
	}
	for i, f := range st.stand.foot {
		if f >= 0 {
			loads[f] += p.force[i]
			gaps[f] = min(gaps[f], p.gap[i])
		}
	}
	return loads, gaps
}

// nothing is the share of the bed's weight below which a foot carries nothing.
const nothing = 1e-6

// believe fills in the feet's heights and loads over the scenarios.
func (m *model) believe(feet []beam.Foot, out *Matched) {
	prior := m.sd[m.heights[m.now.standing][0]] * math.Sqrt(max(1, float64(len(feet))-3)/float64(len(feet)))
	level := make([][]float64, len(out.Scenarios))
	for k, c := range out.Scenarios {
		dev := make([]float64, len(feet))
		for i, f := range feet {
			dev[i] = c.Heights[i] - f.Height
		}
		level[k] = offPlane(feet, dev)
	}
	for i, f := range feet {
		b := FootBelief{Name: f.Name}
		var h, r, gap []float64
		for k, c := range out.Scenarios {
			h, r = append(h, level[k][i]), append(r, c.Loads[i])
			if c.Loads[i] > nothing*m.now.stand.want[0] {
				b.Carries += 1 / float64(len(out.Scenarios))
			} else {
				gap = append(gap, c.Gaps[i])
			}
		}
		b.Height, b.Load = estimate(h, prior), estimate(r, math.Inf(1))
		if len(gap) > 1 {
			b.Gap = estimate(gap, prior)
		}
		out.Feet = append(out.Feet, b)
	}
}

// offPlane returns heights less their least-squares plane over the feet.
func offPlane(feet []beam.Foot, h []float64) []float64 {
	a := mat.NewDense(len(feet), 3, nil)
	for i, f := range feet {
		a.SetRow(i, []float64{1, f.At, f.Offset})
	}
	var x mat.VecDense
	var svd mat.SVD
	out := slices.Clone(h)
	if !svd.Factorize(a, mat.SVDThin) {
		return out
	}
	svd.SolveVecTo(&x, mat.NewVecDense(len(h), h), svd.Rank(1e-9))
	for i, f := range feet {
		out[i] -= x.AtVec(0) + x.AtVec(1)*f.At + x.AtVec(2)*f.Offset
	}
	return out
}

// tied returns pairs of unknowns whose estimates move together.
func (m *model) tied(s *samples, forms [][]float64) (list []Pair) {
	if m.now.stand == nil || len(s.points) < 8 {
		return nil
	}
	names := []string{"bed stiffness", "foot stiffness", "heat"}
	b, f := m.logFactors(s)
	cols := [][]float64{b, f, m.column(s, m.grads[m.now.grad].index)}
	feet := m.in.Standings[m.now.standing].Standing.Feet
	level := make([][]float64, len(feet))
	over := make([][]float64, len(feet))
	latest := m.forms[len(m.forms)-1]
	for k, p := range s.points {
		for i, h := range offPlane(feet, m.heightsOf(p, m.now, nil)) {
			level[i] = append(level[i], h)
		}
		for i, f := range feet {
			w := m.nearestWay(f.Offset)
			x := latest.knots[w]
			y := beam.Shape{X: x, Y: forms[k][latest.first[w] : latest.first[w]+len(x)]}
			over[i] = append(over[i], y.At(f.At)-y.EndsLine().At(f.At))
		}
	}
	for i, f := range feet {
		names = append(names, "height of "+f.Name)
		cols = append(cols, level[i])
	}
	for i, f := range feet {
		names = append(names, "metal over "+f.Name)
		cols = append(cols, over[i])
	}
	for i := range cols {
		for j := range i {
			if c := stat.Correlation(cols[j], cols[i], nil); math.Abs(c) > 0.8 {
				list = append(list, Pair{names[j], names[i], c})
			}
		}
	}
	return list
}

func (m *model) nearestWay(offset float64) (best int) {
	for i, w := range m.in.Ways {
		if math.Abs(w.Offset-offset) < math.Abs(m.in.Ways[best].Offset-offset) {
			best = i
		}
	}
	return best
}

// caution adds what a reader must know beside the numbers.
func (m *model) caution(out *Matched) {
	for _, f := range out.Feet {
		if f.Carries > 0.1 && f.Carries < 0.9 {
			out.Warnings = append(out.Warnings, fmt.Sprintf("%s carries with %.0f %% probability: feel it (loose or tight) to know", f.Name, 100*f.Carries))
		}
	}
}
