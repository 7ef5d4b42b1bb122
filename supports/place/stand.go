package place

import (
	"math"

	"gonum.org/v1/gonum/floats"

	"footwork/beam/shape"
	"footwork/internal/contact"
)

// arrangement stands a bed on a few of the sites, over and over, on memory of its own. Not for
// several goroutines at once.
type arrangement struct {
	lc      *loadCases
	s       *sites
	feet    []int     // of the sites
	heights []float64 // m, of the feet's tops; nil: all 0
	points  []contact.Point
	problem contact.Problem
	load    contact.Load
	stands  contact.Answer // of the case carried last
	line    []float64
	order   []int           // of the cases, that which failed last first
	cached  [][]cachedBound // of each case and way
}

func (lc *loadCases) arrange(s *sites) *arrangement {
	r := &arrangement{lc: lc, s: s, line: make([]float64, len(lc.Bed.Ways)*len(lc.x))}
	for k := range lc.cases {
		r.order = append(r.order, k)
		r.cached = append(r.cached, make([]cachedBound, len(lc.Bed.Ways)))
		for w := range r.cached[k] {
			r.cached[k][w] = cachedBound{k: k, way: w * len(lc.x)}
		}
	}
	return r
}

// stand puts the bed on feet of the sites, at heights (nil: all 0) and with
// stiffnesses (N/m; nil: the sites' own).
func (r *arrangement) stand(feet []int, heights, stiff []float64) {
	n := len(feet)
	r.feet, r.heights = feet, heights
	r.points, r.load.Built = r.points[:0], append(r.load.Built[:0], make([]float64, n)...)
	for _, a := range feet {
		f := r.s.all[a]
		r.points = append(r.points, contact.Point{X: f.At, Y: f.Offset, Held: f.Held})
	}
	h := r.problem.Reset(r.points)
	for i, a := range feet {
		for j, b := range feet {
			h[i*n+j] = r.s.comp[a][b]
		}
		k := r.s.all[a].Stiffness
		if stiff != nil {
			k = stiff[i]
		}
		h[i*n+i] += r.s.all[a].give + 1/k
	}
	r.touchAll()
}

// balance returns how many forces balance needs: three, or two on one line along the bed.
func (r *arrangement) balance() int {
	for _, p := range r.points {
		if p.Y != r.points[0].Y {
			return 3
		}
	}
	return 2
}

// touchAll makes all feet the first guess of what touches.
func (r *arrangement) touchAll() { r.stands.On = r.stands.On[:0] }

// solve finds the forces of the feet in a case, beginning with the contact of the case
// before; not ok when the bed tips.
func (r *arrangement) solve(k int) bool {
	for i, a := range r.feet {
		r.load.Built[i] = r.s.all[a].load[k]
		if r.heights != nil {
			r.load.Built[i] -= r.heights[i]
		}
	}
	r.load.Resultant[0] = r.lc.cases[k].Resultant
	return r.problem.Solve(r.load, &r.stands) == nil
}

// zone returns the larger of the ways' minimum zones in a case carried last, m; a
// lower value above limit when that is seen at once.
func (r *arrangement) zone(k int, limit float64) (zone float64) {
	if z := r.atLeast(k); z > limit {
		return z
	}
	return r.touch(k)
}

// atLeast returns what the zone of a case carried last is never below, by where it touched before.
func (r *arrangement) atLeast(k int) (zone float64) {
	for _, c := range r.cached[k] {
		zone = max(zone, r.bound(c))
	}
	return zone
}

// touch keeps where the minimum zones of the ways touch these in the case carried last, and returns the larger.
func (r *arrangement) touch(k int) (zone float64) {
	copy(r.line, r.lc.base[k])
	for i, a := range r.feet {
		if f := r.stands.Force[i]; f != 0 {
			floats.AddScaled(r.line, f, r.s.all[a].row())
		}
	}
	for w := range r.cached[k] {
		c := &r.cached[k][w]
		c.c = c.c.Again(r.lc.x, r.line[c.way:c.way+len(r.lc.x)])
		zone = max(zone, r.bound(*c))
	}
	return zone
}

// cachedBound is where the zone touched a way when a case was last looked at: the same
// three stations are a bound from below the next time.
type cachedBound struct {
	k, way int
	c      shape.Contacts
}

func (r *arrangement) bound(g cachedBound) float64 {
	at, left, right := g.c.At, g.c.Left, g.c.Right
	if left == right {
		return 0
	}
	x, base := r.lc.x, r.lc.base[g.k][g.way:]
	t := (x[at] - x[left]) / (x[right] - x[left])
	z := base[at] - (1-t)*base[left] - t*base[right]
	for i, a := range r.feet {
		if one, f := r.s.all[a], r.stands.Force[i]; f != 0 {
			z += f * (one.height(g.way+at) - (1-t)*one.height(g.way+left) - t*one.height(g.way+right))
		}
	}
	return math.Abs(z)
}

// worst returns the greatest zone of all cases, +Inf when the bed tips in one; a
// value above limit as soon as one case is: by the bounds of all cases first.
func (r *arrangement) worst(limit float64) (zone float64) {
	if !math.IsInf(limit, 1) {
		if zone = r.eachCase(limit, r.atLeast); zone > limit {
			return zone
		}
	}
	return r.eachCase(limit, func(k int) float64 { return r.zone(k, limit) })
}

// eachCase returns the greatest of a figure of all cases, as soon as one is above limit.
func (r *arrangement) eachCase(limit float64, figure func(k int) float64) (most float64) {
	for at, k := range r.order {
		if !r.solve(k) {
			most = math.Inf(1)
		} else {
			most = max(most, figure(k))
		}
		if most > limit {
			copy(r.order[1:at+1], r.order[:at])
			r.order[0] = k
			break
		}
	}
	return most
}
