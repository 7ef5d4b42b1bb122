package beam

import "footwork/beam/section"

// FromPlates returns the constants of a section made of plates. From and To stay zero.
func FromPlates(plates []section.Plate) (Section, error) {
	c, err := section.Of(plates)
	if err != nil {
		return Section{}, err
	}
	return Section{Area: c.Area, Inertia: c.Inertia, ShearArea: c.ShearArea, Torsion: c.Torsion, Warping: c.Warping,
		Depth: c.Depth, Offset: c.Offset, WarpingShear: c.WarpingShear, ShearCentre: c.ShearCentre, Plates: plates}, nil
}
