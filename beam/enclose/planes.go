package enclose

import (
	"errors"
	"fmt"
	"math"

	"footwork/internal/convex"
	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"
)

const (
	onOneLine    = 1e-9 // points no farther from one line, as part of its length, are on it
	mostSwaps    = 200  // of points touching the planes before the linear programme takes over
	planeSettled = 1e-12
	singular     = 1e-12 // a pivot, of entries within ±1, below which four points have no planes of their own
)

// Planes finds planes about points that stay where they are in plan while their heights
// change, beginning each time with the points that touched last. Not for several goroutines
// at once: each has a copy.
type Planes struct {
	planeFit
	start touching
}

// NewPlanes returns planes about points · x, y m along and across, of one length.
func NewPlanes(x, y []float64) *Planes {
	p := &Planes{planeFit: *newPlaneFit(x, y)}
	if len(x) > 0 {
		p.start = p.spread()
	}
	return p
}

// Copy returns planes about the same points that begin where these have come to.
func (p *Planes) Copy() *Planes {
	c := *p
	c.h = nil
	return &c
}

// lift puts the points at heights.
func (p *Planes) lift(h []float64) {
	p.h, p.h0, p.size = append(p.h[:0], h...), 0, 0
	for _, v := range h {
		p.h0 += v / float64(len(h))
	}
	for i := range p.h {
		p.h[i] -= p.h0
		p.size = max(p.size, math.Abs(p.h[i]))
	}
}

// Zone returns the least vertical distance between two parallel planes that
// enclose all points, and the plane halfway between them, h = a + b·x + c·y · heights h in any
// unit, one of each point · zone ≥ 0 · for
// points on one line in plan, where the planes may roll about it, the slope across it
// is 0. Exact: E. L. Stiefel's exchange (Numerische Mathematik 1 (1959) 1–28), in
// which the four points whose own zone is greatest bound the zone of all from below; when
// it does not come to rest, the same as a linear programme · errors: no points, a
// number that is not finite.
func (p *Planes) Zone(h []float64) (zone, a, b, c float64, err error) {
	if err = p.check(h); err != nil {
		return 0, 0, 0, 0, err
	}
	p.lift(h)
	theta, bound, ok := p.exchange(&p.start)
	low, high := p.residuals(theta)
	if !ok || high-low-2*bound > 1e-9*(high-low)+planeSettled*p.size {
		p.start = p.spread()
		if theta, err = p.programme(); err != nil {
			return 0, 0, 0, 0, fmt.Errorf("zone of a plane: %w", err)
		}
		low, high = p.residuals(theta)
	}
	theta[0] += (low + high) / 2
	a, b, c = p.plane(theta)
	return high - low, a, b, c, nil
}

func (p *Planes) check(h []float64) error {
	if len(p.p) != len(h) {
		panic("enclose: a plane needs one x, y and h for each point")
	}
	if len(h) == 0 {
		return errors.New("a plane needs at least one point")
	}
	for i, q := range p.p {
		if s := q[1] + q[2] + h[i]; math.IsNaN(s) || math.IsInf(s, 0) {
			return fmt.Errorf("point %d of the plane is not finite", i+1)
		}
	}
	return nil
}

// planeFit holds the points in their own axes: each p is 1, the place along the axis
// of greatest spread and the place across it, both within ±1. Places that do not vary
// are left out, so the first dim entries of p are independent.
type planeFit struct {
	p        [][3]float64
	h        []float64
	dim      int
	size     float64 // largest |h| about the mean
	x, y, h0 float64 // centre
	cos, sin float64
	long     [2]float64 // lengths that are 1 in p
}

func newPlaneFit(x, y []float64) *planeFit {
	f := &planeFit{p: make([][3]float64, len(x)), dim: 1, long: [2]float64{1, 1}}
	n := float64(len(x))
	for i := range x {
		f.x, f.y = f.x+x[i]/n, f.y+y[i]/n
	}
	var xx, xy, yy, widest float64
	for i := range x {
		u, v := x[i]-f.x, y[i]-f.y
		xx, xy, yy = xx+u*u, xy+u*v, yy+v*v
		widest = max(widest, math.Abs(x[i]), math.Abs(y[i]))
	}
	f.sin, f.cos = math.Sincos(math.Atan2(2*xy, xx-yy) / 2)
	var most [2]float64
	for i := range x {
		u, v := x[i]-f.x, y[i]-f.y
		f.p[i] = [3]float64{1, f.cos*u + f.sin*v, f.cos*v - f.sin*u}
		most[0], most[1] = max(most[0], math.Abs(f.p[i][1])), max(most[1], math.Abs(f.p[i][2]))
	}
	if most[0] > onOneLine*widest {
		f.dim, f.long[0] = 2, most[0]
	}
	if f.dim == 2 && most[1] > onOneLine*most[0] {
		f.dim, f.long[1] = 3, most[1]
	}
	for i := range f.p {
		for k := 1; k < 3; k++ {
			f.p[i][k] /= f.long[k-1]
			if k >= f.dim {
				f.p[i][k] = 0
			}
		}
	}
	return f
}

