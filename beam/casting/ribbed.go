package casting

import (
	"math"
	"slices"
)

// Ribbed returns the bed with its ribs as weights and as stiffness of its sections besides; bear returns what an inner
// wall at offset y, a bed of its own, weighs on its ribs, nil: these do not hold it up. Where an open bed goes on
// as a box its walls go on bending against each other into it: there a box warps as it does when it goes out of
// square, not as it does in twist. It is an error when the sections do not cover the bed, or one of bear.
func (b Bed) Ribbed(bear func(wall Bed, y float64) ([]Weight, error)) (Bed, error) {
	if err := b.covered(); err != nil {
		return b, err
	}
	out := b
	plates, ribs := b.Drawn()
	square, slanting := b.ribWeights()
	rest, slanting, err := b.hang(slanting, bear)
	if err != nil {
		return b, err
	}
	out.Weights = slices.Clone(b.Weights)
	for _, w := range append(square, slanting...) {
		if b.Weight > 0 {
			w.Force *= b.Weight / (plates + ribs)
			out.Weight -= w.Force
		}
		out.Weights = append(out.Weights, w)
	}
	out.Sections = nil
	open := slices.ContainsFunc(b.Sections, func(s Section) bool {
		_, box := s.Plates.Distort()
		return !box && s.Plates != nil
	})
	for _, s := range rest.stretches() {
		least, most := b.torsion(s)
		s.Torsion = math.Sqrt(least * most)
		if d, box := s.Plates.Distort(); box && open {
			s.Warping, s.WarpingShear = d.Warping, d.Shear
		}
		left := math.Pow(b.slip(s), 2)
		s.Warping, s.WarpingShear = s.Warping*left, s.WarpingShear*left
		out.Sections = append(out.Sections, s)
	}
	return out, nil
}
