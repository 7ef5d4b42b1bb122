package free

import (
	"math"

	"footwork/beam/casting"
)

// compressions are line loads that press ways into their walls.
type compressions []compression

type compression struct {
	Line
	give float64 // m²/N
}

// compressing returns the lines that do so.
func compressing(b casting.Bed, lines []Line) (out compressions) {
	for _, q := range lines {
		s := b.At((q.From + q.To) / 2)
		if give := s.Plates.Compression(q.Offset, b.Material.Modulus); give > 0 {
			out = append(out, compression{q, give})
		}
	}
	return out
}

// at returns how far the surface at x, offset y, is pressed in, m.
func (c compressions) at(x, y float64) (down float64) {
	for _, q := range c {
		if math.Abs(y-q.Offset) < 1e-6 && q.From <= x && x <= q.To {
			down += q.give * (q.Start + (q.End-q.Start)*(x-q.From)/(q.To-q.From))
		}
	}
	return down
}
