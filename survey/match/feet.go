package match

import (
	"math"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"footwork/beam"
)

// feet fills in what is known of the feet.
func (m *model) feet(all []*point, out *Result) {
	s := m.states[m.now]
	if s.frozen {
		return
	}
	feet := m.in.Standings[s.standing].Feet
	off := offPlane(feet, out.Reference)
	for f := range feet {
		prior := 0.0
		for j := range feet {
			prior += square(off.At(f, j) * m.sd[m.home[s.standing][j]])
		}
		h := m.above(off, s.standing, f)
		t := Foot{Softer: 0.5, Height: estimate(collect(all, h), math.Sqrt(prior)),
			Load:   estimate(collect(all, func(p *point) float64 { return p.bed.loads[f] }), math.Inf(1)),
			Factor: estimate(collect(all, func(p *point) float64 { return math.Log(m.footFactor(p.z, s.standing, f)) }), math.Hypot(m.sd[m.bend+2], footSD)).exp(),
			Own:    estimate(collect(all, func(p *point) float64 { return m.departs(p.z, s.standing, f) }), footSD).exp()}
		var gaps []float64
		for _, p := range all {
			if p.bed.loads[f] > nothing*s.mean {
				t.Carries += 1 / float64(len(all))
			} else {
				gaps = append(gaps, p.bed.gaps[f])
			}
		}
		if len(gaps) > 1 {
			t.Gap = estimate(gaps, math.Sqrt(prior))
		}
		if t.Between = between(feet, out.Reference, f); t.Between[0] >= 0 {
			t.Above = estimate(collect(all, m.overLine(feet, f, t.Between)), math.Sqrt(prior))
		}
		out.Foot = append(out.Foot, t)
	}
	m.softer(all, out)
}

// between returns the nearest feet of the reference on either side of a foot in its row.
func between(feet []beam.Foot, ref []int, foot int) [2]int {
	side := [2]int{-1, -1}
	wide := 0.0
	for _, o := range feet {
		wide = max(wide, math.Abs(o.Offset-feet[foot].Offset))
	}
	for _, r := range ref {
		far := feet[r].At - feet[foot].At
		k := 0
		if far > 0 {
			k = 1
		}
		inRow := far != 0 && math.Abs(feet[r].Offset-feet[foot].Offset) <= wide/4
		if o := side[k]; inRow && (o < 0 || math.Abs(far) < math.Abs(feet[o].At-feet[foot].At)) {
			side[k] = r
		}
	}
	if min(side[0], side[1]) < 0 {
		return [2]int{-1, -1}
	}
	return side
}

// overLine returns how far a foot stands above the line through two others, beside what the
// standing says of it.
func (m *model) overLine(feet []beam.Foot, foot int, line [2]int) func(p *point) float64 {
	a, b := line[0], line[1]
	u := (feet[foot].At - feet[a].At) / (feet[b].At - feet[a].At)
	of := func(h func(f int) float64) float64 { return h(foot) - (1-u)*h(a) - u*h(b) }
	given := of(func(f int) float64 { return feet[f].Height })
	return func(p *point) float64 { return of(func(f int) float64 { return p.bed.heights[f] }) - given }
}

// above returns how far a foot stands above the plane of the reference, beside what the
// standing says of it.
func (m *model) above(off *mat.Dense, standing, foot int) func(p *point) float64 {
	row := off.RawRowView(foot)
	given := 0.0
	for j, f := range m.in.Standings[standing].Feet {
		given += row[j] * f.Height
	}
	return func(p *point) float64 { return floats.Dot(row, p.bed.heights) - given }
}

// ofFeet returns what is reported of each foot: where it stands, its load and its stiffness.
func (m *model) ofFeet(ref []int) (list []func(p *point) float64) {
	s := m.states[m.now]
	if s.frozen {
		return nil
	}
	feet := m.in.Standings[s.standing].Feet
	off := offPlane(feet, ref)
	for f := range feet {
		list = append(list, m.above(off, s.standing, f), func(p *point) float64 { return p.bed.loads[f] },
			func(p *point) float64 { return m.footFactor(p.z, s.standing, f) })
	}
	return list
}

// reference returns the feet that carry in most draws and in which the plane of heights
// is laid; all feet where those that carry lie on one line.
func (m *model) reference(list [chains][]*point) (ref []int) {
	s := m.states[m.now]
	if s.frozen {
		return nil
	}
	feet := m.in.Standings[s.standing].Feet
	for f := range feet {
		carries, all := 0, 0
		for _, c := range list {
			for _, p := range c {
				all++
				if p.bed.loads[f] > nothing*s.mean {
					carries++
				}
			}
		}
		if 2*carries >= all {
			ref = append(ref, f)
		}
	}
	if planar(feet, ref) {
		return ref
	}
	ref = ref[:0]
	for f := range feet {
		ref = append(ref, f)
	}
	return ref
}

// nothing is the share of the mean load below which a foot carries nothing.
const nothing = 1e-6

// planar tells whether feet span a plane.
func planar(feet []beam.Foot, ref []int) bool {
	if len(ref) < 3 {
		return false
	}
	a := plane(feet, ref)
	var svd mat.SVD
	return svd.Factorize(a, mat.SVDNone) && svd.Rank(1e-9) == 3
}

func plane(feet []beam.Foot, ref []int) *mat.Dense {
	a := mat.NewDense(len(ref), 3, nil)
	for i, f := range ref {
		a.SetRow(i, []float64{1, feet[f].At, feet[f].Offset})
	}
	return a
}

// offPlane returns the matrix that takes heights of all feet to what they stand above
// the least-squares plane of the reference.
func offPlane(feet []beam.Foot, ref []int) *mat.Dense {
	n := len(feet)
	out := mat.NewDense(n, n, nil)
	for i := range n {
		out.Set(i, i, 1)
	}
	if len(ref) < 3 {
		return out
	}
	all := make([]int, n)
	for i := range all {
		all[i] = i
	}
	a := plane(feet, ref)
	var svd mat.SVD
	if !svd.Factorize(a, mat.SVDThin) {
		return out
	}
	unit := mat.NewDense(len(ref), n, nil)
	for i, f := range ref {
		unit.Set(i, f, 1)
	}
	var fit, less mat.Dense
	svd.SolveTo(&fit, unit, svd.Rank(1e-9))
	less.Mul(plane(feet, all), &fit)
	out.Sub(out, &less)
	return out
}
