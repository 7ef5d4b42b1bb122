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
		return nil, ErrWays
	}
	bare, err := beam.NewFree(b.Bed, b.Draw, beam.Options{})
	if err != nil {
		return nil, err
	}
	lc := &loadCases{Loading: b, free: bare, x: beam.Even(0, b.Bed.Length, stations)}
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
		for _, x := range lc.x {
			v := l.At(x, way.Offset)
			if lc.Made != nil {
				v -= lc.Made[w].At(x)
			}
			h = append(h, v)
		}
	}
	lc.cases, lc.base = append(lc.cases, l), append(lc.base, h)
}

// sites are places where feet may stand, worked out.
type sites struct {
	feet []beam.Foot
	comp [][]float64 // [site][site], m/N
	unit [][]float64 // [site][way·station], m/N
	load [][]float64 // [case][site], m
}

func (lc *loadCases) sites(feet []beam.Foot) *sites {
	s := &sites{feet: feet}
	at := make([]beam.Spot, len(feet))
	for i, f := range feet {
		at[i] = lc.free.Spot(f.At)
	}
	for i, f := range feet {
		row := make([]float64, len(feet))
		for j, g := range feet[:i+1] {
			row[j] = lc.free.Between(at[i], f.Offset, at[j], g.Offset)
			if j < i {
				s.comp[j][i] = row[j]
			}
		}
		row[i] += lc.Bed.Give(f)
		s.comp = append(s.comp, row)
		unit := make([]float64, 0, len(lc.Bed.Ways)*len(lc.x))
		for _, way := range lc.Bed.Ways {
			for _, x := range lc.at {
				unit = append(unit, lc.free.Between(x, way.Offset, at[i], f.Offset))
			}
		}
		s.unit = append(s.unit, unit)
	}
	for _, c := range lc.cases {
		var row []float64
		for _, f := range feet {
			row = append(row, c.At(f.At, f.Offset))
		}
		s.load = append(s.load, row)
	}
	return s
}
