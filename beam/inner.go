package beam

import (
	"errors"

	"footwork/beam/casting"
	"footwork/beam/free"
)

// asCast returns a bed as its grid is to know it. It is an error when its sections do not cover it.
func asCast(b casting.Bed) (casting.Bed, error) {
	return b.Ribbed(func(wall casting.Bed, y float64) ([]casting.Weight, error) { return passedOn(wall, holds(b, y)) })
}

// holds returns the ribs at an inner wall as its supports.
func holds(b casting.Bed, y float64) (s Standing) {
	e, g := b.Material.Modulus, b.Material.ShearModulus
	for _, r := range b.Ribs {
		ends, _ := r.Ends(b.Sections[0].Plates)
		switch left, right := y-ends[0], ends[1]-y; {
		case left < -1e-3 || right < -1e-3:
		case r.Diagonal:
			s.Bearings = append(s.Bearings, Bearing{From: r.From, To: r.To, Stiffness: r.Hold(ends[1]-ends[0], r.Every, e, g) / r.Every, Held: true})
		default:
			for _, x := range r.Places() {
				s.Feet = append(s.Feet, Foot{At: x, Stiffness: r.Hold(max(left, right), 0, e, g) * 2, Held: true})
			}
		}
	}
	return s
}

// passedOn returns what a bed weighs on its supports, where they stand; nil when these do not hold it up.
func passedOn(b casting.Bed, s Standing) (on []casting.Weight, err error) {
	if len(s.Feet)+len(s.Bearings) == 0 {
		return nil, nil
	}
	v, err := NewSolver(b, s, Options{Cells: 200, Panels: 10})
	if err != nil {
		return nil, err
	}
	st, err := v.Solve(Case{})
	if tip := (*TipError)(nil); errors.As(err, &tip) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	for _, f := range st.Feet() {
		on = append(on, casting.Weight{At: f.At, Force: f.Load})
	}
	for _, row := range st.Bearings() {
		for i, x := range row.X {
			on = append(on, casting.Weight{At: x, Force: row.Force[i]})
		}
	}
	return on, nil
}

// NewFree returns a bed without supports, ready in so many cells with nodes at the options' places. It is an error when its
// sections do not cover it.
func NewFree(b casting.Bed, o Options) (*free.Bed, error) {
	b, err := asCast(b)
	if err != nil {
		return nil, err
	}
	return free.New(b, b.Weights, o.Cells, o.At)
}
