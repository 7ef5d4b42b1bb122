package shop

import (
	"math"

	"footwork/beam/shape"
	"footwork/survey"

	"gonum.org/v1/gonum/floats"
)

// aside is where vees lie sideways.
type aside struct {
	of       []shape.Shape // m towards positive offset, one a way of the bed; empty: not known
	parallel bool          // the distance between two of them is known: they are in one frame
}

func (a aside) known(way int) bool { return len(a.of[way].X) > 0 }

// sideways returns where the vees of a standing lie sideways, by the latest surveys of each
// and of their distances.
func (s *Shop) sideways(standing string) aside {
	out := aside{of: make([]shape.Shape, len(s.Bed.Ways))}
	for k, w := range s.Bed.Ways {
		r := s.latest(standing, func(v survey.Survey) bool { return v.Way == w.Name && v.Sideways && !v.OfTable && v.Against == "" })
		if r != nil {
			out.of[k] = shape.Shape{X: r.X, Y: r.AboutEnds().Height}
		}
	}
	for b := range s.Bed.Ways {
		for a := range b {
			if apart := s.apart(standing, a, b); len(apart.X) > 0 {
				out.tie(a, b, apart)
			}
		}
	}
	return out
}

// tie brings way b into the frame of a by how much further aside it lies, or makes the one
// of them known by the other.
func (o *aside) tie(a, b int, apart shape.Shape) {
	plus := func(sign float64, of shape.Shape) shape.Shape {
		return shape.Shape{X: apart.X, Y: floats.AddScaledTo(make([]float64, len(apart.X)), of.Over(apart.X), sign, apart.Y)}
	}
	switch {
	case o.known(a) && o.known(b):
		line := plus(1, o.of[a]).Minus(o.of[b]).LeastSquaresLine()
		o.of[b] = o.of[b].About(shape.Line{A: -line.A, B: -line.B})
	case o.known(a):
		o.of[b] = plus(1, o.of[a])
	case o.known(b):
		o.of[a] = plus(-1, o.of[b])
	default:
		return
	}
	o.parallel = true
}

// apart returns by how much way b lies further towards positive offset than way a, beside a
// constant: by their distance, or by a gauge pulled to either side; empty when nobody read it.
func (s *Shop) apart(standing string, a, b int) (out shape.Shape) {
	one, other := s.Bed.Ways[a], s.Bed.Ways[b]
	r := s.latest(standing, func(v survey.Survey) bool {
		return v.Way == one.Name && v.Against == other.Name || v.Way == other.Name && v.Against == one.Name
	})
	if r != nil {
		out.X = r.X
		out.Y = each(r.Height, func(h float64) float64 { return math.Copysign(1, other.Offset-one.Offset) * h })
		return out
	}
	pulled := func(to int) *survey.Record {
		return s.latest(standing, func(v survey.Survey) bool { return v.Pulled == to })
	}
	if pulled(-1) == nil || pulled(1) == nil {
		return out
	}
	left, right, v := pulled(-1).Shape(), pulled(1).Shape(), s.Ways[a].Vee
	out.X = left.X
	for i, x := range left.X {
		out.Y = append(out.Y, v.Apart(left.Y[i], right.At(x), other.Offset-one.Offset))
	}
	return out
}
