package casting

import (
	"fmt"
	"math"
	"slices"
)

// gravity is the standard acceleration of free fall, m/s² (3rd CGPM, 1901).
const gravity = 9.80665

// Density returns the weight per volume, N/m³, scaled to the weighed total if there is one.
func (b Bed) Density() float64 {
	if b.Weight == 0 {
		return gravity * b.Material.Density
	}
	var volume float64
	for _, s := range b.Sections {
		volume += s.Area * (s.To - s.From)
	}
	return b.Weight / volume
}

// ribWeights returns what the ribs weigh by the metal's density: square ones where they stand, slanting ones half at
// each of their walls.
func (b Bed) ribWeights() (square, slanting []Weight) {
	for _, r := range b.Ribs {
		for _, x := range r.Places() {
			s, pitch := b.At(x), 0.0
			if r.Diagonal {
				pitch = r.Every
			}
			ends, _ := r.Ends(s.Plates)
			w := Weight{At: x, Offset: (ends[0] + ends[1]) / 2, Force: gravity * b.Material.Density * r.Volume(s.Plates, pitch)}
			if !r.Diagonal {
				square = append(square, w)
				continue
			}
			for _, y := range ends {
				slanting = append(slanting, Weight{At: x, Offset: y, Force: w.Force / 2})
			}
		}
	}
	return square, slanting
}

// Drawn returns what the sections and the ribs weigh by the metal's density, N.
func (b Bed) Drawn() (sections, ribs float64) {
	for _, s := range b.Sections {
		sections += gravity * b.Material.Density * s.Area * (s.To - s.From)
	}
	square, slanting := b.ribWeights()
	for _, w := range append(square, slanting...) {
		ribs += w.Force
	}
	return sections, ribs
}

// A wall between the outermost hangs on the ribs, while feet stand under those. It weighs on them not where it is but
// where ribs pass its weight on: it is a beam of its own on rows of slanting ribs, which give, and on square
// ones, which hardly do, so that end plates carry more than their share.

// hang returns the bed without its inner walls, as weights go, and what these weigh on the rest through the ribs;
// slanting are the weights of slanting ribs, half at each of their walls, and come back without those at inner walls. A
// wall that does not run all along, or that ribs do not bear, weighs where it is.
func (b Bed) hang(slanting []Weight, bear func(wall Bed, y float64) ([]Weight, error)) (Bed, []Weight, error) {
	if len(slanting) == 0 {
		return b, slanting, nil
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
		on, err := bear(wall, y)
		if err != nil {
			return b, nil, fmt.Errorf("the wall at %g m: %w", y, err)
		}
		if on == nil {
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
	return b, slanting, nil
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
