package survey

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

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

// drawForms draws the form of every way as it was last seen, at the knots of all
// ways, for every sample.
func (m *model) drawForms(s *samples) [][]float64 {
	out := make([][]float64, len(s.points))
	for k := range out {
		out[k] = make([]float64, m.forms[0].size)
	}
	seen := m.lastSeen()
	for _, f := range m.forms {
		if !slices.Contains(seen, f) {
			continue
		}
		for k, drawn := range m.drawForm(s, f) {
			for w, last := range seen {
				if last == f {
					copy(out[k][f.first[w]:], drawn[f.first[w]:f.first[w]+len(f.knots[w])])
				}
			}
		}
	}
	return out
}

// lastSeen returns for each way the form of the last pass in which a survey saw it:
// a way that nobody looked at is taken as not worked on.
func (m *model) lastSeen() []*form {
	lo, hi := m.outerWays()
	seen := make([]*form, len(m.in.Ways))
	for w := range seen {
		var last *Survey
		seen[w] = m.forms[len(m.forms)-1]
		for _, r := range m.rows {
			s, across := &m.in.Surveys[r.survey], r.way < 0 && (w == lo || w == hi)
			if (r.way == w || across) && (last == nil || s.Later(*last)) {
				last, seen[w] = s, r.form
			}
		}
	}
	return seen
}

// drawForm draws one form for every sample.
func (m *model) drawForm(s *samples, f *form) [][]float64 {
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
