package beam

import (
	"math"
	"slices"
)

// A wall between the outermost hangs on the ribs, while feet stand under those. It weighs on them not where it is but
// where ribs pass its weight on: it is a beam of its own on rows of slanting ribs, which give, and on square
// ones, which hardly do, so that end plates carry more than their share.

// hang returns the bed without its inner walls, as weights go, and what these weigh on the rest through the ribs;
// slanting are the weights of slanting ribs, half at each of their walls, and come back without those at inner walls.
func (b Bed) hang(slanting []Weight) (Bed, []Weight) {
	if len(slanting) == 0 {
		return b, slanting
	}
	for _, y := range b.Sections[0].Plates.Inner() {
		here := func(w Weight) bool { return math.Abs(w.Offset-y) < 1e-3 }
		wall, ok := b.wall(y)
		if !ok {
			continue
		}
		for _, w := range slanting {
			if here(w) {
				wall.Weights = append(wall.Weights, Weight{At: w.At, Force: w.Force})
			}
		}
		on, err := wall.passedOn(b.holds(y))
		if err != nil {
			continue
		}
		slanting = slices.DeleteFunc(slices.Clone(slanting), here)
		for i := range on {
			on[i].Offset = y
		}
		slanting = append(slanting, on...)
		b.Sections = slices.Clone(b.Sections)
		for i, s := range wall.Sections {
			rest := &b.Sections[i]
			rest.Offset = (rest.Area*rest.Offset - s.Area*y) / (rest.Area - s.Area)
			rest.Area -= s.Area
		}
	}
	return b, slanting
}

// wall returns one wall as a bed of its own, about its own middle.
func (b Bed) wall(y float64) (wall Bed, ok bool) {
	wall = Bed{Length: b.Length, Material: b.Material}
	for _, s := range b.Sections {
		own, err := FromPlates(s.Plates.Wall(y))
		if err != nil {
			return wall, false
		}
		own.From, own.To, own.Offset, own.Plates, own.Warping = s.From, s.To, 0, nil, 0
		wall.Sections = append(wall.Sections, own)
	}
	return wall, true
}

// holds returns the ribs at an inner wall as its supports.
func (b Bed) holds(y float64) (s Standing) {
	e, g := b.Material.Modulus, b.Material.ShearModulus
	for _, r := range b.Ribs {
		ends, _ := r.Ends(b.Sections[0].Plates)
		switch left, right := y-ends[0], ends[1]-y; {
		case left < -1e-3 || right < -1e-3:
		case r.Diagonal:
			s.Bearings = append(s.Bearings, Bearing{From: r.From, To: r.To, Stiffness: r.Hold(ends[1]-ends[0], r.Every, e, g) / r.Every, Held: true})
		default:
			for _, x := range r.places() {
				s.Feet = append(s.Feet, Foot{At: x, Stiffness: r.Hold(max(left, right), 0, e, g) * 2, Held: true})
			}
		}
	}
	return s
}

// passedOn returns what a bed weighs on its supports, where they stand.
func (b Bed) passedOn(s Standing) (on []Weight, err error) {
	v, err := NewSolver(b, s, Options{Cells: 200, Panels: 10})
	if err != nil {
		return nil, err
	}
	st, err := v.Solve(Case{})
	if err != nil {
		return nil, err
	}
	for _, f := range st.Feet() {
		on = append(on, Weight{At: f.At, Force: f.Load})
	}
	for _, row := range st.Bearings() {
		for i, x := range row.X {
			on = append(on, Weight{At: x, Force: row.Force[i]})
		}
	}
	return on, nil
}
