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

// drawn is the form of one sample, and its elastic parts, on one way.
type drawn struct{ sag, feet, heat, form []float64 }

func (d drawn) whole() []float64 {
	y := make([]float64, len(d.sag))
	for i := range y {
		y[i] = d.sag[i] + d.feet[i] + d.heat[i] + d.form[i]
	}
	return y
}

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
			(last == nil || later(m.in.Surveys[r.survey], m.in.Surveys[last.survey])) {
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

// drawForms draws the latest form of every sample, at its knots.
func (m *model) drawForms(s *samples) [][]float64 {
	f := m.forms[len(m.forms)-1]
	chols := map[int]*mat.Cholesky{}
	out := make([][]float64, len(s.points))
	for k, p := range s.points {
		if chols[p.kern] == nil {
			chols[p.kern], _ = f.posterior(s.gs[p.kern].kernel)
		}
		chol := chols[p.kern]
		var rhs, mean mat.VecDense
		rhs.MulVec(f.ap, mat.NewVecDense(m.feats, p.phi))
		rhs.SubVec(mat.NewVecDense(f.size, f.a), &rhs)
		mustCondition(chol.SolveVecTo(&mean, &rhs))
		z := mat.NewVecDense(f.size, nil)
		for i := range f.size {
			z.SetVec(i, s.rng.NormFloat64())
		}
		u := chol.RawU()
		var noise mat.VecDense
		mustCondition(noise.SolveVec(u, z))
		mean.AddVec(&mean, &noise)
		out[k] = mean.RawVector().Data
	}
	return out
}

// at returns a drawn form at the stations x of a way.
func (f *form) at(knots []float64, x []float64, way int) []float64 {
	m := mat.NewDense(len(x), f.size, nil)
	f.add(m, x, way, 1)
	var y mat.VecDense
	y.MulVec(m, mat.NewVecDense(f.size, knots))
	return y.RawVector().Data
}

// parts fills in the parts of one way, as last surveyed.
func (m *model) parts(s *samples, forms [][]float64, r *block, out *Matched) {
	p := m.in.Profiles[r.survey]
	st := r.at
	design := m.features(st, p.X, r.way)
	latest := m.forms[len(m.forms)-1]
	var draws []drawn
	for k, q := range s.points {
		d := m.elastic(q, st, design)
		d.form = latest.at(forms[k], p.X, r.way)
		draws = append(draws, d)
		out.Scenarios[k].Form = append(out.Scenarios[k].Form, d.form)
	}
	w := WayParts{Name: m.in.Ways[r.way].Name, X: p.X}
	for _, c := range []struct {
		to  *Curve
		get func(drawn) []float64
	}{
		{&w.Sag, func(d drawn) []float64 { return d.sag }},
		{&w.Feet, func(d drawn) []float64 { return d.feet }},
		{&w.Heat, func(d drawn) []float64 { return d.heat }},
		{&w.Form, func(d drawn) []float64 { return d.form }},
		{&w.Whole, drawn.whole},
	} {
		*c.to = curve(p.X, draws, c.get)
	}
	w.Measured = measured(p)
	w.Rest = make([]float64, len(p.X))
	for i := range w.Rest {
		w.Rest[i] = w.Measured.Y[i] - w.Whole.Y[i]
	}
	out.Ways = append(out.Ways, w)
	if zone := beam.Zone(p.X, w.Measured.Y); zone >= out.Zone {
		out.Zone, out.ZoneWay = zone, w.Name
		out.Explained = shares(w, draws, out)
	}
}

// elastic returns a sample's elastic parts in a state: sag on level feet, what
// heat adds to it, and what the feet's heights add.
func (m *model) elastic(p *point, st *state, design *mat.Dense) drawn {
	phi := slices.Clone(p.phi)
	read := func() []float64 {
		var y mat.VecDense
		y.MulVec(design, mat.NewVecDense(len(phi), phi))
		return y.RawVector().Data
	}
	all := read()
	g := m.grads[st.grad]
	dT := phi[g.feat]
	stand := func(gradient float64) []float64 {
		phi[g.feat] = gradient
		if st.stand == nil {
			return read()
		}
		b, f, _ := m.factors(p)
		var q pose
		level := make([]float64, len(m.heights[st.standing]))
		if !st.stand.solve(b, f, level, gradient, &q) {
			return all
		}
		for j, r := range q.force {
			phi[st.feat+j] = r / b
		}
		return read()
	}
	d := drawn{sag: stand(0)}
	warm := stand(dT)
	d.heat, d.feet = make([]float64, len(all)), make([]float64, len(all))
	for i := range all {
		d.heat[i] = warm[i] - d.sag[i]
		d.feet[i] = all[i] - warm[i]
	}
	return d
}

// curve returns mean and standard deviation of a part about its ends.
func curve(x []float64, draws []drawn, get func(drawn) []float64) Curve {
	n := len(x)
	sum, sq := make([]float64, n), make([]float64, n)
	for _, d := range draws {
		for i, y := range (beam.Shape{X: x, Y: get(d)}).AboutEnds().Y {
			sum[i] += y
			sq[i] += y * y
		}
	}
	c, k := Curve{sum, sq}, float64(len(draws))
	for i := range sum {
		sum[i] /= k
		sq[i] = math.Sqrt(max(0, sq[i]/k-sum[i]*sum[i]) * k / max(1, k-1))
	}
	return c
}

// measured returns a profile about its ends with its standard deviation.
func measured(p Profile) Curve {
	n := len(p.X)
	c := Curve{p.Shape().AboutEnds().Y, make([]float64, n)}
	for i, x := range p.X {
		t := (x - p.X[0]) / (p.X[n-1] - p.X[0])
		at, by := []int{i, 0, n - 1}, []float64{1, t - 1, -t}
		v := 0.0
		for a, j := range at {
			for b, k := range at {
				v += by[a] * by[b] * p.Cov.At(j, k)
			}
		}
		c.Sigma[i] = math.Sqrt(max(0, v))
	}
	return c
}

// shares parts the measured zone: it is the height of one station over the line
// through two others, and every part has its own such height. They add up.
func shares(w WayParts, draws []drawn, out *Matched) []Share {
	c := beam.ZoneContacts(w.X, w.Measured.Y)
	t := (w.X[c.At] - w.X[c.Left]) / (w.X[c.Right] - w.X[c.Left])
	over := func(y []float64) float64 { return y[c.At] - (1-t)*y[c.Left] - t*y[c.Right] }
	sign := 1.0
	if over(w.Measured.Y) < 0 {
		sign = -1
	}
	part := func(name string, told bool, get func(drawn) []float64) Share {
		v := make([]float64, len(draws))
		for i, d := range draws {
			v[i] = sign * over(get(d))
		}
		e := estimate(v, math.Inf(1))
		return Share{name, e.Value, (e.High - e.Low) / 2, told}
	}
	list := []Share{
		part("feet", true, func(d drawn) []float64 { return d.feet }),
		part("sag", true, func(d drawn) []float64 { return d.sag }),
		part("heat", out.Gradient.Told, func(d drawn) []float64 { return d.heat }),
		part("metal", true, func(d drawn) []float64 { return d.form }),
	}
	return append(list, Share{"rest", sign * over(w.Rest), 0, true})
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
