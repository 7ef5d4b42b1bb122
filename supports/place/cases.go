package place

import (
	"math"
	"slices"

	"footwork/beam"
	"footwork/beam/casting"
	"footwork/beam/free"
	"footwork/beam/ride"
	"footwork/beam/shape"
)

// Loading is what feet have to carry, wherever they stand.
type Loading struct {
	Bed      casting.Bed
	Standing beam.Standing // its weights and gradient; its feet do not count
	Table    *ride.Table   // nil: none; a flexible one counts as stiff
	Made     []shape.Shape // m, of each way, in which the bed was made straight; nil: straight without weight
}

// loadCases is a loading worked out: the free bed's heights at the stations of both ways
// in every case, the bed alone and the table at each place.
type loadCases struct {
	Loading
	free   *free.Bed
	x      []float64 // m, stations along the bed, the same for each way
	at     []free.Spot
	cases  []*free.Load
	stroke *shape.Span
	base   [][]float64 // [case][way·station], m, less the shape the bed was made straight in
}

// newLoadCases works a loading out at so many stations and places of the table, over its
// stroke as far as it cannot tip.
func newLoadCases(b Loading, stations, places int) (*loadCases, error) {
	if len(b.Bed.Ways) == 0 {
		panic("place: the bed has no way to be kept straight")
	}
	bare, err := beam.NewFree(b.Bed, beam.Options{})
	if err != nil {
		return nil, err
	}
	return (&loadCases{Loading: b, free: bare}).finer(stations, places)
}

// finer works the same loading out at other stations and places.
func (lc *loadCases) finer(stations, places int) (*loadCases, error) {
	b, bare := lc.Loading, lc.free
	lc = &loadCases{Loading: b, free: bare, x: shape.Even(0, b.Bed.Length, stations)}
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
	lc.stroke = &shape.Span{From: max(reach.From, limit.From), To: min(reach.To, limit.To)}
	for _, at := range shape.Even(lc.stroke.From, lc.stroke.To, places) {
		lines, err := b.Table.Park(b.Bed, at)
		if err != nil {
			return nil, err
		}
		lc.add(lines)
	}
	return lc, nil
}

func (lc *loadCases) add(lines []free.Line) {
	l := lc.free.Under(lc.Standing.Weights, lines, lc.Standing.Gradient)
	var h []float64
	for w, way := range lc.Bed.Ways {
		for i, x := range lc.x {
			bent, turned := l.Surface(lc.at[i], way.Offset)
			v := bent + turned
			if lc.Made != nil {
				v -= lc.Made[w].At(x)
			}
			h = append(h, v)
		}
	}
	lc.cases, lc.base = append(lc.cases, l), append(lc.base, h)
}

// site is a place where a foot may stand, worked out as far as was asked. Not for several goroutines at once.
type site struct {
	beam.Foot
	lc   *loadCases
	at   free.Spot
	give float64   // m/N, of the casting over it
	load []float64 // m, height of the free bed in each case
	unit []float64 // m/N, heights of all ways for a unit force; NaN: not yet
	full bool      // none is
}

// row returns the heights of all ways for a unit force.
func (s *site) row() []float64 {
	for k := 0; k < len(s.unit) && !s.full; k++ {
		s.height(k)
	}
	s.full = true
	return s.unit
}

// height returns the height of one station of a way for a unit force.
func (s *site) height(station int) float64 {
	if h := s.unit[station]; !math.IsNaN(h) {
		return h
	}
	return s.raise(station)
}

func (s *site) raise(station int) float64 {
	n := len(s.lc.x)
	s.unit[station] = s.lc.between(s.lc.at[station%n], s.lc.Bed.Ways[station/n].Offset, s.at, s.Offset)
	return s.unit[station]
}

// between returns the height at one place for a unit force at another, m/N.
func (lc *loadCases) between(p free.Spot, y float64, q free.Spot, v float64) float64 {
	bent, twisted := lc.free.Between(p, y, q, v)
	return bent + twisted
}

// sites are some of them, and what the bed does over one for a unit force at another, m/N, its iron aside.
type sites struct {
	all  []*site
	comp [][]float64
}

// sites works places out; those that stand as in near, as many (nil: none), are the same.
func (lc *loadCases) sites(feet []beam.Foot, near *sites) *sites {
	s := &sites{}
	for i, f := range feet {
		stays := near != nil && near.all[i].Foot == f
		if stays {
			s.all = append(s.all, near.all[i])
		} else {
			s.all = append(s.all, lc.site(f))
		}
		one := s.all[i]
		s.comp = append(s.comp, make([]float64, len(feet)))
		for j, other := range s.all {
			if stays && other == near.all[j] {
				s.comp[i][j] = near.comp[i][j]
			} else {
				s.comp[i][j] = lc.between(one.at, f.Offset, other.at, other.Offset)
			}
			s.comp[j][i] = s.comp[i][j]
		}
	}
	return s
}

func (lc *loadCases) site(f beam.Foot) *site {
	s := &site{Foot: f, lc: lc, unit: slices.Repeat([]float64{math.NaN()}, len(lc.Bed.Ways)*len(lc.x))}
	s.at, s.give = lc.free.Foot(lc.free.Spot(f.At), f.At, f.Offset, f.Length)
	for _, c := range lc.cases {
		bent, turned := c.At(s.at, f.Offset)
		s.load = append(s.load, bent+turned)
	}
	return s
}
