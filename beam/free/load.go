package free

import (
	"cmp"
	"fmt"
	"slices"

	"footwork/beam/casting"
)

// New cuts a bed as cast into so many cells (0: 5000) with a node under every weight and at further places. It is an
// error when a weight lies off the bed.
func New(b casting.Bed, weights []casting.Weight, cells int, at []float64) (*Bed, error) {
	at = slices.Clone(at)
	for _, w := range weights {
		if w.At < 0 || w.At > b.Length {
			return nil, fmt.Errorf("weight %q at %g m lies off the bed", w.Name, w.At)
		}
		at = append(at, w.At)
	}
	g := newGrid(b, cmp.Or(cells, defaultCells), at)
	g.dead = g.ownWeight(b).with(g, weights, nil)
	return g, nil
}

// Line is a load spread along the bed, N/m downwards, straight from Start to End.
type Line struct {
	From, To   float64 // m along the bed
	Offset     float64 // m across the bed
	Start, End float64 // N/m
}

// Load is what the bed's own weight and more do to it.
type Load struct {
	bed       *Bed
	shape     curves
	pressed   compressions
	Resultant [3]float64 // N, N·m, N·m: Σ F, Σ F·x, Σ F·y
}

// Under returns the bed under its own weight and those on it, further
// weights and lines, and a top warmer by gradient (K).
func (b *Bed) Under(weights []casting.Weight, lines []Line, gradient float64) *Load {
	l := b.dead
	if len(weights)+len(lines) > 0 {
		l = l.with(b, weights, lines)
	}
	return &Load{bed: b, pressed: compressing(b.bed, lines), shape: b.under(l, gradient), Resultant: *l.resultant}
}

// At returns the height at a place, offset y, by bending and by twist, m.
func (l *Load) At(p Spot, y float64) (bent, turned float64) { return l.shape.at(p.place, y) }

// Surface is At less what the lines press the surface in.
func (l *Load) Surface(p Spot, y float64) (bent, turned float64) {
	bent, turned = l.At(p, y)
	return bent - l.PressedIn(p.x, y), turned
}

// PressedIn returns how far the lines press the surface in at x, offset y, m.
func (l *Load) PressedIn(x, y float64) float64 { return l.pressed.at(x, y) }

// Along returns the nodes (m), and there the height of the bed's axis (m) and its twist (rad), when supports push upwards besides
// and the top is warmer by gradient (K): by integrating moments once along the bed · bend and twist are how many times softer it
// is than given.
func (l *Load) Along(at []Spot, y, push []float64, bend, twist, gradient float64) (x, axis, phi []float64) {
	g := l.bed
	up := g.noLoads()
	for i, p := range at {
		up.add(p.place, -push[i], y[i])
	}
	c := g.bendUnder(up.force, up.torque, gradient/bend)
	c.phi, c.side = slices.Clone(c.phi), slices.Clone(c.side) // to be written to
	for i, p := range at {
		if p.ends != nil {
			g.dull(c, p, y[i], push[i])
		}
	}
	for i := range c.w {
		c.w[i] = (c.w[i]+l.shape.w[i])*bend - (c.side[i]+l.shape.side[i])*twist
		c.phi[i] = (c.phi[i] + l.shape.phi[i]) * twist
	}
	return g.x, c.w, c.phi
}

// dull takes the kink over a foot out of curves.
func (b *Bed) dull(c curves, foot Spot, y, force float64) {
	var kink, side, off float64
	for i := foot.ends[0].cell; i < len(b.x); i++ {
		if i == 0 || b.x[i-1] < foot.ends[1].x { // further on they stay
			node := Spot{place: b.at(i)}
			kink, side = b.blunt(node, 0, foot, y)
			_, off = b.blunt(node, 1, foot, y)
		}
		c.w[i] -= kink * force
		c.phi[i] -= (off - side) * force
		c.side[i] += side * force
	}
}
