package supports

import (
	"fmt"

	"footwork/beam"
)

// Burden is what feet have to carry, wherever they stand.
type Burden struct {
	Bed      beam.Bed
	Standing beam.Standing // its weights and gradient; its feet do not count
	Table    *beam.Table   // nil: none; a flexible one counts as stiff
	Made     []beam.Shape  // m, of each way, in which the bed was made straight; nil: straight without weight
}

// yard is a burden worked out: the free bed's heights at the stations of both ways
// in every case, the bed alone and the table at each place.
type yard struct {
	Burden
	free  *beam.Free
	x     []float64 // m, stations along the bed, the same for each way
	at    []beam.Spot
	cases []beam.FreeLoad
	base  [][]float64 // [case][way·station], m, less the shape the bed was made straight in
}

// newYard works a burden out at so many stations and places of the table, over its
// stroke as far as it cannot tip.
func newYard(b Burden, stations, places int) (*yard, error) {
	if len(b.Bed.Ways) == 0 {
		return nil, fmt.Errorf("the bed has no way to be kept straight: give each a [[way]] with its offset")
	}
	bare, err := beam.NewFree(b.Bed, beam.Draw{}, beam.Options{})
	if err != nil {
		return nil, err
	}
	y := &yard{Burden: b, free: bare, x: beam.Even(0, b.Bed.Length, stations)}
	for _, x := range y.x {
		y.at = append(y.at, bare.Spot(x))
	}
	y.add(nil)
	if b.Table == nil {
		return y, nil
	}
	free := *b.Table
	free.Stroke = nil
	reach, limit := b.Table.Reach(b.Bed), free.Reach(b.Bed)
	for _, at := range beam.Even(max(reach.From, limit.From), min(reach.To, limit.To), places) {
		lines, err := b.Table.Park(b.Bed, at)
		if err != nil {
			return nil, err
		}
		y.add(lines)
	}
	return y, nil
}

func (y *yard) add(lines []beam.Line) {
	l := y.free.Under(y.Standing.Weights, lines, y.Standing.Gradient)
	var h []float64
	for w, way := range y.Bed.Ways {
		for _, x := range y.x {
			v := l.At(x, way.Offset)
			if y.Made != nil {
				v -= y.Made[w].At(x)
			}
			h = append(h, v)
		}
	}
	y.cases, y.base = append(y.cases, l), append(y.base, h)
}

// spots are places where feet may stand, worked out.
type spots struct {
	feet []beam.Foot
	comp [][]float64 // [spot][spot], m/N
	unit [][]float64 // [spot][way·station], m/N
	load [][]float64 // [case][spot], m
}

func (y *yard) spots(feet []beam.Foot) *spots {
	s := &spots{feet: feet}
	at := make([]beam.Spot, len(feet))
	for i, f := range feet {
		at[i] = y.free.Spot(f.At)
	}
	for i, f := range feet {
		row := make([]float64, len(feet))
		for j, g := range feet[:i+1] {
			row[j] = y.free.Between(at[i], f.Offset, at[j], g.Offset)
			if j < i {
				s.comp[j][i] = row[j]
			}
		}
		s.comp = append(s.comp, row)
		unit := make([]float64, 0, len(y.Bed.Ways)*len(y.x))
		for _, way := range y.Bed.Ways {
			for _, x := range y.at {
				unit = append(unit, y.free.Between(x, way.Offset, at[i], f.Offset))
			}
		}
		s.unit = append(s.unit, unit)
	}
	for _, c := range y.cases {
		var row []float64
		for _, f := range feet {
			row = append(row, c.At(f.At, f.Offset))
		}
		s.load = append(s.load, row)
	}
	return s
}
