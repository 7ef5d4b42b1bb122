package place

import "footwork/beam"

// Loading is what feet have to carry, wherever they stand.
type Loading struct {
	Bed      beam.Bed
	Standing beam.Standing // its weights and gradient; its feet do not count
	Table    *beam.Table   // nil: none; a flexible one counts as stiff
	Draw     beam.Draw     // how stiff the bed is; the rest of it does not count
	Made     []beam.Shape  // m, of each way, in which the bed was made straight; nil: straight without weight
}

// loadCases is a loading worked out: the free bed's heights at the stations of both ways
// in every case, the bed alone and the table at each place.
type loadCases struct {
	Loading
	free   *beam.Free
	x      []float64 // m, stations along the bed, the same for each way
	at     []beam.Spot
	cases  []beam.FreeLoad
	stroke *beam.Span
	base   [][]float64 // [case][way·station], m, less the shape the bed was made straight in
}

// newLoadCases works a loading out at so many stations and places of the table, over its
// stroke as far as it cannot tip.
func newLoadCases(b Loading, stations, places int) (*loadCases, error) {
	if len(b.Bed.Ways) == 0 {
		panic("place: the bed has no way to be kept straight")
	}
	bare, err := beam.NewFree(b.Bed, b.Draw, beam.Options{})
	if err != nil {
		return nil, err
	}
	return (&loadCases{Loading: b, free: bare}).finer(stations, places)
}

// finer works the same loading out at other stations and places.
func (lc *loadCases) finer(stations, places int) (*loadCases, error) {
	b, bare := lc.Loading, lc.free
	lc = &loadCases{Loading: b, free: bare, x: beam.Even(0, b.Bed.Length, stations)}
	for _, x := range lc.x {
		lc.at = append(lc.at, bare.Spot(x))
	}
	lc.add(nil)
	if b.Table == nil {
		return lc, nil
	}
	free := *b.Table
	free.Stroke = nil
	reach, limit := b.Table.Reach(b.Bed), free.Reach(b.Bed)
	lc.stroke = &beam.Span{From: max(reach.From, limit.From), To: min(reach.To, limit.To)}
	for _, at := range beam.Even(lc.stroke.From, lc.stroke.To, places) {
		lines, err := b.Table.Park(b.Bed, at)
		if err != nil {
			return nil, err
		}
		lc.add(lines)
	}
	return lc, nil
}

func (lc *loadCases) add(lines []beam.Line) {
	l := lc.free.Under(lc.Standing.Weights, lines, lc.Standing.Gradient)
	var h []float64
	for w, way := range lc.Bed.Ways {
		for i, x := range lc.x {
			v := l.Way(lc.at[i], way)
			if lc.Made != nil {
				v -= lc.Made[w].At(x)
			}
			h = append(h, v)
		}
	}
	lc.cases, lc.base = append(lc.cases, l), append(lc.base, h)
}

// sites are places where feet may stand, worked out as far as was asked.
type sites struct {
	lc   *loadCases
	feet []beam.Foot
	at   []beam.Spot
	comp [][]float64 // [site][site], m/N
	unit [][]float64 // [site][way·station], m/N; nil: not yet
	load [][]float64 // [case][site], m; nil: not yet
	near *sites      // as many, of which some are the same; may be nil
}

// sites works places out in full: only then may they be used by many goroutines at once.
func (lc *loadCases) sites(feet []beam.Foot) *sites {
	s := lc.someSites(feet)
	for i := range feet {
		s.row(i)
	}
	for k := range lc.cases {
		s.loads(k)
	}
	return s
}

// someSites works out how the places give one another alone.
func (lc *loadCases) someSites(feet []beam.Foot) *sites {
	s := &sites{lc: lc, feet: feet, unit: make([][]float64, len(feet)), load: make([][]float64, len(lc.cases))}
	for i, f := range feet {
		at, give := lc.free.Foot(f)
		s.at = append(s.at, at)
		row := make([]float64, len(feet))
		for j, g := range feet[:i+1] {
			row[j] = lc.free.Between(s.at[i], f.Offset, s.at[j], g.Offset)
			if j < i {
				s.comp[j][i] = row[j]
			}
		}
		row[i] += give
		s.comp = append(s.comp, row)
	}
	return s
}

// row returns the heights of all ways for a unit force at a site.
func (s *sites) row(i int) []float64 {
	if s.unit[i] == nil {
		unit := make([]float64, len(s.lc.Bed.Ways)*len(s.lc.x))
		for k := range unit {
			unit[k] = s.height(i, k)
		}
		s.unit[i] = unit
	}
	return s.unit[i]
}

// height returns the height of one station of a way for a unit force at a site.
func (s *sites) height(i, station int) float64 {
	if s.unit[i] != nil {
		return s.unit[i][station]
	}
	n := len(s.lc.x)
	return s.lc.free.Between(s.lc.at[station%n], s.lc.Bed.Ways[station/n].Offset, s.at[i], s.feet[i].Offset)
}

// loads returns the heights of the free bed at the sites in a case.
func (s *sites) loads(k int) []float64 {
	if s.load[k] == nil {
		s.load[k] = make([]float64, len(s.feet))
		for i, f := range s.feet {
			if s.like(i) {
				s.load[k][i] = s.near.loads(k)[i]
				continue
			}
			s.load[k][i] = s.lc.cases[k].At(s.at[i], f.Offset)
		}
	}
	return s.load[k]
}

// like tells whether a foot stands as in the sites nearby.
func (s *sites) like(i int) bool { return s.near != nil && s.feet[i] == s.near.feet[i] }

// beside makes use of what was worked out of sites that share some feet.
func (s *sites) beside(near *sites) {
	s.near = near
	for i := range s.feet {
		if s.like(i) {
			s.unit[i] = near.unit[i]
		}
	}
}