// plane returns the coefficients in the caller's axes.
func (f *planeFit) plane(theta [3]float64) (a, b, c float64) {
	u, v := theta[1]/f.long[0], theta[2]/f.long[1]
	b, c = f.cos*u-f.sin*v, f.sin*u+f.cos*v
	return theta[0] + f.h0 - b*f.x - c*f.y, b, c
}

func (f *planeFit) residual(i int, theta [3]float64) float64 {
	p := &f.p[i]
	return f.h[i] - theta[0] - theta[1]*p[1] - theta[2]*p[2]
}

func (f *planeFit) residuals(theta [3]float64) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	for i := range f.h {
		e := f.residual(i, theta)
		low, high = min(low, e), max(high, e)
	}
	return low, high
}

// touching is dim+1 points that lie on the upper (+1) or lower (−1) plane of their own
// zone.
type touching struct {
	at   [4]int
	side [4]float64
}

// spread returns touching points without a zone: dim points far from each other, the first of
// them on both planes.
func (f *planeFit) spread() touching {
	r := touching{side: [4]float64{1, 1, 1, 1}}
	q := make([][3]float64, len(f.p))
	copy(q, f.p)
	for k := range f.dim { // Gram–Schmidt, the longest left over first
		most := 0.0
		for i, v := range q {
			if l := v[0]*v[0] + v[1]*v[1] + v[2]*v[2]; l > most {
				most, r.at[k] = l, i
			}
		}
		e := q[r.at[k]]
		for i, v := range q {
			t := (v[0]*e[0] + v[1]*e[1] + v[2]*e[2]) / most
			q[i] = [3]float64{v[0] - t*e[0], v[1] - t*e[1], v[2] - t*e[2]}
		}
	}
	r.at[f.dim], r.side[f.dim] = r.at[0], -1
	return r
}

// exchange returns the plane of the touching points with the greatest zone and half that
// zone, the simplex method on the dual, beginning at r, which it leaves there. ok is
// false when it did not come to rest.
func (f *planeFit) exchange(r *touching) (theta [3]float64, half float64, ok bool) {
	k := f.dim + 1
	for range mostSwaps {
		g, regular := f.inverse(*r)
		if !regular {
			return theta, half, false
		}
		half = 0
		theta = [3]float64{}
		for j := range k {
			sh := r.side[j] * f.h[r.at[j]]
			half += g[0][j] * sh
			for i := range f.dim {
				theta[i] += g[i+1][j] * sh
			}
		}
		worst, out := f.worst(theta)
		if math.Abs(out) <= half+1e-14*f.size {
			return theta, half, true
		}
		side := math.Copysign(1, out)
		leaves := f.leaves(g, worst, side)
		if leaves < 0 {
			return theta, half, false
		}
		r.at[leaves], r.side[leaves] = worst, side
	}
	return theta, half, false
}

func (f *planeFit) worst(theta [3]float64) (at int, out float64) {
	for i := range f.h {
		if e := f.residual(i, theta); math.Abs(e) > math.Abs(out) {
			at, out = i, e
		}
	}
	return at, out
}

// leaves returns which of the touching points the new one replaces so that all weights
// stay ≥ 0; the weights are the first row of g.
func (f *planeFit) leaves(g [4][4]float64, new int, side float64) int {
	leaves, least := -1, math.Inf(1)
	for j := range f.dim + 1 {
		v := g[0][j]
		for i := range f.dim {
			v += side * f.p[new][i] * g[i+1][j]
		}
		if v > 1e-10 && g[0][j]/v < least {
			leaves, least = j, g[0][j]/v
		}
	}
	return leaves
}

// inverse returns that of the matrix with rows 1, side·p for the touching ones, by elimination
// with row exchanges beside the unit matrix.
func (f *planeFit) inverse(r touching) (g [4][4]float64, regular bool) {
	k := f.dim + 1
	var m [4][8]float64
	for j := range k {
		m[j][0], m[j][4+j] = 1, 1
		for i := range f.dim {
			m[j][i+1] = r.side[j] * f.p[r.at[j]][i]
		}
	}
	for col := range k {
		for j := col + 1; j < k; j++ {
			if math.Abs(m[j][col]) > math.Abs(m[col][col]) {
				m[col], m[j] = m[j], m[col]
			}
		}
		if math.Abs(m[col][col]) < singular {
			return g, false
		}
		floats.Scale(1/m[col][col], m[col][:])
		for j := range k {
			if j != col {
				floats.AddScaled(m[j][:], -m[j][col], m[col][:])
			}
		}
	}
	for j := range k {
		copy(g[j][:], m[j][4:])
	}
	return g, true
}

// programme finds the plane as a linear programme: the least z ≥ ±residual.
func (f *planeFit) programme() (theta [3]float64, err error) {
	n := f.dim + 1
	p := convex.Program{C: make([]float64, n), In: mat.NewDense(2*len(f.h), n, nil), B: make([]float64, 2*len(f.h))}
	p.C[f.dim] = 1
	for i, h := range f.h {
		for k, side := range []float64{1, -1} {
			row := p.In.RawRowView(2*i + k)
			for j := range f.dim {
				row[j] = side * f.p[i][j]
			}
			row[f.dim], p.B[2*i+k] = 1, side*h
		}
	}
	s, err := convex.Linear(p)
	if err != nil {
		return theta, err
	}
	copy(theta[:], s.X[:f.dim])
	return theta, nil
}
