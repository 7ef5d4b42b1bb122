package beam

import (
	"footwork/beam/casting"
)

// Free is a bed without supports, built in at its left end: what unit forces and
// loads do to it anywhere, from which any set of feet can be stood under it. It
// never changes and may be used by many goroutines at once.
type Free struct {
	bed  casting.Bed
	grid *grid
	dead loads // own weight and what is bolted on
}

// NewFree cuts the bed into cells. It is an error when its sections do not cover it.
func NewFree(b casting.Bed, o Options) (*Free, error) {
	b, err := asCast(b)
	if err != nil {
		return nil, err
	}
	g, err := gridUnder(b, b.Weights, o)
	if err != nil {
		return nil, err
	}
	return &Free{b, g, g.ownWeight(b).with(g, b.Weights, nil)}, nil
}

// Spot is a place along the bed, found once in its grid.
type Spot struct{ entry }

// Spot returns the place x, m.
func (f *Free) Spot(x float64) Spot { return Spot{f.grid.entry(x)} }

// Foot returns the place of a foot, and how much the casting gives over it, m/N.
func (f *Free) Foot(foot Foot) (at Spot, give float64) {
	give, spread := f.bed.Give(foot.At, foot.Offset, foot.Length)
	g := f.grid
	return Spot{g.foot(g.place(foot.At), spread)}, give
}

// Between returns the height at p, offset y, for a unit upward force at q, offset
// v, m/N.
func (f *Free) Between(p Spot, y float64, q Spot, v float64) float64 {
	bent, twisted := f.grid.between(p.entry, y, q.entry, v)
	return bent + twisted
}

// FreeLoad is what the bed's own weight and more do to a Free bed.
type FreeLoad struct {
	shape     curves
	pressed   compressions
	Resultant [3]float64 // N, N·m, N·m: Σ F, Σ F·x, Σ F·y
}

// Under returns the free bed under its own weight, its bolted weights, further
// weights and lines, and a top warmer by gradient (K).
func (f *Free) Under(weights []casting.Weight, lines []Line, gradient float64) FreeLoad {
	g := f.grid
	l := f.dead.with(g, weights, lines)
	return FreeLoad{pressed: compressing(f.bed, lines), shape: g.under(l, gradient), Resultant: *l.resultant}
}

// At returns the height at a place, offset y, m.
func (l FreeLoad) At(p Spot, y float64) float64 {
	bent, turned := l.shape.at(p.place, y)
	return bent + turned
}

// Way returns the height of a way's surface at a place, m: At, less what the lines press it in.
func (l FreeLoad) Way(p Spot, w casting.Way) float64 {
	return l.At(p, w.Offset) - l.pressed.at(p.x, w.Offset)
}
